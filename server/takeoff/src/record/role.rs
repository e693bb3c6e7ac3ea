//! Who may: the roles, from the least on.

use serde::{Deserialize, Serialize};

/// A role; a later one may all that an earlier one may.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Anyone, not signed in.
    Stranger,
    /// An engineer or inspector: reads, sees no prices, changes nothing.
    Guest,
    /// One of the crew: records, buys, marks done; sees prices.
    Crew,
    /// The lead: everything.
    Lead,
}

impl Role {
    /// Its name as stored and shown.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Stranger => "stranger",
            Self::Guest => "guest",
            Self::Crew => "crew",
            Self::Lead => "lead",
        }
    }

    /// The role of that name.
    pub fn named(name: &str) -> Option<Self> {
        [Self::Stranger, Self::Guest, Self::Crew, Self::Lead]
            .into_iter()
            .find(|role| role.name() == name)
    }
}
