//! Idling instead of driving: how long, and what fuel.
//!
//! One job: the same search with the engine at idle in camp, and the fuel of its hours.

use serde::Serialize;

use super::ChoosingError;
use super::least_of_row::Search;
use super::topup_banks::engine_fed;
use super::topup_search::{Driving, Least};
use crate::study::figures::tidy;
use crate::system::alternator::Fuel;

/// Fuel of an engine at idle without load, litres an hour: 2.0 L petrol car to 4.6 L petrol car.
///
/// # Source
/// US Department of Energy, Vehicle Technologies Office, Fact 861, 23 February 2015: 0.16 and
/// 0.39 US gallons an hour.
const IDLE_L_PER_H: (f64, f64) = (0.606, 1.476);

/// Idling that keeps the banks topped up as well: the engine runs in camp at idle where it would have been
/// driven about, legs are driven as they are. Where the trip has no day in camp, the engine idles all
/// its hours.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Idling {
    /// Current that the alternator has to spare at idle, hot, A.
    pub spare_a: f64,
    /// Hours of the engine per 24 h of the trip, those of legs included; null if no number of hours does.
    pub hours_per_day: Option<f64>,
    /// Hours at idle on a day in camp; null also where the trip has none.
    pub hours_per_camp_day: Option<f64>,
    /// Fuel of a day's idling, litres: diesel or small petrol engine at the least.
    pub fuel_l_per_day_low: Option<f64>,
    /// Large petrol engine.
    pub fuel_l_per_day_high: Option<f64>,
}

/// Idling that does as well as the driving that was searched for; `None` without an alternator.
pub(super) fn idling(
    driving: &mut Search<Driving<'_>>,
    least: &Least,
) -> Result<Option<Idling>, ChoosingError> {
    let scenario = driving.row.scenario;
    let Some(alternator) = &scenario.alternator else {
        return Ok(None);
    };
    let at = driving.at_idle(least)?;
    let output_a: f64 = engine_fed(scenario).map(|charger| charger.output_a).sum();
    let efficiency: f64 = engine_fed(scenario)
        .map(|charger| charger.output_a * charger.efficiency)
        .sum::<f64>()
        / output_a;
    let fuel = |idle_l_per_h: f64, fuel: Fuel| {
        at.as_ref().map(|at| {
            let hours = at.driven.per_camp_day.unwrap_or(at.driven.per_day);
            let electrical_kwh = at.engine_wh_per_day / efficiency / 1000.0;
            tidy(
                hours * idle_l_per_h
                    + electrical_kwh * fuel.l_per_electrical_kwh(alternator.efficiency),
            )
        })
    };
    Ok(Some(Idling {
        spare_a: tidy(alternator.spare_a(alternator.idle_a)),
        fuel_l_per_day_low: fuel(IDLE_L_PER_H.0, Fuel::Diesel),
        fuel_l_per_day_high: fuel(IDLE_L_PER_H.1, Fuel::Petrol),
        hours_per_day: at.as_ref().map(|at| at.driven.per_day),
        hours_per_camp_day: at.and_then(|at| at.driven.per_camp_day),
    }))
}
