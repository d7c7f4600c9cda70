//! Where the fuses of a run stand, and what they may meet there.
//!
//! One job: each end that can feed the run gets a fuse. Ratings are in [`super::fuses`].

use super::design_current::{end_id, sources_at};
use super::run_demand::{
    banks_at_ends, feed_of, is_behind_derived_main, run_resistance_of, short_circuit_source,
};
use super::schedule::FusePlace;
use crate::scenario::{Parts, PointKind, Run, RunEnd};

/// Each end that can feed the run: banks and the alternator. A charger's or a controller's output
/// is limited by itself below what the conductor carries; where nothing else feeds a run, the fuse
/// stands at its first end, to isolate it.
///
/// # Source
/// 33 CFR 183.455(b): at the source; where impractical within 7 in (178 mm) along the conductor,
/// 40 in (1.02 m) in a sheath or enclosure. 72 in (1.83 m) for a sheathed conductor straight from a
/// battery terminal: a training page.
#[must_use]
pub fn fuse_places(scenario: &Parts, run: &Run) -> Vec<FusePlace> {
    let feeds = |end: &RunEnd| matches!(end, RunEnd::Bank(_) | RunEnd::Alternator);
    let mut ends: Vec<RunEnd> = [run.from, run.to].into_iter().filter(feeds).collect();
    // At a bus or block the cable that leads away from the banks begins; a plug or switch only passes on.
    for end in [run.from, run.to] {
        let RunEnd::Point(point) = end else { continue };
        let kind = scenario.distribution[point].kind;
        let leads_on = matches!(kind, PointKind::Bus | PointKind::FuseBlock)
            && !sources_at(scenario, run, end).is_empty();
        let other = if end == run.from { run.to } else { run.from };
        if leads_on && !ends.contains(&other) {
            ends.push(end);
        }
    }
    if ends.is_empty() {
        ends.push(run.from);
    }
    ends.into_iter()
        .map(|end| {
            let id = end_id(scenario, end);
            let text = match end {
                RunEnd::Bank(bank) if feed_of(scenario, run, bank).is_some() => {
                    format!("in the fuse block fed from {id}")
                }
                RunEnd::Bank(bank) if is_behind_derived_main(scenario, run, bank) => {
                    format!("in the fuse block or on the bus behind the main fuse of {id}")
                }
                RunEnd::Point(point) => match scenario.distribution[point].kind {
                    PointKind::FuseBlock => format!("in the fuse block {id}"),
                    _ => format!("at {id}, where the cable leaves it"),
                },
                RunEnd::Bank(_) => format!(
                    "at the positive terminal of {id}, within ‹178 mm› of it along the cable \
                     (‹1.02 m› where the cable is sheathed or in conduit that far)"
                ),
                RunEnd::Alternator => {
                    "at the alternator's output or the junction fed by it, within ‹178 mm› along the cable".to_string()
                }
                RunEnd::Charger(_)
                | RunEnd::Panel(_)
                | RunEnd::Load(_)
                | RunEnd::Inverter(_) => {
                    format!("at {id}, as a means to isolate it; nothing there can overload the cable")
                }
            };
            FusePlace {
                at: id.to_string(),
                text,
            }
        })
        .collect()
}

/// Estimated short-circuit current where the fuse stands, the largest of the ends, A: straight at
/// a bank its own; behind a feed, with that cable in the way. 0 where no bank feeds the run.
#[must_use]
pub fn prospective_a(scenario: &Parts, run: &Run) -> f64 {
    banks_at_ends(scenario, run)
        .into_iter()
        .map(|bank| {
            let source = short_circuit_source(scenario, &scenario.banks[bank]);
            let cable_ohm =
                feed_of(scenario, run, bank).map_or(0.0, |feed| run_resistance_of(scenario, feed));
            source.current_a(cable_ohm)
        })
        .fold(0.0, f64::max)
}
