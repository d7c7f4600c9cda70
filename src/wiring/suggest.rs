//! The runs that a system needs, with lengths to edit.
//!
//! One job: the list and a snippet to paste into the scenario file. Sizing it is `wiring` without
//! `--suggest`, once the lengths are measured.
//! Left out: the negative's way back, which is the same length and size; runs already in the file.

use serde::Serialize;

use super::design_current::{carried, design_current, end_id};
use super::distribution::{chargers_on, loads_on};
use super::run_demand::start_bank;
use crate::scenario::{ChargerSource, Insulation, Kept, Parts, Role, Run, RunEnd};

/// Drop proposed for chargers, fridges, inverters and electronics (common practice, no source).
const TIGHT_DROP: f64 = 0.03;
/// Drop proposed for pumps and other short or coarse loads (common practice, no source).
const WIDE_DROP: f64 = 0.1;
/// Drop proposed between a bank and its fuse block, which adds to that of each load behind it.
const BLOCK_DROP: f64 = 0.02;

/// Guessed lengths one way, m (common practice, no source): from the engine bay to the house, from a
/// charger to its bank, from the roof, from a bank to its block, from a block to a load, and along a
/// trailer's drawbar.
const ENGINE_BAY_M: f64 = 5.0;
const CHARGER_M: f64 = 1.0;
const ROOF_M: f64 = 5.0;
const BLOCK_M: f64 = 0.5;
const LOAD_M: f64 = 3.0;
const DRAWBAR_M: f64 = 4.0;

/// A run as the scenario file writes it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SuggestedRun {
    /// A free id.
    pub id: String,
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// A guess for a vehicle of usual size, to be measured.
    pub one_way_m: f64,
    /// What it carries.
    pub carries: Vec<String>,
    /// Allowed drop, share of the system voltage.
    pub drop_limit: f64,
    /// Given where the run touches the engine bay.
    #[serde(rename = "where", skip_serializing_if = "Option::is_none")]
    pub place: Option<&'static str>,
    /// What it is and what to fill in.
    pub note: String,
}

/// Every run that the system needs and the file does not have yet: each charger's input and output,
/// each panel, each bank to its fuse block, each load.
#[must_use]
pub fn suggest(scenario: &Parts) -> Vec<SuggestedRun> {
    let mut list = List {
        scenario,
        runs: Vec::new(),
    };
    list.add_chargers();
    list.add_panels();
    list.add_banks_and_loads();
    list.runs
}

/// The list as text to paste: the key `runs` of the scenario file.
///
/// # Errors
/// None in practice: numbers and strings always serialise.
pub fn snippet(runs: &[SuggestedRun]) -> Result<String, serde_json::Error> {
    Ok(format!(
        "\"runs\": {}\n",
        serde_json::to_string_pretty(runs)?
    ))
}

struct List<'a> {
    scenario: &'a Parts,
    runs: Vec<SuggestedRun>,
}

