//! The weak point of a trip: which night, which bank, which load, and what is short.

use super::answer::{Night, ShortOf, WeakNight, WeakPoint};
use crate::scenario::{ChargerSource, Scenario};
use crate::timeline::Timeline;
use crate::trials::Ensemble;

/// A charger that gives its all for this share of the hours it could is the limit itself.
const MOSTLY: f64 = 0.6;

/// Less driving than this a day is too little for any charger, h.
const LITTLE_DRIVING_H: f64 = 2.0;

/// The night with the lowest chance of its own; `None` with no night in doubt.
#[must_use]
pub fn weakest(nights: &[Night]) -> Option<WeakNight> {
    nights
        .iter()
        .filter(|night| night.chance_no_shortfall.value < 1.0)
        .min_by(|a, b| {
            a.chance_no_shortfall
                .value
                .total_cmp(&b.chance_no_shortfall.value)
        })
        .map(|night| WeakNight {
            date: night.date.clone(),
            stop: night.stop.clone(),
            chance_shortfall: super::figures::tidy(1.0 - night.chance_no_shortfall.value),
        })
}

/// The weak point of a house bank whose weakest night is known.
#[must_use]
pub fn weak_point(
    scenario: &Scenario,
    timeline: &Timeline,
    ensemble: &Ensemble,
    bank: usize,
    night: WeakNight,
) -> WeakPoint {
    let out_wh: f64 = ensemble.banks[bank].ledger.out_wh;
    let dominant_load = scenario
        .loads
        .iter()
        .zip(&ensemble.load_wh)
        .filter(|(load, wh)| load.bank == bank && **wh > 0.0)
        .max_by(|a, b| a.1.total_cmp(b.1))
        .map(|(load, wh)| (load.id.clone(), super::figures::tidy(wh / out_wh)));
    WeakPoint {
        bank: scenario.banks[bank].id.clone(),
        night,
        dominant_load,
        short_of: short_of(scenario, timeline, ensemble, bank),
    }
}

fn short_of(scenario: &Scenario, timeline: &Timeline, ensemble: &Ensemble, bank: usize) -> ShortOf {
    let days = ensemble.hours / 24.0;
    let ledger = &ensemble.banks[bank].ledger;
    let plant = &timeline.plant.banks[bank];
    let chargers: Vec<usize> = plant.charger_groups.iter().flatten().copied().collect();
    if chargers.is_empty() && plant.panels.is_empty() {
        return ShortOf::AnySource;
    }
    if ledger.cold_h / days > 1.0 {
        return ShortOf::Warmth;
    }
    // Sun left over by day, and yet short: there was nowhere to put it.
    if ledger.curtailed_wh > 0.25 * ledger.out_wh {
        return ShortOf::Capacity;
    }
    let gate_h: f64 = chargers.iter().map(|&c| ensemble.charger_gate_h[c]).sum();
    let full_h: f64 = chargers.iter().map(|&c| ensemble.charger_full_h[c]).sum();
    let denied_ah: f64 = chargers
        .iter()
        .map(|&c| ensemble.charger_denied_ah[c])
        .sum();
    let given_ah: f64 = chargers.iter().map(|&c| ensemble.charger_ah[c]).sum();
    if denied_ah > 0.15 * (denied_ah + given_ah) {
        return ShortOf::Alternator;
    }
    let is_driven = chargers
        .iter()
        .any(|&c| scenario.chargers[c].from == ChargerSource::Alternator);
    if is_driven && gate_h / days >= LITTLE_DRIVING_H {
        return if full_h > MOSTLY * gate_h {
            ShortOf::Charger
        } else {
            ShortOf::Driving
        };
    }
    let sun_wh: f64 = plant
        .panels
        .iter()
        .map(|&panel| ensemble.panel_wh[panel])
        .sum();
    if plant.panels.is_empty() || (is_driven && sun_wh < 0.3 * ledger.in_wh) {
        ShortOf::Driving
    } else {
        ShortOf::Sun
    }
}
