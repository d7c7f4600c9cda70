//! The constants of loads, fridges and events.
//!
//! One job: a load of the scenario as what its bank gives it, inverter and cable counted. When it is
//! live is in `load_schedule`; the physics of a fridge in `system`.

use super::parts::{EventPlant, FridgePlant, InverterPlant, LoadPlant};
use crate::scenario::{LoadKind, Power, RunEnd, Scenario, When, indices};
use crate::system::fridge::{Compressor, leak_w_per_k, limit_c, use_w_per_k};
use crate::timeline::load_schedule::availability;
use crate::wiring::run_resistance_ohm;
use crate::wiring::trip_hours::window_hours;

pub(crate) fn load_plant(scenario: &Scenario, index: usize) -> LoadPlant {
    let load = &scenario.loads[index];
    let power = match load.kind {
        _ if load.off => Power::Watts(0.0),
        // The compressor runs by its own balance: see [`FridgePlant`].
        LoadKind::Fridge(_) => Power::Watts(0.0),
        kind => kind.running(),
    };
    let (efficiency, idle_w) = load.inverter.map_or((1.0, 0.0), |inverter| {
        let idle_w = if load.off { 0.0 } else { inverter.idle_w };
        (inverter.efficiency, idle_w)
    });
    let (watts, amps) = match power {
        Power::Watts(watts) => (
            watts * cable_factor(scenario, index, watts) / efficiency,
            0.0,
        ),
        Power::Amps(amps) => (0.0, amps / efficiency),
    };
    LoadPlant {
        bank: load.bank,
        availability: availability(load),
        watts,
        amps,
        idle_w: idle_w + spread_start_w(scenario, index),
        daily_use: load.kind.daily_use(),
        use_spread: load.use_spread,
        keep: load.keep,
    }
}

/// Seconds from which a start counts as energy: the usual step. A shorter one is less than the days differ
/// by. Ours.
const COUNTED_START_S: f64 = 300.0;

/// What a long start draws at the bank over the running draw, W, and for how long, s; nothing where it is
/// short.
fn long_start(scenario: &Scenario, index: usize) -> (f64, f64) {
    let load = &scenario.loads[index];
    let long = load.peak.filter(|peak| peak.seconds >= COUNTED_START_S);
    let Some(peak) = long.filter(|_| !load.off) else {
        return (0.0, 0.0);
    };
    let volts = scenario.system_voltage_v;
    let over_a = peak.power.current_a(volts) - load.kind.running().current_a(volts);
    let efficiency = load.inverter.map_or(1.0, |inverter| inverter.efficiency);
    let over_w = (over_a * volts).max(0.0);
    (
        over_w * cable_factor(scenario, index, over_w) / efficiency,
        peak.seconds,
    )
}

/// A long start of a load that is switched on once a day, spread over its window. Of one that is live
/// without a window it is not known how often it starts: it counts as running through.
fn spread_start_w(scenario: &Scenario, index: usize) -> f64 {
    let load = &scenario.loads[index];
    let (over_w, seconds) = long_start(scenario, index);
    let hours = match (load.kind, load.when) {
        (LoadKind::Event { .. } | LoadKind::Fridge(_), _) => return 0.0,
        (_, When::Window(window)) => window_hours(window),
        (LoadKind::Hours { .. }, When::Always) => 24.0,
        _ => return 0.0,
    };
    over_w * seconds / (3600.0 * hours)
}

/// What a load of constant power draws more because of the drop in its own run: `1 + R·P/V²`.
fn cable_factor(scenario: &Scenario, index: usize, watts: f64) -> f64 {
    let nominal_v = scenario.system_voltage_v * 1.05;
    let runs = indices(&scenario.runs, |run| run.to == RunEnd::Load(index)).into_iter();
    let ohm: f64 = runs.map(|run| run_resistance_ohm(scenario, run)).sum();
    1.0 + ohm * watts / (nominal_v * nominal_v)
}

pub(crate) fn fridges(scenario: &Scenario, step_h: f64) -> Vec<FridgePlant> {
    let mut fridges = Vec::new();
    for (index, load) in scenario.loads.iter().enumerate() {
        let Some(fridge) = load.kind.fridge().filter(|_| !load.off) else {
            continue;
        };
        let efficiency = load.inverter.map_or(1.0, |inverter| inverter.efficiency);
        let rated_w = fridge.rated_average_a * scenario.system_voltage_v;
        fridges.push(FridgePlant {
            load: index,
            bank: load.bank,
            kept: fridge.kept,
            trailer: scenario.banks[load.bank].trailer,
            running_w: fridge.running_w * cable_factor(scenario, index, fridge.running_w)
                / efficiency,
            compressor: Compressor::new(fridge.running_w),
            set_c: fridge.set_c,
            limit_c: limit_c(fridge.set_c),
            leak_w_per_k: leak_w_per_k(rated_w, fridge.rated_ambient_c, fridge.rated_inside_c),
            use_w_per_k: use_w_per_k(fridge.openings_per_day, fridge.warm_food_kg_per_day),
            store_w_per_k: fridge.contents_wh_per_k / step_h,
            starts_warm: fridge.starts_warm,
        });
    }
    fridges
}

/// Inverters whose loads together draw more than they give, an event among them.
pub(crate) fn inverters(scenario: &Scenario) -> Vec<InverterPlant> {
    let volts = scenario.system_voltage_v;
    let units = scenario.inverters.iter().enumerate();
    let all = units.map(|(unit, of)| {
        let on_it = scenario.loads.iter().enumerate().filter(|(_, load)| {
            !load.off && load.inverter.is_some_and(|inverter| inverter.unit == unit)
        });
        InverterPlant {
            unit,
            bank: of.bank,
            rated_w: of.rated_w,
            loads: on_it
                .map(|(index, load)| (index, load.kind.running().current_a(volts) * volts))
                .collect(),
        }
    });
    let can_overload = |of: &InverterPlant| {
        let is_event = |load: usize| scenario.loads[load].kind.is_event();
        let together_w: f64 = of.loads.iter().map(|(_, watts)| watts).sum();
        together_w > of.rated_w && of.loads.iter().any(|(load, _)| is_event(*load))
    };
    all.filter(can_overload).collect()
}

pub(crate) fn events(scenario: &Scenario) -> Vec<EventPlant> {
    let kinds = scenario.loads.iter().enumerate();
    kinds
        .filter_map(|(load, entry)| match entry.kind {
            LoadKind::Event { minutes, on, .. } => Some(EventPlant {
                load,
                on,
                minutes,
                start: long_start(scenario, load),
            }),
            _ => None,
        })
        .collect()
}
