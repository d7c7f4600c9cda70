//! Idling instead of driving: how long, and what fuel.
//!
//! One job: the hours at idle that would bring what the daily drive brings, and their fuel.

use serde::Serialize;

use crate::scenario::{ChargerSource, Role, Scenario};
use crate::study::figures::tidy;
use crate::system::alternator::{Fuel, spare_a};

/// Fuel of an engine at idle without load, litres an hour: 2.0 L petrol car to 4.6 L petrol car.
///
/// # Source
/// US Department of Energy, Vehicle Technologies Office, Fact 861, 23 February 2015: 0.16 and
/// 0.39 US gallons an hour.
const IDLE_L_PER_H: (f64, f64) = (0.606, 1.476);

/// Idling that brings what the daily drive brings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Idling {
    /// Current that the alternator has to spare at idle, hot, A.
    pub spare_a: f64,
    /// What the chargers put out of it, W.
    pub charge_w: f64,
    /// Hours a day at idle; null if there is nothing to spare.
    pub hours_per_day: Option<f64>,
    /// Fuel a day, litres: diesel or small petrol engine at the least.
    pub fuel_l_per_day_low: Option<f64>,
    /// Large petrol engine.
    pub fuel_l_per_day_high: Option<f64>,
}

/// Idling that puts `wh_per_day` into the house banks; `None` without an alternator.
pub(super) fn idling(scenario: &Scenario, wh_per_day: f64) -> Option<Idling> {
    let alternator = scenario.alternator.as_ref()?;
    let spare = spare_a(
        alternator.idle_a,
        alternator.hot_derate,
        alternator.vehicle_load_a,
    );
    let fed = || {
        scenario.chargers.iter().filter(|charger| {
            charger.from == ChargerSource::Alternator
                && scenario.banks[charger.to].role == Role::House
        })
    };
    let volts = 13.2 * scenario.voltage_factor();
    let most_w: f64 = fed().map(|charger| charger.output_a * volts).sum();
    let efficiency = if most_w > 0.0 {
        fed()
            .map(|charger| charger.output_a * volts * charger.efficiency)
            .sum::<f64>()
            / most_w
    } else {
        1.0
    };
    let charge_w = (spare * alternator.volts * efficiency).min(most_w);
    let hours = (charge_w > 1.0).then(|| wh_per_day / charge_w);
    let electrical_kwh = wh_per_day / efficiency / 1000.0;
    let fuel = |idle: f64, fuel: Fuel| {
        hours.map(|hours| {
            tidy(hours * idle + electrical_kwh * fuel.l_per_electrical_kwh(alternator.efficiency))
        })
    };
    Some(Idling {
        spare_a: tidy(spare),
        charge_w: tidy(charge_w),
        hours_per_day: hours.map(tidy),
        fuel_l_per_day_low: fuel(IDLE_L_PER_H.0, Fuel::Diesel),
        fuel_l_per_day_high: fuel(IDLE_L_PER_H.1, Fuel::Petrol),
    })
}
