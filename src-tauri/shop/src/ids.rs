//! Typed ids. They are short, made by [`crate::decide`] from the state, and never reused.

use serde::{Deserialize, Serialize};
use std::fmt;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(String);

        impl $name {
            /// Wraps a text that is known to be such an id, e.g. read from the ledger.
            pub fn new(text: impl Into<String>) -> Self {
                Self(text.into())
            }

            /// The id as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(/** A rod, e.g. `R-3`. */ RodId);
id!(/** A person of the crew, e.g. `P-2`. */ PersonId);
id!(/** A station, e.g. `S-1`. */ StationId);
id!(/** A container of something flammable, e.g. `F-4`. */ ContainerId);
id!(/** A stage, as its checklist file names it, e.g. `rear-grip`. */ StageId);
id!(/** A step or a check, unique within its checklist. */ StepId);
id!(/** A clock, unique within its stage. */ ClockId);
id!(/** A clearance, e.g. `C-7`. */ ClearanceId);
id!(/** A lot of a material, e.g. `L-12`. */ LotId);
id!(/** The SHA-256 of a checklist's bytes, 64 hex digits. */ TextDigest);
