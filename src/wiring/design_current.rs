//! The current for which a run is sized.
//!
//! One job: what each charger, panel and load that a run carries can draw at worst, and what of it
//! can happen at once. The conductor that follows is in [`super::sizing`].
//!
//! The rule for a run that carries several: everything that can be on with the engine running is
//! added up, everything that can be on while parked likewise, and the larger sum counts. What flows
//! the other way (a charger's output on the run between a bank and its fuse block) is summed apart:
//! the two can only lessen each other. A load that runs some of the time counts in full; windows of
//! the day are not set against each other.
//! Left out: starting currents of motors, which the margin of the fuse has to bear.

use crate::scenario::{
    Charger, ChargerSource, Controller, EventMoment, Load, LoadKind, Needs, Panel, Power, Role,
    Run, RunEnd, Scenario, When, Where,
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

/// The design current of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignCurrent {
    /// The current, A.
    pub current_a: f64,
    /// That part of it which may last three hours or more, A.
    pub continuous_a: f64,
    /// Where it comes from, in a sentence.
    pub basis: String,
}

/// What a run carries: as the file lists it, else the consumer or source at its end.
#[must_use]
pub fn carried(run: &Run) -> Vec<RunEnd> {
    if !run.carries.is_empty() {
        return run.carries.clone();
    }
    let is_part =
        |end: &&RunEnd| matches!(end, RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_));
    [&run.to, &run.from]
        .into_iter()
        .find(is_part)
        .map_or_else(Vec::new, |end| vec![*end])
}

/// Id of a run's end as the file writes it.
#[must_use]
pub fn end_id(scenario: &Scenario, end: RunEnd) -> &str {
    match end {
        RunEnd::Alternator => "alternator",
        RunEnd::Bank(index) => &scenario.banks[index].id,
        RunEnd::Charger(index) => &scenario.chargers[index].id,
        RunEnd::Panel(index) => &scenario.solar[index].id,
        RunEnd::Load(index) => &scenario.loads[index].id,
    }
}

/// Which side of a charger a run is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChargerSide {
    /// Between what feeds it and the charger.
    Input,
    /// Between the charger and its bank.
    Output,
    /// From the feeding to the fed bank, the charger somewhere in between.
    Through,
}

/// The side of charger `index` on which a run that carries it lies.
#[must_use]
pub fn charger_side(scenario: &Scenario, run: &Run, index: usize) -> ChargerSide {
    let charger = &scenario.chargers[index];
    let ends = [run.from, run.to];
    let this = RunEnd::Charger(index);
    let feeds = |end: &RunEnd| match (charger.from, *end) {
        (ChargerSource::Alternator, RunEnd::Alternator) => true,
        (ChargerSource::Alternator, RunEnd::Bank(bank)) => scenario.banks[bank].role == Role::Start,
        (ChargerSource::Bank(giver), RunEnd::Bank(bank)) => giver == bank,
        _ => false,
    };
    let at_feeder = ends
        .iter()
        .any(|end| feeds(end) && *end != RunEnd::Bank(charger.to));
    let at_taker = ends.contains(&RunEnd::Bank(charger.to));
    if charger.from == ChargerSource::Mains || (at_taker && !at_feeder) {
        ChargerSide::Output
    } else if at_taker {
        ChargerSide::Through
    } else if run.from == this && !at_feeder {
        ChargerSide::Output
    } else {
        ChargerSide::Input
    }
}

/// Power that a charger takes at full output and absorption voltage, W.
#[must_use]
pub fn charger_input_w(scenario: &Scenario, charger: &Charger) -> f64 {
    charger.output_a * scenario.banks[charger.to].absorption_v / charger.efficiency
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

/// The design current of a run, by the rule in the file's header. A cable from the alternator to
/// the start bank carries at least the alternator's rated output; a link between two banks without
/// any charger or load, what the first can give.
#[must_use]
pub fn design_current(scenario: &Scenario, run: &Run) -> DesignCurrent {
    let parts = parts(scenario, run);
    let mut worst = (0.0, true, Flow::Along);
    for (engine, way) in [
        (false, Flow::Along),
        (true, Flow::Along),
        (false, Flow::Against),
        (true, Flow::Against),
    ] {
        let sum: f64 = parts
            .iter()
            .filter(|p| is_on(p, engine, way))
            .map(|p| p.current_a)
            .sum();
        if sum > worst.0 {
            worst = (sum, engine, way);
        }
    }
    let (current_a, engine, way) = worst;
    let on = |p: &&Part| is_on(p, engine, way);
    let continuous_a = parts
        .iter()
        .filter(on)
        .filter(|p| p.continuous)
        .map(|p| p.current_a)
        .sum();
    let own = own_current(scenario, run);
    if let Some((own_a, basis)) = own
        && own_a > current_a
    {
        return DesignCurrent {
            current_a: own_a,
            continuous_a: own_a,
            basis,
        };
    }
    let basis = match parts.as_slice() {
        [] => "nothing that draws current".to_string(),
        [one] => one.words.clone(),
        several => {
            let state = if engine {
                "with the engine running"
            } else {
                "parked"
            };
            let list: Vec<String> = several
                .iter()
                .filter(on)
                .map(|p| format!("{} {:.1} A", p.id, p.current_a))
                .collect();
            format!(
                "sum of all that can be on at once {state}: {}",
                list.join(", ")
            )
        }
    };
    DesignCurrent {
        current_a,
        continuous_a,
        basis,
    }
}

fn flow(is_against: bool) -> Flow {
    if is_against {
        Flow::Against
    } else {
        Flow::Along
    }
}

fn is_on(part: &Part, engine: bool, way: Flow) -> bool {
    part.flow == way
        && if engine {
            part.with_engine
        } else {
            part.parked
        }
}

fn own_current(scenario: &Scenario, run: &Run) -> Option<(f64, String)> {
    let is_start = |index: usize| scenario.banks[index].role == Role::Start;
    match (run.from, run.to) {
        (RunEnd::Alternator, RunEnd::Bank(bank)) | (RunEnd::Bank(bank), RunEnd::Alternator)
            if is_start(bank) =>
        {
            let rated_a = scenario.alternator.as_ref()?.rated_a;
            Some((
                rated_a,
                format!("the alternator's rated output, {rated_a} A"),
            ))
        }
        (RunEnd::Bank(from), RunEnd::Bank(_)) if carried(run).is_empty() => {
            let most_a = scenario.banks[from].max_discharge_a;
            Some((
                most_a,
                format!("all that {} can give, {most_a} A", scenario.banks[from].id),
            ))
        }
        _ => None,
    }
}
