//! Figures as a safety data sheet writes them: numbers, ranges, ranges with an open end.

use super::diagnostic::Findings;
use super::material::{Given, Stated};
use super::spanned::Spanned;
use coldbench_trade::{LengthUnit, Measure, parse_measure};

/// One number above zero and its unit.
pub(super) fn single(text: &str) -> Option<(f64, String)> {
    let (end, rest) = take_end(text)?;
    if end.bound.is_some() || !rest.is_empty() || has_thousands_comma(&end.number) {
        return None;
    }
    let number: f64 = end.number.replace(',', ".").parse().ok()?;
    (number.is_finite() && number > 0.0).then(|| (number, plain(end.unit)))
}

fn plain(unit: &str) -> String {
    unit.to_lowercase().replace('³', "3").replace(char::is_whitespace, "")
}

pub(super) fn is_unknown(text: &Spanned<String>) -> bool {
    text.get_ref().trim().eq_ignore_ascii_case("unknown")
}

pub(super) fn is_none(text: &Spanned<String>) -> bool {
    text.get_ref().trim().eq_ignore_ascii_case("none")
}

/// The figures of a sheet that are given as numbers or ranges.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantity {
    Density,
    Temperature,
    Autoignition,
    LowerLimit,
    Share,
    MolarMass,
}

const ABSOLUTE_ZERO_C: f64 = -273.15;

impl Quantity {
    fn example(self) -> &'static str {
        match self {
            Self::Density => "0.79 g/mL or 0.73–0.76 g/mL",
            Self::Temperature => "-18 °C, 12–40 °C or > 93 °C",
            Self::Autoignition => "465 °C",
            Self::LowerLimit => "2.5 %",
            Self::Share => "100 %, 10–30 % or < 5 %",
            Self::MolarMass => "58.08 g/mol",
        }
    }

    fn if_unknown(self) -> &'static str {
        match self {
            Self::Share => "A share that is unknown is 0–100 %.",
            _ => "If it is unknown, leave it out.",
        }
    }

    /// What such a figure can be. Outside it, a unit or a point slipped.
    fn can_be(self) -> (f64, f64, &'static str) {
        match self {
            Self::Density => (0.3, 5.0, "0.3 to 5 g/mL"),
            Self::Temperature => (-150.0, 1000.0, "-150 to 1000 °C"),
            Self::Autoignition => (30.0, 1000.0, "30 to 1000 °C"),
            Self::LowerLimit => (0.1, 20.0, "0.1 to 20 %"),
            Self::Share => (0.0, 1.0, "0 to 100 %"),
            Self::MolarMass => (10.0, 1e6, "10 g/mol or more"),
        }
    }

    /// The least that “less than” can mean; `None` where the least is the end that counts.
    fn open_below(self) -> Option<f64> {
        match self {
            Self::Density | Self::Share => Some(0.0),
            Self::Temperature => Some(ABSOLUTE_ZERO_C),
            Self::Autoignition | Self::LowerLimit | Self::MolarMass => None,
        }
    }

    /// The most that “more than” can mean; `None` where the most is the end that counts.
    fn open_above(self) -> Option<f64> {
        match self {
            Self::Density => None,
            Self::Share => Some(1.0),
            Self::LowerLimit => Some(100.0),
            Self::Temperature | Self::Autoignition | Self::MolarMass => Some(f64::INFINITY),
        }
    }

    /// A number in a unit, as a number in the kept unit.
    pub(super) fn keep(self, number: &str, unit: &str) -> Option<f64> {
        let number = number.replace(',', ".");
        let unit = plain(unit);
        let as_measure = |unit: &str, measure| {
            parse_measure(&format!("{number} {unit}"), measure, LengthUnit::Millimetre).ok()
        };
        let factor = match (self, unit.as_str()) {
            (Self::Temperature | Self::Autoignition, unit) => {
                return as_measure(unit, Measure::Temperature);
            }
            (Self::Share, "%" | "wt%" | "wt.%" | "%wt" | "%w/w" | "%(w/w)" | "%bymass") => {
                return Some(as_measure("%", Measure::Percent)? / 100.0);
            }
            (Self::LowerLimit, "%" | "vol%" | "vol.%" | "%vol" | "%v/v" | "%(v/v)") => {
                return as_measure("%", Measure::Percent);
            }
            (Self::Density, "g/ml" | "g/cm3" | "g/cc" | "kg/l") | (Self::MolarMass, "g/mol") => 1.0,
            (Self::Density, "kg/m3") => 0.001,
            _ => return None,
        };
        number.parse::<f64>().ok().map(|number| number * factor)
    }
}

