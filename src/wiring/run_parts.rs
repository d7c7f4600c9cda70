//! What each charger, panel and load that a run carries draws at worst.
//!
//! One job: one part at a time. What of it can happen at once is in [`super::design_current`].

use super::design_current::{ChargerSide, begins_at, carried, charger_input_w, charger_side};
use super::relays::relay_current;
use crate::scenario::{
    Bank, ChargerSource, Controller, EventMoment, Load, LoadKind, Mount, Needs, Panel, Parts,
    Power, Run, RunEnd, When, Where,
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

/// Seconds from which a start counts as load: the shortest step of the engine. Shorter ones are set
/// against the fuse's time-current class and a wider drop.
pub const LONG_START_S: f64 = 60.0;

/// What the vehicle does while parts are on or off together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Parked at a stop.
    Camp,
    /// Parked before the first departure.
    Waiting,
    /// On a leg, with the trailer.
    Leg,
    /// On a local drive; the trailer stays in camp.
    LocalDrive,
}

impl State {
    /// Every state, parked ones first.
    pub const ALL: [Self; 4] = [Self::Camp, Self::Waiting, Self::Leg, Self::LocalDrive];

    /// In a few words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Camp => "in camp",
            Self::Waiting => "parked",
            Self::Leg => "on a leg, with the engine running",
            Self::LocalDrive => "on a local drive, with the engine running",
        }
    }
}

