//! Figures of the fit: taper, stop, ream, glue line, order, build-up.

use super::fields::Fields;
use super::output::{Output, between, ml, mm, mm_between, number, yes};
use super::{Field, Figure, Group, Problem, may, need, one_of, row};
use coldbench_trade::Measured;
use coldbench_trade::fit::{
    BondLine, Bore, BoreStep, Bushings, End, Gap, Part, ReamStation, Section, Stop, Taper, before,
    bushings, conflicts, glue_line, reading_slips, ream, roughening, stop, tape_turns,
    working_order,
};
use coldbench_trade::units::{Length, degree, milliliter, millimeter, square_meter};
use serde_json::{Value, json};

const DUST: &str = "Reaming and sanding dust irritates eyes, skin and lungs, and dust of \
    cured or half-cured \
     resin can bring an allergy. Draw it off, wear a fitting mask and goggles, and read the safety data sheet first.";
const BLADES: &str = "Blades and reamers cut. Hold the part in a rest, not in the hand, and \
    work away from yourself.";
const SKIN: &str = "On skin, uncured resin and hardener can bring an allergy that stays for \
    life. Wear the gloves that \
     the safety data sheet names.";

const BLANK: &[Field] = &[
    need("blank-length", "length of the assembled blank", "\"2130 mm\""),
    row("joins[]", "where pieces meet, from the butt", "\"1065 mm\""),
    need("measured[].from-butt", "where the blank was measured, from the butt", "\"300 mm\""),
    need("measured[].diameter", "outside diameter of the blank there", "\"12.4 mm\""),
    need(
        "caliper",
        "the most by which one caliper reading may be off, from its maker; at least half its \
            last digit",
        "\"0.03 mm\"",
    ),
];

const BORE: &[Field] = &[
    one_of("bore", "bore of the part, at its butt end; or give steps instead", "\"12.9 mm\""),
    may("bore-at-tip", "bore at its tip end, where the bore is tapered", "\"12.3 mm\""),
    may("length", "length of the part, with bore", "\"100 mm\""),
    one_of(
        "steps[].length",
        "length of a straight stretch of a stepped bore, from the butt end",
        "\"40 mm\"",
    ),
    one_of("steps[].diameter", "bore of that stretch", "\"12.9 mm\""),
];

const PART: &[Field] = &[
    may("name", "what the part is called", "\"grip\""),
    need("outside", "largest outside diameter of the part", "\"26 mm\""),
    may("thinnest", "smallest outside diameter; as the largest if not said", "\"22 mm\""),
    need("sits-at", "where its butt end is to be, from the butt of the blank", "\"320 mm\""),
    may(
        "slid-on-over",
        "tip or butt: the end over which it is slid on; tip if not said",
        "\"tip\"",
    ),
];

const LINE: &[Field] = &[
    may("glue-line-least", "thinnest glue line per side; 0.1 mm if not said", "\"0.1 mm\""),
    may("glue-line-most", "thickest glue line per side; 0.2 mm if not said", "\"0.2 mm\""),
];

const EVERY: &[Field] =
    &[need("every", "distance between the places looked at along the part", "\"25 mm\"")];

const IN_PART: [Group; 2] = [("part.", BORE), ("part.", PART)];

