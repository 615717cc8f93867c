//! Figures of the guides: spacing, the first guide, rings, spirals.

use super::fields::Fields;
use super::loaded;
use super::output::{Output, degrees, mm, times};
use super::{Field, Figure, Problem, inner, may, need, one_of, row};
use coldbench_trade::guides::{
    Grows, Growth, GuideError, Layout, LevelWind, Ring, Side, SpanClearance, Spiral, SpoolLine,
    TubeFit, progressive, reduction, stripping_guide, usual_tip_gap, with_greatest_ratio,
};
use coldbench_trade::units::{Angle, Length, Mass, Ratio, degree, ratio};
use coldbench_trade::{Blank, BlankError, LengthUnit};
use serde_json::json;

/// Most guides that are taken for a number of them.
const MOST_GUIDES: u32 = 60;
const KNOT: &str = "A ring that is too small or a knot that jams can break line and rod under \
    load. Pull the knot through every ring by hand before the rod is used.";

const ROD: Field = need("rod-length", "length of the rod, butt to tip", "\"2000 mm\"");

const SPOOL: [Field; 8] = inner([
    need("spool", "diameter of the spool's lip", "\"46 mm\""),
    need("spool-height", "from the axis of the blank to the middle of the lip", "\"62 mm\""),
    may(
        "tilt",
        "how far the spool's axis leans, above zero where it nears the blank towards the tip; 0° \
            if not said",
        "\"4°\"",
    ),
    need("ring", "inside diameter of the first guide's ring", "\"21 mm\""),
    need("ring-height", "from the axis of the blank to the middle of the ring", "\"33 mm\""),
    need("greatest-angle", "steepest angle at which line may run into the ring", "\"3°\""),
    may("from-butt", "the middle of the lip, from the butt", "\"420 mm\""),
    may("look-at", "a place in front of the lip to look at", "\"350 mm\""),
]);

const WIND: [Field; 7] = inner([
    need("travel", "how far the line travels to and fro at the reel", "\"40 mm\""),
    need("line-height", "from the axis of the blank to the line at the reel", "\"30 mm\""),
    need("ring", "inside diameter of the first guide's ring", "\"10 mm\""),
    need("ring-height", "from the axis of the blank to the middle of the ring", "\"15 mm\""),
    need("greatest-angle", "most that the line may run sideways", "\"3°\""),
    may("from-butt", "where the line leaves the reel, from the butt", "\"420 mm\""),
    may("look-at", "a place in front of the reel to look at", "\"350 mm\""),
]);

