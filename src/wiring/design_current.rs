//! The current for which a run is sized.
//!
//! One job: what of all that a run carries can happen at once. What each part draws is in
//! [`super::run_parts`], the conductor that follows in [`super::sizing`].
//!
//! The rule for a run that carries several: everything that can be on with the engine running is
//! added up, everything that can be on while parked likewise, and the larger sum counts. What flows
//! the other way (a charger's output on the run between a bank and its fuse block) is summed apart:
//! the two can only lessen each other. A load that runs some of the time counts in full; windows of
//! the day are not set against each other.
//! Left out: starting currents of motors, which the margin of the fuse has to bear.

use super::run_parts::{Flow, Part, parts};
use crate::scenario::{Charger, ChargerSource, Role, Run, RunEnd, Scenario};

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
