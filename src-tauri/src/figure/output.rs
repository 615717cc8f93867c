//! What a figure answers.

use super::Problem;
use coldbench_trade::in_millimetres;
use coldbench_trade::units::{
    Angle, Force, Length, Mass, Ratio, ThermodynamicTemperature, Time, Torque, Volume, degree,
    degree_celsius, gram, hour, milliliter, minute, newton, newton_meter, percent, ratio,
};
use serde::{Serialize, Serializer};
use serde_json::{Value, json};
use std::fmt::Display;

/// Results in the order in which they were given.
pub struct Results(Vec<(&'static str, Value)>);

impl Serialize for Results {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

/// Results and what to tell beside them.
#[derive(Default)]
pub struct Output {
    results: Vec<(&'static str, Value)>,
    warnings: Vec<String>,
}

impl Output {
    /// Adds a result.
    pub fn with(mut self, name: &'static str, value: Value) -> Self {
        self.results.push((name, value));
        self
    }

    /// Adds a result if there is one.
    pub fn with_some(self, name: &'static str, value: Option<Value>) -> Self {
        match value {
            Some(value) => self.with(name, value),
            None => self,
        }
    }

    /// Adds sentences to tell beside the results.
    pub fn telling<W: Display>(mut self, warnings: impl IntoIterator<Item = W>) -> Self {
        self.warnings.extend(warnings.into_iter().map(|warning| warning.to_string()));
        self
    }

    /// Results and warnings, unless a result is no number.
    pub fn finish(self) -> Result<(Results, Vec<String>), Problem> {
        if self.results.iter().any(|(_, value)| no_number(value)) {
            let words = "The figures are too large to reckon with. Check the units.";
            return Err(Problem::Work(words.to_owned()));
        }
        Ok((Results(self.results), self.warnings))
    }
}

/// JSON has no infinity: it becomes null, which stands nowhere else in a result.
fn no_number(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(rows) => rows.iter().any(no_number),
        Value::Object(object) => object.values().any(no_number),
        _ => false,
    }
}

/// To ten figures: what binary fractions leave beyond them means nothing.
fn rounded(value: f64) -> Value {
    let short = format!("{value:.9e}").parse::<f64>().unwrap_or(value);
    // No minus before nothing.
    json!(if short == 0.0 { 0.0 } else { short })
}

pub fn number(value: f64, unit: &str) -> Value {
    json!({ "value": rounded(value), "unit": unit })
}

pub fn between(value: f64, least: f64, most: f64, unit: &str) -> Value {
    json!({
        "value": rounded(value), "unit": unit, "least": rounded(least), "most": rounded(most),
    })
}

pub fn mm(length: Length) -> Value {
    number(in_millimetres(length), "mm")
}

/// With bounds.
pub fn mm_between(length: Length, least: Length, most: Length) -> Value {
    between(in_millimetres(length), in_millimetres(least), in_millimetres(most), "mm")
}

pub fn ml(volume: Volume) -> Value {
    number(volume.get::<milliliter>(), "mL")
}

pub fn g(mass: Mass) -> Value {
    number(mass.get::<gram>(), "g")
}

pub fn minutes(time: Time) -> Value {
    number(time.get::<minute>(), "min")
}

pub fn hours(time: Time) -> Value {
    number(time.get::<hour>(), "h")
}

pub fn share(part: Ratio) -> Value {
    number(part.get::<percent>(), "%")
}

pub fn celsius(temperature: ThermodynamicTemperature) -> Value {
    number(temperature.get::<degree_celsius>(), "°C")
}

pub fn degrees(angle: Angle) -> Value {
    number(angle.get::<degree>(), "°")
}

pub fn newtons(force: Force) -> Value {
    number(force.get::<newton>(), "N")
}

pub fn newton_metres(moment: Torque) -> Value {
    number(moment.get::<newton_meter>(), "N·m")
}

/// How many times as much.
pub fn times(factor: Ratio) -> Value {
    number(factor.get::<ratio>(), "")
}

pub fn yes(holds: bool) -> Value {
    json!(if holds { "yes" } else { "no" })
}
