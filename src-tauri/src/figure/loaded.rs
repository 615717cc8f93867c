//! A blank and the load on it, as the figures of bend and guides read them.

use super::fields::Fields;
use super::{Field, Problem, may, need, one_of, row};
use coldbench_trade::Measured;
use coldbench_trade::bend::{BendError, Friction, Join, Modulus, Running, Stiffness, Tube, Wall};
use coldbench_trade::guides::Sits;
use coldbench_trade::units::{Angle, Force, Length, Mass, Ratio, degree, ratio};

/// Stands before every figure of a rod under load.
pub const LOADED: &str = "A blank under load can break and fly, and so can weight and line; \
    splinters and lead hurt eyes and skin. Wear eye protection, stay out of the way of rod, \
    weight and line, load it little by little, and go by its maker's data sheet first. No figure \
    here is a breaking load.";

/// Farthest that an angle goes round, degrees.
const TURN: f64 = 360.0;

pub const BLANK: &[Field] = &[
    need("blank-length", "length of the assembled blank", "\"2000 mm\""),
    need("measured[].from-butt", "where the blank was measured, from the butt", "\"990 mm\""),
    need("measured[].diameter", "outside diameter of the blank there", "\"7.5 mm\""),
    row("joins[].at", "where two pieces meet, from the butt", "\"1000 mm\""),
    may("joins[].from", "where the ferrule begins; at the join if not said", "\"960 mm\""),
    may("joins[].to", "where the ferrule ends; at the join if not said", "\"1040 mm\""),
    may(
        "joins[].factor",
        "how many times stiffer than the blank alone the ferrule makes it; as stiff if not said",
        "\"1.5\"",
    ),
    one_of("wall", "wall all along, or solid; or give walls instead", "\"0.5 mm\""),
    one_of("walls[].from-butt", "a place where the wall is known, from the butt", "\"0 mm\""),
    one_of("walls[].thickness", "the wall there", "\"0.8 mm\""),
    need("modulus", "modulus of the blank along its length", "\"60 GPa\""),
];

pub const WEIGHT: Field = may(
    "weight",
    "what the bare blank weighs; where it is given, the weight of the rod counts",
    "\"35 g\"",
);

pub const HELD: &[Field] = &[
    need("butt-angle", "how the butt is held: 0° is level, -30° has the tip raised", "\"0°\""),
    one_of(
        "hung",
        "mass hung on the line, or on the tip without one; or pull instead",
        "\"150 g\"",
    ),
    one_of("pull", "force that pulls there", "\"1.5 N\""),
    may(
        "direction",
        "where it pulls, with pull: 0° is away from the butt along the floor, 90° straight down; \
            90° if not said",
        "\"120°\"",
    ),
];

/// How the line runs to the guides.
pub const REEL: [Field; 5] = [
    need("sits", "on-top or underneath: where reel and guides sit", "\"underneath\""),
    need("reel-from-butt", "where the line leaves the reel, from the butt", "\"300 mm\""),
    need("reel-height", "from the axis of the blank to the line there", "\"60 mm\""),
    may("friction", "friction of the line in a ring; none if not said", "\"0.1\""),
    may("running", "in or out: which way the line runs, with friction", "\"in\""),
];

/// The demo blank of the examples; invented.
macro_rules! with_loaded_blank {
    ($($rest:literal),+) => {
        concat!(
            "{\"blank-length\": \"2000 mm\", \"measured\": [",
            "{\"from-butt\": \"0 mm\", \"diameter\": \"12 mm\"}, ",
            "{\"from-butt\": \"990 mm\", \"diameter\": \"7.5 mm\"}, ",
            "{\"from-butt\": \"1000 mm\", \"diameter\": \"7 mm\"}, ",
            "{\"from-butt\": \"2000 mm\", \"diameter\": \"2 mm\"}], ",
            "\"joins\": [{\"at\": \"1000 mm\", \"from\": \"960 mm\", \"to\": \"1040 mm\", ",
            "\"factor\": \"1.5\"}], \"wall\": \"0.5 mm\", \"modulus\": \"60 GPa\", ",
            $($rest,)+
            "}"
        )
    };
}
pub(super) use with_loaded_blank;

/// The refusal with its field, where one field is at fault.
pub fn refused(fields: &Fields<'_>, error: &BendError) -> Problem {
    let of_line = |name: &str| {
        let within = if fields.has("line") { "line." } else { "" };
        fields.problem(&format!("{within}{name}"), error.to_string())
    };
    let field = match error {
        BendError::NotInOrder { what: "Guides" }
        | BendError::OffTheBlank { what: "A guide", .. }
        | BendError::Height { what: "A guide" }
        | BendError::Mass { what: "A guide" } => return of_line("guides"),
        BendError::OffTheBlank { what: "The reel", .. } | BendError::ReelPlace => {
            return of_line("reel-from-butt");
        }
        BendError::Height { what: "The reel" } => return of_line("reel-height"),
        BendError::Mass { what: "A mass" } | BendError::OffTheBlank { what: "A mass", .. } => {
            "masses"
        }
        BendError::BlankLength => "blank-length",
        BendError::TooFew
        | BendError::Diameter { .. }
        | BendError::PieceNotMeasured { .. }
        | BendError::OffTheBlank { what: "The diameters", .. }
        | BendError::NotInOrder { what: "The diameters" } => "measured",
        BendError::Ferrule | BendError::Factor => "joins",
        BendError::NoWall | BendError::WallTooThick { .. } if fields.has("wall") => "wall",
        BendError::NoWall
        | BendError::WallTooThick { .. }
        | BendError::OffTheBlank { what: "The places of the wall", .. }
        | BendError::NotInOrder { what: "The places of the wall" } => "walls",
        BendError::Modulus => "modulus",
        BendError::Mass { what: "The blank" } | BendError::MassUnknown => "weight",
        BendError::TooFewMarks { .. }
        | BendError::Mark { .. }
        | BendError::OffTheBlank { what: "A mark", .. } => "marks",
        BendError::Reading => "reading-error",
        BendError::TrimTooLong { .. } => "cut-at-tip",
        other => return Problem::Work(other.to_string()),
    };
    fields.problem(field, error.to_string())
}

