use super::*;

const STEP: &str = "[[step]]\nid = \"mark\"\nwhat = \"Mark the spine.\"\nkey-point = \"One line.\"\nreason = \"It is read later.\"\n";

fn stage(head: &str, steps: &str) -> String {
    format!(
        "format = 1\nkind = \"stage\"\nid = \"spine\"\ntitle = \"Spine\"\naim = \"A mark.\"\nrevised = \"2026-01-01\"\n{head}{steps}"
    )
}

fn codes(source: &str) -> Vec<&'static str> {
    read(source).findings.iter().map(|finding| finding.code).collect()
}

#[test]
fn a_plain_stage_is_read() {
    let read = read(&stage("", STEP));
    assert_eq!(read.findings, []);
    let Some(Checklist::Stage(stage)) = read.checklist else { panic!() };
    assert_eq!(stage.steps[0].what, "Mark the spine.");
}

#[test]
fn findings_name_line_and_column() {
    let source = stage("", &STEP.replace("reason", "reasn"));
    let read = read(&source);
    assert_eq!(read.checklist, None);
    assert_eq!(read.findings[0].line, 11, "{:?}", read.findings);
    assert_eq!(read.findings[0].column, 1);
    let broken = "format = 1\nkind = \"stage\"\ntitle = \"half\nid = 3\n";
    assert_eq!(super::read(broken).findings[0].line, 3);
}

#[test]
fn what_is_wrong_has_a_name() {
    for (source, code) in [
        (String::new(), "checklist::no-format"),
        ("format = 2\nnew-thing = true".to_owned(), "checklist::other-format"),
        ("format = 1".to_owned(), "checklist::no-kind"),
        ("format = 1\nkind = \"soup\"".to_owned(), "checklist::unknown-kind"),
        (stage("", ""), "checklist::no-steps"),
        (stage("", &format!("{STEP}{STEP}")), "checklist::id-twice"),
        (stage("needs = [\"spine\"]\n", STEP), "checklist::needs-itself"),
        (stage("", &format!("{STEP}hazards = [\"H999\"]\n")), "checklist::unknown-hazard"),
        (stage("", &format!("{STEP}hazards = [\"dust\"]\n")), "checklist::no-caution"),
        (stage("", &format!("{STEP}heat = true\n")), "checklist::heat-not-named"),
        (stage("", &format!("{STEP}waits-for = \"cure\"\n")), "checklist::unknown-clock"),
        (
            stage(
                "",
                &format!(
                    "{STEP}record = {{ name = \"Gap\", measure = \"length\", most = \"0.2\" }}\n"
                ),
            ),
            "checklist::no-unit",
        ),
        (
            stage(
                "",
                &format!(
                    "{STEP}record = {{ name = \"Gap\", measure = \"length\", most = \"5/0 in\" }}\n"
                ),
            ),
            "checklist::bad-value",
        ),
        (
            stage(
                "",
                &format!(
                    "{STEP}starts = {{ id = \"w\", clock = \"watch\", name = \"Watch\", minutes = 29 }}\n"
                ),
            ),
            "checklist::short-watch",
        ),
    ] {
        assert!(codes(&source).contains(&code), "{code}: {:?}", codes(&source));
        assert_eq!(read(&source).checklist, None, "{code}");
    }
}

#[test]
fn an_unknown_hazard_gets_a_suggestion() {
    let source = stage("", &format!("{STEP}caution = \"Hot.\"\nhazards = [\"haet\"]\n"));
    assert!(read(&source).findings[0].help.contains("“heat”"));
}

#[test]
fn heat_needs_its_limit_whatever_the_author_wrote() {
    let heat = format!("{STEP}caution = \"Hot.\"\nhazards = [\"heat\"]\nheat = true\n");
    assert_eq!(codes(&stage("", &heat)), ["checklist::no-gun-limit"]);
    let limited = format!("{heat}gun-limit = \"180 °C\"\n");
    let Some(Checklist::Stage(stage)) = read(&stage("", &limited)).checklist else { panic!() };
    assert!(stage.steps[0].needs_witness(), "heat always asks for a witness of a helper");
}

