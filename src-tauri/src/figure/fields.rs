//! Reading fields so that every refusal names the field's path.

use super::quantity::{self, Reading};
use super::{Field, Figure, Problem};
use coldbench_trade::Measure;
use coldbench_trade::air::Limit;
use coldbench_trade::units::{
    Angle, Area, Force, Length, Mass, MassDensity, MolarEnergy, MolarMass, Pressure, Ratio,
    ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate, cubic_meter,
    cubic_meter_per_hour, degree, degree_celsius, gram, meter_per_second, milliliter, percent,
    square_meter,
};
use serde_json::{Map, Value};

/// Longest text that is taken; names come back in the answer.
const LONGEST_TEXT: usize = 120;
/// Most rows of a list: more than anyone measures, few enough to answer at once.
const MOST_ROWS: usize = 200;

/// The fields of one object of the input.
pub struct Fields<'a> {
    figure: &'a Figure,
    /// Of the object: empty, or ends with a point.
    path: String,
    object: &'a Map<String, Value>,
}

/// What was typed, cut where it is too long to quote.
pub fn short(text: &str) -> String {
    let mut short: String = text.chars().take(40).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

impl<'a> Fields<'a> {
    pub fn new(figure: &'a Figure, object: &'a Map<String, Value>) -> Self {
        Self { figure, path: String::new(), object }
    }

    /// Refuses fields that the figure doesn't have, before anything is missed in their stead.
    pub fn known(&self) -> Result<(), Problem> {
        let known: Vec<String> = self.figure.all().map(|(path, _)| path).collect();
        known_within(&known, "", "", self.object)
    }

    /// A refusal of a field here.
    pub fn problem(&self, name: &str, message: impl Into<String>) -> Problem {
        Problem::Input { field: format!("{}{name}", self.path), message: message.into() }
    }

    fn declared(&self, name: &str) -> Option<&'static Field> {
        let path = pattern(&format!("{}{name}", self.path));
        let is_it = |known: &str| known == path || known.strip_prefix(&path) == Some("[]");
        self.figure.all().find(|(known, _)| is_it(known)).map(|(_, field)| field)
    }

    /// Whether the field is there at all; one that is null is, and is refused when it is read.
    pub fn has(&self, name: &str) -> bool {
        self.object.contains_key(name)
    }

    /// Which of two fields is there, exactly one.
    pub fn either(&self, one: &str, other: &str) -> Result<bool, Problem> {
        match (self.has(one), self.has(other)) {
            (true, false) => Ok(true),
            (false, true) => Ok(false),
            (true, true) => {
                Err(self.problem(other, format!("Give either this or {one}, not both.")))
            }
            (false, false) => {
                Err(self.problem(one, format!("This is missing. Give it, or {other} instead.")))
            }
        }
    }

    /// The field, or nothing where it was left out.
    pub fn optional<T>(
        &self,
        name: &str,
        read: impl FnOnce(&Self, &str) -> Result<T, Problem>,
    ) -> Result<Option<T>, Problem> {
        if self.has(name) { read(self, name).map(Some) } else { Ok(None) }
    }

    fn value(&self, name: &str) -> Result<&'a Value, Problem> {
        self.object.get(name).ok_or_else(|| {
            let example = self
                .declared(name)
                .map_or(String::new(), |field| format!(" Give it, for example {}.", field.example));
            self.problem(name, format!("This is missing.{example}"))
        })
    }

    /// A text of moderate length that is not empty.
    pub fn text(&self, name: &str) -> Result<&'a str, Problem> {
        self.as_text(name, self.declared(name), self.value(name)?)
    }

    fn as_text(
        &self,
        name: &str,
        declared: Option<&Field>,
        value: &'a Value,
    ) -> Result<&'a str, Problem> {
        let Some(text) = value.as_str() else {
            let example = declared.map_or("\"16.2 mm\"", |field| field.example);
            let what = format!("This must be text, in quotes, for example {example}.");
            return Err(self.problem(name, what));
        };
        if text.trim().is_empty() {
            return Err(self.problem(name, "This is empty. Write what it is."));
        }
        if text.chars().count() > LONGEST_TEXT {
            return Err(self.problem(name, "This text is too long. Write it shorter."));
        }
        Ok(text.trim())
    }

    fn read<T>(&self, name: &str, reading: fn(&str) -> Reading<T>) -> Result<T, Problem> {
        reading(self.text(name)?).map_err(|message| self.problem(name, message))
    }

    fn measure(&self, name: &str, measure: Measure) -> Result<f64, Problem> {
        quantity::measure(self.text(name)?, measure).map_err(|message| self.problem(name, message))
    }

    pub fn length(&self, name: &str) -> Result<Length, Problem> {
        self.read(name, quantity::length)
    }

    /// A length above zero.
    pub fn some_length(&self, name: &str) -> Result<Length, Problem> {
        let length = self.length(name)?;
        if length.value > 0.0 {
            return Ok(length);
        }
        Err(self.problem(name, "This must be more than zero. Measure it again."))
    }

    /// An angle between two bounds, in degrees.
    pub fn angle(&self, name: &str, least: f64, most: f64) -> Result<Angle, Problem> {
        let angle = self.read(name, quantity::angle)?;
        self.angle_within(name, angle, least, most)
    }

    fn angle_within(
        &self,
        name: &str,
        angle: Angle,
        least: f64,
        most: f64,
    ) -> Result<Angle, Problem> {
        if (least..=most).contains(&angle.get::<degree>()) {
            return Ok(angle);
        }
        Err(self.problem(name, format!("This must lie between {least}° and {most}°.")))
    }

    pub fn force(&self, name: &str) -> Result<Force, Problem> {
        self.read(name, quantity::force)
    }

    /// The force with which a mass hangs down.
    pub fn hung(&self, name: &str) -> Result<Force, Problem> {
        self.read(name, quantity::hung)
    }

    pub fn modulus(&self, name: &str) -> Result<Pressure, Problem> {
        self.read(name, quantity::modulus)
    }

    pub fn temperature(&self, name: &str) -> Result<ThermodynamicTemperature, Problem> {
        let celsius = self.measure(name, Measure::Temperature)?;
        Ok(ThermodynamicTemperature::new::<degree_celsius>(celsius))
    }

    pub fn mass(&self, name: &str) -> Result<Mass, Problem> {
        Ok(Mass::new::<gram>(self.measure(name, Measure::Mass)?))
    }

    pub fn liquid(&self, name: &str) -> Result<Volume, Problem> {
        Ok(Volume::new::<milliliter>(self.measure(name, Measure::Liquid)?))
    }

    pub fn room(&self, name: &str) -> Result<Volume, Problem> {
        Ok(Volume::new::<cubic_meter>(self.measure(name, Measure::Volume)?))
    }

    pub fn area(&self, name: &str) -> Result<Area, Problem> {
        Ok(Area::new::<square_meter>(self.measure(name, Measure::Area)?))
    }

    pub fn air_flow(&self, name: &str) -> Result<VolumeRate, Problem> {
        Ok(VolumeRate::new::<cubic_meter_per_hour>(self.measure(name, Measure::AirFlow)?))
    }

    /// Zero or more, e.g. `5 %`.
    pub fn percent(&self, name: &str) -> Result<Ratio, Problem> {
        let share = self.signed_percent(name)?;
        if share.value >= 0.0 {
            return Ok(share);
        }
        Err(self.problem(name, "This must be zero or more."))
    }

    /// A level in the air, `25 %` or `400 ppm`.
    pub fn level(&self, name: &str) -> Result<Ratio, Problem> {
        self.read(name, quantity::level)
    }

    /// Of either sign, e.g. `-10 %`.
    pub fn signed_percent(&self, name: &str) -> Result<Ratio, Problem> {
        Ok(Ratio::new::<percent>(self.read(name, quantity::signed_percent)?))
    }

    pub fn time(&self, name: &str) -> Result<Time, Problem> {
        self.read(name, quantity::time)
    }

    pub fn density(&self, name: &str) -> Result<MassDensity, Problem> {
        self.read(name, quantity::density)
    }

    pub fn molar_mass(&self, name: &str) -> Result<MolarMass, Problem> {
        self.read(name, quantity::molar_mass)
    }

    pub fn molar_energy(&self, name: &str) -> Result<MolarEnergy, Problem> {
        self.read(name, quantity::molar_energy)
    }

    /// A difference of temperatures, in kelvin.
    pub fn kelvin(&self, name: &str) -> Result<f64, Problem> {
        self.read(name, quantity::kelvin)
    }

    pub fn limit(&self, name: &str) -> Result<Limit, Problem> {
        self.read(name, quantity::limit)
    }

    /// A number without a unit, zero or more.
    pub fn number(&self, name: &str) -> Result<f64, Problem> {
        self.measure(name, Measure::Number)
    }

    /// A whole number between two bounds.
    pub fn count(&self, name: &str, least: u32, most: u32) -> Result<usize, Problem> {
        let number = self.number(name)?;
        let mut whole = (0..).zip(0..=most).filter(|&(_, whole)| whole >= least);
        let found = whole.find(|&(_, whole)| (number - f64::from(whole)).abs() < 1e-9);
        found.map(|(count, _)| count).ok_or_else(|| {
            self.problem(name, format!("This must be a whole number from {least} to {most}."))
        })
    }

    /// “yes” or “no”.
    pub fn yes(&self, name: &str) -> Result<bool, Problem> {
        self.choice(name, &[("yes", true), ("no", false)])
    }

    /// One of these words.
    pub fn choice<T: Copy>(&self, name: &str, words: &[(&str, T)]) -> Result<T, Problem> {
        let text = self.text(name)?;
        words.iter().find(|(word, _)| *word == text).map(|&(_, meant)| meant).ok_or_else(|| {
            let known: Vec<String> = words.iter().map(|(word, _)| format!("“{word}”")).collect();
            let known = known.join(" or ");
            self.problem(name, format!("“{}” is not known here. Write {known}.", short(text)))
        })
    }

    /// An object below this one.
    pub fn object(&self, name: &str) -> Result<Fields<'a>, Problem> {
        let value = self.object.get(name);
        let value = value.ok_or_else(|| self.problem(name, "This is missing. Give an object."))?;
        self.below(name, value)
    }

    fn below(&self, name: &str, value: &'a Value) -> Result<Fields<'a>, Problem> {
        let object = value.as_object().ok_or_else(|| {
            self.problem(name, "This must be an object, in braces, as `--fields` shows.")
        })?;
        Ok(Fields { figure: self.figure, path: format!("{}{name}.", self.path), object })
    }

    fn rows(&self, name: &str) -> Result<&'a [Value], Problem> {
        let value = self.object.get(name);
        let value = value.ok_or_else(|| self.problem(name, "This is missing. Give a list."))?;
        let rows = value.as_array().ok_or_else(|| {
            self.problem(name, "This must be a list, in square brackets, as `--fields` shows.")
        })?;
        if rows.is_empty() {
            return Err(self.problem(name, "This list is empty. Give at least one row."));
        }
        if rows.len() > MOST_ROWS {
            let most = format!("This list is too long. Give at most {MOST_ROWS} rows.");
            return Err(self.problem(name, most));
        }
        Ok(rows)
    }

    /// A list of objects, one at least.
    pub fn list(&self, name: &str) -> Result<Vec<Fields<'a>>, Problem> {
        let rows = self.rows(name)?.iter().enumerate();
        rows.map(|(row, value)| self.below(&format!("{name}[{row}]"), value)).collect()
    }

    fn readings<T>(
        &self,
        name: &str,
        reading: impl Fn(&str) -> Reading<T>,
    ) -> Result<Vec<T>, Problem> {
        let rows = self.rows(name)?.iter().enumerate();
        rows.map(|(row, value)| {
            let path = format!("{name}[{row}]");
            let text = self.as_text(&path, self.declared(name), value)?;
            reading(text).map_err(|message| self.problem(&path, message))
        })
        .collect()
    }

    /// A list of lengths, one at least.
    pub fn lengths(&self, name: &str) -> Result<Vec<Length>, Problem> {
        self.readings(name, quantity::length)
    }

    /// A list of angles between two bounds, in degrees; one at least.
    pub fn angles(&self, name: &str, least: f64, most: f64) -> Result<Vec<Angle>, Problem> {
        let angles = self.readings(name, quantity::angle)?.into_iter().enumerate();
        angles
            .map(|(row, angle)| self.angle_within(&format!("{name}[{row}]"), angle, least, most))
            .collect()
    }

    /// A list of air speeds, one at least.
    pub fn speeds(&self, name: &str) -> Result<Vec<Velocity>, Problem> {
        let speed = |text: &str| quantity::measure(text, Measure::AirSpeed);
        let speeds = self.readings(name, speed)?;
        Ok(speeds.into_iter().map(Velocity::new::<meter_per_second>).collect())
    }
}

