//! The hazards a step may name, and their words.
//!
//! GHS codes always print with their words: the code is no replacement for the statement (GHS
//! annex 3). The wording differs between editions; this is the one common to several public
//! tables built from annex 3 and CLP annex III (read second hand). A product's own data sheet
//! comes first.

/// Code and words of every hazard that a checklist may name.
pub const HAZARDS: &[(&str, &str)] = &[
    ("H225", "Highly flammable liquid and vapour."),
    ("H226", "Flammable liquid and vapour."),
    ("H314", "Causes severe skin burns and eye damage."),
    ("H315", "Causes skin irritation."),
    ("H317", "May cause an allergic skin reaction."),
    ("H318", "Causes serious eye damage."),
    ("H319", "Causes serious eye irritation."),
    ("H334", "May cause allergy or asthma symptoms or breathing difficulties if inhaled."),
    ("H335", "May cause respiratory irritation."),
    ("H336", "May cause drowsiness or dizziness."),
    ("EUH204", "Contains isocyanates. May produce an allergic reaction."),
    ("EUH205", "Contains epoxy constituents. May produce an allergic reaction."),
    ("heat", "Heat: burns, and ignites vapour."),
    ("skin-contact", "Harmful on the skin."),
    ("vapour", "Vapour: harmful to breathe, may burn."),
    ("dust", "Dust: harmful to breathe."),
    ("blade", "Sharp edge: cuts."),
    ("fumes", "Overheated plastic gives off irritating fumes."),
    ("exotherm", "Curing resin in bulk heats itself and may smoke."),
];

/// The words of a hazard, or `None` for an unknown code.
pub fn words(code: &str) -> Option<&'static str> {
    HAZARDS.iter().find(|(known, _)| *known == code).map(|(_, words)| *words)
}

/// Whether a step with this hazard puts flammable vapour into the air of its station.
pub fn is_flammable(code: &str) -> bool {
    matches!(code, "H225" | "H226")
}
