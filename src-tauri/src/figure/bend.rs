//! Figures of the bend: the curve under load, what a load test tells, trims, the lowest frequency.

use super::fields::Fields;
use super::loaded::{
    self, BLANK, HELD, LOADED, REEL, WEIGHT, blank, butt, load, refused, with_loaded_blank,
};
use super::output::{Output, degrees, mm, newton_metres, newtons, number, share, times, yes};
use super::{Field, Figure, Problem, inner, may, need, row};
use coldbench_trade::bend::{
    Curve, CurvePoint, Cut, Deviation, FittedStiffness, Guide, LineLoad, LinePath, LoadTest, Loads,
    Mark, PointMass, Reel, Stiffness, TipLoad, Trimmed, Unknowns, compare, fit_stiffness,
    lowest_frequency, solve, trim,
};
use coldbench_trade::units::{
    Angle, Length, Pressure, gigapascal, hertz, newton_per_meter, percent, ratio,
};
use serde_json::{Value, json};

const SAWDUST: &str = "Sawing and sanding a blank makes dust and splinters that harm lungs, eyes \
    and skin. Draw the dust off, wear a fitting mask, goggles and gloves, and go by the blank's \
    data sheet first. What is cut off stays off: measure twice.";

/// Most points of a curve that are told.
const MOST_POINTS: f64 = 200.0;
/// Points told where no distance is given.
const POINTS: f64 = 20.0;

const LINE: [Field; 5] = inner(REEL);

const GUIDES: [Field; 3] = inner([
    need(
        "guides[].from-butt",
        "place of a guide, from butt to tip, the tip-top last",
        "\"700 mm\"",
    ),
    need("guides[].height", "from the axis of the blank to the middle of its ring", "\"32 mm\""),
    may(
        "guides[].mass",
        "what it weighs with its wrap, where the blank's weight counts",
        "\"8 g\"",
    ),
]);

const UNDER_LOAD: [super::Group; 5] =
    [("", BLANK), ("", &[WEIGHT]), ("", HELD), ("line.", &LINE), ("line.", &GUIDES)];

const MARKS: &[Field] = &[
    need("marks[].from-butt", "a mark on the blank, from the butt", "\"1500 mm\""),
    need("marks[].drop", "how far it went down when the load came on", "\"150 mm\""),
];