/// In which states a part can be on, as [`State::ALL`].
type On = [bool; 4];

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
pub struct RunPart {
    /// Its id.
    pub id: String,
    /// Current at worst, A.
    pub current_a: f64,
    /// How it comes about.
    pub words: String,
    /// Whether it may last three hours.
    pub continuous: bool,
    /// What flows for a moment when it starts, A and s, and where that comes from; `None` where it is no
    /// more than `current_a`.
    pub start: Option<(f64, f64, &'static str)>,
    /// In which states it can be on, as [`State::ALL`].
    pub on: On,
    /// Which way it flows.
    pub flow: Flow,
}

fn cut_off_v(scenario: &Parts) -> f64 {
    CUT_OFF_V_PER_12V * scenario.voltage_factor()
}

fn charger_part(scenario: &Parts, run: &Run, index: usize) -> RunPart {
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
    let (current_a, words) = match (relay_current(scenario, index), side) {
        (Some(of), _) => (
            of.design_a(),
            format!(
                "{}: the largest of its rated {} A, the alternator's {} A and the {:.0} A that alternator and starting battery can drive",
                charger.id, of.rated_a, of.alternator_a, of.driven_a
            ),
        ),
        (_, ChargerSide::Output) => (charger.output_a, output),
        (_, ChargerSide::Through) if charger.output_a >= input_a => (charger.output_a, output),
        (_, ChargerSide::Input | ChargerSide::Through) => (input_a, input),
    };
    RunPart {
        id: charger.id.clone(),
        current_a,
        words,
        continuous: true,
        start: None,
        on: charger_on(scenario, index),
        flow: flow(side == ChargerSide::Output && begins_at(scenario, run, charger.to)),
    }
}

fn panel_part(scenario: &Parts, run: &Run, panel: &Panel) -> RunPart {
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
    RunPart {
        id: panel.id.clone(),
        current_a,
        words,
        continuous: true,
        start: None,
        on: if panel.mount == Mount::Portable {
            [true, false, false, scenario.banks[panel.to].trailer]
        } else {
            [true; 4]
        },
        flow: flow(begins_at(scenario, run, panel.to)),
    }
}

/// A mains charger works where a stop has mains, one from the alternator while driving or towing.
fn charger_on(scenario: &Parts, index: usize) -> On {
    let charger = &scenario.chargers[index];
    match (charger.from, charger.needs) {
        (ChargerSource::Mains, _) => [true, false, false, scenario.banks[charger.to].trailer],
        (_, Needs::Driving) => [false, false, true, true],
        (_, Needs::Towing) => [false, false, true, false],
        (_, Needs::Always) => [true; 4],
    }
}

/// In which states a load can be on, as [`State::ALL`].
#[must_use]
pub fn load_on(load: &Load, bank: &Bank) -> [bool; 4] {
    let at_departure = matches!(
        load.kind,
        LoadKind::Event {
            on: EventMoment::Depart,
            ..
        }
    );
    let driving = load.when != When::Parked && load.place != Where::Camp;
    let parked = load.when != When::Ignition && load.place != Where::Driving && !at_departure;
    [
        parked,
        parked && load.place != Where::Camp,
        driving,
        if bank.trailer { parked } else { driving },
    ]
}

/// Seconds for which an inverter gives its surge (common practice, no source).
const SURGE_S: f64 = 2.0;

/// An inverter at its rated output, whatever is plugged in; its surge comes on top for a moment.
fn inverter_part(scenario: &Parts, index: usize) -> RunPart {
    let unit = &scenario.inverters[index];
    let lowest_v = cut_off_v(scenario);
    let mut on = [false; 4];
    for load in &scenario.loads {
        if load.inverter.is_some_and(|it| it.unit == index) {
            let its = load_on(load, &scenario.banks[load.bank]);
            on = std::array::from_fn(|state| on[state] || its[state]);
        }
    }
    RunPart {
        id: unit.id.clone(),
        current_a: unit.input_w(unit.rated_w) / lowest_v,
        words: format!(
            "{}: {:.0} W ÷ {} + {} W idle at {lowest_v:.1} V, its cut-off",
            unit.id,
            unit.rated_w,
            (1000.0 * unit.efficiency_at(unit.rated_w)).round() / 1000.0,
            unit.idle_w
        ),
        continuous: true,
        start: Some((
            unit.input_w(unit.surge_w) / lowest_v,
            SURGE_S,
            "its surge, for as long as is usual; common practice, no source",
        )),
        on: if on == [false; 4] { [true; 4] } else { on },
        flow: Flow::Along,
    }
}

/// What a power of the load takes from the bank at the lowest voltage, A, and in words.
fn bank_side(scenario: &Parts, power: Power) -> (f64, String) {
    let lowest_v = cut_off_v(scenario);
    let words = match power {
        Power::Watts(watts) => format!("{watts:.0} W at {lowest_v:.1} V"),
        Power::Amps(amps) => format!("{amps} A"),
    };
    (power.current_a(lowest_v), words)
}

fn load_part(scenario: &Parts, load: &Load) -> RunPart {
    let (running_a, words) = bank_side(scenario, load.kind.running());
    let mut part = RunPart {
        id: load.id.clone(),
        current_a: running_a,
        words: format!("{}: {words}", load.id),
        continuous: load.kind.longest_min() >= 60.0 * CONTINUOUS_HOURS,
        start: None,
        on: load_on(load, &scenario.banks[load.bank]),
        flow: Flow::Along,
    };
    if let Some(peak) = load.peak {
        let (start_a, start_words) = bank_side(scenario, peak.power);
        if start_a > running_a && peak.seconds >= LONG_START_S {
            part.current_a = start_a;
            part.words = format!(
                "{}: {start_words} for {:.0} s at its start ({}), then {words}",
                load.id, peak.seconds, peak.basis
            );
        } else if start_a > running_a {
            part.start = Some((start_a, peak.seconds, peak.basis));
        }
    }
    part
}

/// Everything a run carries, one by one; loads behind an inverter as the inverter, once. A panel that shares a charger's box adds nothing to that
/// charger's output, which is the limit of both.
#[must_use]
pub fn parts(scenario: &Parts, run: &Run) -> Vec<RunPart> {
    let carried = carried(run);
    let mut inverters: Vec<usize> = Vec::new();
    let mut inverter = |unit: usize| {
        let is_new = !inverters.contains(&unit);
        inverters.push(unit);
        is_new.then(|| inverter_part(scenario, unit))
    };
    carried
        .iter()
        .filter_map(|end| match *end {
            RunEnd::Inverter(unit) => inverter(unit),
            RunEnd::Charger(index) => Some(charger_part(scenario, run, index)),
            RunEnd::Panel(index) => {
                let panel = &scenario.solar[index];
                let in_box = panel.shares.is_some_and(|charger| {
                    carried.contains(&RunEnd::Charger(charger))
                        && charger_side(scenario, run, charger) == ChargerSide::Output
                });
                (!in_box).then(|| panel_part(scenario, run, panel))
            }
            RunEnd::Load(index) => match scenario.loads[index].inverter {
                Some(its) => inverter(its.unit),
                None => Some(load_part(scenario, &scenario.loads[index])),
            },
            RunEnd::Alternator | RunEnd::Bank(_) | RunEnd::Point(_) => None,
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
