//! The JSON Schema of checklist files, for editors that complete and underline while one writes.
//!
//! It is made of the very types the files are read into, so it knows the keys, their types and the
//! words to choose from. What a value must be beyond that only [`super::read`] knows; an editor that is
//! content does not replace it.

use super::FORMAT;
use super::adhesive::RawAdhesive;
use super::glove::RawGlove;
use super::material::RawMaterial;
use super::sleeve::RawSleeve;
use super::stage::RawStage;
use super::station::{RawList, StationKind};
use crate::hazard::HAZARDS;
use coldbench_trade::Measure;
use coldbench_trade::adhesive::RatioBasis;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Serialize;
use serde_json::{Map, Value, json};
use std::borrow::Cow;

type OfKind = fn(&mut SchemaGenerator) -> Schema;

/// Every kind of file, and what is read of it.
fn kinds() -> impl Iterator<Item = (&'static str, OfKind)> {
    let lists = StationKind::ALL.map(|(name, _)| (name, RawList::json_schema as OfKind));
    let products: [(&str, OfKind); 4] = [
        ("material", RawMaterial::json_schema),
        ("adhesive", RawAdhesive::json_schema),
        ("sleeve", RawSleeve::json_schema),
        ("glove", RawGlove::json_schema),
    ];
    [("stage", RawStage::json_schema as OfKind)].into_iter().chain(lists).chain(products)
}

/// The JSON Schema (draft 2020-12) of every kind of checklist file.
///
/// A file that [`super::read`] uses always holds to it. One that holds to it may still have faults:
/// quantities are texts to the schema, and nothing is compared across keys or files.
pub fn schema() -> Value {
    let mut generator = SchemaSettings::draft2020_12().for_deserialize().into_generator();
    let kinds: Vec<Value> = kinds()
        .map(|(kind, of_kind)| {
            let mut schema = of_kind(&mut generator);
            if let Some(keys) = keys_of(&mut schema) {
                only(keys, "format", FORMAT);
                only(keys, "kind", kind);
            }
            schema.insert("title".to_owned(), json!(kind));
            schema.to_value()
        })
        .collect();
    let mut schema = json_schema!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A checklist file of Coldbench",
        "description": "A stage of the build, a list of a station, or a product. `coldbench lint` finds what no schema can.",
        "oneOf": kinds,
        "$defs": generator.take_definitions(false),
    });
    RecursiveTransform(as_toml).transform(&mut schema);
    schema.to_value()
}

fn keys_of(schema: &mut Schema) -> Option<&mut Map<String, Value>> {
    schema.get_mut("properties")?.as_object_mut()
}

/// Leaves one value for a key, and its description.
fn only(keys: &mut Map<String, Value>, key: &str, value: impl Into<Value>) {
    if let Some(Value::Object(schema)) = keys.get_mut(key) {
        schema.insert("const".to_owned(), value.into());
    }
}

/// From what would do for JSON to what stands in these files.
fn as_toml(schema: &mut Schema) {
    no_null(schema);
    // Widths of integers are no format of the standard; some editors warn about them.
    schema.remove("format");
    if let Some(Value::String(words)) = schema.get_mut("description") {
        // The lines of the source are no lines of the editor.
        *words = words.lines().map(str::trim).collect::<Vec<_>>().join(" ");
    }
    let mut needed = Vec::new();
    for (key, of_key) in keys_of(schema).into_iter().flatten() {
        let Some(of_key) = of_key.as_object_mut() else { continue };
        // An empty list is a fault, so leaving it out is one too.
        if of_key.contains_key("minItems") {
            needed.push(json!(key));
        }
        say_example(key, of_key);
    }
    if let (Some(Value::Array(required)), false) = (schema.get_mut("required"), needed.is_empty()) {
        required.extend(needed);
    }
}

/// TOML has no null: what may be left out is left out.
fn no_null(schema: &mut Schema) {
    let null = json!("null");
    if let Some(Value::Array(types)) = schema.get_mut("type") {
        types.retain(|kind| kind != &null);
        if let [kind] = types.as_slice() {
            let kind = kind.clone();
            schema.insert("type".to_owned(), kind);
        }
    }
    if let Some(Value::Array(mut either)) = schema.remove("anyOf") {
        either.retain(|schema| schema["type"] != null);
        match (either.len(), either.pop()) {
            (1, Some(Value::Object(alone))) => schema.ensure_object().extend(alone),
            (_, last) => {
                either.extend(last);
                schema.insert("anyOf".to_owned(), Value::Array(either));
            }
        }
    }
}

/// Puts the example into the description as a line that could stand in the file: most editors show
/// nothing else.
fn say_example(key: &str, of_key: &mut Map<String, Value>) {
    // Texts, numbers and lists of them are written alike in JSON and TOML.
    let example = of_key.get("examples").and_then(|all| all.get(0)).map(|one| {
        let one = one.to_string().replace("\",\"", "\", \"");
        format!(" For example {key} = {one}")
    });
    if let (Some(Value::String(words)), Some(example)) = (of_key.get_mut("description"), example) {
        words.push_str(&example);
    }
}

/// A text that is one of a list, each with what it stands for.
fn one_of<'a>(names: impl IntoIterator<Item = (Cow<'a, str>, String)>) -> Schema {
    let each: Vec<Value> = names
        .into_iter()
        .map(|(name, words)| json!({ "type": "string", "const": name, "description": words }))
        .collect();
    json_schema!({ "oneOf": each })
}

/// As it is written in a file.
fn written(word: impl Serialize) -> Cow<'static, str> {
    match serde_json::to_value(word) {
        Ok(Value::String(word)) => Cow::Owned(word),
        _ => Cow::Borrowed(""),
    }
}

/// Stands for the code of a hazard.
pub(super) struct Hazard;

impl JsonSchema for Hazard {
    fn schema_name() -> Cow<'static, str> {
        "hazard".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        one_of(HAZARDS.iter().map(|(code, words)| (Cow::Borrowed(*code), (*words).to_owned())))
    }
}

/// Every kind of value that can be measured. `trade` knows nothing of files, so they are named here.
const MEASURES: &[Measure] = &[
    Measure::Length,
    Measure::Temperature,
    Measure::Angle,
    Measure::Mass,
    Measure::Number,
    Measure::Percent,
    Measure::AirSpeed,
    Measure::Area,
    Measure::AirFlow,
    Measure::Volume,
    Measure::Liquid,
    Measure::Time,
];

/// Stands for the name of a [`Measure`].
pub(super) struct MeasureName;

impl JsonSchema for MeasureName {
    fn schema_name() -> Cow<'static, str> {
        "measure".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let words = |measure: Measure| format!("Written for example as {}.", measure.example());
        one_of(MEASURES.iter().map(|measure| (written(measure), words(*measure))))
    }
}

/// Stands for the name of a [`RatioBasis`].
pub(super) struct BasisName;

impl JsonSchema for BasisName {
    fn schema_name() -> Cow<'static, str> {
        "by".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let bases =
            [(RatioBasis::Weight, "Parts by weight."), (RatioBasis::Volume, "Parts by volume.")];
        one_of(bases.map(|(basis, words)| (written(basis), words.to_owned())))
    }
}

#[cfg(test)]
mod tests;
