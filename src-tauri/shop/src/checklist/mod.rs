//! Checklist files: reading them, and saying what is wrong with them.
//!
//! A file is TOML with `format = 1` and a `kind`: `stage`; a list of a station, as
//! [`StationKind::ALL`] names them; or, of a product, `material` from its safety data sheet,
//! `adhesive`, `sleeve` or `glove` from its technical one.
//! Every problem found is reported with its line; a file with an error is not used.

mod adhesive;
mod clock;
mod common;
mod condition;
mod diagnostic;
mod figure;
mod glove;
mod material;
mod picture;
mod reading;
mod schema;
mod sheet_figure;
mod sleeve;
mod spanned;
mod stage;
mod station;
mod step;
mod wording;

pub use adhesive::Adhesive;
pub use clock::{ClockKind, ClockStart, Runs};
pub use condition::{Condition, GuidePath, Pieces};
pub use diagnostic::{Diagnostic, Severity};
pub use figure::{FigureAsked, FigureKind};
pub use glove::{Against, Glove};
pub use material::{AirLimit, Component, Evaporating, Given, Material, QuickAmount, Stated};
pub use picture::PictureName;
pub use schema::schema;
pub use sleeve::Sleeve;
pub use stage::{CureNeed, Stage};
pub use station::{AnswerKind, Check, HeatLimits, Proof, StationKind, StationList};
pub use step::{Record, Step};

use crate::ids::TextDigest;
use diagnostic::Findings;
use serde::Deserialize;
use spanned::Spanned;

/// The format this program reads.
pub const FORMAT: i64 = 1;

/// A checklist that can be used.
#[derive(Debug, Clone, PartialEq)]
pub enum Checklist {
    /// A part of the build of a rod.
    Stage(Stage),
    /// What is gone through at a station.
    Station(StationList),
    /// A product, from its safety data sheet.
    Material(Material),
    /// A two-part adhesive, from its technical sheet.
    Adhesive(Adhesive),
    /// A family of heat-shrink sleeves, from its maker's sheet.
    Sleeve(Sleeve),
    /// A kind of glove, from its maker's list.
    Glove(Glove),
}

impl Checklist {
    /// The id the file gives itself.
    pub fn id(&self) -> &str {
        match self {
            Self::Stage(stage) => stage.id.as_str(),
            Self::Station(list) => &list.id,
            Self::Material(material) => &material.id,
            Self::Adhesive(adhesive) => &adhesive.id,
            Self::Sleeve(sleeve) => &sleeve.id,
            Self::Glove(glove) => &glove.id,
        }
    }
}

impl Checklist {
    /// Its kind, as its file says.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Stage(_) => "stage",
            Self::Station(list) => list.kind.name(),
            Self::Material(_) => "material",
            Self::Adhesive(_) => "adhesive",
            Self::Sleeve(_) => "sleeve",
            Self::Glove(_) => "glove",
        }
    }

    /// Its title.
    pub fn title(&self) -> &str {
        match self {
            Self::Stage(stage) => &stage.title,
            Self::Station(list) => &list.title,
            Self::Material(material) => &material.title,
            Self::Adhesive(adhesive) => &adhesive.title,
            Self::Sleeve(sleeve) => &sleeve.title,
            Self::Glove(glove) => &glove.title,
        }
    }
}

/// A usable checklist together with the very text it was read from.
#[derive(Debug, Clone, PartialEq)]
pub struct Signed<T> {
    /// SHA-256 of the bytes of `source`.
    pub digest: TextDigest,
    /// The text as it stands in the file.
    pub source: String,
    /// What it says.
    pub list: T,
}

/// A stage as it is begun: with the texts of the products that its figures rest on.
#[derive(Debug, Clone, PartialEq)]
pub struct ToBegin {
    /// The stage.
    pub stage: Signed<Stage>,
    /// Digest and text of each product.
    pub products: Vec<(TextDigest, String)>,
    /// The stage that comes with Coldbench, where the shop's own takes its place.
    pub over: Option<Signed<Stage>>,
}

impl From<Signed<Stage>> for ToBegin {
    fn from(stage: Signed<Stage>) -> Self {
        Self { stage, products: Vec::new(), over: None }
    }
}

/// A station list as it is begun.
#[derive(Debug, Clone, PartialEq)]
pub struct ListToBegin {
    /// The list.
    pub list: Signed<StationList>,
    /// The list that comes with Coldbench, where the shop's own takes its place.
    pub over: Option<Signed<StationList>>,
}

impl From<Signed<StationList>> for ListToBegin {
    fn from(list: Signed<StationList>) -> Self {
        Self { list, over: None }
    }
}

/// The outcome of reading one file: warnings may stand beside a usable checklist.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// The checklist, unless an error stands in `findings`.
    pub checklist: Option<Checklist>,
    /// Everything that was found wrong or unwise.
    pub findings: Vec<Diagnostic>,
}

#[derive(Deserialize)]
struct Head {
    format: Option<Spanned<i64>>,
    kind: Option<Spanned<String>>,
}

