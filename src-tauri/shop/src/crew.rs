//! The people of the workshop.

use serde::{Deserialize, Serialize};

/// What a person may do alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Builds, teaches, witnesses, adds people and stations.
    Lead,
    /// Builds; a lead witnesses where the step asks for it.
    Helper,
}

impl Role {
    /// The role in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Lead => "lead",
            Self::Helper => "helper",
        }
    }
}

/// A person of the crew, present or past.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// Name, as printed.
    pub name: String,
    /// Role.
    pub role: Role,
    /// Whether they are still of the crew.
    pub present: bool,
}
