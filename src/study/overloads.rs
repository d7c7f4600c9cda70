//! Inverters of a trip that are asked for more than they give: how often, when first, how much.

use super::answer::InverterOverload;
use super::figures::{p50_p90, percentile, tidy};
use super::simulation::Simulation;
use crate::units::Whole;

/// Every inverter that is in any trial.
#[must_use]
pub fn overloads(trip: &Simulation) -> Vec<InverterOverload> {
    let Simulation {
        scenario,
        timeline,
        ensemble,
        ..
    } = trip;
    let found = ensemble.overloads.iter().zip(&timeline.plant.inverters);
    let found = found.filter(|(of, _)| !of.first_s.is_empty());
    let all = found.map(|(of, plant)| {
        let unit = &scenario.inverters[plant.unit];
        let calendar = &timeline.calendar;
        let first_s = calendar.start_s + i64::cut(percentile(&of.first_s, 0.5).round());
        let stop = calendar.stop_at(first_s);
        let loads = plant.loads.iter();
        InverterOverload {
            inverter: unit.id.clone(),
            rated_w: tidy(unit.rated_w),
            chance: trip.chance(of.first_s.len() as u64),
            first: trip.local(first_s),
            stop: stop.map(|leg| scenario.itinerary.stop_name(leg)),
            hours: p50_p90(&of.hours),
            unserved_wh: p50_p90(&of.missed_wh),
            loads: loads
                .map(|(load, _)| scenario.loads[*load].id.clone())
                .collect(),
        }
    });
    all.collect()
}