const ELASTICA: &str = "Large deflection of an inextensible Euler-Bernoulli rod held fast at the \
    butt, E I of an annulus; x is away from the butt along the floor, y down. It knows neither \
    shear nor twist nor a wall squeezed flat.";

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "bend",
        about: "the bend of a blank under load, and how clear the line runs",
        fields: &[
            UNDER_LOAD[0],
            UNDER_LOAD[1],
            UNDER_LOAD[2],
            UNDER_LOAD[3],
            UNDER_LOAD[4],
            (
                "",
                &[may(
                    "every",
                    "distance between the points told; a twentieth of the blank if not said",
                    "\"100 mm\"",
                )],
            ),
        ],
        example: with_loaded_blank!(
            "\"weight\": \"35 g\", \"butt-angle\": \"-30°\", \"pull\": \"2 N\", \"direction\": \
                \"100°\", \"line\": {\"sits\": \"underneath\", \"reel-from-butt\": \"300 mm\", \
                \"reel-height\": \"60 mm\", \"friction\": \"0.1\", \"running\": \"in\", \
                \"guides\": [{\"from-butt\": \"700 mm\", \"height\": \"32 mm\", \"mass\": \"8 \
                g\"}, {\"from-butt\": \"1080 mm\", \"height\": \"18 mm\", \"mass\": \"3 g\"}, \
                {\"from-butt\": \"1380 mm\", \"height\": \"11 mm\", \"mass\": \"1.5 g\"}, \
                {\"from-butt\": \"1620 mm\", \"height\": \"8 mm\", \"mass\": \"0.8 g\"}, \
                {\"from-butt\": \"1800 mm\", \"height\": \"6 mm\", \"mass\": \"0.5 g\"}, \
                {\"from-butt\": \"1920 mm\", \"height\": \"5 mm\", \"mass\": \"0.4 g\"}, \
                {\"from-butt\": \"2000 mm\", \"height\": \"5 mm\", \"mass\": \"0.6 g\"}]}, \
                \"every\": \"200 mm\""
        ),
        source: ELASTICA,
        cautions: &[LOADED],
        work: bend,
    },
    Figure {
        name: "bend-fit",
        about: "how stiff the blank is by a load test",
        fields: &[
            UNDER_LOAD[0],
            UNDER_LOAD[1],
            UNDER_LOAD[2],
            UNDER_LOAD[3],
            UNDER_LOAD[4],
            ("", MARKS),
            (
                "",
                &[
                    need("reading-error", "how far one reading may be off", "\"2 mm\""),
                    need(
                        "factors",
                        "one for the whole blank, or two: at the butt and at the tip",
                        "\"two\"",
                    ),
                ],
            ),
        ],
        example: with_loaded_blank!(
            "\"butt-angle\": \"0°\", \"hung\": \"150 g\", \"reading-error\": \"2 mm\", \
                \"factors\": \"two\", \"marks\": [{\"from-butt\": \"800 mm\", \"drop\": \"64 \
                mm\"}, {\"from-butt\": \"1200 mm\", \"drop\": \"160 mm\"}, {\"from-butt\": \
                \"1600 mm\", \"drop\": \"331 mm\"}, {\"from-butt\": \"2000 mm\", \"drop\": \"618 \
                mm\"}]"
        ),
        source: "Least squares (Levenberg-Marquardt) on the curve of a rod held fast at the butt; \
            standard errors by the covariance of the fit.",
        cautions: &[LOADED],
        work: bend_fit,
    },
    Figure {
        name: "static-test",
        about: "whether a load test keeps to the figure",
        fields: &[
            UNDER_LOAD[0],
            UNDER_LOAD[1],
            UNDER_LOAD[2],
            UNDER_LOAD[3],
            UNDER_LOAD[4],
            ("", MARKS),
            ("", &[need("tolerance", "the most that a mark may be off", "\"20 mm\"")]),
        ],
        example: with_loaded_blank!(
            "\"butt-angle\": \"0°\", \"hung\": \"150 g\", \"tolerance\": \"20 mm\", \"marks\": \
                [{\"from-butt\": \"1000 mm\", \"drop\": \"99 mm\"}, {\"from-butt\": \"2000 \
                mm\", \"drop\": \"568 mm\"}]"
        ),
        source: ELASTICA,
        cautions: &[LOADED],
        work: static_test,
    },
    Figure {
        name: "trim",
        about: "what cutting off the tip or the butt does to the bend",
        fields: &[
            ("", BLANK),
            ("", HELD),
            (
                "",
                &[
                    need(
                        "cut-at-tip",
                        "how much is cut off the tip; 0 mm for nothing",
                        "\"50 mm\"",
                    ),
                    need(
                        "cut-at-butt",
                        "how much is cut off the butt; 0 mm for nothing",
                        "\"0 mm\"",
                    ),
                ],
            ),
        ],
        example: with_loaded_blank!(
            "\"butt-angle\": \"0°\", \"hung\": \"100 g\", \"cut-at-tip\": \"50 mm\", \
                \"cut-at-butt\": \"0 mm\""
        ),
        source: "The same load on the tip of the blank before and after, as a rod of large \
            deflection; stiffness 1 / ∫ (L - s)² / (E I) ds. Tubes of tip-tops in 64ths of an \
            inch: common practice, no source.",
        cautions: &[LOADED, SAWDUST],
        work: trimming,
    },
    Figure {
        name: "frequency",
        about: "how fast the rod swings: its lowest frequency",
        fields: &[
            ("", BLANK),
            (
                "",
                &[
                    need("weight", "what the bare blank weighs", "\"35 g\""),
                    row("masses[].from-butt", "a place where something sits", "\"2000 mm\""),
                    row("masses[].mass", "what sits there", "\"0.6 g\""),
                ],
            ),
        ],
        example: with_loaded_blank!(
            "\"weight\": \"35 g\", \"masses\": [{\"from-butt\": \"700 mm\", \"mass\": \"8 g\"}, \
                {\"from-butt\": \"2000 mm\", \"mass\": \"0.6 g\"}]"
        ),
        source: "Euler-Bernoulli beam held fast at the butt, small swings without damping; \
            inverse iteration with Rayleigh's quotient.",
        cautions: &[LOADED],
        work: frequency,
    },
];

