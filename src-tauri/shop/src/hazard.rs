//! The hazards a step may name, and their words.
//!
//! GHS codes always print with their words: the code is no replacement for the statement (GHS
//! annex 3). The wording differs between editions; this is the one common to several public
//! tables built from annex 3 and CLP annex III (read second hand; H220 to H224,
//! H227 to H312, H330 to H332, H340 to H413 and EUH066 from memory). A product's own data sheet
//! comes first.

/// Code and words of every hazard that a checklist may name.
pub const HAZARDS: &[(&str, &str)] = &[
    ("H220", "Extremely flammable gas."),
    ("H222", "Extremely flammable aerosol."),
    ("H223", "Flammable aerosol."),
    ("H224", "Extremely flammable liquid and vapour."),
    ("H225", "Highly flammable liquid and vapour."),
    ("H226", "Flammable liquid and vapour."),
    ("H227", "Combustible liquid."),
    ("H228", "Flammable solid."),
    ("H229", "Pressurised container: may burst if heated."),
    ("H290", "May be corrosive to metals."),
    ("H300", "Fatal if swallowed."),
    ("H301", "Toxic if swallowed."),
    ("H302", "Harmful if swallowed."),
    ("H304", "May be fatal if swallowed and enters airways."),
    ("H310", "Fatal in contact with skin."),
    ("H311", "Toxic in contact with skin."),
    ("H312", "Harmful in contact with skin."),
    ("H314", "Causes severe skin burns and eye damage."),
    ("H315", "Causes skin irritation."),
    ("H317", "May cause an allergic skin reaction."),
    ("H318", "Causes serious eye damage."),
    ("H319", "Causes serious eye irritation."),
    ("H330", "Fatal if inhaled."),
    ("H331", "Toxic if inhaled."),
    ("H332", "Harmful if inhaled."),
    ("H334", "May cause allergy or asthma symptoms or breathing difficulties if inhaled."),
    ("H335", "May cause respiratory irritation."),
    ("H336", "May cause drowsiness or dizziness."),
    ("H340", "May cause genetic defects."),
    ("H341", "Suspected of causing genetic defects."),
    ("H350", "May cause cancer."),
    ("H351", "Suspected of causing cancer."),
    ("H360", "May damage fertility or the unborn child."),
    ("H361", "Suspected of damaging fertility or the unborn child."),
    ("H362", "May cause harm to breast-fed children."),
    ("H370", "Causes damage to organs."),
    ("H371", "May cause damage to organs."),
    ("H372", "Causes damage to organs through prolonged or repeated exposure."),
    ("H373", "May cause damage to organs through prolonged or repeated exposure."),
    ("H400", "Very toxic to aquatic life."),
    ("H410", "Very toxic to aquatic life with long lasting effects."),
    ("H411", "Toxic to aquatic life with long lasting effects."),
    ("H412", "Harmful to aquatic life with long lasting effects."),
    ("H413", "May cause long lasting harmful effects to aquatic life."),
    ("EUH066", "Repeated exposure may cause skin dryness or cracking."),
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
    matches!(code, "H220" | "H222" | "H223" | "H224" | "H225" | "H226")
}