/// A figure that every product has, if it is known.
pub(super) fn given(
    text: Option<&Spanned<String>>,
    quantity: Quantity,
    findings: &mut Findings<'_>,
) -> Option<Given> {
    let text = text.filter(|text| !is_unknown(text))?;
    figure(text, quantity, findings)
}

/// A figure that a product may do without.
pub(super) fn stated(
    text: Option<&Spanned<String>>,
    quantity: Quantity,
    findings: &mut Findings<'_>,
) -> Stated {
    if text.is_some_and(is_none) {
        return Stated::HasNone;
    }
    given(text, quantity, findings).map_or(Stated::Unknown, Stated::Given)
}

/// Why a text is no such figure.
enum Slip {
    NotAFigure,
    Comma,
    OpenEnd,
    Crossed,
    CanNotBe,
}

pub(super) fn figure(
    text: &Spanned<String>,
    quantity: Quantity,
    findings: &mut Findings<'_>,
) -> Option<Given> {
    let words = text.get_ref().trim();
    let slip = match span_of(words, quantity) {
        Ok((least, most)) => return Some(Given { least, most, words: words.to_owned() }),
        Err(slip) => slip,
    };
    let (code, message, help) = match slip {
        Slip::NotAFigure => (
            "checklist::bad-value",
            format!("“{words}” is not a figure with a unit known here."),
            format!("Write for example {}. {}", quantity.example(), quantity.if_unknown()),
        ),
        Slip::Comma => (
            "checklist::bad-value",
            format!("The comma in “{words}” may stand for a point or for thousands."),
            "Write the number with a point, and thousands without anything.".to_owned(),
        ),
        Slip::OpenEnd => (
            "checklist::open-end",
            format!("“{words}” leaves the end open that counts."),
            format!(
                "Write the worst it can be, for example {}. {}",
                quantity.example(),
                quantity.if_unknown()
            ),
        ),
        Slip::Crossed => (
            "checklist::limits-crossed",
            format!("In “{words}” the least lies above the most."),
            "Swap the two.".to_owned(),
        ),
        Slip::CanNotBe => (
            "checklist::out-of-range",
            format!("“{words}” can't be: such a figure lies from {}.", quantity.can_be().2),
            "Look at the sheet again, and mind the unit and the point.".to_owned(),
        ),
    };
    findings.error(code, text.span(), message, help);
    None
}