/// The demo blank of the examples; invented.
macro_rules! with_blank {
    ($rest:literal) => {
        concat!(
            "{\"blank-length\": \"2130 mm\", \"measured\": [",
            "{\"from-butt\": \"0 mm\", \"diameter\": \"12.8 mm\"}, ",
            "{\"from-butt\": \"300 mm\", \"diameter\": \"12.2 mm\"}, ",
            "{\"from-butt\": \"600 mm\", \"diameter\": \"11.6 mm\"}], ",
            "\"caliper\": \"0.03 mm\", ",
            $rest,
            "}"
        )
    };
}

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "taper",
        about: "diameter of the blank at a place between measured ones",
        fields: &[("", BLANK), ("", &[need("at", "the place, from the butt", "\"450 mm\"")])],
        example: with_blank!("\"at\": \"450 mm\""),
        source: "Straight line between the two measurements around the place; bounds from \
            the caliper and the change of slope beside it.",
        cautions: &[],
        work: taper_at,
    },
    Figure {
        name: "taper-place",
        about: "places at which the blank has a diameter",
        fields: &[("", BLANK), ("", &[need("diameter", "the diameter looked for", "\"12 mm\"")])],
        example: with_blank!("\"diameter\": \"12 mm\""),
        source: "Straight line between measurements, read the other way round.",
        cautions: &[],
        work: taper_place,
    },
    Figure {
        name: "bore-stop",
        about: "where a part stops when it is slid on from the tip",
        fields: &[
            ("", BLANK),
            ("part.", BORE),
            (
                "",
                &[may(
                    "piece-at",
                    "a place on the piece it is slid on; the butt if not said",
                    "\"100 mm\"",
                )],
            ),
        ],
        example: with_blank!("\"part\": {\"bore\": \"12.1 mm\", \"length\": \"80 mm\"}"),
        source: "Geometry: where bore and blank first touch; bounds from the caliper on both.",
        cautions: &[],
        work: bore_stop,
    },
    Figure {
        name: "ream",
        about: "what to ream a part to, along its bore, for a glue line in its range",
        fields: &[("", BLANK), IN_PART[0], IN_PART[1], ("", LINE), ("", EVERY)],
        example: with_blank!(
            "\"part\": {\"name\": \"demo grip\", \"bore\": \"9.5 mm\", \"length\": \"200 \
                mm\", \"outside\": \"28 mm\", \"thinnest\": \"24 mm\", \"sits-at\": \"150 \
                mm\"}, \"every\": \"50 mm\""
        ),
        source: "Geometry: blank at its upper bound, the caliper's error on the bore and the \
            least glue line on both sides.",
        cautions: &[DUST, BLADES],
        work: reaming,
    },
    Figure {
        name: "glue-line",
        about: "glue line along a part at its place: gap per side and what it holds",
        fields: &[("", BLANK), IN_PART[0], IN_PART[1], ("", LINE), ("", EVERY)],
        example: with_blank!(
            "\"part\": {\"name\": \"demo grip\", \"bore\": \"12.8 mm\", \"bore-at-tip\": \
                \"12.4 mm\", \"length\": \"200 mm\", \"outside\": \"28 mm\", \"sits-at\": \
                \"150 mm\"}, \"every\": \"50 mm\""
        ),
        source: "Half the difference of diameters; volume of frusta of cones (mensuration). \
            Range 0.1 to 0.2 mm where none is given: German adhesives industry guideline on \
            bonding, section 3.4.3.",
        cautions: &[SKIN],
        work: line_along,
    },
    Figure {
        name: "assembly-order",
        about: "order in which parts go on, so that none has to pass one too thick for it",
        fields: &[("", BLANK), ("parts[].", BORE), ("parts[].", PART)],
        example: with_blank!(
            "\"parts\": [{\"name\": \"demo fore grip\", \"bore\": \"12.4 mm\", \"length\": \
                \"60 mm\", \"outside\": \"24 mm\", \"sits-at\": \"420 mm\"}, {\"name\": \
                \"demo seat\", \"bore\": \"16 mm\", \"length\": \"120 mm\", \"outside\": \
                \"19 mm\", \"sits-at\": \"300 mm\"}]"
        ),
        source: "Geometry: a part must pass whatever is in place between the end it comes \
            from and its own place.",
        cautions: &[],
        work: assembly_order,
    },
    Figure {
        name: "tape-build-up",
        about: "turns of tape that build the blank up under a bore",
        fields: &[
            ("", BLANK),
            ("", LINE),
            (
                "",
                &[
                    need("at", "where the band of tape goes, from the butt", "\"320 mm\""),
                    need("bore", "bore of the seat there", "\"16 mm\""),
                    need(
                        "tape",
                        "thickness of the tape, measured over several turns",
                        "\"0.15 mm\"",
                    ),
                ],
            ),
        ],
        example: with_blank!("\"at\": \"300 mm\", \"bore\": \"16 mm\", \"tape\": \"0.15 mm\""),
        source: "Each turn adds two thicknesses; length by the roll-length rule, pi (D² - \
            d²) / (4 t).",
        cautions: &[SKIN],
        work: tape_build_up,
    },
    Figure {
        name: "bushings",
        about: "bushings under a seat: how many, where, inside and outside",
        fields: &[
            ("", BLANK),
            IN_PART[0],
            IN_PART[1],
            ("", LINE),
            (
                "",
                &[
                    need("width", "width of one bushing along the blank", "\"15 mm\""),
                    need("inset", "from each end of the seat to the first bushing", "\"5 mm\""),
                    need("free-at-most", "the longest space without a bushing", "\"40 mm\""),
                ],
            ),
        ],
        example: with_blank!(
            "\"part\": {\"name\": \"demo seat\", \"bore\": \"16 mm\", \"length\": \"120 \
                mm\", \"outside\": \"19 mm\", \"sits-at\": \"300 mm\"}, \"width\": \"15 \
                mm\", \"inset\": \"5 mm\", \"free-at-most\": \"40 mm\""
        ),
        source: "Geometry; width, inset and spacing are common practice.",
        cautions: &[DUST, SKIN],
        work: bushing_plan,
    },
    Figure {
        name: "roughening",
        about: "where to roughen the blank under a part, and the surface",
        fields: &[
            ("", BLANK),
            IN_PART[0],
            IN_PART[1],
            ("", &[need("set-back", "how far short of the part's ends to stop", "\"3 mm\"")]),
        ],
        example: with_blank!(
            "\"part\": {\"bore\": \"12.9 mm\", \"length\": \"200 mm\", \"outside\": \"28 \
                mm\", \"sits-at\": \"150 mm\"}, \"set-back\": \"3 mm\""
        ),
        source: "Surface of frusta of cones, pi / 2 (D1 + D2) s along the slant \
            (mensuration); the set-back is common practice.",
        cautions: &[DUST],
        work: roughen,
    },
];

