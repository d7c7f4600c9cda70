//! Solar panels with their controllers.

use super::super::defaults::{self, Assumption};
use super::super::file::{MountFile, MountWord, PanelFile, ScenarioFile};
use super::super::problem::{Fault, must_be};
use super::banks::sizes;
use super::entries::Entries;
use super::findings::Findings;
use crate::scenario::{Buying, Charger, Controller, Mount, Panel};

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
            let panel = panel(file, entries, factor, &path, notes);
            shared_box(file, &panel, chargers, names, &path, notes);
            panel
        })
        .collect()
}

fn panel(
    file: &PanelFile,
    entries: &Entries,
    factor: f64,
    path: &str,
    notes: &mut Findings<'_>,
) -> Panel {
    let key = |name: &str| format!("{path}/{name}");
    let panel_w = file.panel_w.unwrap_or(100.0);
    let to = entries.bank(file.to.as_ref(), &key("to"), notes);
    let mount = match &file.mount {
        Some(MountFile::Word(MountWord::Flat)) => Mount::Flat,
        Some(MountFile::Word(MountWord::Portable)) => Mount::Portable,
        Some(MountFile::Tilted(tilted)) => Mount::Tilted {
            tilt_deg: tilted.tilt_deg.unwrap_or(0.0),
            azimuth_deg: tilted.azimuth_deg.unwrap_or(0.0).rem_euclid(360.0),
        },
        None => {
            notes.assume(&key("mount"), &"flat", defaults::MOUNT);
            Mount::Flat
        }
    };
    let default = defaults::CONTROLLER;
    let controller = notes.word_or_assumed(
        &key("controller"),
        file.controller,
        default,
        Controller::word,
    );
    let limit = Assumption {
        value: (panel_w / (12.0 * factor)).ceil().max(1.0),
        reason: defaults::CONTROLLER_MAX_A,
    };
    let controller_max_a = notes.or_assumed(&key("controller_max_a"), file.controller_max_a, limit);
    let losses = notes.or_assumed(&key("losses"), file.losses, defaults::PANEL_LOSSES);
    let shares = entries.charger(file.shares.as_ref(), &key("shares"), notes);
    Panel {
        id: file.id.clone().unwrap_or_default(),
        to: to.unwrap_or(0),
        panel_w,
        mount,
        controller,
        controller_max_a,
        losses,
        shares,
        mass_kg: Buying::amount(file.mass_kg, file.mass_kg_per_w, panel_w),
        price: Buying::amount(file.price, file.price_per_w, panel_w),
        buying: Buying {
            price_per_unit: file.price_per_w,
            mass_kg_per_unit: file.mass_kg_per_w,
            sizes: sizes(file.sizes.as_deref()),
            fixed: file.fixed.unwrap_or(false),
        },
    }
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
