//! Figures of the adhesive: volume, mix, working time, cure.

use super::fields::Fields;
use super::output::{Output, between, celsius, g, hours, minutes, ml, number, share, yes};
use super::{Field, Figure, Problem, may, need, one_of};
use coldbench_trade::adhesive::{
    Activation, Cure, HOW_ROUGH, MeasuredBy, MixSheet, Needed, PotLife, Product, RatioBasis,
    Reading, Section, Span, joint_volume, volume_to_mix, working_time,
};
use coldbench_trade::skin::WASH;
use coldbench_trade::units::{Mass, gram, hour, second};
use serde_json::{Value, json};

const SHEET: &[Field] = &[
    need("resin-density", "density of the resin, from its sheet", "\"1.15 g/mL\""),
    need("hardener-density", "density of the hardener, from its sheet", "\"0.97 g/mL\""),
    need("ratio-by", "weight or volume: how the sheet states the ratio", "\"volume\""),
    need("resin-parts", "parts of resin", "\"2\""),
    need("hardener-parts", "parts of hardener", "\"1\""),
    may(
        "tolerance",
        "how far off the ratio may be, from the sheet; 5 % if it is silent",
        "\"3 %\"",
    ),
];

const ACTIVATION: Field = may(
    "activation-energy",
    "activation energy of the cure, where the maker states it; 44 to 65.5 kJ/mol if not",
    "\"55 kJ/mol\"",
);

const HOT_CUP: &str = "A mass that sets in the cup gets hot enough to burn and smoke. Mix no \
    more at once than the data \
     sheet allows, and set a hot cup down in the open, away from anything that burns.";