impl List<'_> {
    fn add(
        &mut self,
        id: &str,
        (from, to): (RunEnd, RunEnd),
        carries: &[RunEnd],
        drop_limit: f64,
        what: &str,
    ) {
        let known = self.scenario.runs.iter().any(|run| {
            let ends = (run.from, run.to);
            let theirs = carried(run);
            (ends == (from, to) || ends == (to, from))
                && theirs.len() == carries.len()
                && carries.iter().all(|end| theirs.contains(end))
        });
        if known {
            return;
        }
        let taken = |id: &str| {
            self.runs.iter().any(|run| run.id == id)
                || self.scenario.runs.iter().any(|run| run.id == id)
        };
        let mut free = id.to_string();
        let mut number = 2;
        while taken(&free) {
            free = format!("{id}-{number}");
            number += 1;
        }
        let in_engine_bay = [from, to].into_iter().any(|end| match end {
            RunEnd::Alternator => true,
            RunEnd::Bank(bank) => self.scenario.banks[bank].kept == Kept::EngineBay,
            _ => false,
        });
        let name = |end: RunEnd| end_id(self.scenario, end).to_string();
        self.runs.push(SuggestedRun {
            id: free,
            from: name(from),
            to: name(to),
            one_way_m: self.guessed_m(from, to, carries.len() > 1),
            carries: carries.iter().map(|end| name(*end)).collect(),
            drop_limit,
            place: in_engine_bay.then_some("engine-bay"),
            note: format!("{what}; the length one way is a guess: measure it"),
        });
    }

    fn guessed_m(&self, from: RunEnd, to: RunEnd, is_block: bool) -> f64 {
        let in_trailer = |end: RunEnd| match end {
            RunEnd::Bank(bank) => self.scenario.banks[bank].trailer,
            RunEnd::Charger(index) => self.scenario.banks[self.scenario.chargers[index].to].trailer,
            RunEnd::Panel(index) => self.scenario.banks[self.scenario.solar[index].to].trailer,
            RunEnd::Load(index) => self.scenario.banks[self.scenario.loads[index].bank].trailer,
            RunEnd::Inverter(index) => {
                self.scenario.banks[self.scenario.inverters[index].bank].trailer
            }
            RunEnd::Alternator | RunEnd::Point(_) => false,
        };
        let is_start = |end: RunEnd| match end {
            RunEnd::Alternator => true,
            RunEnd::Bank(bank) => self.scenario.banks[bank].role == Role::Start,
            _ => false,
        };
        let is_relay = |end: RunEnd| match end {
            RunEnd::Charger(index) => self.scenario.chargers[index].relay.is_some(),
            _ => false,
        };
        let plain_m = match (from, to) {
            _ if is_block => BLOCK_M,
            // A relay sits beside the starting battery.
            (from, to) if is_relay(to) && is_start(from) => CHARGER_M,
            (from, _) if is_relay(from) => ENGINE_BAY_M,
            _ if is_start(from) => ENGINE_BAY_M,
            (RunEnd::Panel(_), _) => ROOF_M,
            (_, RunEnd::Load(_)) => LOAD_M,
            _ => CHARGER_M,
        };
        let crosses = in_trailer(from) != in_trailer(to);
        plain_m + if crosses { DRAWBAR_M } else { 0.0 }
    }

    fn add_chargers(&mut self) {
        let start = start_bank(self.scenario);
        for (index, charger) in self.scenario.chargers.iter().enumerate() {
            let this = RunEnd::Charger(index);
            let feeder = match charger.from {
                ChargerSource::Alternator => Some(start.map_or(RunEnd::Alternator, RunEnd::Bank)),
                ChargerSource::Bank(bank) => Some(RunEnd::Bank(bank)),
                ChargerSource::Mains => None,
            };
            // What drops there lessens the current, and that only.
            let (kind, drop_limit) = if charger.relay.is_some() {
                ("relay", WIDE_DROP)
            } else {
                ("charger", TIGHT_DROP)
            };
            if let Some(feeder) = feeder {
                let id = format!("{}-in", charger.id);
                let what = format!("input of the {kind} {}", charger.id);
                self.add(&id, (feeder, this), &[this], drop_limit, &what);
            }
            let id = format!("{}-out", charger.id);
            let what = format!("output of the {kind} {}", charger.id);
            let ends = (this, RunEnd::Bank(charger.to));
            self.add(&id, ends, &[this], drop_limit, &what);
        }
    }

    fn add_panels(&mut self) {
        for (index, panel) in self.scenario.solar.iter().enumerate() {
            let this = RunEnd::Panel(index);
            let (to, what) = match panel.shares {
                Some(charger) => (RunEnd::Charger(charger), "panel to the box it shares"),
                None => (RunEnd::Bank(panel.to), "panel's controller to the bank"),
            };
            let id = format!("{}-out", panel.id);
            self.add(&id, (this, to), &[this], TIGHT_DROP, what);
        }
    }

    fn add_banks_and_loads(&mut self) {
        for (bank, its) in self.scenario.banks.iter().enumerate() {
            let from = RunEnd::Bank(bank);
            let loads: Vec<RunEnd> = loads_on(self.scenario, bank).collect();
            let mut behind = loads.clone();
            // Its block has the chargers that it feeds and the outputs of what charges it too.
            if its.role == Role::House {
                behind.extend(chargers_on(self.scenario, bank));
            }
            let has_block = behind.len() > 1 && !loads.is_empty();
            if has_block && let Some(largest) = self.largest(bank, &loads) {
                let what = format!(
                    "{} to its fuse block, written as the run to its largest load that carries all behind the block; length as far as the block",
                    its.id
                );
                let id = format!("{}-block", its.id);
                self.add(&id, (from, largest), &behind, BLOCK_DROP, &what);
            }
            let start = if has_block { "fuse block" } else { "bank" };
            for load in loads {
                let coarse = match load {
                    RunEnd::Load(index) => self.scenario.loads[index].kind.is_coarse(),
                    _ => false,
                };
                let drop_limit = if coarse { WIDE_DROP } else { TIGHT_DROP };
                let to = end_id(self.scenario, load);
                let what = format!("{start} to {to}");
                let id = format!("{to}-feed");
                self.add(&id, (from, load), &[load], drop_limit, &what);
            }
        }
    }

    fn largest(&self, bank: usize, loads: &[RunEnd]) -> Option<RunEnd> {
        let current_a = |load: RunEnd| {
            design_current(self.scenario, &plain_run(RunEnd::Bank(bank), load)).current_a
        };
        loads
            .iter()
            .copied()
            .max_by(|a, b| current_a(*a).total_cmp(&current_a(*b)))
    }
}

/// A run with everything usual about it, 1 m long.
#[must_use]
pub(super) fn plain_run(from: RunEnd, to: RunEnd) -> Run {
    Run {
        id: String::new(),
        from,
        to,
        one_way_m: 1.0,
        carries: vec![to],
        drop_limit: TIGHT_DROP,
        mm2: None,
        largest_mm2: None,
        fuse_a: None,
        insulation: Insulation::new(105).expect("one of the ratings"),
        ambient_c: 40.0,
        ambient_given: false,
        bundled: 1,
        place: Kept::Cabin,
    }
}
