//! From the scenario's runs to plain demands.
//!
//! One job: gather for one run what [`super::sizing`] needs, and the resistance that the engine
//! takes. The table for the user is in [`mod@super::schedule`].

use super::ampacity::Surroundings;
use super::design_current::{carried, design_current};
use super::fuses::Duty;
use super::short_circuit::ShortCircuitSource;
use super::sizing::{RunDemand, size_run};
use super::voltage_drop::loop_resistance_ohm;
use crate::scenario::{Bank, ChargerSource, Chemistry, Kept, Needs, Role, Run, RunEnd, Scenario};

/// Temperature at which a conductor given by its area is taken when the file gives none, °C.
pub const GIVEN_CONDUCTOR_C: f64 = 40.0;

/// Resistance of a run both ways, terminations included, as the engine takes it, Ω.
///
/// Of a conductor chosen in the file (`mm2`): at `ambient_c` if the file gives it, else at 40 °C.
/// Else of the size that `wiring` picks, at its working temperature under the design current; where
/// no single conductor does, of the largest. `run_index` is an index of [`Scenario::runs`].
#[must_use]
pub fn run_resistance_ohm(scenario: &Scenario, run_index: usize) -> f64 {
    run_resistance_of(scenario, &scenario.runs[run_index])
}

/// [`run_resistance_ohm`] of a run at hand, Ω.
#[must_use]
pub fn run_resistance_of(scenario: &Scenario, run: &Run) -> f64 {
    if let Some(area_mm2) = run.mm2 {
        let conductor_c = if run.ambient_given {
            run.ambient_c
        } else {
            GIVEN_CONDUCTOR_C
        };
        return loop_resistance_ohm(area_mm2, run.one_way_m, conductor_c);
    }
    let demand = run_demand(scenario, run);
    let largest_mm2 = super::conductors::CLASS_5_PLAIN[14].0;
    demand.resistance_ohm(size_run(&demand).area_mm2.unwrap_or(largest_mm2))
}

/// What is asked of a run.
#[must_use]
pub fn run_demand(scenario: &Scenario, run: &Run) -> RunDemand {
    RunDemand {
        current_a: design_current(scenario, run).current_a,
        one_way_m: run.one_way_m,
        allowed_drop_v: allowed_drop_v(scenario, run),
        around: Surroundings {
            insulation: run.insulation,
            ambient_c: run.ambient_c,
            engine_space: run.place == Kept::EngineBay,
            bundled: run.bundled,
        },
        duty: duty(scenario, run),
        system_voltage_v: scenario.system_voltage_v,
        fuse_a: run.fuse_a,
    }
}

/// Voltage at the source end under charge or discharge, V: the alternator's own, also of a start
/// bank that feeds chargers with the engine running; a charger's or controller's absorption
/// voltage; else the bank's nominal 12.8 V (lithium) or 12.0 V per 12 V.
#[must_use]
pub fn source_v(scenario: &Scenario, run: &Run) -> f64 {
    let alternator_v = scenario.alternator.as_ref().map(|a| a.volts);
    let with_engine = || {
        carried(run).iter().any(|end| match *end {
            RunEnd::Charger(index) => scenario.chargers[index].needs != Needs::Always,
            _ => false,
        })
    };
    match (run.from, alternator_v) {
        (RunEnd::Alternator, Some(volts)) => volts,
        (RunEnd::Bank(index), Some(volts))
            if scenario.banks[index].role == Role::Start && with_engine() =>
        {
            volts
        }
        (RunEnd::Bank(index), _) => nominal_v(scenario, &scenario.banks[index]),
        (RunEnd::Charger(index), _) => scenario.banks[scenario.chargers[index].to].absorption_v,
        (RunEnd::Panel(index), _) => scenario.banks[scenario.solar[index].to].absorption_v,
        (RunEnd::Alternator | RunEnd::Load(_), _) => scenario.system_voltage_v,
    }
}

fn nominal_v(scenario: &Scenario, bank: &Bank) -> f64 {
    let per_12v = if bank.chemistry == Chemistry::Lfp {
        12.8
    } else {
        12.0
    };
    per_12v * scenario.voltage_factor()
}

