//! Inputs of a scenario that `why` moves.
//!
//! One job: the list, each with its two ends. Spreads go from their least to their greatest value;
//! sizes and powers 20 % down and up.

use crate::scenario::{LoadKind, Power, Scenario, Shade, Spread};

/// How far a value without a spread is moved.
const AROUND: f64 = 0.2;

type Change = Box<dyn Fn(&mut Scenario, f64)>;

/// One input.
pub(super) struct Input {
    pub(super) path: String,
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) is_spread: bool,
    pub(super) put: Change,
}

fn spread(path: String, spread: Spread, put: Change) -> Option<Input> {
    (!spread.is_fixed()).then_some(Input {
        path,
        low: spread.min,
        high: spread.max,
        is_spread: true,
        put,
    })
}

fn around(path: String, value: f64, most: f64, put: Change) -> Option<Input> {
    (value > 0.0).then_some(Input {
        path,
        low: value * (1.0 - AROUND),
        high: (value * (1.0 + AROUND)).min(most),
        is_spread: false,
        put,
    })
}

/// The inputs, in the order of the file.
pub(super) fn inputs(scenario: &Scenario) -> Vec<Input> {
    let mut list: Vec<Option<Input>> = Vec::new();
    let unlimited = f64::INFINITY;
    for (at, leg) in scenario.itinerary.legs.iter().enumerate() {
        let base = format!("itinerary.legs.{}", at + 1);
        let change: Change =
            Box::new(move |s, v| s.itinerary.legs[at].drive_hours = Spread::fixed(v));
        list.push(spread(
            format!("{base}.drive_hours"),
            leg.drive_hours,
            change,
        ));
        if leg.nights > 1 {
            let change: Change =
                Box::new(move |s, v| s.itinerary.legs[at].local_drive_hours = Spread::fixed(v));
            list.push(spread(
                format!("{base}.local_drive_hours"),
                leg.local_drive_hours,
                change,
            ));
        }
        if let Shade::Constant(share) = leg.shade {
            let change: Change =
                Box::new(move |s, v| s.itinerary.legs[at].shade = Shade::Constant(v));
            list.push(around(format!("{base}.shade"), share, 1.0, change));
        }
    }
    for (at, bank) in scenario.banks.iter().enumerate() {
        let base = format!("banks.{}", bank.id);
        let change: Change = Box::new(move |s, v| s.banks[at].start_soc = Spread::fixed(v));
        list.push(spread(format!("{base}.start_soc"), bank.start_soc, change));
        let change: Change = Box::new(move |s, v| s.banks[at].capacity_ah = v);
        list.push(around(
            format!("{base}.capacity_ah"),
            bank.capacity_ah,
            unlimited,
            change,
        ));
    }
    if let Some(alternator) = &scenario.alternator {
        let change: Change = Box::new(|s, v| {
            if let Some(alternator) = &mut s.alternator {
                alternator.rated_a = v;
            }
        });
        list.push(around(
            "alternator.rated_a".to_owned(),
            alternator.rated_a,
            unlimited,
            change,
        ));
    }
    for (at, charger) in scenario.chargers.iter().enumerate() {
        let change: Change = Box::new(move |s, v| s.chargers[at].output_a = v);
        let path = format!("chargers.{}.output_a", charger.id);
        list.push(around(path, charger.output_a, unlimited, change));
    }
    for (at, panel) in scenario.solar.iter().enumerate() {
        let change: Change = Box::new(move |s, v| s.solar[at].panel_w = v);
        list.push(around(
            format!("solar.{}.panel_w", panel.id),
            panel.panel_w,
            unlimited,
            change,
        ));
    }
    for at in 0..scenario.loads.len() {
        load_inputs(scenario, at, &mut list);
    }
    list.into_iter().flatten().collect()
}

fn power_of(kind: &mut LoadKind) -> Option<&mut Power> {
    match kind {
        LoadKind::Steady(power)
        | LoadKind::Duty { power, .. }
        | LoadKind::Hours { power, .. }
        | LoadKind::Event { power, .. } => Some(power),
        LoadKind::Fridge(_) => None,
    }
}

fn load_inputs(scenario: &Scenario, at: usize, list: &mut Vec<Option<Input>>) {
    let load = &scenario.loads[at];
    let base = format!("loads.{}", load.id);
    let mut kind = load.kind;
    if let Some(power) = power_of(&mut kind) {
        let (key, value) = match *power {
            Power::Watts(watts) => ("power_w", watts),
            Power::Amps(amps) => ("current_a", amps),
        };
        let change: Change = Box::new(move |s, v| {
            if let Some(power) = power_of(&mut s.loads[at].kind) {
                *power = match power {
                    Power::Watts(_) => Power::Watts(v),
                    Power::Amps(_) => Power::Amps(v),
                };
            }
        });
        list.push(around(
            format!("{base}.{key}"),
            value,
            f64::INFINITY,
            change,
        ));
    }
    match load.kind {
        LoadKind::Hours { hours_per_day, .. } => {
            let change: Change = Box::new(move |s, v| {
                if let LoadKind::Hours { hours_per_day, .. } = &mut s.loads[at].kind {
                    *hours_per_day = Spread::fixed(v);
                }
            });
            list.push(spread(
                format!("{base}.hours_per_day"),
                hours_per_day,
                change,
            ));
        }
        LoadKind::Event { minutes, .. } => {
            let change: Change = Box::new(move |s, v| {
                if let LoadKind::Event { minutes, .. } = &mut s.loads[at].kind {
                    *minutes = Spread::fixed(v);
                }
            });
            list.push(spread(format!("{base}.minutes"), minutes, change));
        }
        LoadKind::Fridge(fridge) => {
            let change: Change = Box::new(move |s, v| {
                if let LoadKind::Fridge(fridge) = &mut s.loads[at].kind {
                    fridge.rated_average_a = v;
                }
            });
            let path = format!("{base}.rated.average_a");
            // A compressor cannot run more than all the time.
            let most = fridge.running_w / (12.0 * scenario.voltage_factor());
            list.push(around(path, fridge.rated_average_a, most, change));
        }
        _ => {}
    }
}
