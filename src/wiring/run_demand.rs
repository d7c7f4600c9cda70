//! From the scenario's runs to plain demands.
//!
//! One job: gather for one run what [`super::sizing`] needs, and the resistance that the engine
//! takes. The table for the user is in [`mod@super::schedule`].

use super::ampacity::Surroundings;
use super::conductors::Series;
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
    let demand = run_demand(scenario, run, Series::Metric);
    let largest_mm2 = super::conductors::CLASS_5_PLAIN[14].0;
    demand.resistance_ohm(size_run(&demand).area_mm2.unwrap_or(largest_mm2))
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
        [RunEnd::Load(index)] if run.ends().contains(&RunEnd::Load(*index)) => {
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
        .filter(|other| other.ends().contains(&RunEnd::Bank(bank)))
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
    let is_load = |end| matches!(end, RunEnd::Load(_) | RunEnd::Inverter(_));
    if carried(run).len() > 1 || run.has_point() {
        return false;
    }
    let mut runs = scenario.runs.iter();
    run.ends().into_iter().any(is_load) || !runs.any(|other| is_main(other, bank))
}

/// Whether a run feeds a bank's bus or block: it touches the bank and carries more than one thing, or leads to a
/// bus, block or switch.
#[must_use]
pub fn is_main(run: &Run, bank: usize) -> bool {
    run.ends().contains(&RunEnd::Bank(bank)) && (run.carries.len() > 1 || run.has_point())
}

/// Indices of the banks that can drive current into this run from one of its ends. Behind the
/// alternator's output stands the start bank; behind a bus, block, plug or switch the banks that
/// runs join to it.
#[must_use]
pub fn banks_at_ends(scenario: &Parts, run: &Run) -> Vec<usize> {
    let mut banks = Vec::new();
    for end in run.ends() {
        match end {
            RunEnd::Bank(index) => banks.push(index),
            RunEnd::Alternator => banks.extend(scenario.start_bank()),
            RunEnd::Point(_) => banks.extend(banks_behind(scenario, run, end)),
            RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_) | RunEnd::Inverter(_) => {}
        }
    }
    banks.dedup();
    banks
}

/// The banks at an end of a run or behind it.
fn banks_behind(scenario: &Parts, run: &Run, end: RunEnd) -> Vec<usize> {
    let bank = |end| match end {
        RunEnd::Bank(index) => Some(index),
        RunEnd::Alternator => scenario.start_bank(),
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
    for end in run.ends() {
        let bank = match end {
            RunEnd::Bank(index) => Some(index),
            RunEnd::Alternator => scenario.start_bank(),
            RunEnd::Point(_) => {
                is_behind |= !banks_behind(scenario, run, end).is_empty();
                None
            }
            RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_) | RunEnd::Inverter(_) => None,
        };
        let Some(index) = bank else { continue };
        if feed_of(scenario, run, index).is_some() || is_behind_derived_main(scenario, run, index) {
            is_behind = true;
            continue;
        }
        let source = short_circuit_source(scenario, &scenario.banks[index]);
        let (other_a, other) = worst.unwrap_or((0.0, false));
        let breaking_a = source.breaking_a().max(other_a);
        worst = Some((breaking_a, source.lithium || other));
    }
    let (breaking_a, lithium) = match (worst, is_behind, run.from) {
        (Some(worst), _, _) => worst,
        (None, true, _) => return Duty::BehindMain,
        // No bank at either end: an alternator alone gives a few times its rating at most.
        (None, false, RunEnd::Alternator) => {
            let rated_a = scenario.alternator.as_ref().map(|of| of.rated_a);
            (rated_a.map_or(1000.0, |rated_a| 4.0 * rated_a), false)
        }
        (None, false, _) => (750.0, false),
    };
    Duty::AtSource {
        breaking_a,
        lithium,
    }
}
