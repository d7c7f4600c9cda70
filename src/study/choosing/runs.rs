//! What a choice sets, and what it needs of a scenario's trials.

use serde::Serialize;
use serde_json::Value;

use crate::scenario::{Role, Scenario};

/// Keys and values, serialised as a JSON object in the order given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings(pub Vec<(String, Value)>);

impl Serialize for Settings {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

/// Trials in which something held.
pub(super) fn hits(held: &[bool]) -> u64 {
    held.iter().filter(|&&held| held).count() as u64
}

/// Indices of the house banks.
pub(super) fn house_banks(scenario: &Scenario) -> Vec<usize> {
    (0..scenario.banks.len())
        .filter(|&bank| scenario.banks[bank].role == Role::House)
        .collect()
}