const FLY: [Field; 2] = inner([
    need("hand", "the hand on the grip, from the butt", "\"250 mm\""),
    need("reach", "how far the other hand reaches in front of it", "\"500 mm\""),
]);

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "guide-spacing",
        about: "places of guides whose gaps grow from the tip to the first guide",
        fields: &[(
            "",
            &[
                ROD,
                need("first-guide", "place of the first guide, from the butt", "\"500 mm\""),
                one_of(
                    "count",
                    "number of guides besides the tip-top; or greatest-ratio instead",
                    "\"7\"",
                ),
                one_of(
                    "greatest-ratio",
                    "most that a gap may be longer than the one before it, as a number",
                    "\"1.25\"",
                ),
                may("tip-gap", "gap next to the tip; 100 mm if not said", "\"100 mm\""),
                may(
                    "growth",
                    "geometric (each gap times the same) or arithmetic (plus the same); geometric \
                        if not said",
                    "\"geometric\"",
                ),
            ],
        )],
        example: r#"{"rod-length": "2000 mm", "first-guide": "500 mm", "count": "5", "tip-gap": "100 mm",
            "growth": "arithmetic"}"#,
        source: "Sum of a geometric or arithmetic series; that guides are spaced so is common \
            practice, no source.",
        cautions: &[],
        work: guide_spacing,
    },
    Figure {
        name: "first-guide",
        about: "where the first guide goes, by the reel",
        fields: &[("spinning.", &SPOOL), ("level-wind.", &WIND), ("fly.", &FLY)],
        example: r#"{"spinning": {"spool": "46 mm", "spool-height": "33 mm", "ring": "21 mm",
            "ring-height": "33 mm", "greatest-angle": "3°", "from-butt": "420 mm", "look-at": "350 mm"}}"#,
        source: "Geometry: the cone of line from the spool's lip, or the line at the end of its \
            travel, to the edge of the ring; for a fly rod the reach of the arm, common practice, \
            no source.",
        cautions: &[],
        work: first_guide,
    },
    Figure {
        name: "guide-rings",
        about: "rings that narrow from the first guide to the tip, and the tube of the tip-top",
        fields: &[(
            "",
            &[
                ROD,
                need(
                    "guides[].from-tip",
                    "place of a guide, the one next to the tip first",
                    "\"100 mm\"",
                ),
                need("at-hand[].size", "what a ring at hand is called", "\"6 mm\""),
                need("at-hand[].inside", "its inside diameter", "\"4 mm\""),
                need("first.size", "what the first guide's ring is called", "\"25 mm\""),
                need("first.inside", "its inside diameter", "\"20 mm\""),
                need("knot", "leader knot across, with what it needs to run", "\"3.5 mm\""),
                need(
                    "narrowing",
                    "over how many guides rings narrow, the first guide counted",
                    "\"3\"",
                ),
                need("tip", "diameter of the tip where the tube's open end sits", "\"2.0 mm\""),
                need("tube-gap", "room per side in the tip-top's tube", "\"0.05 mm\""),
                may("half-sizes", "no where only whole sizes are at hand", "\"yes\""),
            ],
        )],
        example: r#"{"rod-length": "1800 mm", "guides": [{"from-tip": "100 mm"}, {"from-tip": "250 mm"}, {"from-tip": "450 mm"},
            {"from-tip": "700 mm"}, {"from-tip": "1000 mm"}],
            "at-hand": [{"size": "6 mm", "inside": "4 mm"}, {"size": "8 mm", "inside": "6 mm"},
            {"size": "12 mm", "inside": "9 mm"}, {"size": "20 mm", "inside": "16 mm"}],
            "first": {"size": "25 mm", "inside": "20 mm"}, "knot": "3.5 mm", "narrowing": "3",
            "tip": "2.0 mm", "tube-gap": "0.05 mm"}"#,
        source: "The line's cone as straight from the first ring to the first running guide \
            (geometry); that rings narrow so, and tubes in 64ths of an inch: common practice, no \
            source.",
        cautions: &[KNOT],
        work: guide_rings,
    },
    Figure {
        name: "spiral",
        about: "guides that turn from the top to the underside, and how clear the line runs",
        fields: &[(
            "",
            &[
                need("blank-length", "length of the rod, butt to tip", "\"2000 mm\""),
                row("joins[]", "where pieces meet, from the butt", "\"1000 mm\""),
                need(
                    "measured[].from-butt",
                    "where the blank was measured, from the butt",
                    "\"300 mm\"",
                ),
                need("measured[].diameter", "outside diameter of the blank there", "\"12.4 mm\""),
                need(
                    "guides[].from-tip",
                    "place of a guide, the one next to the tip first",
                    "\"500 mm\"",
                ),
                need(
                    "guides[].height",
                    "from the axis of the blank to the middle of its ring",
                    "\"10 mm\"",
                ),
                need("tip-height", "the same of the tip-top's ring", "\"10 mm\""),
                one_of("turning", "how many guides turn in even steps; or angles instead", "\"3\""),
                may("at-top", "how many stay on top, with turning; one if not said", "\"1\""),
                one_of(
                    "angles[]",
                    "how far each guide is turned from the top, the one next to the tip first",
                    "\"180°\"",
                ),
                need("turns-to", "left or right, seen from the butt", "\"left\""),
            ],
        )],
        example: r#"{"blank-length": "2000 mm", "measured": [{"from-butt": "0 mm", "diameter": "8 mm"},
            {"from-butt": "2000 mm", "diameter": "8 mm"}], "guides": [{"from-tip": "500 mm", "height": "10 mm"},
            {"from-tip": "1000 mm", "height": "10 mm"}], "tip-height": "10 mm", "angles": ["180°", "60°"],
            "turns-to": "left"}"#,
        source: "Geometry on the straight blank, the line through the middles of the rings; at the \
            edge of a ring it runs nearer by up to half its inside. An even split of the turn is \
            common practice, no source.",
        cautions: &[],
        work: spiral,
    },
];