#[test]
fn a_bare_tick_is_warned_about_but_used() {
    let source = stage("", &STEP.replace("Mark the spine.", "Check the spine."));
    let read = read(&source);
    assert!(read.checklist.is_some());
    assert_eq!(read.findings[0].code, "checklist::bare-tick");
    assert_eq!(read.findings[0].severity, Severity::Warning);
}

#[test]
fn a_misspelt_key_gets_a_suggestion() {
    for (source, near) in [
        (stage("", &STEP.replace("reason", "reasn")), "“reason”"),
        (stage("", &format!("{STEP}picture = \"pad-snag\"\n")), "“pad-snags”"),
        (acetone(&[("day-limit", "day_limit")]), "“day-limit”"),
        (acetone(&[("flash", "flsh")]), "“flash”"),
    ] {
        let finding = &read(&source).findings[0];
        assert_eq!(finding.code, "checklist::unreadable");
        assert_eq!(finding.help, format!("Did you mean {near}?"));
    }
    let far = read(&acetone(&[("flash =", "colour =")]));
    assert!(!far.findings[0].help.contains("Did you mean"), "{:?}", far.findings);
}

const ACETONE: &str = r#"format = 1
kind = "material"
id = "acetone"
title = "Acetone"
revised = "2026-01-01"
sheet = "None; an invented entry."
source = "Invented for this test."
hazards = ["H225"]
caution = "It burns. The safety data sheet comes first."
density = "0.78–0.80 g/mL"
flash = "-18 °C"
boils = "56 °C"
autoignition = "465–539 °C"
use = [{ name = "a damp rag", amount = "0.5 fl oz" }]
[[component]]
name = "Acetone"
cas = "67-64-1"
share = "95–100 %"
molar-mass = "58.08 g/mol"
lower-limit = "2.5–2.6 %"
day-limit = "250 ppm"
short-limit = "500 ppm"
"#;

/// The file above with some of its words replaced.
fn acetone(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(ACETONE.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from} is not there");
        text.replacen(from, to, 1)
    })
}

fn material(source: &str) -> Material {
    let read = read(source);
    assert_eq!(read.findings, []);
    let Some(Checklist::Material(material)) = read.checklist else { panic!("{source}") };
    material
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * b.abs().max(1.0)
}

#[test]
fn a_material_gives_its_worst_ends() {
    let acetone = material(ACETONE);
    assert_eq!(acetone.missing_for_estimate(), Vec::<String>::new());
    assert_eq!(acetone.lowest_autoignition(), Some(465.0));
    assert_eq!(acetone.is_flammable(), Some(true));
    assert!(close(acetone.uses[0].amount_ml, 14.786_764_781_25));
    let worst = acetone.worst().unwrap();
    let [worst] = worst.as_slice() else { panic!("{worst:?}") };
    assert!(close(worst.grams_per_ml, 0.80), "{worst:?}");
    assert!(close(worst.molar_mass_g_mol, 58.08));
    assert_eq!(worst.lower_limit_percent, Some(2.5));
    assert_eq!((worst.day_limit_ppm, worst.short_limit_ppm), (Some(250.0), Some(500.0)));
    assert_eq!(worst.ceiling_ppm, None);
}

#[test]
fn the_lower_of_two_lower_limits_counts() {
    let lower = acetone(&[("boils", "lower-limit = \"2.1 %\"\nboils")]);
    assert_eq!(material(&lower).worst().unwrap()[0].lower_limit_percent, Some(2.1));
    let higher = acetone(&[("boils", "lower-limit = \"3 %\"\nboils")]);
    assert_eq!(material(&higher).worst().unwrap()[0].lower_limit_percent, Some(2.5));
    // The only vapour there is burns as the product does; of two, nobody knows which.
    let alone = acetone(&[
        ("lower-limit = \"2.5–2.6 %\"\n", ""),
        ("boils", "lower-limit = \"3 %\"\nboils"),
    ]);
    assert_eq!(material(&alone).worst().unwrap()[0].lower_limit_percent, Some(3.0));
    let two = format!(
        "{alone}[[component]]\nname = \"Other\"\nshare = \"< 5 %\"\nmolar-mass = \"80 g/mol\"\nlower-limit = \"1 %\"\n"
    );
    let missing = material(&two).missing_for_estimate();
    assert_eq!(missing, ["Acetone: the lower flammable limit is not stated."]);
}

