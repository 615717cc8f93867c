//! JSON in which no field stands twice: of two diameters for one place, neither may win unseen.

use super::{Problem, fields};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};
use std::fmt;

/// The one object of an input.
pub fn object(input: &[u8]) -> Result<Map<String, Value>, Problem> {
    if input.trim_ascii().is_empty() {
        return Err(Problem::whole(
            "The input is empty. Give one JSON object; `--fields` shows an example.",
        ));
    }
    match serde_json::from_slice::<Once>(input) {
        Ok(Once(Value::Object(object))) => Ok(object),
        Ok(_) => Err(Problem::whole("The input is no JSON object. Give one, as `--fields` shows.")),
        Err(error) => Err(Problem::whole(format!("The input can't be read as JSON: {error}."))),
    }
}

struct Once(Value);

impl<'de> Deserialize<'de> for Once {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(OnceVisitor).map(Self)
    }
}

struct OnceVisitor;

impl<'de> Visitor<'de> for OnceVisitor {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut rows: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        while let Some(Once(row)) = rows.next_element()? {
            list.push(row);
        }
        Ok(Value::Array(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let mut object = Map::new();
        while let Some(name) = entries.next_key::<String>()? {
            let Once(value) = entries.next_value()?;
            if object.contains_key(&name) {
                let name = fields::short(&name);
                return Err(A::Error::custom(format!("the field “{name}” stands twice")));
            }
            object.insert(name, value);
        }
        Ok(Value::Object(object))
    }
}
