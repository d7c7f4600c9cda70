//! Assumptions that are alike but for their place, together.
//!
//! One job: one line for `/banks/0/role` and `/banks/1/role`. What is assumed, and why, is the
//! checker's.

use crate::scenario::Assumed;

/// Assumptions with one value and one reason at like places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssumedGroup<'a> {
    /// The first of them.
    pub first: &'a Assumed,
    /// How many more there are.
    pub more: usize,
}

impl AssumedGroup<'_> {
    /// Where it is assumed: `/banks/0/role and 3 more`.
    #[must_use]
    pub fn place(&self) -> String {
        match self.more {
            0 => self.first.path.clone(),
            more => format!("{} and {more} more", self.first.path),
        }
    }
}

/// The assumptions in groups, in their own order.
#[must_use]
pub fn assumed_groups(assumed: &[Assumed]) -> Vec<AssumedGroup<'_>> {
    let mut groups: Vec<AssumedGroup<'_>> = Vec::new();
    for entry in assumed {
        let alike = groups.iter_mut().find(|group| {
            kin(&group.first.path) == kin(&entry.path)
                && group.first.value == entry.value
                && group.first.reason == entry.reason
        });
        match alike {
            Some(group) => group.more += 1,
            None => groups.push(AssumedGroup {
                first: entry,
                more: 0,
            }),
        }
    }
    groups
}

/// A path without its numbers, so that `/banks/0/role` and `/banks/1/role` are alike.
fn kin(path: &str) -> String {
    path.split('/')
        .filter(|step| step.parse::<usize>().is_err())
        .collect::<Vec<_>>()
        .join("/")
}
