//! Banks: limits against each other.

use super::super::file::ScenarioFile;
use super::super::problem::{Fault, above_other};
use super::findings::Findings;
use crate::scenario::{Bank, Role};

/// Checks every bank. What the structure refused stands in as a placeholder, so that the
/// places in the list stay true.
pub(super) fn check(file: &ScenarioFile, factor: f64, notes: &mut Findings<'_>) -> Vec<Bank> {
    let files = file.banks.as_deref().unwrap_or_default();
    let mut banks: Vec<Bank> = Vec::with_capacity(files.len());
    for (number, file) in files.iter().enumerate() {
        let path = format!("/banks/{number}");
        let bank = Bank::read(file, &path, notes, factor);
        let (reserve_soc, cutoff_soc) = (bank.reserve_soc, bank.cutoff_soc);
        if cutoff_soc > reserve_soc && !notes.is_spoiled(&format!("{path}/reserve_soc")) {
            let fault = above_other(cutoff_soc, "reserve_soc", reserve_soc);
            notes.problem(&format!("{path}/cutoff_soc"), fault);
        }
        banks.push(bank);
    }
    let role_unknown =
        (0..files.len()).any(|number| notes.is_spoiled(&format!("/banks/{number}/role")));
    let has_house = banks.iter().any(|bank| bank.role == Role::House);
    if !banks.is_empty() && !has_house && !role_unknown {
        let fault = Fault::from("has start banks only, but must have at least one house bank");
        let hint = "`role` is `house` unless it says `start`";
        notes.problem("/banks", fault.hint(hint));
    }
    banks
}
