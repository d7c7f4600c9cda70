//! Keys that belong to certain kinds alone.

use super::super::parts::Kinds;
use super::super::problem::not_for_kind;
use super::findings::Findings;
use crate::units::joined;

/// Refuses the keys of a part that belong to other kinds than its own.
pub(super) fn refuse_others(file: &impl Kinds, kind: &str, path: &str, notes: &mut Findings<'_>) {
    for (key, is_given, kinds) in file.of_kinds() {
        if is_given && !kinds.contains(&kind) {
            let kinds: Vec<String> = kinds.iter().map(|kind| format!("`{kind}`")).collect();
            let fault = not_for_kind("kind", kind, &joined(&kinds, "and"));
            notes.problem(&format!("{path}/{key}"), fault);
        }
    }
}
