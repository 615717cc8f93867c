//! A value of a file together with its place in it.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use std::borrow::Cow;
use std::ops::Range;

/// The value, and the bytes of the file where it stands. The one of `toml` in all but the schema,
/// which is that of the value alone: the place is not written.
#[derive(Debug, Clone, Deserialize)]
#[serde(transparent)]
pub(super) struct Spanned<T>(toml::Spanned<T>);

impl<T> Spanned<T> {
    pub(super) fn new(place: Range<usize>, value: T) -> Self {
        Self(toml::Spanned::new(place, value))
    }

    pub(super) fn span(&self) -> Range<usize> {
        self.0.span()
    }

    pub(super) fn get_ref(&self) -> &T {
        self.0.get_ref()
    }

    pub(super) fn into_inner(self) -> T {
        self.0.into_inner()
    }
}

impl<T: JsonSchema> JsonSchema for Spanned<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}
