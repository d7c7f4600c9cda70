//! What each charger, panel and load that a run carries draws at worst.
//!
//! One job: one part at a time. What of it can happen at once is in [`super::design_current`].

use super::design_current::{ChargerSide, carried, charger_input_w, charger_side};
use crate::scenario::{
    Controller, EventMoment, Load, LoadKind, Needs, Panel, Power, Run, RunEnd, Scenario, When,
    Where,
};

/// Lowest voltage at which a consumer still works, per 12 V of the system.
///
/// # Source
/// Common practice, no source: usual low-voltage cut-off of inverters; 1.75 V a lead-acid cell.
pub const CUT_OFF_V_PER_12V: f64 = 10.5;

/// Voltage of a "12 V" panel at its best point; a string of panels has more, and less current.
pub const PANEL_V_PER_12V: f64 = 18.0;

/// Sun beyond test conditions at the edge of clouds, as a factor on the panel's current.
///
/// # Source
/// National wiring codes for photovoltaic circuits, from memory.
pub const CLOUD_EDGE: f64 = 1.25;

/// Hours from which a current counts as continuous (wiring codes' usual three, from memory).
pub const CONTINUOUS_HOURS: f64 = 3.0;

/// Which way a current flows on a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flow {
    /// From its beginning to its end.
    Along,
    /// Charge into the bank at its beginning.
    Against,
}

/// What one charger, panel or load adds.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its id.
    pub id: String,
    /// Current at worst, A.
    pub current_a: f64,
    /// How it comes about.
    pub words: String,
    /// Whether it may last three hours.
    pub continuous: bool,
    /// Whether it can be on with the engine running.
    pub with_engine: bool,
    /// Whether it can be on while parked.
    pub parked: bool,
    /// Which way it flows.
    pub flow: Flow,
}

fn cut_off_v(scenario: &Scenario) -> f64 {
    CUT_OFF_V_PER_12V * scenario.voltage_factor()
}

fn charger_part(scenario: &Scenario, run: &Run, index: usize) -> Part {
    let charger = &scenario.chargers[index];
    let absorption_v = scenario.banks[charger.to].absorption_v;
    let lowest_v = if charger.min_input_v > 0.0 {
        charger.min_input_v
    } else {
        cut_off_v(scenario)
    };
    let input_a = charger_input_w(scenario, charger) / lowest_v;
    let side = charger_side(scenario, run, index);
    let output = format!("{} gives {} A", charger.id, charger.output_a);
    let input = format!(
        "{}: {} A × {absorption_v:.1} V ÷ {} efficiency at {lowest_v:.1} V, its lowest input",
        charger.id, charger.output_a, charger.efficiency
    );
    let (current_a, words) = match side {
        ChargerSide::Output => (charger.output_a, output),
        ChargerSide::Through if charger.output_a >= input_a => (charger.output_a, output),
        ChargerSide::Input | ChargerSide::Through => (input_a, input),
    };
    Part {
        id: charger.id.clone(),
        current_a,
        words,
        continuous: true,
        with_engine: true,
        parked: charger.needs == Needs::Always,
        flow: flow(side == ChargerSide::Output && run.from == RunEnd::Bank(charger.to)),
    }
}