#[test]
fn limits_in_milligrams_become_ppm_with_the_mass_that_makes_the_vapour() {
    let text = acetone(&[
        ("58.08 g/mol", "87–114 g/mol"),
        ("250 ppm", "350 mg/m³"),
        ("short-limit", "ceiling"),
    ]);
    let worst = &material(&text).worst().unwrap()[0];
    assert!(close(worst.day_limit_ppm.unwrap(), 350.0 * 24.45 / 87.0));
    assert_eq!(worst.ceiling_ppm, Some(500.0));
    // NIOSH Pocket Guide: isopropyl alcohol, 980 mg/m3 is 400 ppm at 60.1 g/mol.
    assert!((AirLimit::MgPerM3(980.0).ppm(60.1) - 400.0).abs() < 2.0);
}

#[test]
fn what_a_sheet_leaves_out_stays_unknown() {
    for (changes, sentence) in [
        (
            &[("density = \"0.78–0.80 g/mL\"", "")] as &[_],
            "The density is not stated (section 9 of the sheet).",
        ),
        (&[("0.78–0.80 g/mL", "unknown")], "The density is not stated (section 9 of the sheet)."),
        (&[("molar-mass = \"58.08 g/mol\"", "")], "Acetone: the molar mass is not stated."),
        (&[("2.5–2.6 %", "unknown")], "Acetone: the lower flammable limit is not stated."),
        (
            &[("2.5–2.6 %", "none")],
            "It has a flash point, but no component is named that evaporates and burns (section 3).",
        ),
        (
            &[("2.5–2.6 %", "none"), ("\"-18 °C\"", "\"unknown\"")],
            "The flash point is not stated (section 9).",
        ),
    ] {
        let material = material(&acetone(changes));
        assert_eq!(material.missing_for_estimate(), [sentence]);
        assert_eq!(material.worst(), Err(vec![sentence.to_owned()]));
    }
    let both = acetone(&[("2.5–2.6 %", "unknown"), ("58.08 g/mol", "unknown")]);
    assert_eq!(material(&both).missing_for_estimate().len(), 2);
    let no_limits = acetone(&[("250 ppm", "none"), ("500 ppm", "unknown")]);
    let worst = &material(&no_limits).worst().unwrap()[0];
    assert_eq!((worst.day_limit_ppm, worst.short_limit_ppm), (None, None));
    let cold = acetone(&[("465–539 °C", "unknown")]);
    assert_eq!(material(&cold).lowest_autoignition(), None);
}

#[test]
fn flammable_ends_at_93_degrees() {
    let plain = acetone(&[("hazards = [\"H225\"]", "")]);
    for (flash, flammable) in [
        ("93 °C", Some(true)),
        ("≥ 93 °C", Some(true)),
        ("> 93 °C", Some(false)),
        ("199 °F", Some(true)),
        ("200 °F", Some(false)),
        ("< 21 °C", Some(true)),
        ("60–110 °C", Some(true)),
        ("unknown", None),
        // It does not flash in the cup, but its vapour burns.
        ("none", Some(true)),
    ] {
        let text = plain.replace("\"-18 °C\"", &format!("\"{flash}\""));
        assert_eq!(material(&text).is_flammable(), flammable, "{flash}");
    }
    let water = plain.replace("\"-18 °C\"", "\"none\"").replace("2.5–2.6 %", "none");
    assert_eq!(material(&water).is_flammable(), Some(false));
    assert_eq!(material(&water).worst().unwrap()[0].lower_limit_percent, None);
    let unsure = plain.replace("\"-18 °C\"", "\"none\"").replace("2.5–2.6 %", "unknown");
    assert_eq!(material(&unsure).is_flammable(), None);
}