/// All that acts on the rod.
fn loads(fields: &Fields<'_>) -> Result<Loads, Problem> {
    let (force, direction) = load(fields)?;
    let own_weight = fields.has("weight");
    let loads = Loads { butt: butt(fields)?, own_weight, ..Loads::default() };
    let Some(line) = fields.optional("line", Fields::object)? else {
        return Ok(Loads { tip: Some(TipLoad { force, direction }), ..loads });
    };
    let sits = loaded::sits(&line)?;
    let reel = Reel {
        from_butt: line.length("reel-from-butt")?,
        height: loaded::signed(sits, line.length("reel-height")?),
    };
    let guides = line.list("guides")?;
    let guides = guides.iter().map(|guide| {
        Ok(Guide {
            from_butt: guide.length("from-butt")?,
            height: loaded::signed(sits, guide.length("height")?),
            mass: loaded::guide_mass(guide, own_weight)?,
        })
    });
    let guides = guides.collect::<Result<Vec<_>, Problem>>()?;
    let friction = loaded::friction(&line)?;
    let line = LineLoad { reel, guides, tension: force, direction, friction };
    Ok(Loads { line: Some(line), ..loads })
}

/// From where the tip of the straight rod would be to where it is.
fn deflection(length: Length, butt: Angle, tip: &CurvePoint) -> Length {
    (tip.x - length * butt.cos()).hypot(tip.y - length * butt.sin())
}

fn stiff(blank: &Stiffness) -> Value {
    number(blank.tip_stiffness().get::<newton_per_meter>(), "N/m")
}

fn place(point: &CurvePoint) -> Value {
    json!({ "x": mm(point.x), "y": mm(point.y), "slope": degrees(point.slope) })
}

/// The distance between the points that are told.
fn spacing(fields: &Fields<'_>, length: Length) -> Result<Length, Problem> {
    let every = fields.optional("every", Fields::length)?.unwrap_or(length / POINTS);
    // A distance of zero gives points without end.
    if (length / every).get::<ratio>() < MOST_POINTS {
        return Ok(every);
    }
    let message = format!("This makes more than {MOST_POINTS} points. Take a longer distance.");
    Err(fields.problem("every", message))
}

fn points(curve: &Curve, length: Length, every: Length) -> Result<Vec<Value>, Problem> {
    let hair = every * 1e-6;
    let on_the_way = (0_u32..).map(|step| every * f64::from(step));
    let places = on_the_way.take_while(|&at| at < length - hair).chain([length]);
    places
        .map(|at| {
            let point = curve.at(at)?;
            Ok(json!({
                "from-butt": mm(point.from_butt),
                "x": mm(point.x),
                "y": mm(point.y),
                "slope": degrees(point.slope),
                "moment": newton_metres(point.moment),
                "strain": share(point.strain),
            }))
        })
        .collect()
}

