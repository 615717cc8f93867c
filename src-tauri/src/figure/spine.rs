//! Figures of the spine: where the trials put it, and the mark to draw.

use super::fields::Fields;
use super::output::{Output, between, degrees, number, yes};
use super::{Field, Figure, Problem, inner, may, need, row};
use coldbench_trade::spine::{
    AtEnd, Axis, BENDING_CAUTION, GuideRun, GuideStand, Judged, Jump, ReadAt, Readings, Reel,
    RodSide, Sides, SpineError, SpineLimits, Trials, Verdict, judge, mark,
};
use coldbench_trade::units::{degree, degree_per_meter};
use serde_json::{Value, json};

/// Farthest that an angle on the scale goes round, degrees: ten turns.
const TURNS: f64 = 3600.0;

const TRIALS: [Field; 7] = [
    need(
        "sides",
        "one or two: whether the blank jumps always to the same side or to two opposite ones",
        "\"two\"",
    ),
    need("scale-step", "smallest step that can be told apart on the scale", "\"1°\""),
    row(
        "butt[].at",
        "where it came to rest in a trial at the butt; any angles from the mark",
        "\"31°\"",
    ),
    may("butt[].opposite", "the opposite side it came to rest on in that trial", "\"212°\""),
    row("tip[].at", "the same at the tip, from the same line and the same way round", "\"35°\""),
    may("tip[].opposite", "the opposite side of that trial", "\"214°\""),
    may("between", "from the scale at the butt to that at the tip", "\"1600 mm\""),
];

const IN_TRIALS: [Field; 7] = inner(TRIALS);

const LIMITS: &[Field] = &[
    may("most-deviation", "most angular deviation of the trials; 15° if not said", "\"15°\""),
    may("most-doubt", "most doubt about their middle; 22.5° if not said", "\"22.5°\""),
    may("most-twist", "most twist from butt to tip; 20° if not said", "\"20°\""),
];

const STRAIGHTEST: [Field; 2] = inner([
    need("at", "the inside of the natural curve, on the scale; instead of trials", "\"120°\""),
    need("reason", "why the straightest axis is taken and not the spine", "\"no spine found\""),
]);

/// The trials of the examples; invented.
macro_rules! trials {
    () => {
        "\"sides\": \"two\", \"scale-step\": \"1°\", \"butt\": [{\"at\": \"31°\", \"opposite\": \
            \"212°\"}, {\"at\": \"28°\"}, {\"at\": \"33°\"}, {\"at\": \"30°\"}], \"tip\": \
            [{\"at\": \"35°\", \"opposite\": \"214°\"}, {\"at\": \"38°\"}, {\"at\": \"214°\"}], \
            \"between\": \"1600 mm\""
    };
}

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "spine",
        about: "whether the trials agree on a spine, and where it lies",
        fields: &[("", &TRIALS), ("", LIMITS)],
        example: concat!("{", trials!(), "}"),
        source: "Circular statistics, axes doubled: mean, angular deviation and Rayleigh's test \
            (Zar, Biostatistical Analysis); the limits are common practice, no source.",
        cautions: &[BENDING_CAUTION],
        work: spine,
    },
    Figure {
        name: "spine-mark",
        about: "the mark to draw for a spine or for the straightest axis, and the guides' sides",
        fields: &[
            ("trials.", &IN_TRIALS),
            ("trials.", LIMITS),
            (
                "trials.",
                &[may(
                    "other-end",
                    "yes to take the other end of a spine that has two; no if not said",
                    "\"no\"",
                )],
            ),
            ("straightest.", &STRAIGHTEST),
            (
                "",
                &[
                    need("reel", "spinning, casting, conventional or fly", "\"casting\""),
                    need(
                        "run",
                        "straight, or spiral: the guides turn from the top to the underside",
                        "\"spiral\"",
                    ),
                ],
            ),
        ],
        example: concat!(
            "{\"trials\": {",
            trials!(),
            ", \"other-end\": \"no\"}, \"reel\": \"casting\", \"run\": \"spiral\"}"
        ),
        source: "The chosen axis is the top of the rod; which side takes the guides is common \
            practice, no source.",
        cautions: &[BENDING_CAUTION],
        work: spine_mark,
    },
];

fn jumps(row: &Fields<'_>) -> Result<Jump, Problem> {
    let angle = |row: &Fields<'_>, name: &str| row.angle(name, -TURNS, TURNS);
    let at = angle(row, "at")?;
    Ok(match row.optional("opposite", angle)? {
        Some(opposite) => Jump::Pair(at, opposite),
        None => Jump::One(at),
    })
}

/// The trials at one end, if it was read.
fn end(fields: &Fields<'_>, name: &str, sides: Sides) -> Result<Option<Trials>, Problem> {
    let Some(rows) = fields.optional(name, Fields::list)? else { return Ok(None) };
    let jumps = rows.iter().map(jumps).collect::<Result<Vec<_>, _>>()?;
    let step = fields.angle("scale-step", 0.0, 30.0)?;
    let trials = Trials::new(sides, step, &jumps).map_err(|error| match error {
        SpineError::Scale => fields.problem("scale-step", error.to_string()),
        SpineError::PairOnOneSide { trial } | SpineError::NotOpposite { trial, .. } => {
            fields.problem(&format!("{name}[{trial}].opposite"), error.to_string())
        }
        other => other.into(),
    });
    trials.map(Some)
}