/// Smallest limit of a cup taken, g: a smaller one was a slip.
const LEAST_POT_G: f64 = 1.0;

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "adhesive-volume",
        about: "adhesive that fills a joint, and what to mix for it",
        fields: &[(
            "",
            &[
                need(
                    "sections[].at",
                    "a place along the joint, from any zero, in order",
                    "\"0 mm\"",
                ),
                need("sections[].bore", "bore there", "\"13 mm\""),
                need("sections[].blank", "blank, or the build-up on it, there", "\"12.6 mm\""),
                need("lost", "share squeezed out and left in the cup", "\"30 %\""),
            ],
        )],
        example: r#"{"sections": [{"at": "0 mm", "bore": "13 mm", "blank": "12.6 mm"},
            {"at": "120 mm", "bore": "13 mm", "blank": "12.0 mm"}], "lost": "30 %"}"#,
        source: "Difference of two frusta of a cone, pi L / 12 (D1² + D1 D2 + D2²) \
            (mensuration); what is lost is the builder's experience.",
        cautions: &[WASH],
        work: adhesive_volume,
    },
    Figure {
        name: "mix",
        about: "resin and hardener to measure out, as the scale or syringe can show them",
        fields: &[
            ("", SHEET),
            (
                "",
                &[
                    need("volume", "mixed adhesive that is needed", "\"12 mL\""),
                    one_of(
                        "scale-step",
                        "smallest step of the scale; or syringe-step instead",
                        "\"0.1 g\"",
                    ),
                    one_of("syringe-step", "division of the syringe", "\"0.5 mL\""),
                    may(
                        "pot-limit",
                        "most that may stand in one cup, from the sheet; 50 g if it is silent",
                        "\"40 g\"",
                    ),
                    may("least-batch", "smallest batch worth mixing", "\"5 g\""),
                ],
            ),
        ],
        example: r#"{"resin-density": "1.15 g/mL", "hardener-density": "0.97 g/mL", "ratio-by": "volume",
            "resin-parts": "2", "hardener-parts": "1", "volume": "12 mL", "scale-step": "0.1 g"}"#,
        source: "Parts by weight and by volume through the densities; rounding and half a \
            step of reading error kept within the tolerance.",
        cautions: &[WASH, HOT_CUP],
        work: mix,
    },
    Figure {
        name: "mix-check",
        about: "whether a batch as weighed keeps its ratio",
        fields: &[
            ("", SHEET),
            (
                "",
                &[
                    need("resin", "resin as weighed", "\"8.4 g\""),
                    need("hardener", "hardener as weighed", "\"3.5 g\""),
                ],
            ),
        ],
        example: r#"{"resin-density": "1.15 g/mL", "hardener-density": "0.97 g/mL", "ratio-by": "weight",
            "resin-parts": "100", "hardener-parts": "42", "resin": "8.4 g", "hardener": "3.5 g"}"#,
        source: "Hardener over resin against the ratio of the sheet.",
        cautions: &[WASH],
        work: mix_check,
    },
    Figure {
        name: "working-time",
        about: "how long a batch in the cup can be worked",
        fields: &[(
            "",
            &[
                need("pot-life", "pot life on the sheet", "\"30 min\""),
                need("pot-mass", "mass for which the sheet states it", "\"100 g\""),
                need("pot-temperature", "temperature for which the sheet states it", "\"25 °C\""),
                need("batch", "mass in the cup", "\"100 g\""),
                may(
                    "warmest",
                    "warmest it has been in the room since; 35 °C if not known",
                    "\"27 °C\"",
                ),
                need("since-mixing", "time since the two parts met", "\"5 min\""),
                ACTIVATION,
            ],
        )],
        example: r#"{"pot-life": "30 min", "pot-mass": "100 g", "pot-temperature": "25 °C", "batch": "20 g",
            "warmest": "27 °C", "since-mixing": "5 min"}"#,
        source: "Arrhenius with the greatest activation energy; in proportion to mass (a \
            house rule). Never longer than the sheet.",
        cautions: &[HOW_ROUGH, WASH],
        work: work_time,
    },
    Figure {
        name: "cure",
        about: "how far a bond has cured, and when it is ready at a temperature held",
        fields: &[(
            "",
            &[
                need(
                    "reference-temperature",
                    "temperature for which the sheet's time counts",
                    "\"23 °C\"",
                ),
                one_of(
                    "needed",
                    "time on the sheet at that temperature; or table instead",
                    "\"24 h\"",
                ),
                one_of(
                    "table[].temperature",
                    "a temperature of the sheet's table, from cold to warm",
                    "\"15 °C\"",
                ),
                one_of("table[].time", "the time that belongs to it", "\"48 h\""),
                may(
                    "coldest",
                    "coldest at which it cures, from the sheet; 10 °C if it is silent",
                    "\"12 °C\"",
                ),
                need(
                    "readings[].at",
                    "when the temperature was read, in order, from any zero",
                    "\"0 h\"",
                ),
                need("readings[].temperature", "temperature at the bond then", "\"19 °C\""),
                need("made-at", "when the bond was made, from the same zero", "\"0 h\""),
                need("now", "the time for which the answer counts, from the same zero", "\"12 h\""),
                may("kept-at", "temperature at which it is kept from now on", "\"20 °C\""),
                ACTIVATION,
            ],
        )],
        example: r#"{"reference-temperature": "23 °C", "needed": "24 h", "made-at": "0 h", "now": "6 h", "kept-at": "23 °C",
            "readings": [{"at": "0 h", "temperature": "23 °C"}, {"at": "6 
                h", "temperature": "23 °C"}]}"#,
        source: "Equivalent age (Arrhenius, in the form of ASTM C1074); with a table, ln t \
            straight in 1/T between its rows.",
        cautions: &[
            "What is not cured through can bring an allergy on skin and by its dust. Plan by \
                the latest time, and try a leftover of the same batch first; the data sheet \
                comes before both.",
        ],
        work: cure,
    },
];

fn adhesive_volume(fields: &Fields<'_>) -> Result<Output, Problem> {
    let rows = fields.list("sections")?;
    let sections = rows
        .iter()
        .map(|row| {
            let (at, bore) = (row.length("at")?, row.length("bore")?);
            Ok(Section { at, bore, blank: row.length("blank")? })
        })
        .collect::<Result<Vec<_>, Problem>>()?;
    let lost = fields.percent("lost")?;
    let joint = joint_volume(&sections)?;
    Ok(Output::default().with("joint", ml(joint)).with("to-mix", ml(volume_to_mix(joint, lost)?)))
}

fn product(fields: &Fields<'_>) -> Result<Product, Problem> {
    let by = [("weight", RatioBasis::Weight), ("volume", RatioBasis::Volume)];
    let sheet = MixSheet {
        resin_density: fields.density("resin-density")?,
        hardener_density: fields.density("hardener-density")?,
        basis: fields.choice("ratio-by", &by)?,
        resin_parts: fields.number("resin-parts")?,
        hardener_parts: fields.number("hardener-parts")?,
        tolerance: fields.optional("tolerance", Fields::percent)?,
    };
    Ok(Product::new(sheet)?)
}

fn mix(fields: &Fields<'_>) -> Result<Output, Problem> {
    let product = product(fields)?;
    let by = if fields.either("scale-step", "syringe-step")? {
        MeasuredBy::Scale(fields.mass("scale-step")?)
    } else {
        MeasuredBy::Syringe(fields.liquid("syringe-step")?)
    };
    let limit = fields.optional("pot-limit", Fields::mass)?;
    if limit.is_some_and(|limit| limit.get::<gram>() < LEAST_POT_G) {
        return Err(fields.problem("pot-limit", "This is less than 1 g. Check the unit."));
    }
    let least = fields.optional("least-batch", Fields::mass)?;
    let least = least.unwrap_or(Mass::new::<gram>(0.0));
    let found = product.batches(fields.liquid("volume")?, by, limit, least)?;
    let each = found.each;
    Ok(Output::default()
        .with("cups", number(f64::from(found.count), ""))
        .with("resin", g(each.resin))
        .with("hardener", g(each.hardener))
        .with("resin-by-volume", ml(each.resin_volume))
        .with("hardener-by-volume", ml(each.hardener_volume))
        .with("mass", g(each.mass()))
        .with("volume", ml(each.volume()))
        .with("off", share(each.off))
        .with("off-at-most", share(each.at_most_off))
        .with("tolerance", share(product.tolerance()))
        .with("hardener-to-resin-by-weight", number(product.weight_ratio(), ""))
        .with("hardener-to-resin-by-volume", number(product.volume_ratio(), ""))
        .telling(found.warnings))
}

fn mix_check(fields: &Fields<'_>) -> Result<Output, Problem> {
    let product = product(fields)?;
    let found = product.check(fields.mass("resin")?, fields.mass("hardener")?)?;
    Ok(Output::default()
        .with("keeps-the-ratio", yes(true))
        .with("off", share(found.off))
        .with("tolerance", share(found.tolerance))
        .telling(found.warnings))
}

fn activation(fields: &Fields<'_>) -> Result<Activation, Problem> {
    Ok(match fields.optional("activation-energy", Fields::molar_energy)? {
        Some(energy) => Activation::exactly(energy)?,
        None => Activation::published(),
    })
}

fn work_time(fields: &Fields<'_>) -> Result<Output, Problem> {
    let sheet = PotLife {
        time: fields.time("pot-life")?,
        mass: fields.mass("pot-mass")?,
        temperature: fields.temperature("pot-temperature")?,
    };
    let warmest = fields.optional("warmest", Fields::temperature)?;
    let batch = fields.mass("batch")?;
    let since = fields.time("since-mixing")?;
    let found = working_time(&sheet, batch, warmest, activation(fields)?, since)?;
    Ok(Output::default()
        .with("whole", minutes(found.whole))
        .with("left", minutes(found.left))
        .telling(found.warnings))
}

fn span(span: Span) -> Value {
    let [likely, least, most] = [span.likely, span.least, span.most].map(|time| time.get::<hour>());
    between(likely, least, most, "h")
}

fn cure(fields: &Fields<'_>) -> Result<Output, Problem> {
    let reference = fields.temperature("reference-temperature")?;
    let needed = if fields.either("needed", "table")? {
        Needed::Time(fields.time("needed")?)
    } else {
        let rows = fields.list("table")?;
        let rows = rows.iter().map(|row| Ok((row.temperature("temperature")?, row.time("time")?)));
        Needed::Table(rows.collect::<Result<Vec<_>, Problem>>()?)
    };
    let coldest = fields.optional("coldest", Fields::temperature)?;
    let cure = Cure::new(reference, &needed, coldest, activation(fields)?)?;
    let rows = fields.list("readings")?;
    let readings = rows
        .iter()
        .map(|row| {
            let at = row.time("at")?.get::<second>();
            Ok(Reading { at, temperature: row.temperature("temperature")? })
        })
        .collect::<Result<Vec<_>, Problem>>()?;
    let (made, now) = (fields.time("made-at")?, fields.time("now")?);
    let kept = fields.optional("kept-at", Fields::temperature)?;
    let progress = cure.progress(&readings, made.get::<second>(), now.get::<second>())?;
    let reached = progress.reached();
    let output = Output::default()
        .with("equivalent", span(progress.equivalent))
        .with("needed", hours(progress.needed))
        .with("missing", span(progress.missing))
        .with("done-at-least", share(progress.share()))
        .with("reached", yes(reached));
    let Some(kept) = kept else {
        return Ok(output.telling(progress.warnings));
    };
    let ready = cure.ready_in(&progress, kept)?;
    let or_never = |time: Option<_>| time.map_or(json!("never at this temperature"), hours);
    Ok(output
        .with("kept-at", celsius(kept))
        .with("ready-at-the-soonest-in", or_never(ready.soonest))
        .with("ready-likely-in", or_never(ready.likely))
        .with("ready-at-the-latest-in", or_never(ready.latest))
        .telling(progress.warnings))
}
