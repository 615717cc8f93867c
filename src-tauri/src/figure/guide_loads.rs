//! Figures of the guides under load, and of moving them.

use super::fields::Fields;
use super::guides::{name, places, refused};
use super::loaded::{
    self, BLANK, HELD, LOADED, REEL, WEIGHT, blank, butt, load, with_loaded_blank,
};
use super::output::{Output, degrees, g, mm, newtons, number};
use super::{Field, Figure, Problem, may, need};
use coldbench_trade::bend::Stiffness;
use coldbench_trade::guides::{
    Ended, GuideError, Layout, LoadTest, Ring, Room, Shortcoming, improve, under_load,
    weight_of_guides,
};
use coldbench_trade::units::{Frequency, Length, hertz};
use serde_json::{Value, json};

/// Most layouts that are bent, and how many where nothing is said.
const MOST_TRIES: u32 = 2000;
const TRIES: usize = 1000;

const AT_LOAD: &[Field] = &[
    need("tip-top.inside", "inside diameter of the tip-top's ring", "\"4 mm\""),
    need("tip-top.height", "from the axis of the blank to its middle", "\"5 mm\""),
    may("tip-top.mass", "what it weighs, where the blank's weight counts", "\"0.6 g\""),
    need("guides[].from-tip", "place of a guide, the one next to the tip first", "\"80 mm\""),
    need("guides[].inside", "inside diameter of its ring", "\"4 mm\""),
    need("guides[].height", "from the axis of the blank to the middle of its ring", "\"6 mm\""),
    may("guides[].mass", "what it weighs, where the blank's weight counts", "\"0.4 g\""),
    need("least-clearance", "what is wanted between line and blank", "\"1 mm\""),
];

/// The loaded demo rod of the examples; invented.
macro_rules! with_guides {
    ($rest:literal) => {
        with_loaded_blank!(
            "\"weight\": \"35 g\", \"butt-angle\": \"0°\", \"pull\": \"2 N\", \"sits\": \
                \"on-top\", \"reel-from-butt\": \"300 mm\", \"reel-height\": \"30 mm\", \
                \"tip-top\": {\"inside\": \"4 mm\", \"height\": \"5 mm\", \"mass\": \"0.6 g\"}, \
                \"guides\": [\
                {\"from-tip\": \"200 mm\", \"inside\": \"4 mm\", \"height\": \"6 mm\", \"mass\": \
                \"0.4 g\"}, {\"from-tip\": \"450 mm\", \"inside\": \"4 mm\", \"height\": \"7 \
                mm\", \"mass\": \"0.5 g\"}, {\"from-tip\": \"800 mm\", \"inside\": \"6 mm\", \
                \"height\": \"10 mm\", \"mass\": \"1 g\"}, {\"from-tip\": \"1250 mm\", \
                \"inside\": \"10 mm\", \"height\": \"16 mm\", \"mass\": \"3 g\"}], \
                \"least-clearance\": \"1 mm\"",
            $rest
        )
    };
}

const BENT: &str = "The line as straight spans from ring to ring of the bent rod (large \
    deflection of a rod held fast at the butt), all guides on one side; shortfall in mm or \
    unevenness in degrees, whichever is more: a house rule without a source.";

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "guide-loads",
        about: "what a test load does at each guide, and how far the places fall short",
        fields: &[("", BLANK), ("", &[WEIGHT]), ("", HELD), ("", &REEL), ("", AT_LOAD)],
        example: with_guides!(""),
        source: BENT,
        cautions: &[LOADED],
        work: guide_loads,
    },
    Figure {
        name: "guide-improve",
        about: "places of guides near those given at which the line runs clearer and more even",
        fields: &[
            ("", BLANK),
            ("", &[WEIGHT]),
            ("", HELD),
            ("", &REEL),
            ("", AT_LOAD),
            (
                "",
                &[
                    need("least-gap", "least gap between two guides, or to the tip", "\"80 mm\""),
                    need(
                        "first-from",
                        "nearest to the butt that the first guide may go, from the butt",
                        "\"700 mm\"",
                    ),
                    need("first-to", "farthest from the butt that it may go", "\"800 mm\""),
                    may(
                        "tries",
                        "most layouts that are bent, up to 2000; 1000 if not said",
                        "\"20\"",
                    ),
                ],
            ),
        ],
        example: with_guides!(
            ", \"least-gap\": \"80 mm\", \"first-from\": \"700 mm\", \"first-to\": \"800 mm\", \
                \"tries\": \"20\""
        ),
        source: BENT,
        cautions: &[LOADED],
        work: guide_improve,
    },
];

/// A ring on the loaded rod.
fn loaded_ring(fields: &Fields<'_>, weighs: bool) -> Result<Ring, Problem> {
    let (inside, height) = (fields.some_length("inside")?, fields.some_length("height")?);
    let mass = loaded::guide_mass(fields, weighs)?;
    // Nothing is computed from what a size is called.
    let ring = Ring { size: inside, inside, height, mass };
    ring.check().map_err(|error| {
        let field = if matches!(error, GuideError::Weight { .. }) { "mass" } else { "height" };
        fields.problem(field, error.to_string())
    })?;
    Ok(ring)
}