/// The blank, with its weight where that is given.
pub fn blank(fields: &Fields<'_>) -> Result<Stiffness, Problem> {
    let tube = Tube {
        length: fields.length("blank-length")?,
        measured: measured(fields)?,
        joins: joins(fields)?,
        wall: wall(fields)?,
        modulus: Modulus::Even(fields.modulus("modulus")?),
    };
    let weight = fields.optional("weight", Fields::mass)?;
    let blank = Stiffness::of(&tube);
    let weighed = blank.and_then(|blank| match weight {
        Some(weight) => blank.with_weight(weight),
        None => Ok(blank),
    });
    weighed.map_err(|error| refused(fields, &error))
}

/// Diameters at distances from the butt.
pub fn measured(fields: &Fields<'_>) -> Result<Vec<Measured>, Problem> {
    let rows = fields.list("measured")?;
    rows.iter()
        .map(|row| {
            let from_butt = row.length("from-butt")?;
            Ok(Measured { from_butt, diameter: row.length("diameter")? })
        })
        .collect()
}

fn joins(fields: &Fields<'_>) -> Result<Vec<Join>, Problem> {
    let rows = fields.optional("joins", Fields::list)?.unwrap_or_default();
    rows.iter()
        .map(|row| {
            let at = row.length("at")?;
            let from = row.optional("from", Fields::length)?.unwrap_or(at);
            let to = row.optional("to", Fields::length)?.unwrap_or(at);
            let factor = row.optional("factor", Fields::number)?;
            if factor.is_some() && from == to {
                let message = "Without a ferrule nothing is stiffer. Give from and to as well.";
                return Err(row.problem("factor", message));
            }
            Ok(Join { at, from, to, factor: Ratio::new::<ratio>(factor.unwrap_or(1.0)) })
        })
        .collect()
}

fn wall(fields: &Fields<'_>) -> Result<Wall, Problem> {
    if !fields.either("wall", "walls")? {
        let rows = fields.list("walls")?;
        let rows = rows.iter().map(|row| Ok((row.length("from-butt")?, row.length("thickness")?)));
        return Ok(Wall::At(rows.collect::<Result<Vec<_>, Problem>>()?));
    }
    if fields.text("wall")? == "solid" {
        return Ok(Wall::Solid);
    }
    Ok(Wall::Even(fields.length("wall")?))
}

/// How the butt is held.
pub fn butt(fields: &Fields<'_>) -> Result<Angle, Problem> {
    fields.angle("butt-angle", -TURN, TURN)
}

/// How strong the load is, and where it pulls.
pub fn load(fields: &Fields<'_>) -> Result<(Force, Angle), Problem> {
    let down = Angle::new::<degree>(90.0);
    if fields.either("hung", "pull")? {
        if fields.has("direction") {
            let message = "What is hung on pulls straight down. Leave this out, or give pull.";
            return Err(fields.problem("direction", message));
        }
        return Ok((fields.hung("hung")?, down));
    }
    let force = fields.force("pull")?;
    let angle = |fields: &Fields<'_>, name: &str| fields.angle(name, -TURN, TURN);
    Ok((force, fields.optional("direction", angle)?.unwrap_or(down)))
}

pub fn sits(fields: &Fields<'_>) -> Result<Sits, Problem> {
    fields.choice("sits", &[("on-top", Sits::OnTop), ("underneath", Sits::Underneath)])
}

pub fn friction(fields: &Fields<'_>) -> Result<Option<Friction>, Problem> {
    if !fields.has("friction") {
        return if fields.has("running") {
            let message = "Without friction it makes no difference. Leave this out, or give it.";
            Err(fields.problem("running", message))
        } else {
            Ok(None)
        };
    }
    let coefficient = fields.number("friction")?;
    if coefficient > 1.0 {
        return Err(fields.problem("friction", BendError::Friction.to_string()));
    }
    let running = fields.choice("running", &[("in", Running::In), ("out", Running::Out)])?;
    Ok(Some(Friction { coefficient: Ratio::new::<ratio>(coefficient), running }))
}

/// What a guide weighs, which counts together with the blank only.
pub fn guide_mass(guide: &Fields<'_>, counts: bool) -> Result<Mass, Problem> {
    if counts {
        return guide.mass("mass");
    }
    if guide.has("mass") {
        let message = "The weight of the blank is not given, so this would not count. Give weight, \
            or leave this out.";
        return Err(guide.problem("mass", message));
    }
    Ok(Mass::default())
}

/// A height as the bend counts it: below zero on top.
pub fn signed(sits: Sits, height: Length) -> Length {
    match sits {
        Sits::OnTop => -height,
        Sits::Underneath => height,
    }
}