/// The blank, and a sentence for each reading that may have been taken in the wrong unit.
fn blank(fields: &Fields<'_>) -> Result<(Taper, Output), Problem> {
    let length = fields.length("blank-length")?;
    let joins = fields.optional("joins", Fields::lengths)?.unwrap_or_default();
    let rows = fields.list("measured")?;
    let measured = rows
        .iter()
        .map(|row| {
            let from_butt = row.length("from-butt")?;
            Ok(Measured { from_butt, diameter: row.length("diameter")? })
        })
        .collect::<Result<Vec<_>, Problem>>()?;
    let taper = Taper::new(length, &joins, &measured, fields.length("caliper")?)?;
    let slips = reading_slips(&measured);
    let told =
        slips.into_iter().map(|(row, slip)| format!("Reading {} of the blank: {slip}", row + 1));
    Ok((taper, Output::default().telling(told)))
}

fn bore(part: &Fields<'_>) -> Result<Bore, Problem> {
    if part.either("bore", "steps")? {
        let (butt, length) = (part.length("bore")?, part.length("length")?);
        let tip = part.optional("bore-at-tip", Fields::length)?.unwrap_or(butt);
        return Ok(Bore::tapered(butt, tip, length)?);
    }
    for name in ["length", "bore-at-tip"] {
        if part.has(name) {
            return Err(
                part.problem(name, "Steps have their own lengths and bores. Leave this out.")
            );
        }
    }
    let steps = part
        .list("steps")?
        .iter()
        .map(|step| {
            let length = step.length("length")?;
            Ok(BoreStep { length, diameter: step.length("diameter")? })
        })
        .collect::<Result<Vec<_>, Problem>>()?;
    Ok(Bore::stepped(&steps)?)
}