/// A rod with its guides, and what is done to it.
struct Tested<'a> {
    test: LoadTest<'a>,
    layout: Layout,
    rings: Vec<Ring>,
    least_clearance: Length,
}

fn tested<'b>(fields: &Fields<'_>, blank: &'b Stiffness) -> Result<Tested<'b>, Problem> {
    let own_weight = fields.has("weight");
    let (pull, direction) = load(fields)?;
    let guides = fields.list("guides")?;
    let layout = Layout::new(blank.length(), &places(&guides)?);
    let rings = guides.iter().map(|guide| loaded_ring(guide, own_weight));
    let test = LoadTest {
        blank,
        sits: loaded::sits(fields)?,
        reel_from_butt: fields.length("reel-from-butt")?,
        reel_height: fields.length("reel-height")?,
        tip_top: loaded_ring(&fields.object("tip-top")?, own_weight)?,
        pull,
        direction,
        butt: butt(fields)?,
        friction: loaded::friction(fields)?,
        own_weight,
    };
    Ok(Tested {
        test,
        layout: layout.map_err(|error| refused(fields, &error))?,
        rings: rings.collect::<Result<_, _>>()?,
        least_clearance: fields.length("least-clearance")?,
    })
}

fn short(shortcoming: &Shortcoming) -> Value {
    json!({
        "too-near-the-blank": mm(shortcoming.shortfall),
        "uneven": degrees(shortcoming.unevenness),
        "worse-of-both": number(shortcoming.number(), ""),
    })
}

fn weight(fields: &Fields<'_>, tested: &Tested<'_>) -> Result<Option<Value>, Problem> {
    if !tested.test.own_weight {
        return Ok(None);
    }
    let Tested { test, layout, rings, .. } = tested;
    let found = weight_of_guides(test.blank, layout, rings, &test.tip_top);
    let found = found.map_err(|error| refused(fields, &error))?;
    let swings = |frequency: Frequency| number(frequency.get::<hertz>(), "Hz");
    Ok(Some(json!({
        "mass": g(found.mass),
        "tip-droops": mm(found.droop),
        "tip-droops-bare": mm(found.bare_droop),
        "frequency": swings(found.frequency),
        "frequency-bare": swings(found.bare_frequency),
    })))
}

fn guide_loads(fields: &Fields<'_>) -> Result<Output, Problem> {
    let blank = blank(fields)?;
    let tested = tested(fields, &blank)?;
    let found = under_load(&tested.test, &tested.layout, &tested.rings);
    let found = found.map_err(|error| refused(fields, &error))?;
    let shortcoming = found.shortcoming(tested.least_clearance);
    let shortcoming = shortcoming.map_err(|error| refused(fields, &error))?;
    let rows = found.rows.iter().map(|row| {
        json!({
            "guide": name(row.number),
            "from-tip": mm(row.from_tip),
            "gap": mm(row.gap),
            "load": newtons(row.load),
            "turn": degrees(row.turn),
            "clearance": mm(row.clearance),
            "nearest-at": mm(row.nearest),
        })
    });
    Ok(Output::default()
        .with("guides", rows.collect())
        .with("falls-short", short(&shortcoming))
        .with_some("guides-weigh", weight(fields, &tested)?)
        .telling(found.curve.warnings()))
}

fn guide_improve(fields: &Fields<'_>) -> Result<Output, Problem> {
    let blank = blank(fields)?;
    let tested = tested(fields, &blank)?;
    let room = Room {
        least_gap: fields.some_length("least-gap")?,
        first_from: fields.length("first-from")?,
        first_to: fields.length("first-to")?,
    };
    let count = |fields: &Fields<'_>, name: &str| fields.count(name, 1, MOST_TRIES);
    let tries = fields.optional("tries", count)?.unwrap_or(TRIES);
    let Tested { test, layout, rings, least_clearance } = &tested;
    let found = improve(test, layout, rings, &room, *least_clearance, tries);
    let found = found.map_err(|error| refused(fields, &error))?;
    let places = layout.from_tip().iter().zip(found.layout.from_tip());
    let guides = (1..).zip(places).map(|(number, (&was, &is))| {
        json!({
            "guide": name(number),
            "from-tip": mm(is),
            "from-butt": mm(layout.length() - is),
            "moved-towards-butt": mm(is - was),
        })
    });
    let told = match found.ended {
        Ended::Better => "A better layout was found, and nothing better near it.",
        Ended::BetterUnfinished => {
            "A better layout was found before all tries were spent. More tries may find another."
        }
        Ended::NothingBetter => "Nothing better was found near the layout given.",
        Ended::NothingBetterUnfinished => {
            "Nothing better was found before all tries were spent. Give more tries."
        }
    };
    // What is told beside the bend counts for the layout that was found.
    let bent = under_load(test, &found.layout, rings).map_err(|error| refused(fields, &error))?;
    Ok(Output::default()
        .with("told", json!(told))
        .with("guides", guides.collect())
        .with("before", short(&found.before))
        .with("after", short(&found.after))
        .with("tried", json!(found.tried.to_string()))
        .telling(bent.curve.warnings()))
}