fn panel_part(scenario: &Scenario, run: &Run, panel: &Panel) -> Part {
    let factor = scenario.voltage_factor();
    let panel_a = CLOUD_EDGE * panel.panel_w / (PANEL_V_PER_12V * factor);
    let behind_controller =
        !matches!(run.to, RunEnd::Charger(_)) && panel.controller == Controller::Mppt;
    let (current_a, words) = if behind_controller {
        let lowest_v = cut_off_v(scenario);
        let power_a = CLOUD_EDGE * panel.panel_w / lowest_v;
        if power_a >= panel.controller_max_a {
            (
                panel.controller_max_a,
                format!("{}: the controller's limit", panel.id),
            )
        } else {
            (
                power_a,
                format!(
                    "{}: {} W × {CLOUD_EDGE} ÷ {lowest_v:.1} V",
                    panel.id, panel.panel_w
                ),
            )
        }
    } else {
        (
            panel_a,
            format!(
                "{}: {} W ÷ {:.0} V × {CLOUD_EDGE} at the edge of clouds",
                panel.id,
                panel.panel_w,
                PANEL_V_PER_12V * factor
            ),
        )
    };
    Part {
        id: panel.id.clone(),
        current_a,
        words,
        continuous: true,
        with_engine: true,
        parked: true,
        flow: flow(run.from == RunEnd::Bank(panel.to)),
    }
}

fn load_part(scenario: &Scenario, load: &Load) -> Part {
    let lowest_v = cut_off_v(scenario);
    let power = match load.kind {
        LoadKind::Steady(power)
        | LoadKind::Duty { power, .. }
        | LoadKind::Hours { power, .. }
        | LoadKind::Event { power, .. } => power,
        LoadKind::Fridge(fridge) => Power::Watts(fridge.running_w),
    };
    let (current_a, words) = match (power, load.inverter) {
        (Power::Watts(watts), None) => (
            watts / lowest_v,
            format!("{}: {watts} W at {lowest_v:.1} V", load.id),
        ),
        (Power::Watts(watts), Some(inverter)) => (
            (watts / inverter.efficiency + inverter.idle_w) / lowest_v,
            format!(
                "{}: {watts} W ÷ {} + {} W idle at {lowest_v:.1} V, the inverter's cut-off",
                load.id, inverter.efficiency, inverter.idle_w
            ),
        ),
        (Power::Amps(amps), None) => (amps, format!("{}: {amps} A", load.id)),
        (Power::Amps(amps), Some(inverter)) => (
            amps / inverter.efficiency + inverter.idle_w / lowest_v,
            format!("{}: {amps} A ÷ {} and idle", load.id, inverter.efficiency),
        ),
    };
    let continuous = match load.kind {
        LoadKind::Event { minutes, .. } => minutes.max >= 60.0 * CONTINUOUS_HOURS,
        LoadKind::Hours { hours_per_day, .. } => hours_per_day.max >= CONTINUOUS_HOURS,
        LoadKind::Steady(_) | LoadKind::Duty { .. } | LoadKind::Fridge(_) => true,
    };
    let at_departure = matches!(
        load.kind,
        LoadKind::Event {
            on: EventMoment::Depart,
            ..
        }
    );
    Part {
        id: load.id.clone(),
        current_a,
        words,
        continuous,
        with_engine: load.when != When::Parked && load.place != Where::Camp,
        parked: load.when != When::Ignition && load.place != Where::Driving && !at_departure,
        flow: Flow::Along,
    }
}

/// Everything a run carries, one by one. A panel that shares a charger's box adds nothing to that
/// charger's output, which is the limit of both.
#[must_use]
pub fn parts(scenario: &Scenario, run: &Run) -> Vec<Part> {
    let carried = carried(run);
    carried
        .iter()
        .filter_map(|end| match *end {
            RunEnd::Charger(index) => Some(charger_part(scenario, run, index)),
            RunEnd::Panel(index) => {
                let panel = &scenario.solar[index];
                let in_box = panel.shares.is_some_and(|charger| {
                    carried.contains(&RunEnd::Charger(charger))
                        && charger_side(scenario, run, charger) == ChargerSide::Output
                });
                (!in_box).then(|| panel_part(scenario, run, panel))
            }
            RunEnd::Load(index) => Some(load_part(scenario, &scenario.loads[index])),
            RunEnd::Alternator | RunEnd::Bank(_) => None,
        })
        .collect()
}

fn flow(is_against: bool) -> Flow {
    if is_against {
        Flow::Against
    } else {
        Flow::Along
    }
}