/// The trials, judged.
fn judged(fields: &Fields<'_>) -> Result<Judged, Problem> {
    let sides = fields.choice("sides", &[("one", Sides::One), ("two", Sides::Two)])?;
    fields.angle("scale-step", 0.0, 30.0)?;
    let readings = Readings {
        butt: end(fields, "butt", sides)?,
        tip: end(fields, "tip", sides)?,
        between: fields.optional("between", Fields::some_length)?,
    };
    if readings.butt.is_none() && readings.tip.is_none() {
        let message = "This is missing. Give the trials at the butt, at the tip, or at both.";
        return Err(fields.problem("butt", message));
    }
    let limit = |name: &str, usual| {
        let angle = |fields: &Fields<'_>, name: &str| fields.angle(name, 0.1, 45.0);
        Ok::<_, Problem>(fields.optional(name, angle)?.unwrap_or(usual))
    };
    let usual = SpineLimits::default();
    let limits = SpineLimits {
        scatter: limit("most-deviation", usual.scatter)?,
        doubt: limit("most-doubt", usual.doubt)?,
        twist: limit("most-twist", usual.twist)?,
    };
    Ok(judge(&readings, &limits)?)
}

fn at_end(end: &AtEnd) -> Value {
    let strays = end.outliers.iter().map(
        |outlier| json!({ "trial": (outlier.trial + 1).to_string(), "off": degrees(outlier.off) }),
    );
    let off: Vec<Value> = end.off.iter().copied().map(degrees).collect();
    let mut told = json!({
        "end": match end.end { ReadAt::Butt => "butt", ReadAt::Tip => "tip" },
        "trials": end.sample.trials().to_string(),
        "deviation": degrees(end.sample.angular_deviation()),
        "rayleigh-z": number(end.rayleigh.z, ""),
        "rayleigh-p": number(end.rayleigh.p, ""),
        "off": off,
        "strays": strays.collect::<Vec<_>>(),
    });
    // Trials that cancel have no middle, and few or scattered ones no bounds for it.
    if let Some(mean) = end.mean {
        told["mean"] = degrees(mean);
    }
    if let Some((doubt, _)) = end.doubt {
        told["doubt"] = degrees(doubt);
    }
    told
}

fn spine(fields: &Fields<'_>) -> Result<Output, Problem> {
    let judged = judged(fields)?;
    let found = match &judged.verdict {
        Verdict::Found(spine) => Some(spine),
        _ => None,
    };
    let place = found.map(|spine| {
        let [at, doubt] = [spine.at(), spine.doubt()].map(|angle| angle.get::<degree>());
        between(at, at - doubt, at + doubt, "°")
    });
    let opposite = found.filter(|spine| spine.sides() == Sides::Two);
    let twist = judged.twist.map(|twist| {
        let mut told = json!({ "by": degrees(twist.by) });
        if let Some(doubt) = twist.doubt {
            told["doubt"] = degrees(doubt);
        }
        if let Some(rate) = twist.per_length {
            told["per-length"] = number(rate.get::<degree_per_meter>(), "°/m");
        }
        told
    });
    Ok(Output::default()
        .with("verdict", json!(judged.verdict.to_string()))
        .with("found", yes(found.is_some()))
        .with_some("at", place)
        .with_some("opposite", opposite.map(|spine| degrees(spine.opposite())))
        .with("ends", judged.ends.iter().map(at_end).collect())
        .with_some("twist", twist))
}

/// The line that is to be the top of the rod.
fn axis(fields: &Fields<'_>) -> Result<Axis, Problem> {
    if !fields.either("trials", "straightest")? {
        let straightest = fields.object("straightest")?;
        let at = straightest.angle("at", -TURNS, TURNS)?;
        return Ok(Axis::straightest(at, straightest.text("reason")?)?);
    }
    let trials = fields.object("trials")?;
    let other_end = trials.optional("other-end", Fields::yes)?.unwrap_or(false);
    match judged(&trials)?.verdict {
        Verdict::Found(spine) if other_end => {
            let other = Axis::other_end(spine);
            other.map_err(|error| trials.problem("other-end", error.to_string()))
        }
        Verdict::Found(spine) => Ok(Axis::spine(spine)),
        // Nothing is marked from doubt.
        verdict => Err(Problem::Work(verdict.to_string())),
    }
}

fn stand(stand: GuideStand) -> Value {
    let side = match stand.side {
        RodSide::Top => "top",
        RodSide::Underside => "underside",
    };
    json!({ "side": side, "at": degrees(stand.at) })
}

fn spine_mark(fields: &Fields<'_>) -> Result<Output, Problem> {
    let axis = axis(fields)?;
    let reels = [
        ("spinning", Reel::Spinning),
        ("casting", Reel::Casting),
        ("conventional", Reel::Conventional),
        ("fly", Reel::Fly),
    ];
    let reel = fields.choice("reel", &reels)?;
    let run =
        fields.choice("run", &[("straight", GuideRun::Straight), ("spiral", GuideRun::Spiral)])?;
    let found = mark(&axis, reel, run);
    let found = found.map_err(|error| fields.problem("run", error.to_string()))?;
    Ok(Output::default()
        .with("told", json!(found.to_string()))
        .with("on-the-spine", yes(found.axis.is_spine()))
        .with("top-of-rod", degrees(found.at))
        .with("underside", degrees(found.opposite))
        .with("first-guide", stand(found.first))
        .with("last-guide", stand(found.last)))
}