#[test]
fn what_stays_behind_makes_no_vapour() {
    let solid = "[[component]]\nname = \"Resin\"\nshare = \"20–40 %\"\nvolatile = false\n";
    let lacquer = format!("{}{solid}", acetone(&[("95–100 %", "60–80 %")]));
    let worst = material(&lacquer).worst().unwrap();
    assert_eq!(worst.len(), 1);
    assert!(close(worst[0].share, 0.8));
    let counted = acetone(&[("95–100 %", "60–80 %"), ("boils", "solids = \"20–40 %\"\nboils")]);
    assert!(close(material(&counted).worst().unwrap()[0].grams_per_ml, 0.64));
    // All of it stays, yet it flashes: then something evaporates that nobody named.
    let odd = ACETONE.split("[[component]]").next().unwrap().to_owned() + solid;
    let odd = odd.replace("20–40 %", "100 %");
    assert_eq!(material(&odd).missing_for_estimate().len(), 1);
    let quiet = odd.replace("\"-18 °C\"", "\"> 150 °C\"").replace("hazards = [\"H225\"]", "");
    assert_eq!(material(&quiet).worst(), Ok(Vec::new()));
}

#[test]
fn ranges_are_read_as_sheets_write_them() {
    for (words, least, most) in [
        ("10–30 %", 0.1, 0.3),
        ("10-30%", 0.1, 0.3),
        ("10 % – 30 %", 0.1, 0.3),
        ("10 to 30 %", 0.1, 0.3),
        ("≥10 - <30 %", 0.1, 0.3),
        (">= 10 – <= 30 % wt", 0.1, 0.3),
        ("10 %—30", 0.1, 0.3),
        ("< 5 %", 0.0, 0.05),
        ("≤ 5 wt.%", 0.0, 0.05),
        ("up to 5 %", 0.0, 0.05),
        ("> 60 %", 0.6, 1.0),
        ("12,5 %", 0.125, 0.125),
        ("0,125 % (w/w)", 0.001_25, 0.001_25),
    ] {
        let rest = "[[component]]\nname = \"Rest\"\nshare = \"0–100 %\"\nvolatile = false\n";
        let text = format!("{}{rest}", acetone(&[("95–100 %", words)]));
        let share = &material(&text).components[0].share;
        assert!(close(share.least, least) && close(share.most, most), "{words}: {share:?}");
        assert_eq!(share.words, words);
    }
    for (words, least, most) in [
        ("-20–-18 °C", -20.0, -18.0),
        ("−20 °C to −18 °C", -20.0, -18.0),
        ("-20 - 5 °C", -20.0, 5.0),
        ("-4–68 °F", -20.0, 20.0),
        ("> 12 °C", 12.0, f64::INFINITY),
        ("< 12 °C", -273.15, 12.0),
    ] {
        let text = acetone(&[("\"-18 °C\"", &format!("\"{words}\""))]);
        let flash = material(&text).flash_c;
        let flash = flash.given().unwrap();
        assert!(close(flash.least, least), "{words}: {flash:?}");
        let open = flash.most.is_infinite() && most.is_infinite();
        assert!(open || close(flash.most, most), "{words}: {flash:?}");
    }
    let heavy = material(&acetone(&[("0.78–0.80 g/mL", "≤ 791 kg/m3")]));
    assert!(close(heavy.density_g_ml.unwrap().most, 0.791));
}

