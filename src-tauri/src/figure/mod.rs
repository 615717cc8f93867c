//! Figures on the command line: one JSON object in, one out, each worked out by `trade`.
//!
//! Every figure is a thin adapter: it reads named fields and asks a pure function. What is wrong with
//! a field is said with the field's path; what can't be worked out is said in the figure's own words.

mod adhesive;
mod air;
mod bend;
mod fields;
mod fit;
mod guide_loads;
mod guides;
mod json;
mod loaded;
mod output;
mod quantity;
mod sleeve;
mod spine;

use fields::Fields;
use output::Output;
use serde::Serialize;
use std::fmt;
use std::io::Read;

/// Most that is read from standard input, bytes.
const MOST_INPUT: u64 = 1024 * 1024;

/// Why there is no answer.
#[derive(Debug)]
pub enum Problem {
    /// A field, or the input as a whole, is not what is asked for.
    Input {
        /// The field's path, e.g. `measured[2].diameter`; empty for the input as a whole.
        field: String,
        /// A sentence.
        message: String,
    },
    /// The input is well formed, but no figure follows from it; a sentence.
    Work(String),
}

impl Problem {
    fn whole(message: impl Into<String>) -> Self {
        Self::Input { field: String::new(), message: message.into() }
    }
}

/// One line, whatever was typed.
impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Self::Input { field, message } if field.is_empty() => message.clone(),
            Self::Input { field, message } => format!("{field}: {message}"),
            Self::Work(message) => message.clone(),
        };
        f.write_str(&text.replace(char::is_control, " "))
    }
}

/// A trade error is a figure that can't be worked out.
impl<E: std::error::Error> From<E> for Problem {
    fn from(error: E) -> Self {
        Self::Work(error.to_string())
    }
}

/// A field that a figure reads.
#[derive(Clone, Copy)]
struct Field {
    /// Its path in the group; `[]` stands for each row of a list.
    name: &'static str,
    about: &'static str,
    /// As JSON.
    example: &'static str,
    /// What is said of leaving it out; empty where it can't be.
    note: &'static str,
}

const fn need(name: &'static str, about: &'static str, example: &'static str) -> Field {
    Field { name, about, example, note: "" }
}

const fn may(name: &'static str, about: &'static str, example: &'static str) -> Field {
    Field { name, about, example, note: " (may be left out)" }
}

/// Needed in each row of a list that may be left out.
const fn row(name: &'static str, about: &'static str, example: &'static str) -> Field {
    Field { name, about, example, note: " (the list may be left out)" }
}

/// This or another that its words name.
const fn one_of(name: &'static str, about: &'static str, example: &'static str) -> Field {
    Field { name, about, example, note: " (one of the two)" }
}

/// The same fields in an object that may be left out.
const fn inner<const N: usize>(mut fields: [Field; N]) -> [Field; N] {
    let mut at = 0;
    while at < N {
        if fields[at].note.is_empty() {
            fields[at].note = " (the object may be left out)";
        }
        at += 1;
    }
    fields
}

/// Fields that stand together, below a path.
type Group = (&'static str, &'static [Field]);

/// A figure: what it reads, where it comes from, and how it is worked out.
pub struct Figure {
    /// Its name on the command line.
    pub name: &'static str,
    /// What it works out.
    pub about: &'static str,
    fields: &'static [Group],
    /// A whole input that is answered, as JSON.
    example: &'static str,
    /// The formula's source.
    source: &'static str,
    /// What hurts and what to do, told before anything else.
    cautions: &'static [&'static str],
    work: fn(&Fields<'_>) -> Result<Output, Problem>,
}

#[derive(Serialize)]
struct Answer<'a> {
    figure: &'a str,
    results: output::Results,
    source: &'a str,
    warnings: Vec<String>,
}

impl Figure {
    /// Every field, its full path first.
    fn all(&self) -> impl Iterator<Item = (String, &'static Field)> {
        let groups = self.fields.iter();
        groups.flat_map(|(within, fields)| {
            fields.iter().map(move |field| (format!("{within}{}", field.name), field))
        })
    }

    /// A line for each field: path, what it is, an example; then an empty line and a whole input.
    pub fn field_lines(&self) -> Vec<String> {
        let line = |(path, field): (String, &Field)| {
            format!("{path}\t{}{}\t{}", field.about, field.note, field.example)
        };
        let whole = self.example.split_whitespace().collect::<Vec<_>>().join(" ");
        self.all().map(line).chain([String::new(), whole]).collect()
    }

    /// The answer to `input`, one JSON object, as JSON.
    pub fn answer(&self, input: &[u8]) -> Result<String, Problem> {
        let object = json::object(input)?;
        let fields = Fields::new(self, &object);
        fields.known()?;
        let output = (self.work)(&fields)?;
        let (results, told) = output.finish()?;
        let cautions = self.cautions.iter().map(|&caution| caution.to_owned());
        let mut warnings: Vec<String> = Vec::new();
        for warning in cautions.chain(told) {
            if !warnings.contains(&warning) {
                warnings.push(warning);
            }
        }
        let answer = Answer { figure: self.name, results, source: self.source, warnings };
        Ok(serde_json::to_string_pretty(&answer)?)
    }
}

const GROUPS: [&[Figure]; 8] = [
    fit::FIGURES,
    adhesive::FIGURES,
    sleeve::FIGURES,
    air::FIGURES,
    spine::FIGURES,
    bend::FIGURES,
    guides::FIGURES,
    guide_loads::FIGURES,
];

/// All figures.
pub fn all() -> impl Iterator<Item = &'static Figure> {
    GROUPS.into_iter().flatten()
}

/// The figure of this name.
pub fn find(name: &str) -> Result<&'static Figure, Problem> {
    all().find(|figure| figure.name == name).ok_or_else(|| {
        let name = fields::short(name);
        Problem::whole(format!("There is no figure “{name}”. `coldbench figure --list` names all."))
    })
}

/// All of `input`, unless it is too long.
pub fn read(input: impl Read) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    let read = input.take(MOST_INPUT + 1).read_to_end(&mut bytes);
    if let Err(error) = read {
        return Err(Problem::whole(format!("The input can't be read: {error}.")));
    }
    if u64::try_from(bytes.len()).is_ok_and(|length| length <= MOST_INPUT) {
        Ok(bytes)
    } else {
        Err(Problem::whole("The input is longer than 1 MiB. Leave out what the figure needs not."))
    }
}
