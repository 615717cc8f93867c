//! Figures of heat-shrink sleeves and of gloves.

use super::fields::Fields;
use super::output::{Output, celsius, minutes, mm, number, share, yes};
use super::{Field, Figure, Problem, may, need};
use coldbench_trade::skin::{
    Breakthrough, MOVEMENT, OpenMaterial, PermeationLevel, WASH, change_by,
};
use coldbench_trade::sleeve::{
    Beneath, Covered, ShrinkRange, SizingWindow, SleeveSize, UnderHeat, choose_size, cut_length,
    judge_size, recovered_on, under_heat,
};
use coldbench_trade::units::{Ratio, TemperatureInterval, kelvins, ratio};
use serde_json::json;

const HOT_AIR: &str = "Hot air burns skin, and an overheated sleeve gives off choking smoke; \
    PVC gives off hydrogen chloride \
     from about 150 °C. Clear the air and the bench before heat is switched on; the sleeve's data sheet comes first.";

const SIZE: &[Field] = &[
    may("name", "the size as the maker names it", "\"3/4\""),
    need("expanded", "inside diameter as supplied, at the least", "\"19.1 mm\""),
    need("recovered", "inside diameter fully shrunk, at the most", "\"9.5 mm\""),
    need("wall", "wall when fully shrunk", "\"0.76 mm\""),
];

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "sleeve-size",
        about: "which size of sleeve slides on and still grips",
        fields: &[
            ("sizes[].", SIZE),
            (
                "",
                &[
                    need("passes", "thickest part it must slide over on its way", "\"16 mm\""),
                    need("largest", "thickest part it covers", "\"14 mm\""),
                    need("smallest", "thinnest part it must grip", "\"12 mm\""),
                    need("clearance", "room in diameter while it slides on", "\"0.5 mm\""),
                    may(
                        "least-shrink",
                        "how much of its diameter it must lose on the thickest part; 20 % if \
                            not said",
                        "\"20 %\"",
                    ),
                    may(
                        "least-pull",
                        "how much wider than fully shrunk it must stay on the thinnest part; \
                            10 % if not said",
                        "\"10 %\"",
                    ),
                ],
            ),
        ],
        example: r#"{"sizes": [
            {"name": "1/2", "expanded": "0.5 in", "recovered": "0.25 in", "wall": "0.025 in"},
            {"name": "3/4", "expanded": "0.75 in", "recovered": "0.375 in", "wall": "0.03 in"},
            {"name": "1", "expanded": "1 in", "recovered": "0.5 in", "wall": "0.035 in"}],
            "passes": "16 mm", "largest": "14 mm", "smallest": "12 mm", "clearance": "0.5 mm"}"#,
        source: "A manufacturer's open sizing guide: shrink by at least 20 %, stay at least \
            10 % above fully shrunk; the clearance is the builder's.",
        cautions: &[HOT_AIR],
        work: sleeve_size,
    },
    Figure {
        name: "sleeve-recovered",
        about: "wall and outside diameter of a sleeve shrunk onto a part",
        fields: &[
            ("", SIZE),
            (
                "",
                &[
                    need("over", "diameter of the part", "\"14 mm\""),
                    may(
                        "change",
                        "how much longer (+) or shorter (-) it is than fully shrunk; nothing \
                            if not said",
                        "\"-5 %\"",
                    ),
                ],
            ),
        ],
        example: r#"{"expanded": "19.05 mm", "recovered": "9.525 mm", "wall": "0.762 mm", "over": "14 mm"}"#,
        source: "Conservation of the sleeve's cross-section, of its volume where the length \
            changes; makers' walls spread by 10 to 20 %.",
        cautions: &[HOT_AIR],
        work: sleeve_recovered,
    },
    Figure {
        name: "sleeve-cut",
        about: "length of sleeve to cut so that it still covers when shrunk",
        fields: &[(
            "",
            &[
                need("covered", "length to be covered", "\"200 mm\""),
                need("tucked", "what goes under the seat or the grip's end besides", "\"5 mm\""),
                may(
                    "change",
                    "change of length on shrinking, from the sheet; -15 % if not known",
                    "\"-10 %\"",
                ),
            ],
        )],
        example: r#"{"covered": "200 mm", "tucked": "5 mm", "change": "-10 %"}"#,
        source: "(covered + tucked) / (1 + change), change as in the makers' specifications; \
            lengthening is not counted.",
        cautions: &[HOT_AIR],
        work: sleeve_cut,
    },
    Figure {
        name: "sleeve-heat",
        about: "what the heat that a sleeve needs does to what lies beneath",
        fields: &[(
            "",
            &[
                need(
                    "begins",
                    "temperature at which it begins to shrink, from its sheet",
                    "\"70 °C\"",
                ),
                need(
                    "full",
                    "temperature at which it is fully shrunk, from its sheet",
                    "\"90 °C\"",
                ),
                need(
                    "margin",
                    "how many kelvin more the materials must bear; 10 K and more is prudent",
                    "\"10 K\"",
                ),
                need(
                    "materials[].name",
                    "what lies beneath or beside it, and the sleeve itself",
                    "\"demo EVA foam\"",
                ),
                may("materials[].bears", "temperature it bears, from its maker", "\"70 °C\""),
            ],
        )],
        example: r#"{"begins": "70 °C", "full": "90 °C", "margin": "10 K", "materials": [
            {"name": "demo EVA foam", "bears": "70 °C"}, {"name": "demo cured resin"}]}"#,
        source: "The temperatures of the makers' sheets, compared.",
        cautions: &[HOT_AIR],
        work: sleeve_heat,
    },
    Figure {
        name: "gloves",
        about: "when to change gloves, by what is open",
        fields: &[(
            "",
            &[
                need("open[].name", "a material that is open", "\"demo resin\""),
                may(
                    "open[].level",
                    "permeation level of the gloves against it, 1 to 6 by EN ISO 374-1",
                    "\"2\"",
                ),
                may(
                    "open[].breakthrough",
                    "breakthrough time from the glove maker's list, instead of a level",
                    "\"25 min\"",
                ),
                need(
                    "worn",
                    "how long they have been worn, or since the first contact",
                    "\"5 min\"",
                ),
                may(
                    "movement",
                    "part of a breakthrough time taken off for movement; 33 % if not said",
                    "\"33 %\"",
                ),
            ],
        )],
        example: r#"{"open": [{"name": "demo resin", "level": "2"}, {"name": "demo thinner", "breakthrough": "12 min"}], "worn": "5 min"}"#,
        source: "EN ISO 374-1:2016 levels; shortening by movement 6 to 33 % measured on \
            disposable nitrile gloves (Phalen 2012).",
        cautions: &[
            WASH,
            "A breakthrough time comes from a laboratory at rest. Torn, sticky or swollen \
                gloves are changed at once, whatever is left.",
        ],
        work: gloves,
    },
];

