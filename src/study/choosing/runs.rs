//! Small things that every choice asks of a scenario and its trials.

use crate::scenario::{Role, Scenario};

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