fn part(part: &Fields<'_>) -> Result<Part, Problem> {
    let thickest = part.length("outside")?;
    let over = [("tip", End::Tip), ("butt", End::Butt)];
    let comes_from = |part: &Fields<'_>, name: &str| part.choice(name, &over);
    Ok(Part {
        name: part.optional("name", Fields::text)?.unwrap_or("part").to_owned(),
        bore: bore(part)?,
        thinnest: part.optional("thinnest", Fields::length)?.unwrap_or(thickest),
        thickest,
        sits_at: part.length("sits-at")?,
        comes_from: part.optional("slid-on-over", comes_from)?.unwrap_or(End::Tip),
    })
}

fn range(fields: &Fields<'_>) -> Result<BondLine, Problem> {
    let usual = BondLine::default();
    let least = fields.optional("glue-line-least", Fields::length)?.unwrap_or(usual.least());
    let most = fields.optional("glue-line-most", Fields::length)?.unwrap_or(usual.most());
    Ok(BondLine::new(least, most)?)
}

fn taper_at(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let found = taper.diameter_at(fields.length("at")?)?;
    Ok(output
        .with("diameter", mm_between(found.diameter, found.lowest, found.highest))
        .with("from-caliper", mm(found.from_caliper))
        .with("from-spacing", mm(found.from_spacing))
        .telling(found.warnings))
}

fn taper_place(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let places = taper.places(fields.length("diameter")?)?;
    // Named from where a mark is set: the butt.
    let shown = places.iter().map(|p| mm_between(p.from_butt, p.nearest_butt, p.nearest_tip));
    Ok(output.with("from-butt", shown.collect()))
}

fn bore_stop(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let bore = bore(&fields.object("part")?)?;
    let at = fields.optional("piece-at", Fields::length)?;
    let section = taper.section_at(at.unwrap_or(Length::new::<millimeter>(0.0)))?;
    match stop(section, &bore)? {
        Stop::Held(held) => {
            let mut place = mm(held.from_butt);
            let bounds = [("least", held.nearest_butt), ("most", held.nearest_tip)];
            for (name, bound) in bounds {
                if let Some(bound) = bound {
                    place[name] = mm(bound)["value"].clone();
                }
            }
            let past = held.nearest_butt.is_none().then_some(
                "It may slide past all that was measured. Measure the blank nearer the butt.",
            );
            let not_on = held
                .nearest_tip
                .is_none()
                .then_some("It may not go on at all. Measure bore and tip end again.");
            Ok(output
                .with("goes", json!("held"))
                .with("stops-at", place)
                .with("touches-at", mm(held.touches_at))
                .telling(held.warnings)
                .telling(past)
                .telling(not_on))
        }
        Stop::Through { measured_from, thickest, warnings } => Ok(output
            .with("goes", json!("through"))
            .with("measured-from", mm(measured_from))
            .with("thickest", mm(thickest))
            .telling(warnings)),
    }
}

fn ream_station(station: &ReamStation) -> Value {
    json!({
        "offset": mm(station.offset),
        "at": mm(station.at),
        "blank": mm(station.blank),
        "bore": mm(station.bore),
        "ream-to": mm(station.ream_to),
        "at-most": mm(station.at_most),
        "remove": mm(station.remove),
        "wall": mm(station.wall),
    })
}

/// The blank's piece on which a part sits.
fn seat_of<'t>(taper: &'t Taper, part: &Part) -> Result<&'t Section, Problem> {
    Ok(taper.section_at(part.sits_at)?)
}

fn reaming(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let part = part(&fields.object("part")?)?;
    let (range, every) = (range(fields)?, fields.length("every")?);
    let plan = ream(seat_of(&taper, &part)?, &part, range, every)?;
    let steps = plan.steps.iter().map(|step| {
        json!({ "diameter": mm(step.diameter), "depth": mm(step.depth), "from": mm(step.from) })
    });
    Ok(output
        .with("butt-end", ream_station(&plan.butt_end))
        .with("tip-end", ream_station(&plan.tip_end))
        .with("tapered", plan.stations.iter().map(ream_station).collect())
        .with("stepped", steps.collect())
        .telling(plan.warnings))
}

