//! The weak point of a trip: which night, which bank, which load, and why.

use super::answer::{Night, WeakNight, WeakPoint};
use super::cause::cause_of;
use super::simulation::Simulation;

/// The night with the lowest chance of its own; `None` with no night in doubt.
#[must_use]
pub fn weakest(nights: &[Night]) -> Option<WeakNight> {
    weakest_number(nights).map(|number| {
        let night = &nights[number];
        WeakNight {
            date: night.date.clone(),
            stop: night.stop.clone(),
            chance_shortfall: super::figures::tidy(1.0 - night.chance_no_shortfall.value),
        }
    })
}

/// Its number among the nights.
fn weakest_number(nights: &[Night]) -> Option<usize> {
    let chance = |number: &usize| nights[*number].chance_no_shortfall.value;
    (0..nights.len())
        .filter(|number| chance(number) < 1.0)
        .min_by(|a, b| chance(a).total_cmp(&chance(b)))
}

/// The weak point of a house bank with these nights; `None` with no night in doubt.
#[must_use]
pub fn weak_point(trip: &Simulation, bank: usize, nights: &[Night]) -> Option<WeakPoint> {
    let number = weakest_number(nights)?;
    let Simulation {
        scenario, ensemble, ..
    } = trip;
    let out_wh: f64 = ensemble.totals.banks[bank].out_wh;
    let dominant_load = scenario
        .loads
        .iter()
        .zip(&ensemble.totals.loads)
        .filter(|(load, of)| load.bank == bank && of.wh > 0.0)
        .max_by(|a, b| a.1.wh.total_cmp(&b.1.wh))
        .map(|(load, of)| (load.id.clone(), super::figures::tidy(of.wh / out_wh)));
    Some(WeakPoint {
        bank: scenario.banks[bank].id.clone(),
        night: weakest(nights)?,
        dominant_load,
        cause: cause_of(trip, bank, number),
    })
}