fn along(line: &LinePath) -> Value {
    let spans = line.spans.iter().map(|span| {
        json!({
            "from-butt": mm(span.from_butt),
            "to": mm(span.to),
            "length": mm(span.length),
            "tension": newtons(span.tension),
            "clearance": mm(span.clearance),
            "nearest-at": mm(span.nearest),
            "touches": yes(span.touches),
        })
    });
    // The first of the loads is that on the reel.
    let guides = line.loads.iter().skip(1).map(|guide| {
        json!({
            "from-butt": mm(guide.from_butt),
            "load": newtons(guide.force),
            "turn": degrees(guide.turn),
        })
    });
    json!({
        "length": mm(line.length),
        "tension-at-reel": newtons(line.at_reel),
        "spans": spans.collect::<Vec<_>>(),
        "guides": guides.collect::<Vec<_>>(),
    })
}

fn bend(fields: &Fields<'_>) -> Result<Output, Problem> {
    let blank = blank(fields)?;
    let loads = loads(fields)?;
    let every = spacing(fields, blank.length())?;
    let curve = solve(&blank, &loads).map_err(|error| refused(fields, &error))?;
    let (tip, worst, held) = (curve.tip(), curve.most_strained(), curve.reaction());
    Ok(Output::default()
        .with("tip", place(&tip))
        .with("deflection", mm(deflection(blank.length(), loads.butt, &tip)))
        .with("tip-stiffness", stiff(&blank))
        .with(
            "largest-strain",
            json!({ "strain": share(worst.strain.abs()), "from-butt": mm(worst.from_butt) }),
        )
        .with(
            "butt-held-by",
            json!({
                "force-x": newtons(held.force_x),
                "force-y": newtons(held.force_y),
                "moment": newton_metres(held.moment),
            }),
        )
        .with_some("line", curve.line().map(along))
        .with("points", points(&curve, blank.length(), every)?.into())
        .telling(curve.warnings()))
}

fn marks(fields: &Fields<'_>) -> Result<Vec<Mark>, Problem> {
    let rows = fields.list("marks")?;
    let rows = rows.iter();
    rows.map(|row| {
        Ok(Mark::Drop { from_butt: row.length("from-butt")?, drop: row.length("drop")? })
    })
    .collect()
}

fn beside(deviations: &[Deviation]) -> Value {
    let each =
        deviations.iter().filter_map(|deviation| match (deviation.mark, deviation.figured) {
            (Mark::Drop { from_butt, drop }, Mark::Drop { drop: figured, .. }) => Some(json!({
                "from-butt": mm(from_butt),
                "read": mm(drop),
                "figured": mm(figured),
                "off": mm(drop - figured),
            })),
            _ => None,
        });
    each.collect()
}

/// What a fit says, in a sentence.
fn told(fitted: &FittedStiffness) -> String {
    let [butt, tip] = [fitted.at_butt, fitted.at_tip].map(|factor| factor.get::<ratio>());
    let error = fitted.scale_error.get::<percent>();
    match fitted.found {
        Unknowns::Scale => format!(
            "The blank is {butt:.2} times as stiff as its diameters, wall and modulus say, with a \
            standard error of {error:.1} %."
        ),
        Unknowns::ScaleAndTaper => format!(
            "The blank is {butt:.2} times at the butt and {tip:.2} times at the tip as stiff as its \
            diameters, wall and modulus say, with a standard error of {error:.1} % at its middle."
        ),
    }
}