/// Least and most in the kept unit.
fn span_of(text: &str, quantity: Quantity) -> Result<(f64, f64), Slip> {
    let (first, rest) = take_end(text).ok_or(Slip::NotAFigure)?;
    let second = if rest.is_empty() {
        None
    } else {
        let after = rest.strip_prefix("to ").or_else(|| rest.strip_prefix(DASHES));
        let (second, rest) = after.and_then(take_end).ok_or(Slip::NotAFigure)?;
        if !rest.is_empty() {
            return Err(Slip::NotAFigure);
        }
        Some(second)
    };
    let value = |end: &End<'_>, unit: &str| {
        if has_thousands_comma(&end.number) {
            return Err(Slip::Comma);
        }
        let value = quantity.keep(&end.number, unit).ok_or(Slip::NotAFigure)?;
        let (least, most, _) = quantity.can_be();
        if (least..=most).contains(&value) { Ok(value) } else { Err(Slip::CanNotBe) }
    };
    let Some(second) = second else {
        let value = value(&first, first.unit)?;
        return match first.bound {
            None => Ok((value, value)),
            Some(Bound::Below | Bound::AtMost) => {
                Ok((quantity.open_below().ok_or(Slip::OpenEnd)?, value))
            }
            Some(Bound::AtLeast) => Ok((value, quantity.open_above().ok_or(Slip::OpenEnd)?)),
            // “> 93 °C” does not hold 93 °C itself, and that is where flammable ends.
            Some(Bound::Above) => {
                Ok((value.next_up(), quantity.open_above().ok_or(Slip::OpenEnd)?))
            }
        };
    };
    if matches!(first.bound, Some(Bound::Below | Bound::AtMost))
        || matches!(second.bound, Some(Bound::Above | Bound::AtLeast))
    {
        return Err(Slip::NotAFigure);
    }
    // “10–30 %”: the unit stands once, at either end.
    let unit = |own, other| if plain(own).is_empty() { other } else { own };
    let least = value(&first, unit(first.unit, second.unit))?;
    let most = value(&second, unit(second.unit, first.unit))?;
    let least = if first.bound == Some(Bound::Above) { least.next_up() } else { least };
    if least > most { Err(Slip::Crossed) } else { Ok((least, most)) }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bound {
    Below,
    AtMost,
    Above,
    AtLeast,
}

const BOUNDS: &[(&str, Bound)] = &[
    ("<=", Bound::AtMost),
    (">=", Bound::AtLeast),
    ("≤", Bound::AtMost),
    ("≥", Bound::AtLeast),
    ("<", Bound::Below),
    (">", Bound::Above),
    ("up to ", Bound::AtMost),
];

/// Hyphen, en dash, em dash, minus: whatever an editor or a sheet puts between two numbers.
const DASHES: &[char] = &['-', '–', '—', '−'];

/// One end of a range as written.
struct End<'a> {
    bound: Option<Bound>,
    /// Sign and digits, the minus as a hyphen.
    number: String,
    unit: &'a str,
}

/// Takes a bound, a number and a unit from the front; the unit ends where a range goes on.
fn take_end(text: &str) -> Option<(End<'_>, &str)> {
    let text = text.trim();
    let bound = BOUNDS.iter().find_map(|(sign, bound)| Some((*bound, text.strip_prefix(*sign)?)));
    let (bound, text) = bound.map_or((None, text), |(bound, rest)| (Some(bound), rest));
    let text = text.trim_start();
    let digits = text.strip_prefix(['-', '−', '+']).unwrap_or(text);
    let sign = if text.starts_with(['-', '−']) { "-" } else { "" };
    let end = digits
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .unwrap_or(digits.len());
    let (number, rest) = digits.split_at(end);
    if !number.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let stop = [rest.find(DASHES), rest.find(" to ")].into_iter().flatten().min();
    let (unit, rest) = rest.split_at(stop.unwrap_or(rest.len()));
    Some((End { bound, number: format!("{sign}{number}"), unit: unit.trim() }, rest.trim_start()))
}

/// What stands after “more than” or “at least”, or the whole text without a bound; `None` after “less
/// than”, where the least it may be is left open.
pub(super) fn at_least(text: &str) -> Option<&str> {
    let text = text.trim();
    match BOUNDS.iter().find_map(|(sign, bound)| Some((*bound, text.strip_prefix(*sign)?))) {
        None => Some(text),
        Some((Bound::Above | Bound::AtLeast, rest)) => Some(rest.trim_start()),
        Some((Bound::Below | Bound::AtMost, _)) => None,
    }
}

/// “1,000” could be one or a thousand; “0,791” could not.
pub(super) fn has_thousands_comma(number: &str) -> bool {
    number.split_once(',').is_some_and(|(whole, rest)| {
        rest.contains(',')
            || rest.len() == 3
                && whole.trim_start_matches('-').contains(|c: char| matches!(c, '1'..='9'))
    })
}
