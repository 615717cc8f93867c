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

proptest::proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}") {
        let _ = read(&text);
        let _ = read(&format!("format = 1\nkind = \"stage\"\n{text}"));
    }
}
