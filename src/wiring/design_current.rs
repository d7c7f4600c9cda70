//! The current for which a run is sized.
//!
//! One job: what of all that a run carries can happen at once. What each part draws is in
//! [`super::run_parts`], the conductor that follows in [`super::sizing`].
//!
//! The rule for a run that carries several: everything that can be on in camp is added up, likewise
//! before departure, on a leg and on a local drive, and the largest sum counts: what is never on
//! together is never added. What flows the other way (a charger's output on the run between a bank and its fuse block) is summed apart:
//! the two can only lessen each other. A load that runs some of the time counts in full; windows of
//! the day are not set against each other. Of short starts one comes at a time, on top of the rest.

use std::borrow::Cow;

use super::fuse_times::Surge;
use super::run_parts::{Flow, RunPart, State, parts};
use crate::scenario::{Charger, ChargerSource, Parts, Role, Run, RunEnd};

/// The design current of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignCurrent {
    /// The current, A.
    pub current_a: f64,
    /// That part of it which may last three hours or more, A.
    pub continuous_a: f64,
    /// Where it comes from, in a sentence.
    pub basis: String,
    /// Short starts, each with all else that can be on.
    pub starts: Vec<Start>,
}

/// A short start of one part while the rest runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The part that starts.
    pub id: String,
    /// All that flows meanwhile, and for how long.
    pub surge: Surge,
    /// Where the figure comes from.
    pub basis: &'static str,
}

/// What a run carries: as the file lists it, else the consumer or source at its end.
#[must_use]
pub fn carried(run: &Run) -> Cow<'_, [RunEnd]> {
    if !run.carries.is_empty() {
        return Cow::Borrowed(&run.carries);
    }
    let is_part = |end: &&RunEnd| {
        matches!(
            end,
            RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_) | RunEnd::Inverter(_)
        )
    };
    let end = [&run.to, &run.from].into_iter().find(is_part);
    Cow::Owned(end.map_or_else(Vec::new, |end| vec![*end]))
}

/// Id of a run's end as the file writes it.
#[must_use]
pub fn end_id(scenario: &Parts, end: RunEnd) -> &str {
    match end {
        RunEnd::Alternator => "alternator",
        RunEnd::Bank(index) => &scenario.banks[index].id,
        RunEnd::Charger(index) => &scenario.chargers[index].id,
        RunEnd::Panel(index) => &scenario.solar[index].id,
        RunEnd::Load(index) => &scenario.loads[index].id,
        RunEnd::Inverter(index) => &scenario.inverters[index].id,
        RunEnd::Point(index) => &scenario.distribution[index].id,
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
pub fn charger_side(scenario: &Parts, run: &Run, index: usize) -> ChargerSide {
    let charger = &scenario.chargers[index];
    let this = RunEnd::Charger(index);
    let taker = RunEnd::Bank(charger.to);
    let feeds = |end: &RunEnd| match (charger.from, *end) {
        (ChargerSource::Alternator, RunEnd::Alternator) => true,
        (ChargerSource::Alternator, RunEnd::Bank(bank)) => scenario.banks[bank].role == Role::Start,
        (ChargerSource::Bank(giver), RunEnd::Bank(bank)) => giver == bank,
        _ => false,
    };
    let ends: Vec<RunEnd> = [run.from, run.to]
        .into_iter()
        .flat_map(|end| sources_at(scenario, run, end))
        .collect();
    let at_feeder = ends.iter().any(|end| feeds(end) && *end != taker);
    let at_taker = ends.contains(&taker);
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

/// The banks and the alternator at an end of a run: the end itself, or what other runs join to it
/// through buses, blocks, plugs and switches.
#[must_use]
pub fn sources_at(scenario: &Parts, run: &Run, end: RunEnd) -> Vec<RunEnd> {
    if !matches!(end, RunEnd::Point(_)) {
        return vec![end];
    }
    let (mut open, mut seen, mut found) = (vec![end], Vec::new(), Vec::new());
    while let Some(end) = open.pop() {
        match end {
            RunEnd::Bank(_) | RunEnd::Alternator => found.push(end),
            RunEnd::Point(_) if !seen.contains(&end) => {
                seen.push(end);
                for other in scenario.runs.iter().filter(|other| other.id != run.id) {
                    if other.from == end {
                        open.push(other.to);
                    } else if other.to == end {
                        open.push(other.from);
                    }
                }
            }
            _ => {}
        }
    }
    found
}

/// Whether a bank stands where a run begins, directly or through buses and the like.
#[must_use]
pub fn begins_at(scenario: &Parts, run: &Run, bank: usize) -> bool {
    sources_at(scenario, run, run.from).contains(&RunEnd::Bank(bank))
}

/// Power that a charger takes at full output and absorption voltage, W.
#[must_use]
pub fn charger_input_w(scenario: &Parts, charger: &Charger) -> f64 {
    charger.output_a * scenario.banks[charger.to].absorption_v / charger.efficiency
}

/// The design current of a run, by the rule in the file's header. A cable from the alternator to
/// the start bank carries at least the alternator's rated output; a link between two banks without
/// any charger or load, what the first can give.
#[must_use]
pub fn design_current(scenario: &Parts, run: &Run) -> DesignCurrent {
    let parts = parts(scenario, run);
    let mut worst = (0.0, 0, Flow::Along);
    let mut starts: Vec<Start> = Vec::new();
    for way in [Flow::Along, Flow::Against] {
        for state in 0..State::ALL.len() {
            let on = || parts.iter().filter(|p| is_on(p, state, way));
            let sum: f64 = on().map(|p| p.current_a).sum();
            if sum > worst.0 {
                worst = (sum, state, way);
            }
            for part in on() {
                if let Some((start_a, seconds, basis)) = part.start {
                    let current_a = sum - part.current_a + start_a;
                    let surge = Surge { current_a, seconds };
                    let id = part.id.clone();
                    note_start(&mut starts, Start { id, surge, basis });
                }
            }
        }
    }
    let (current_a, state, way) = worst;
    let on = |p: &&RunPart| is_on(p, state, way);
    let continuous_a = parts
        .iter()
        .filter(on)
        .filter(|p| p.continuous)
        .map(|p| p.current_a)
        .sum();
    if let Some((own_a, basis)) = own_current(scenario, run)
        && own_a > current_a
    {
        return DesignCurrent {
            current_a: own_a,
            continuous_a: own_a,
            basis,
            starts,
        };
    }
    let basis = match parts.as_slice() {
        [] => "nothing that draws current".to_string(),
        [one] => one.words.clone(),
        several => {
            let state = State::ALL[state].words();
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
        starts,
    }
}

/// Keeps of each part the start with most about it.
fn note_start(starts: &mut Vec<Start>, start: Start) {
    match starts.iter_mut().find(|known| known.id == start.id) {
        Some(known) if known.surge.current_a >= start.surge.current_a => {}
        Some(known) => *known = start,
        None => starts.push(start),
    }
}

fn is_on(part: &RunPart, state: usize, way: Flow) -> bool {
    part.flow == way && part.on[state]
}

fn own_current(scenario: &Parts, run: &Run) -> Option<(f64, String)> {
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