/// The path with every row number left out, as fields are declared.
fn pattern(path: &str) -> String {
    let mut pattern = String::new();
    let mut inside = false;
    for c in path.chars() {
        inside &= c != ']';
        if !inside {
            pattern.push(c);
        }
        inside |= c == '[';
    }
    pattern
}

/// Refuses the first field of `object` that is not among the `known`. `declared` is the object's path
/// as it is declared, `path` as it is shown.
fn known_within(
    known: &[String],
    declared: &str,
    path: &str,
    object: &Map<String, Value>,
) -> Result<(), Problem> {
    let point = if path.is_empty() { "" } else { "." };
    for (name, value) in object {
        let here = format!("{declared}{point}{name}");
        let shown = format!("{path}{point}{}", short(name));
        let goes_on = |known: &String| {
            let rest = known.strip_prefix(&here);
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
        };
        // A name with a point or bracket in it is none of ours.
        if name.contains(['.', '[']) || !known.iter().any(goes_on) {
            let message = "This figure has no such field. `--fields` names all.".to_owned();
            return Err(Problem::Input { field: shown, message });
        }
        known_below(known, &here, &shown, value)?;
    }
    Ok(())
}

fn known_below(known: &[String], declared: &str, path: &str, value: &Value) -> Result<(), Problem> {
    match value {
        Value::Object(object) => known_within(known, declared, path, object),
        Value::Array(rows) => rows.iter().enumerate().try_for_each(|(row, value)| {
            known_below(known, &format!("{declared}[]"), &format!("{path}[{row}]"), value)
        }),
        _ => Ok(()),
    }
}