/// Reads a checklist from its text.
pub fn read(source: &str) -> Read {
    let mut findings = Findings::new(source);
    let checklist = read_into(source, &mut findings);
    let usable = !findings.has_errors();
    Read { checklist: checklist.filter(|_| usable), findings: findings.into_inner() }
}

/// Every kind of file, quoted, for a sentence.
fn kinds_in_words() -> String {
    let lists = StationKind::ALL.iter().map(|(name, _)| *name);
    let others = ["material", "adhesive", "sleeve"];
    let all: Vec<String> = ["stage"]
        .into_iter()
        .chain(lists)
        .chain(others)
        .map(|name| format!("\"{name}\""))
        .collect();
    format!("{} or \"glove\"", all.join(", "))
}

/// Where the head of a file has a key that was probably meant to be this one; else its beginning.
fn nearly(key: &str, source: &str) -> std::ops::Range<usize> {
    let mut at = 0;
    for line in source.split_inclusive('\n').take_while(|line| !line.starts_with('[')) {
        let written = line.split('=').next().unwrap_or_default().trim_end();
        if line.contains('=') && strsim::damerau_levenshtein(written, key) <= 1 {
            return at..at + written.len();
        }
        at += line.len();
    }
    0..0
}

fn read_into(source: &str, findings: &mut Findings<'_>) -> Option<Checklist> {
    let head: Head = parse(source, findings)?;
    let Some(format) = head.format else {
        findings.error(
            "checklist::no-format",
            nearly("format", source),
            "The file does not say which format it has.",
            "Write format = 1 as its first line.",
        );
        return None;
    };
    if *format.get_ref() != FORMAT {
        let message = if *format.get_ref() > FORMAT {
            format!(
                "Format {} is newer than this Coldbench, which reads format {FORMAT}.",
                format.get_ref()
            )
        } else {
            format!("There is no format {}.", format.get_ref())
        };
        findings.error(
            "checklist::other-format",
            format.span(),
            message,
            "Use a newer Coldbench, or ask the author for a file with format = 1.",
        );
        return None;
    }
    let kinds = format!("Write kind = {}.", kinds_in_words());
    let Some(kind) = head.kind else {
        findings.error(
            "checklist::no-kind",
            nearly("kind", source),
            "The file does not say what kind of checklist it is.",
            kinds,
        );
        return None;
    };
    match kind.get_ref().as_str() {
        "stage" => stage::read(parse(source, findings)?, findings).map(Checklist::Stage),
        "material" => material::read(parse(source, findings)?, findings).map(Checklist::Material),
        "adhesive" => adhesive::read(parse(source, findings)?, findings).map(Checklist::Adhesive),
        "sleeve" => sleeve::read(parse(source, findings)?, findings).map(Checklist::Sleeve),
        "glove" => Some(Checklist::Glove(glove::read(parse(source, findings)?, findings))),
        other => {
            let list = StationKind::ALL.iter().find(|(name, _)| *name == other);
            if let Some((_, kind)) = list {
                return station::read(*kind, parse(source, findings)?, findings)
                    .map(Checklist::Station);
            }
            let message = format!("“{other}” is no kind of checklist.");
            findings.error("checklist::unknown-kind", kind.span(), message, kinds);
            None
        }
    }
}

/// TOML to a type; a syntax error becomes a finding at its place.
fn parse<T: for<'de> Deserialize<'de>>(source: &str, findings: &mut Findings<'_>) -> Option<T> {
    match toml::from_str(source) {
        Ok(value) => Some(value),
        Err(error) => {
            let message = error.message().trim().trim_end_matches('.');
            let told = in_our_words(message)
                .unwrap_or_else(|| format!("This part can't be read: {message}."));
            let mend = "Mend the marked place; the rest of the file is looked at after that.";
            findings.error(
                "checklist::unreadable",
                error.span().unwrap_or(0..0),
                told,
                did_you_mean(message).unwrap_or_else(|| mend.to_owned()),
            );
            None
        }
    }
}

/// What the parser says of a key or a word that it does not know: it names it first and then those it
/// knows, each between backticks.
fn in_our_words(message: &str) -> Option<String> {
    let quoted = |of: &str| -> Vec<String> {
        of.split('`').skip(1).step_by(2).map(|name| format!("“{name}”")).collect()
    };
    if let Some(rest) = message.strip_prefix("unknown field ") {
        let names = quoted(rest);
        return Some(format!("There is no key {} here.", names.first()?));
    }
    let names = quoted(message.strip_prefix("unknown variant ")?);
    let (wrong, known) = names.split_first()?;
    Some(format!("{wrong} is none of the words that can stand here: {}.", known.join(", ")))
}

/// A suggestion for a misspelt key or word.
fn did_you_mean(message: &str) -> Option<String> {
    let rest = message.strip_prefix("unknown field ").or(message.strip_prefix("unknown variant "));
    let mut names = rest?.split('`').skip(1).step_by(2);
    let wrong = names.next()?;
    let (_, near) = names
        .map(|known| (strsim::damerau_levenshtein(known, wrong), known))
        .filter(|(distance, _)| *distance <= 2)
        .min()?;
    Some(format!("Did you mean “{near}”?"))
}

#[cfg(test)]
mod tests;