fn bend_fit(fields: &Fields<'_>) -> Result<Output, Problem> {
    let blank = blank(fields)?;
    let test = LoadTest { loads: loads(fields)?, marks: marks(fields)? };
    let words = [("one", Unknowns::Scale), ("two", Unknowns::ScaleAndTaper)];
    let wanted = fields.choice("factors", &words)?;
    let error = fields.length("reading-error")?;
    let fitted = fit_stiffness(&blank, &test, wanted, error);
    let fitted = fitted.map_err(|error| refused(fields, &error))?;
    let found = words.iter().find(|(_, unknowns)| *unknowns == fitted.found);
    let modulus = fields.modulus("modulus")?;
    let gigapascals = |factor: Pressure| number(factor.get::<gigapascal>(), "GPa");
    // Where the marks tell nothing of the second factor, its error has no end.
    let apart = fitted.taper_error.filter(|error| error.is_finite()).map(share);
    Ok(Output::default()
        .with("told", json!(told(&fitted)))
        .with_some("factors", found.map(|(word, _)| json!(word)))
        .with("at-butt", times(fitted.at_butt))
        .with("at-tip", times(fitted.at_tip))
        .with("modulus-at-butt", gigapascals(modulus * fitted.at_butt))
        .with("modulus-at-tip", gigapascals(modulus * fitted.at_tip))
        .with("error", share(fitted.scale_error))
        .with_some("error-of-tip-to-butt", apart)
        .with("tip-stiffness", stiff(&fitted.stiffness))
        .with("marks", beside(&fitted.deviations))
        .with("off-root-mean-square", mm(fitted.rms))
        .telling(fitted.warnings))
}

fn static_test(fields: &Fields<'_>) -> Result<Output, Problem> {
    let blank = blank(fields)?;
    let test = LoadTest { loads: loads(fields)?, marks: marks(fields)? };
    let found = compare(&blank, &test, fields.length("tolerance")?);
    let found = found.map_err(|error| refused(fields, &error))?;
    Ok(Output::default()
        .with("within-tolerance", yes(found.within))
        .with("largest-off", mm(found.largest))
        .with("off-root-mean-square", mm(found.rms))
        .with("marks", beside(&found.deviations))
        .telling(found.curve.warnings()))
}

fn trimmed(trimmed: &Trimmed) -> Value {
    let tip = trimmed.curve.tip();
    json!({
        "length": mm(trimmed.stiffness.length()),
        "tip": place(&tip),
        "deflection": mm(trimmed.deflection),
        "tip-stiffness": number(trimmed.tip_stiffness.get::<newton_per_meter>(), "N/m"),
        "tip-diameter": mm(trimmed.tip_diameter),
        "tip-tube": number(trimmed.tip_tube.size(), "1/64 in"),
        "tip-tube-bore": mm(trimmed.tip_tube.bore()),
    })
}

fn trimming(fields: &Fields<'_>) -> Result<Output, Problem> {
    let blank = blank(fields)?;
    let (force, direction) = load(fields)?;
    let cut = Cut { tip: fields.length("cut-at-tip")?, butt: fields.length("cut-at-butt")? };
    let found = trim(&blank, cut, butt(fields)?, TipLoad { force, direction });
    let found = found.map_err(|error| refused(fields, &error))?;
    let stiffer = found.after.tip_stiffness / found.before.tip_stiffness;
    Ok(Output::default()
        .with("before", trimmed(&found.before))
        .with("after", trimmed(&found.after))
        .with("stiffer", times(stiffer))
        .telling(found.before.curve.warnings()))
}

fn frequency(fields: &Fields<'_>) -> Result<Output, Problem> {
    // Named before the blank takes it for something that may be left out.
    fields.mass("weight")?;
    let blank = blank(fields)?;
    let rows = fields.optional("masses", Fields::list)?.unwrap_or_default();
    let masses = rows
        .iter()
        .map(|row| Ok(PointMass { from_butt: row.length("from-butt")?, mass: row.mass("mass")? }));
    let loads = Loads { masses: masses.collect::<Result<_, Problem>>()?, ..Loads::default() };
    let swings = |loads: &Loads| {
        let found = lowest_frequency(&blank, loads).map_err(|error| refused(fields, &error));
        found.map(|frequency| number(frequency.get::<hertz>(), "Hz"))
    };
    Ok(Output::default()
        .with("frequency", swings(&loads)?)
        .with("frequency-bare", swings(&Loads::default())?)
        .telling(blank.warnings()))
}
