//! From the scenario's runs to plain demands.
//!
//! One job: gather for one run what [`super::sizing`] needs, and the resistance that the engine
//! takes. The table for the user is in [`mod@super::schedule`].

use super::ampacity::Surroundings;
use super::conductors::{CLASS_5_PLAIN, Series};
use super::design_current::{carried, design_current, sources_at};
use super::fuses::Duty;
use super::short_circuit::ShortCircuitSource;
use super::sizing::{RunDemand, size_run};
use super::voltage_drop::loop_resistance_ohm;
use crate::scenario::{Bank, ChargerSource, Chemistry, Kept, Needs, Parts, Role, Run, RunEnd};

/// Temperature at which a conductor given by its area is taken when the file gives none, °C.
pub const GIVEN_CONDUCTOR_C: f64 = 40.0;

/// Resistance of a run both ways, terminations included, as the engine takes it, Ω.
///
/// Of a conductor chosen in the file (`mm2`): at `ambient_c` if the file gives it, else at 40 °C.
/// Else of the size that `wiring` picks, at its working temperature under the design current; where
/// no single conductor does, of the largest. `run_index` is an index of [`Parts::runs`].
#[must_use]
pub fn run_resistance_ohm(scenario: &Parts, run_index: usize) -> f64 {
    let run = &scenario.runs[run_index];
    run_resistance_of(scenario, run) + contact_ohm(scenario, run)
}

/// Contacts of the plug, switch, bus or block where the run ends, Ω; those where it begins count
/// with the run that leads there.
#[must_use]
pub fn contact_ohm(scenario: &Parts, run: &Run) -> f64 {
    match run.to {
        RunEnd::Point(index) => scenario.distribution[index].contact_mohm / 1000.0,
        _ => 0.0,
    }
}

/// [`run_resistance_ohm`] of a run at hand, Ω.
#[must_use]
pub fn run_resistance_of(scenario: &Parts, run: &Run) -> f64 {
    if let Some(area_mm2) = run.mm2 {
        let conductor_c = if run.ambient_given {
            run.ambient_c
        } else {
            GIVEN_CONDUCTOR_C
        };
        return loop_resistance_ohm(area_mm2, run.one_way_m, conductor_c);
    }
    picked_resistance_ohm(&run_demand(scenario, run, Series::Metric))
}

/// Resistance both ways of the conductor that is picked for a demand, of the largest where no single one does, Ω.
pub(super) fn picked_resistance_ohm(demand: &RunDemand) -> f64 {
    let largest_mm2 = CLASS_5_PLAIN[14].0;
    demand.resistance_ohm(size_run(demand).area_mm2.unwrap_or(largest_mm2))
}

/// What is asked of a run, its conductor to be of this series.
#[must_use]
pub fn run_demand(scenario: &Parts, run: &Run, series: Series) -> RunDemand {
    let design = design_current(scenario, run);
    RunDemand {
        surges: design.starts.iter().map(|start| start.surge).collect(),
        ..demand_of(scenario, run, series, design.current_a)
    }
}

/// [`run_demand`] for a current at hand, without starts.
#[must_use]
pub fn demand_of(scenario: &Parts, run: &Run, series: Series, current_a: f64) -> RunDemand {
    let makers_a = makers_fuse_a(scenario, run);
    let contacts_v = current_a * contact_ohm(scenario, run);
    RunDemand {
        current_a,
        one_way_m: run.one_way_m,
        allowed_drop_v: allowed_drop_v(scenario, run) - contacts_v,
        around: Surroundings {
            insulation: run.insulation,
            ambient_c: run.ambient_c,
            engine_space: run.place == Kept::EngineBay,
            bundled: run.bundled,
        },
        duty: duty(scenario, run),
        system_voltage_v: scenario.system_voltage_v,
        fuse_a: run.fuse_a.or(makers_a),
        is_makers_fuse: run.fuse_a.is_none() && makers_a.is_some(),
        surges: Vec::new(),
        series,
    }
}