/// The voltage that must arrive where the run ends at a charger's input, V.
#[must_use]
pub fn least_far_end_v(scenario: &Scenario, run: &Run) -> Option<f64> {
    match run.to {
        RunEnd::Charger(index)
            if scenario.chargers[index].from != ChargerSource::Mains
                && !matches!(run.from, RunEnd::Panel(_)) =>
        {
            Some(scenario.chargers[index].min_input_v)
        }
        _ => None,
    }
}

/// The drop allowed: the run's limit, and no more than leaves a charger its lowest input voltage.
fn allowed_drop_v(scenario: &Scenario, run: &Run) -> f64 {
    let limit_v = run.drop_limit * scenario.system_voltage_v;
    match least_far_end_v(scenario, run) {
        Some(least_v) if source_v(scenario, run) > least_v => {
            limit_v.min(source_v(scenario, run) - least_v)
        }
        _ => limit_v,
    }
}

/// A bank as a source of short-circuit current.
#[must_use]
pub fn short_circuit_source(scenario: &Scenario, bank: &Bank) -> ShortCircuitSource {
    let lithium = bank.chemistry == Chemistry::Lfp;
    let full_per_12v = if lithium { 13.4 } else { 12.8 };
    ShortCircuitSource {
        capacity_ah: bank.capacity_ah,
        resistance_mohm: bank.resistance_mohm,
        full_v: full_per_12v * scenario.voltage_factor(),
        lithium,
    }
}

/// The run between a bank and its fuse block behind which this one hangs: it touches the bank and
/// carries all that this one carries and more. The closest one counts.
#[must_use]
pub fn feed_of<'a>(scenario: &'a Scenario, run: &Run, bank: usize) -> Option<&'a Run> {
    let mine = carried(run);
    if mine.is_empty() {
        return None;
    }
    scenario
        .runs
        .iter()
        .filter(|other| other.from == RunEnd::Bank(bank) || other.to == RunEnd::Bank(bank))
        .filter(|other| {
            let theirs = carried(other);
            theirs.len() > mine.len() && mine.iter().all(|end| theirs.contains(end))
        })
        .min_by_key(|other| carried(other).len())
}

/// Indices of the banks that can drive current into this run from one of its ends. Behind the
/// alternator's output stands the start bank.
#[must_use]
pub fn banks_at_ends(scenario: &Scenario, run: &Run) -> Vec<usize> {
    let mut banks = Vec::new();
    for end in [run.from, run.to] {
        match end {
            RunEnd::Bank(index) => banks.push(index),
            RunEnd::Alternator => {
                banks.extend(
                    scenario
                        .banks
                        .iter()
                        .position(|bank| bank.role == Role::Start),
                );
            }
            RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_) => {}
        }
    }
    banks.dedup();
    banks
}

fn duty(scenario: &Scenario, run: &Run) -> Duty {
    let banks = banks_at_ends(scenario, run);
    let mut worst: Option<Duty> = None;
    for &index in &banks {
        if feed_of(scenario, run, index).is_some() {
            continue;
        }
        let source = short_circuit_source(scenario, &scenario.banks[index]);
        let (breaking_a, lithium) = (source.breaking_a(), source.lithium);
        worst = Some(match worst {
            Some(Duty::AtSource {
                breaking_a: other_a,
                lithium: other,
            }) => Duty::AtSource {
                breaking_a: other_a.max(breaking_a),
                lithium: other || lithium,
            },
            _ => Duty::AtSource {
                breaking_a,
                lithium,
            },
        });
    }
    match (worst, banks.is_empty(), run.from) {
        (Some(duty), _, _) => duty,
        (None, false, _) => Duty::BehindMain,
        // No bank at either end: an alternator alone gives a few times its rating at most.
        (None, true, RunEnd::Alternator) => Duty::AtSource {
            breaking_a: scenario
                .alternator
                .as_ref()
                .map_or(1000.0, |a| 4.0 * a.rated_a),
            lithium: false,
        },
        (None, true, _) => Duty::AtSource {
            breaking_a: 750.0,
            lithium: false,
        },
    }
}