fn size(fields: &Fields<'_>) -> Result<SleeveSize, Problem> {
    let name = fields.optional("name", Fields::text)?.unwrap_or("of this size");
    let (expanded, recovered) = (fields.length("expanded")?, fields.length("recovered")?);
    Ok(SleeveSize::new(name, expanded, recovered, fields.length("wall")?)?)
}

fn sleeve_size(fields: &Fields<'_>) -> Result<Output, Problem> {
    let rows = fields.list("sizes")?;
    let sizes = rows.iter().map(size).collect::<Result<Vec<_>, _>>()?;
    let covered = Covered {
        passes: fields.length("passes")?,
        largest: fields.length("largest")?,
        smallest: fields.length("smallest")?,
    };
    let mut window = SizingWindow::published(fields.length("clearance")?);
    if let Some(share) = fields.optional("least-shrink", Fields::percent)? {
        window.least_shrink = share;
    }
    if let Some(share) = fields.optional("least-pull", Fields::percent)? {
        window.least_pull = share;
    }
    let chosen = choose_size(&sizes, &covered, &window)?;
    let judged = sizes.iter().map(|size| {
        let against = judge_size(size, &covered, &window)?;
        let against: Vec<_> = against.iter().map(ToString::to_string).collect();
        Ok(json!({ "name": size.name(), "against": against }))
    });
    let judged = judged.collect::<Result<Vec<_>, Problem>>()?;
    Ok(Output::default()
        .with("size", json!(chosen.name()))
        .with("shrinks", number(chosen.shrink_ratio(), ":1"))
        .with("wall-as-supplied", mm(chosen.expanded_wall()))
        .with("sizes", json!(judged)))
}

