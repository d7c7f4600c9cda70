//! Solar panels with their controllers.

use super::super::file::ScenarioFile;
use super::super::parts::PanelFile;
use super::super::problem::{Fault, must_be};
use super::entries::Entries;
use super::findings::Findings;
use crate::scenario::{Charger, Panel};

/// Checks every panel.
pub(super) fn check(
    file: &ScenarioFile,
    entries: &Entries,
    chargers: &[Charger],
    factor: f64,
    notes: &mut Findings<'_>,
) -> Vec<Panel> {
    let solar = file.solar.as_deref().unwrap_or_default();
    let (names, _) = entries.bank_names();
    solar
        .iter()
        .enumerate()
        .map(|(number, file)| {
            let path = format!("/solar/{number}");
            let panel = Panel::read(file, &path, notes, entries, factor);
            shared_box(file, &panel, chargers, names, &path, notes);
            panel
        })
        .collect()
}

fn shared_box(
    file: &PanelFile,
    panel: &Panel,
    chargers: &[Charger],
    names: &[String],
    path: &str,
    notes: &mut Findings<'_>,
) {
    let Some((index, charger)) = panel
        .shares
        .and_then(|index| Some((index, chargers.get(index)?)))
    else {
        return;
    };
    if charger.relay.is_some() {
        let allowed = "a charger: a relay has no controller for a panel";
        let fault = must_be(format_args!("`{}`", charger.id), allowed);
        notes.problem(&format!("{path}/shares"), fault);
        return;
    }
    let targets = [format!("{path}/to"), format!("/chargers/{index}/to")];
    if charger.to == panel.to || targets.iter().any(|target| notes.is_spoiled(target)) {
        return;
    }
    let name = |bank: usize| names.get(bank).cloned().unwrap_or_default();
    let text = format!(
        "is `{}`, which charges `{}`, but the panel charges `{}`",
        file.shares.as_deref().unwrap_or_default(),
        name(charger.to),
        name(panel.to)
    );
    let fault =
        Fault::from(text).hint("one box charges one bank: leave out `shares` if there are two");
    notes.problem(&format!("{path}/shares"), fault);
}