/// The refusal with its field, where one field is at fault.
pub fn refused(fields: &Fields<'_>, error: &GuideError) -> Problem {
    // Numbers of guides count from 1.
    let guide =
        |number: &usize, below: &str| format!("guides[{}]{below}", number.saturating_sub(1));
    let field = match error {
        GuideError::OffTheRod { number, .. }
        | GuideError::OutOfOrder { number, .. }
        | GuideError::OnePlace { number, .. }
        | GuideError::StartsOutside { number } => guide(number, ".from-tip"),
        GuideError::TooManyGuides { .. } => "guides".to_owned(),
        GuideError::FirstOffTheRod { .. } => "first-guide".to_owned(),
        GuideError::Ratio { .. } => "greatest-ratio".to_owned(),
        GuideError::FirstBounds { .. } => "first-from".to_owned(),
        GuideError::ArmReach { .. } => "fly.reach".to_owned(),
        GuideError::SpoolInBlank { .. } => "spinning.spool-height".to_owned(),
        GuideError::BehindTheLip { .. } => "spinning.look-at".to_owned(),
        GuideError::NoRingPasses { .. } => "knot".to_owned(),
        GuideError::RingSmallerThanKnot { .. } | GuideError::FirstRingSmaller { .. } => {
            "first.inside".to_owned()
        }
        GuideError::Narrowing { .. } => "narrowing".to_owned(),
        GuideError::NoTube { .. } => "tip".to_owned(),
        GuideError::Turning { .. } => "turning".to_owned(),
        GuideError::CountDiffers { what: "Angles", .. } => "angles".to_owned(),
        GuideError::TurnsBack { number } => format!("angles[{}]", number.saturating_sub(1)),
        GuideError::HeightInBlank { number: 0, .. } => "tip-height".to_owned(),
        GuideError::HeightInBlank { number, .. } => guide(number, ".height"),
        GuideError::Bend(error) => return loaded::refused(fields, error),
        other => return Problem::Work(other.to_string()),
    };
    fields.problem(&field, error.to_string())
}

fn not_measured(fields: &Fields<'_>, error: &BlankError) -> Problem {
    let field = match error {
        BlankError::TooFew => "measured".to_owned(),
        BlankError::NoLength => "blank-length".to_owned(),
        BlankError::NoDiameter { row }
        | BlankError::TooThick { row, .. }
        | BlankError::GrowsTowardsTip { row, .. } => format!("measured[{row}].diameter"),
        BlankError::BeyondTip { row, .. } | BlankError::NotInOrder { row } => {
            format!("measured[{row}].from-butt")
        }
        BlankError::JoinOutside { row } => format!("joins[{row}]"),
    };
    fields.problem(&field, error.to_string())
}