/// The fuse that the maker of a load asks for, on the run that feeds it alone, A.
#[must_use]
pub fn makers_fuse_a(scenario: &Parts, run: &Run) -> Option<f64> {
    match carried(run).as_ref() {
        [RunEnd::Load(index)] if [run.from, run.to].contains(&RunEnd::Load(*index)) => {
            scenario.loads[*index].fuse_a
        }
        _ => None,
    }
}

/// Voltage at the source end under charge or discharge, V: the alternator's own, also of a start
/// bank that feeds chargers with the engine running; a charger's or controller's absorption
/// voltage; else the bank's nominal 12.8 V (lithium) or 12.0 V per 12 V.
#[must_use]
pub fn source_v(scenario: &Parts, run: &Run) -> f64 {
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
        (RunEnd::Charger(index), Some(volts)) if scenario.chargers[index].relay.is_some() => volts,
        (RunEnd::Charger(index), _) => scenario.banks[scenario.chargers[index].to].absorption_v,
        (RunEnd::Panel(index), _) => scenario.banks[scenario.solar[index].to].absorption_v,
        (RunEnd::Point(_), _) if with_engine() => alternator_v.unwrap_or(scenario.system_voltage_v),
        (RunEnd::Point(_), _) => banks_behind(scenario, run, run.from)
            .first()
            .map_or(scenario.system_voltage_v, |bank| {
                nominal_v(scenario, &scenario.banks[*bank])
            }),
        (RunEnd::Alternator | RunEnd::Load(_) | RunEnd::Inverter(_), _) => {
            scenario.system_voltage_v
        }
    }
}

fn nominal_v(scenario: &Parts, bank: &Bank) -> f64 {
    let per_12v = if bank.chemistry == Chemistry::Lfp {
        12.8
    } else {
        12.0
    };
    per_12v * scenario.voltage_factor()
}

/// The voltage that must arrive where the run ends at a charger's input, V.
#[must_use]
pub fn least_far_end_v(scenario: &Parts, run: &Run) -> Option<f64> {
    match run.to {
        RunEnd::Charger(index)
            if scenario.chargers[index].relay.is_none()
                && scenario.chargers[index].from != ChargerSource::Mains
                && !matches!(run.from, RunEnd::Panel(_)) =>
        {
            Some(scenario.chargers[index].min_input_v)
        }
        _ => None,
    }
}

/// The drop allowed: the run's limit, and no more than leaves a charger its lowest input voltage.
fn allowed_drop_v(scenario: &Parts, run: &Run) -> f64 {
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
pub fn short_circuit_source(scenario: &Parts, bank: &Bank) -> ShortCircuitSource {
    let lithium = bank.chemistry == Chemistry::Lfp;
    let full_per_12v = if lithium { 13.4 } else { 12.8 };
    ShortCircuitSource {
        capacity_ah: bank.capacity_ah,
        resistance_mohm: bank.resistance_mohm,
        full_v: full_per_12v * scenario.voltage_factor(),
        lithium,
    }
}

/// The run between a bank and its fuse block behind which this one is: it touches the bank and
/// carries all that this one carries and more. The closest one counts.
#[must_use]
pub fn feed_of<'a>(scenario: &'a Parts, run: &Run, bank: usize) -> Option<&'a Run> {
    let mine = carried(run);
    if mine.is_empty() {
        return None;
    }
    scenario
        .runs
        .iter()
        .filter(|other| other.from == RunEnd::Bank(bank) || other.to == RunEnd::Bank(bank))
        .filter(|other| other.carries.len() > mine.len())
        .filter(|other| mine.iter().all(|end| carries(scenario, other, *end)))
        .min_by_key(|other| other.carries.len())
}

/// Whether a run carries this part; an inverter also where it carries one of its loads.
fn carries(scenario: &Parts, run: &Run, end: RunEnd) -> bool {
    let of_unit = |other: &RunEnd| match (end, *other) {
        (RunEnd::Inverter(unit), RunEnd::Load(load)) => scenario.loads[load]
            .inverter
            .is_some_and(|it| it.unit == unit),
        _ => false,
    };
    run.carries.contains(&end) || run.carries.iter().any(of_unit)
}

