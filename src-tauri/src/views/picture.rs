//! The name of a drawing, as the shop knows it. The list crosses as it is, so that a drawing that is
//! named and not drawn fails the screens' type check.

use coldbench_shop::checklist;
use serde::Serialize;
use ts_rs::{Config, TS};

/// The name of a drawing in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct PictureName(pub checklist::PictureName);

impl TS for PictureName {
    type WithoutGenerics = Self;
    type OptionInnerType = Self;

    fn name(_: &Config) -> String {
        "PictureName".to_owned()
    }

    fn inline(_: &Config) -> String {
        let names = checklist::PictureName::ALL.iter().map(|name| format!("\"{}\"", name.name()));
        names.collect::<Vec<_>>().join(" | ")
    }

    fn decl(config: &Config) -> String {
        format!("type {} = {};", Self::name(config), Self::inline(config))
    }
}