/// Places from the tip.
pub fn places(guides: &[Fields<'_>]) -> Result<Vec<Length>, Problem> {
    guides.iter().map(|guide| guide.length("from-tip")).collect()
}

/// What a guide is called: counted from the tip, where 0 is the tip-top.
pub fn name(number: usize) -> String {
    if number == 0 { "tip-top".to_owned() } else { number.to_string() }
}

fn guide_spacing(fields: &Fields<'_>) -> Result<Output, Problem> {
    let (length, first) = (fields.some_length("rod-length")?, fields.some_length("first-guide")?);
    let usual = usual_tip_gap();
    let given = fields.optional("tip-gap", Fields::some_length)?;
    let gap = given.unwrap_or(usual.value);
    let growths = [("geometric", Growth::Geometric), ("arithmetic", Growth::Arithmetic)];
    let growth = |fields: &Fields<'_>, name: &str| fields.choice(name, &growths);
    let growth = fields.optional("growth", growth)?.unwrap_or(Growth::Geometric);
    let found = if fields.either("count", "greatest-ratio")? {
        progressive(length, first, fields.count("count", 1, MOST_GUIDES)?, gap, growth)
    } else {
        let greatest = Ratio::new::<ratio>(fields.number("greatest-ratio")?);
        with_greatest_ratio(length, first, gap, growth, greatest)
    };
    let found = found.map_err(|error| refused(fields, &error))?;
    let layout = &found.layout;
    let places = layout.from_tip().iter().zip(layout.from_butt()).zip(layout.gaps());
    let guides = (1..).zip(places).map(|(number, ((&from_tip, from_butt), gap))| {
        json!({
            "guide": name(number),
            "from-tip": mm(from_tip),
            "from-butt": mm(from_butt),
            "gap": mm(gap),
        })
    });
    let (by, how_much) = match found.grows {
        Grows::Times(factor) => ("each-gap-times", times(factor)),
        Grows::Plus(length) => ("each-gap-plus", mm(length)),
    };
    Ok(Output::default()
        .with("guides", guides.collect())
        .with(by, how_much)
        .with("greatest-ratio", times(found.greatest_ratio))
        .telling(given.is_none().then_some(usual.why)))
}

fn first_guide(fields: &Fields<'_>) -> Result<Output, Problem> {
    let kinds = ["spinning", "level-wind", "fly"];
    let given: Vec<&str> = kinds.into_iter().filter(|kind| fields.has(kind)).collect();
    match given[..] {
        ["spinning"] => spinning(fields, &fields.object("spinning")?),
        ["level-wind"] => level_wind(fields, &fields.object("level-wind")?),
        ["fly"] => fly(fields, &fields.object("fly")?),
        [one, other, ..] => {
            Err(fields.problem(other, format!("Give either this or {one}, not both.")))
        }
        _ => {
            let message = "This is missing. Give it, or level-wind or fly instead.";
            Err(fields.problem("spinning", message))
        }
    }
}

/// What the line may be steep by, degrees.
fn greatest(reel: &Fields<'_>) -> Result<Angle, Problem> {
    reel.angle("greatest-angle", 0.1, 60.0)
}

/// A ring and the height of its middle.
fn first_ring(reel: &Fields<'_>) -> Result<(Length, Length), Problem> {
    let (inside, height) = (reel.some_length("ring")?, reel.some_length("ring-height")?);
    if height > inside / 2.0 {
        return Ok((inside, height));
    }
    Err(reel.problem("ring-height", GuideError::RingInBlank { inside, height }.to_string()))
}

/// The nearest place, from the reel and from the butt.
fn nearest(reel: &Fields<'_>, nearest: Length) -> Result<Output, Problem> {
    let from_butt = reel.optional("from-butt", Fields::length)?.map(|reel| mm(reel + nearest));
    Ok(Output::default().with("from-reel", mm(nearest)).with_some("from-butt", from_butt))
}

fn spinning(fields: &Fields<'_>, reel: &Fields<'_>) -> Result<Output, Problem> {
    let tilt = |reel: &Fields<'_>, name: &str| reel.angle(name, -30.0, 30.0);
    let (ring, ring_height) = first_ring(reel)?;
    let line = SpoolLine {
        spool: reel.some_length("spool")?,
        height: reel.some_length("spool-height")?,
        tilt: reel.optional("tilt", tilt)?.unwrap_or(Angle::new::<degree>(0.0)),
        ring,
        ring_height,
    };
    let greatest = greatest(reel)?;
    let look_at = reel.optional("look-at", Fields::some_length)?;
    let at = line.nearest(greatest).map_err(|error| refused(fields, &error))?;
    let steepest = look_at.map(|place| line.steepest_at(place)).transpose();
    let steepest = steepest.map_err(|error| refused(fields, &error))?;
    let aims_at = line.aims_at().map_err(|error| refused(fields, &error))?;
    Ok(nearest(reel, at)?
        .with_some("spool-aims-at", aims_at.map(mm))
        .with_some("steepest-there", steepest.map(degrees)))
}

fn level_wind(fields: &Fields<'_>, reel: &Fields<'_>) -> Result<Output, Problem> {
    let (ring, ring_height) = first_ring(reel)?;
    let line = LevelWind {
        travel: reel.some_length("travel")?,
        height: reel.some_length("line-height")?,
        ring,
        ring_height,
    };
    let greatest = greatest(reel)?;
    let look_at = reel.optional("look-at", Fields::some_length)?;
    let at = line.nearest(greatest).map_err(|error| refused(fields, &error))?;
    let angles = look_at.map(|place| Ok((line.sideways_at(place)?, line.falls_at(place)?)));
    let angles = angles.transpose().map_err(|error| refused(fields, &error))?;
    Ok(nearest(reel, at)?
        .with_some("sideways-there", angles.map(|(sideways, _)| degrees(sideways)))
        .with_some("falls-there", angles.map(|(_, falls)| degrees(falls))))
}

fn fly(fields: &Fields<'_>, reel: &Fields<'_>) -> Result<Output, Problem> {
    let found = stripping_guide(reel.length("hand")?, reel.length("reach")?);
    let found = found.map_err(|error| refused(fields, &error))?;
    Ok(Output::default().with("from-butt", mm(found.value)).telling([found.why]))
}

/// A ring whose height and weight don't matter.
fn ring(fields: &Fields<'_>) -> Result<Ring, Problem> {
    let inside = fields.some_length("inside")?;
    Ok(Ring { size: fields.some_length("size")?, inside, height: inside, mass: Mass::default() })
}

fn guide_rings(fields: &Fields<'_>) -> Result<Output, Problem> {
    let length = fields.some_length("rod-length")?;
    let layout = Layout::new(length, &places(&fields.list("guides")?)?);
    let layout = layout.map_err(|error| refused(fields, &error))?;
    let at_hand = fields.list("at-hand")?;
    let at_hand = at_hand.iter().map(ring).collect::<Result<Vec<_>, _>>()?;
    let first = ring(&fields.object("first")?)?;
    let narrowing = fields.count("narrowing", 1, MOST_GUIDES)?;
    let rings = reduction(&layout, &at_hand, &first, fields.some_length("knot")?, narrowing);
    let rings = rings.map_err(|error| refused(fields, &error))?;
    let (tip, gap) = (fields.some_length("tip")?, fields.length("tube-gap")?);
    let half_sizes = fields.optional("half-sizes", Fields::yes)?.unwrap_or(true);
    let tube = TubeFit::smallest(tip, gap, half_sizes).map_err(|error| refused(fields, &error))?;
    let rings = (1..).zip(layout.from_tip().iter().zip(&rings)).map(|(number, (&at, ring))| {
        json!({
            "guide": name(number),
            "from-tip": mm(at),
            "size": mm(ring.size),
            "inside": mm(ring.inside),
        })
    });
    Ok(Output::default().with("rings", rings.collect()).with(
        "tip-tube",
        json!({
            "size": tube.size.to_string(),
            "inside": mm(tube.size.inside()),
            "gap": mm(tube.gap),
        }),
    ))
}

fn turned(fields: &Fields<'_>, count: usize) -> Result<Spiral, Problem> {
    let side = fields.choice("turns-to", &[("left", Side::Left), ("right", Side::Right)])?;
    let spiral = if fields.either("turning", "angles")? {
        let at_top = |fields: &Fields<'_>, name: &str| fields.count(name, 0, MOST_GUIDES);
        let at_top = fields.optional("at-top", at_top)?.unwrap_or(1);
        Spiral::evenly(count, at_top, fields.count("turning", 1, MOST_GUIDES)?, side)
    } else if fields.has("at-top") {
        return Err(fields.problem("at-top", "The angles say it. Leave this out."));
    } else {
        Spiral::by_angles(&fields.angles("angles", 0.0, 180.0)?, side)
    };
    spiral.map_err(|error| refused(fields, &error))
}

fn spiral(fields: &Fields<'_>) -> Result<Output, Problem> {
    let length = fields.some_length("blank-length")?;
    let joins = fields.optional("joins", Fields::lengths)?.unwrap_or_default();
    let measured = loaded::measured(fields)?;
    let blank = Blank::new(length, joins, measured, LengthUnit::Millimetre);
    let blank = blank.map_err(|error| not_measured(fields, &error))?;
    let guides = fields.list("guides")?;
    let heights = guides.iter().map(|guide| guide.some_length("height"));
    let heights = heights.collect::<Result<Vec<_>, _>>()?;
    let tip_height = fields.some_length("tip-height")?;
    let layout = Layout::new(length, &places(&guides)?).map_err(|error| refused(fields, &error))?;
    let spiral = turned(fields, layout.count())?;
    let spans = spiral.clearances(&layout, &heights, tip_height, &blank);
    let spans = spans.map_err(|error| refused(fields, &error))?;
    let across = (1..).zip(heights.iter().zip(spiral.angles()));
    let across = across.map(|(number, (&height, angle))| {
        let (right, over) =
            spiral.across(number, height).map_err(|error| refused(fields, &error))?;
        Ok(json!({
            "guide": name(number),
            "turned": degrees(angle),
            "to-the-right": mm(right),
            "over-the-axis": mm(over),
        }))
    });
    let across = across.collect::<Result<Vec<_>, Problem>>()?;
    let through = spans.iter().filter(|span| span.clearance.value < 0.0).map(|span| {
        let guide = if span.number == 0 { "the" } else { "guide" };
        format!(
            "The line would cut through the blank between guide {} and {guide} {}. Turn it \
            in smaller steps there, put a guide between, or take a higher one.",
            span.number + 1,
            name(span.number)
        )
    });
    let clearance = |span: &SpanClearance| {
        json!({
            "from": name(span.number),
            "to": name(span.number + 1),
            "clearance": mm(span.clearance),
            "nearest-at": mm(span.at),
        })
    };
    let through: Vec<String> = through.collect();
    Ok(Output::default()
        .with("guides", across.into())
        .with("clearances", spans.iter().map(clearance).collect())
        .with_some("tightest", SpanClearance::tightest(&spans).as_ref().map(clearance))
        .telling(through))
}