#[test]
fn each_slip_in_a_material_has_a_name() {
    for (from, to, code) in [
        ("0.78–0.80 g/mL", "0.79", "checklist::bad-value"),
        ("0.78–0.80 g/mL", "none", "checklist::bad-value"),
        ("0.78–0.80 g/mL", "0.80–0.78 g/mL", "checklist::limits-crossed"),
        ("0.78–0.80 g/mL", "> 0.79 g/mL", "checklist::open-end"),
        ("0.78–0.80 g/mL", "791 g/mL", "checklist::out-of-range"),
        ("\"-18 °C\"", "\"-18\"", "checklist::bad-value"),
        ("\"-18 °C\"", "\"-20–-18–3 °C\"", "checklist::bad-value"),
        ("\"-18 °C\"", "\"53 °C\"", "checklist::flash-unlike-hazard"),
        ("\"-18 °C\"", "\"none\"", "checklist::flash-unlike-hazard"),
        ("465–539 °C", "< 539 °C", "checklist::open-end"),
        ("465–539 °C", "-465 °C", "checklist::out-of-range"),
        ("0.5 fl oz", "-2 mL", "checklist::bad-value"),
        ("0.5 fl oz", "2", "checklist::bad-value"),
        ("67-64-1", "67-64-2", "checklist::bad-cas"),
        ("67-64-1", "acetone", "checklist::bad-cas"),
        ("95–100 %", "unknown", "checklist::bad-value"),
        ("95–100 %", "95–100 vol%", "checklist::bad-value"),
        ("95–100 %", "95 %", "checklist::shares-below-whole"),
        ("95–100 %", "95–105 %", "checklist::out-of-range"),
        ("95–100 %", "< 95 - > 100 %", "checklist::bad-value"),
        ("[[component]]", "solids = \"20 %\"\n[[component]]", "checklist::shares-above-whole"),
        ("58.08 g/mol", "1,000 g/mol", "checklist::bad-value"),
        ("58.08 g/mol", "< 60 g/mol", "checklist::open-end"),
        ("58.08 g/mol", "5.8 g/mol", "checklist::out-of-range"),
        ("2.5–2.6 %", "< 2.5 %", "checklist::open-end"),
        ("2.5–2.6 %", "25 %", "checklist::out-of-range"),
        ("2.5–2.6 %", "0 %", "checklist::out-of-range"),
        ("2.5–2.6 %", "2.5", "checklist::bad-value"),
        ("250 ppm", "250", "checklist::bad-value"),
        ("250 ppm", "0 ppm", "checklist::bad-value"),
        ("250 ppm", "200–250 ppm", "checklist::bad-value"),
        ("250 ppm", "1,000 ppm", "checklist::bad-value"),
        ("share", "volatile = false\nshare", "checklist::stays-behind"),
        ("caution = \"It", "#", "checklist::no-caution"),
        ("None; an invented entry.", " ", "checklist::blank"),
        ("Invented for this test.", "", "checklist::blank"),
        ("H225", "H25", "checklist::unknown-hazard"),
        ("\"acetone\"", "\"Acetone\"", "checklist::bad-id"),
    ] {
        let source = acetone(&[(from, to)]);
        assert!(codes(&source).contains(&code), "{from} → {to}: {:?}", codes(&source));
        assert_eq!(read(&source).checklist, None, "{from} → {to}");
    }
    let empty = ACETONE.split("[[component]]").next().unwrap();
    assert_eq!(codes(empty), ["checklist::no-component"]);
}

proptest::proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}") {
        let _ = read(&text);
        let _ = read(&format!("format = 1\nkind = \"stage\"\n{text}"));
        for kind in ["material", "adhesive", "sleeve", "glove"] {
            let _ = read(&format!("format = 1\nkind = \"{kind}\"\n{text}"));
        }
    }

    /// Whatever stands where a figure should, the reader says so or reads it; and what it reads
    /// lies the right way round and is never worse than what the estimate takes.
    #[test]
    fn no_figure_makes_the_reader_panic(
        figure in "[<>≤≥ ]{0,2}[-−]?[0-9.,]{0,4} ?[-–to ]{0,4}[0-9.,]{0,4} ?(%|°C|g/mL|g/mol|ppm|\\PC{0,3})"
    ) {
        for from in ["0.78–0.80 g/mL", "-18 °C", "465–539 °C", "0.5 fl oz", "67-64-1", "95–100 %", "58.08 g/mol", "2.5–2.6 %", "250 ppm"] {
            let quiet = figure.replace(['"', '\\'], "");
            let Some(Checklist::Material(material)) = read(&acetone(&[(from, &quiet)])).checklist
            else { continue };
            let share = &material.components[0].share;
            proptest::prop_assert!(share.least <= share.most, "{share:?}");
            if let Ok(worst) = material.worst() {
                let numbers = [worst[0].grams_per_ml, worst[0].molar_mass_g_mol];
                proptest::prop_assert!(numbers.iter().all(|n| n.is_finite() && *n > 0.0), "{figure}");
                proptest::prop_assert!(worst[0].lower_limit_percent.is_none_or(|n| n > 0.0));
            }
        }
    }
}