fn gap(gap: &Gap) -> Value {
    json!({ "at": mm(gap.at), "gap": mm_between(gap.gap, gap.least, gap.most) })
}

fn line_along(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let part = part(&fields.object("part")?)?;
    let (range, every) = (range(fields)?, fields.length("every")?);
    let line = glue_line(seat_of(&taper, &part)?, &part, range, every)?;
    let [volume, least, most] =
        [line.volume, line.least_volume, line.most_volume].map(|volume| volume.get::<milliliter>());
    Ok(output
        .with("thinnest", gap(&line.thinnest))
        .with("thickest", gap(&line.thickest))
        .with("volume", between(volume, least, most, "mL"))
        .with("fits-bare", yes(line.fits_bare))
        .with("along", line.gaps.iter().map(gap).collect())
        .telling(line.warnings))
}

fn assembly_order(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let rows = fields.list("parts")?;
    let parts = rows.iter().map(part).collect::<Result<Vec<_>, _>>()?;
    let at = parts.iter().map(|part| part.sits_at).fold(taper.length(), Length::min);
    let section = taper.section_at(at)?;
    let name = |index: usize| parts.get(index).map_or("", |part| part.name.as_str());
    let as_given = conflicts(section, &parts)?;
    let order: Vec<&str> = working_order(&parts)?.into_iter().map(name).collect();
    let must = before(&parts)?.into_iter().map(|pair| {
        json!({
            "first": name(pair.first), "then": name(pair.then),
            "bore": mm(pair.bore), "outside": mm(pair.outside),
        })
    });
    let in_the_way = as_given.iter().map(|conflict| json!(conflict.to_string()));
    Ok(output
        .with("order", json!(order))
        .with("must-come-before", must.collect())
        .with("against-the-order-as-given", in_the_way.collect()))
}

fn tape_build_up(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let range = range(fields)?;
    let blank = taper.diameter_at(fields.length("at")?)?;
    let built = tape_turns(&blank, fields.length("bore")?, fields.length("tape")?, range)?;
    Ok(output
        .with("turns", number(f64::from(built.turns), ""))
        .with("over-tape", mm(built.over_tape))
        .with("gap", mm_between(built.gap, built.least_gap, built.most_gap))
        .with("tape-length", mm(built.tape_length))
        .telling(built.warnings))
}

fn bushing_plan(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let seat = part(&fields.object("part")?)?;
    let set = Bushings {
        width: fields.length("width")?,
        inset: fields.length("inset")?,
        free_at_most: fields.length("free-at-most")?,
    };
    let plan = bushings(seat_of(&taper, &seat)?, &seat, set, range(fields)?)?;
    let placed = plan.bushings.iter().map(|bushing| {
        let blank = &bushing.blank;
        json!({
            "from": mm(bushing.from),
            "to": mm(bushing.to),
            "blank": mm_between(blank.diameter, blank.lowest, blank.highest),
            "inside": mm(bushing.inside),
            "outside": mm(bushing.outside),
        })
    });
    let pockets = plan.pockets.iter().map(|pocket| {
        json!({ "from": mm(pocket.from), "to": mm(pocket.to), "volume": ml(pocket.volume) })
    });
    Ok(output
        .with("bushings", placed.collect())
        .with("free", mm(plan.free))
        .with("pockets", pockets.collect())
        .with("off-axis", mm(plan.looseness.off_axis))
        .with("tilt", number(plan.looseness.tilt.get::<degree>(), "°"))
        .telling(plan.warnings))
}

fn roughen(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (taper, output) = blank(fields)?;
    let part = part(&fields.object("part")?)?;
    let found = roughening(seat_of(&taper, &part)?, &part, fields.length("set-back")?)?;
    Ok(output
        .with("from", mm(found.from))
        .with("to", mm(found.to))
        .with("area", number(found.area.get::<square_meter>() * 1e4, "cm²")))
}