/// Whether the run is taken to begin at a fuse block or bus behind a main fuse of the bank that the
/// file does not name: a house bank's battery terminal carries one cable, and everything on it is
/// distributed from there. So it is for every load, and for all else where the file says nothing
/// about how this bank's current is distributed.
#[must_use]
pub fn is_behind_derived_main(scenario: &Parts, run: &Run, bank: usize) -> bool {
    if scenario.banks[bank].role == Role::Start || feed_of(scenario, run, bank).is_some() {
        return false;
    }
    if carried(run).len() > 1 || leads_to_point(run) {
        return false;
    }
    let is_load = |end| matches!(end, RunEnd::Load(_) | RunEnd::Inverter(_));
    let mut runs = scenario.runs.iter();
    is_load(run.from) || is_load(run.to) || !runs.any(|other| is_main_of(other, bank))
}

/// Whether a run feeds a bank's bus or block: it touches the bank and carries more than one thing, or leads
/// to a bus, block or switch.
pub(super) fn is_main_of(run: &Run, bank: usize) -> bool {
    [run.from, run.to].contains(&RunEnd::Bank(bank))
        && (run.carries.len() > 1 || leads_to_point(run))
}

fn leads_to_point(run: &Run) -> bool {
    let mut ends = [run.from, run.to].into_iter();
    ends.any(|end| matches!(end, RunEnd::Point(_)))
}

/// Indices of the banks that can drive current into this run from one of its ends. Behind the
/// alternator's output stands the start bank; behind a bus, block, plug or switch the banks that
/// runs join to it.
#[must_use]
pub fn banks_at_ends(scenario: &Parts, run: &Run) -> Vec<usize> {
    let ends = [run.from, run.to].into_iter();
    let mut banks: Vec<usize> = ends
        .flat_map(|end| banks_behind(scenario, run, end))
        .collect();
    banks.dedup();
    banks
}

/// The starting battery, if the file has one.
pub(super) fn start_bank(scenario: &Parts) -> Option<usize> {
    scenario
        .banks
        .iter()
        .position(|bank| bank.role == Role::Start)
}

/// The banks at an end of a run or behind it.
fn banks_behind(scenario: &Parts, run: &Run, end: RunEnd) -> Vec<usize> {
    let bank = |end| match end {
        RunEnd::Bank(index) => Some(index),
        RunEnd::Alternator => start_bank(scenario),
        _ => None,
    };
    sources_at(scenario, run, end)
        .into_iter()
        .filter_map(bank)
        .collect()
}

fn duty(scenario: &Parts, run: &Run) -> Duty {
    let mut worst: Option<(f64, bool)> = None;
    let mut is_behind = false;
    for end in [run.from, run.to] {
        for bank in banks_behind(scenario, run, end) {
            if matches!(end, RunEnd::Point(_))
                || feed_of(scenario, run, bank).is_some()
                || is_behind_derived_main(scenario, run, bank)
            {
                is_behind = true;
                continue;
            }
            let source = short_circuit_source(scenario, &scenario.banks[bank]);
            let (other_a, other) = worst.unwrap_or((0.0, false));
            worst = Some((other_a.max(source.breaking_a()), other || source.lithium));
        }
    }
    let (breaking_a, lithium) = match (worst, is_behind, &scenario.alternator) {
        (Some(of_banks), ..) => of_banks,
        (None, true, _) => return Duty::BehindMain,
        // No bank at either end: an alternator alone gives a few times its rating at most.
        (None, false, of) if run.from == RunEnd::Alternator => {
            (of.as_ref().map_or(1000.0, |of| 4.0 * of.rated_a), false)
        }
        (None, false, _) => (750.0, false),
    };
    Duty::AtSource {
        breaking_a,
        lithium,
    }
}