fn sleeve_recovered(fields: &Fields<'_>) -> Result<Output, Problem> {
    let size = size(fields)?;
    let change = fields.optional("change", Fields::signed_percent)?;
    let change = change.unwrap_or(Ratio::new::<ratio>(0.0));
    let on = recovered_on(&size, fields.length("over")?, change)?;
    Ok(Output::default()
        .with("inside", mm(on.inside))
        .with("wall", mm(on.wall))
        .with("outside", mm(on.outside))
        .telling(on.warning))
}

fn sleeve_cut(fields: &Fields<'_>) -> Result<Output, Problem> {
    let change = fields.optional("change", Fields::signed_percent)?;
    let cut = cut_length(fields.length("covered")?, fields.length("tucked")?, change)?;
    Ok(Output::default()
        .with("cut", mm(cut.length))
        .with("after-shrinking", mm(cut.after))
        .telling(cut.warning))
}

fn sleeve_heat(fields: &Fields<'_>) -> Result<Output, Problem> {
    let range =
        ShrinkRange { begins: fields.temperature("begins")?, full: fields.temperature("full")? };
    let margin = TemperatureInterval::new::<kelvins>(fields.kelvin("margin")?);
    let rows = fields.list("materials")?;
    let materials = rows
        .iter()
        .map(|row| {
            let name = row.text("name")?.to_owned();
            Ok(Beneath { name, bears: row.optional("bears", Fields::temperature)? })
        })
        .collect::<Result<Vec<_>, Problem>>()?;
    let found = under_heat(&range, margin, &materials)?;
    let all_bear = found.iter().all(|heat| *heat == UnderHeat::Bears);
    let told: Vec<String> = materials
        .iter()
        .zip(&found)
        .filter_map(|(beneath, heat)| heat.told(&beneath.name))
        .collect();
    let each = materials.iter().zip(&found).map(|(beneath, heat)| {
        let heat = match heat {
            UnderHeat::Bears => "bears",
            UnderHeat::Marginal => "marginal",
            UnderHeat::Damaged => "damaged",
            UnderHeat::Unknown => "unknown",
        };
        json!({ "name": beneath.name, "heat": heat })
    });
    Ok(Output::default()
        .with("all-bear-it", yes(all_bear))
        .with("materials", each.collect())
        .with("fully-shrunk-at", celsius(range.full))
        .telling(told))
}

const LEVELS: [(&str, PermeationLevel); 6] = [
    ("1", PermeationLevel::One),
    ("2", PermeationLevel::Two),
    ("3", PermeationLevel::Three),
    ("4", PermeationLevel::Four),
    ("5", PermeationLevel::Five),
    ("6", PermeationLevel::Six),
];

fn open(row: &Fields<'_>) -> Result<OpenMaterial, Problem> {
    let name = row.text("name")?.to_owned();
    let breakthrough = if row.has("level") && row.has("breakthrough") {
        return Err(row.problem("breakthrough", "Give either this or level, not both."));
    } else if row.has("level") {
        Breakthrough::Level(row.choice("level", &LEVELS)?)
    } else {
        let after = row.optional("breakthrough", Fields::time)?;
        after.map_or(Breakthrough::Unknown, Breakthrough::After)
    };
    Ok(OpenMaterial { name, breakthrough })
}

fn gloves(fields: &Fields<'_>) -> Result<Output, Problem> {
    let rows = fields.list("open")?;
    let materials = rows.iter().map(open).collect::<Result<Vec<_>, _>>()?;
    let movement = fields.optional("movement", Fields::percent)?;
    let movement = movement.unwrap_or(Ratio::new::<ratio>(MOVEMENT));
    let found = change_by(&materials, fields.time("worn")?, movement)?;
    let Some(by) = found else {
        return Err(fields.problem("open", "Name at least one material that is open."));
    };
    Ok(Output::default()
        .with("change-after", minutes(by.after))
        .with("left", minutes(by.left))
        .with("because-of", json!(by.because))
        .with("contact-means-now", yes(by.contact_means_now))
        .with("movement", share(movement))
        .telling(by.warnings))
}
