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

/// In which edition the precautionary statements are worded, and what comes before them.
pub const PRECAUTIONS_EDITION: &str = "Precautionary statements in the words of GHS annex 3, revisions 7 to 9, as public tables have them (read second hand); other editions differ. The label and the safety data sheet of the product come first.";

/// Code and words of the precautionary statements that go with the hazards here. Where the words leave
/// a gap for the supplier to fill, the product's own label fills it.
pub const PRECAUTIONS: &[(&str, &str)] = &[
    (
        "P210",
        "Keep away from heat, hot surfaces, sparks, open flames and other ignition sources. No smoking.",
    ),
    ("P233", "Keep container tightly closed."),
    ("P240", "Ground and bond container and receiving equipment."),
    ("P241", "Use explosion-proof [electrical/ventilating/lighting/…] equipment."),
    ("P242", "Use non-sparking tools."),
    ("P243", "Take action to prevent static discharges."),
    ("P261", "Avoid breathing dust/fume/gas/mist/vapours/spray."),
    ("P271", "Use only outdoors or in a well-ventilated area."),
    ("P280", "Wear protective gloves/protective clothing/eye protection/face protection/…"),
    ("P302+P352", "IF ON SKIN: Wash with plenty of water/…"),
    (
        "P303+P361+P353",
        "IF ON SKIN (or hair): Take off immediately all contaminated clothing. Rinse skin with water [or shower].",
    ),
    (
        "P305+P351+P338",
        "IF IN EYES: Rinse cautiously with water for several minutes. Remove contact lenses, if present and easy to do. Continue rinsing.",
    ),
    ("P333+P313", "If skin irritation or rash occurs: Get medical advice/attention."),
    ("P362+P364", "Take off contaminated clothing and wash it before reuse."),
    ("P370+P378", "In case of fire: Use … to extinguish."),
    ("P403+P235", "Store in a well-ventilated place. Keep cool."),
];

/// The codes of the precautionary statements that go with a hazard; none where no official code
/// stands for it. For flammable liquids: CLP annex I, table 2.6.2 (read); P501 and the signal words
/// are left to the label. For the others: from memory.
pub fn precautions_of(code: &str) -> &'static [&'static str] {
    match code {
        "H224" | "H225" | "H226" => &[
            "P210",
            "P233",
            "P240",
            "P241",
            "P242",
            "P243",
            "P280",
            "P303+P361+P353",
            "P370+P378",
            "P403+P235",
        ],
        "H314" => &["P280", "P303+P361+P353", "P305+P351+P338"],
        "H315" => &["P280", "P302+P352", "P362+P364"],
        "H317" => &["P261", "P280", "P302+P352", "P333+P313", "P362+P364"],
        "H318" | "H319" => &["P280", "P305+P351+P338"],
        "H332" | "H335" | "H336" => &["P261", "P271"],
        "H334" => &["P261"],
        _ => &[],
    }
}

/// The precautionary statements that go with some hazards, each once, code and words, in the order of
/// their codes.
pub fn precautions<'a>(codes: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let asked: Vec<&str> = codes.into_iter().flat_map(precautions_of).copied().collect();
    PRECAUTIONS
        .iter()
        .filter(|(code, _)| asked.contains(code))
        .map(|(code, words)| format!("{code} {words}"))
        .collect()
}

/// Whether a step with this hazard puts flammable vapour into the air of its station.
pub fn is_flammable(code: &str) -> bool {
    matches!(code, "H220" | "H222" | "H223" | "H224" | "H225" | "H226")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_statement_that_a_hazard_names_has_its_words() {
        for (hazard, _) in HAZARDS {
            for code in precautions_of(hazard) {
                assert!(PRECAUTIONS.iter().any(|(known, _)| known == code), "{hazard}: {code}");
            }
        }
        let named: Vec<&str> =
            HAZARDS.iter().flat_map(|(code, _)| precautions_of(code)).copied().collect();
        for (code, words) in PRECAUTIONS {
            assert!(named.contains(code), "{code} goes with no hazard");
            assert!(words.ends_with(['.', '…']), "{code}");
        }
    }

    #[test]
    fn each_statement_stands_once_and_in_order() {
        let told = precautions(["H317", "H225", "H319", "dust"]);
        assert_eq!(told.iter().filter(|line| line.starts_with("P280 ")).count(), 1);
        assert!(told.is_sorted(), "{told:?}");
        assert!(precautions(["dust", "heat"]).is_empty());
    }
}
