//! Inverters, and the loads that they feed.
//!
//! One job: their keys, their bank, and who bears the idle power. That a load asks for more than an
//! inverter gives is refused here; what can be on together is the doubt of [`super::doubts`].

use super::super::file::ScenarioFile;
use super::super::problem::{must_be, no_such};
use super::entries::Entries;
use super::findings::Findings;
use crate::scenario::{Efficiency, Inverter, InverterUnit, Load, Power, Run, RunEnd, When, Where};

/// Checks every inverter.
pub(super) fn check(
    file: &ScenarioFile,
    entries: &Entries,
    notes: &mut Findings<'_>,
) -> Vec<InverterUnit> {
    let given = file.inverters.as_deref().unwrap_or_default();
    given
        .iter()
        .enumerate()
        .map(|(number, file)| {
            let path = format!("/inverters/{number}");
            let unit = InverterUnit::read(file, &path, notes, entries);
            let (rated_w, surge_w) = (unit.rated_w, unit.surge_w);
            if surge_w < rated_w {
                let allowed = format!("at least the `rated_w` of {rated_w}");
                notes.problem(&format!("{path}/surge_w"), must_be(surge_w, allowed));
            }
            if let Efficiency::Curve(points) = &unit.efficiency {
                ascending(points, &format!("{path}/efficiency"), notes);
            }
            unit
        })
        .collect()
}

fn ascending(points: &[(f64, f64)], path: &str, notes: &mut Findings<'_>) {
    for (number, pair) in points.windows(2).enumerate() {
        let path = format!("{path}/{}/share", number + 1);
        if pair[1].0 <= pair[0].0 && !notes.is_spoiled(&path) {
            let allowed = format!("above the point before, which is at {}", pair[0].0);
            notes.problem(&path, must_be(pair[1].0, allowed));
        }
    }
}

/// Checks that the run which an inverter names is its own.
pub(super) fn check_runs(
    file: &ScenarioFile,
    loads: &[Load],
    runs: &[Run],
    notes: &mut Findings<'_>,
) {
    let given = file.inverters.as_deref().unwrap_or_default();
    for (number, unit) in given.iter().enumerate() {
        let Some(id) = &unit.run else { continue };
        let is_its = |end: &RunEnd| match *end {
            RunEnd::Inverter(index) => index == number,
            RunEnd::Load(index) => loads
                .get(index)
                .is_some_and(|load| load.inverter.is_some_and(|it| it.unit == number)),
            _ => false,
        };
        let leads_here = |run: &&Run| run.ends().iter().any(is_its);
        if !runs.iter().filter(leads_here).any(|run| run.id == *id) {
            let known: Vec<String> = runs
                .iter()
                .filter(leads_here)
                .map(|run| run.id.clone())
                .collect();
            let fault = no_such(id, "the id of a run that ends at this inverter", &known);
            notes.problem(&format!("/inverters/{number}/run"), fault);
        }
    }
}

/// Joins the loads to their inverters: efficiency to each, idle power to one of those that are live
/// together.
pub(super) fn join(
    file: &ScenarioFile,
    entries: &Entries,
    units: &[InverterUnit],
    loads: &mut [Load],
    system_voltage_v: f64,
    notes: &mut Findings<'_>,
) {
    let given = file.loads.as_deref().unwrap_or_default();
    for (number, file) in given.iter().enumerate() {
        let path = format!("/loads/{number}/inverter");
        let Some(index) = entries.inverter(file.inverter.as_ref(), &path, notes) else {
            continue;
        };
        let (Some(unit), Some(load)) = (units.get(index), loads.get(number)) else {
            continue;
        };
        if unit.bank != load.bank && !notes.is_spoiled(&format!("/inverters/{index}/bank")) {
            let found = format_args!("`{}`", unit.id);
            notes.problem(&path, must_be(found, "an inverter on the load's own bank"));
        }
        // Beyond an inverter a current is meant on the side of the battery.
        let watts = |power: Power| power.current_a(system_voltage_v) * system_voltage_v;
        let running_w = watts(load.kind.running());
        let peak_w = load.peak.map_or(running_w, |peak| watts(peak.power));
        for (asked_w, given_w, what) in [
            (running_w, unit.rated_w, "rated_w"),
            (peak_w, unit.surge_w, "surge_w"),
        ] {
            if asked_w > given_w * (1.0 + 1e-9) {
                let allowed = format!(
                    "an inverter whose `{what}` is at least the {asked_w:.0} W that this load asks for, not {given_w:.0}"
                );
                notes.problem(&path, must_be(format_args!("`{}`", unit.id), allowed));
                break;
            }
        }
        loads[number].inverter = Some(Inverter {
            unit: index,
            efficiency: unit.efficiency_at(running_w),
            idle_w: unit.idle_w,
        });
    }
    let borne: Vec<usize> = (0..loads.len())
        .filter(|number| is_borne(loads, *number))
        .collect();
    for number in borne {
        if let Some(inverter) = &mut loads[number].inverter {
            inverter.idle_w = 0.0;
        }
    }
}

/// Whether another load on the same inverter bears its idle power at all times at which this one is
/// live, as far as the file says it: the first that is always live, else the first with the same
/// `when` and `where`. An event bears it only where no such load is there.
fn is_borne(loads: &[Load], number: usize) -> bool {
    let this = &loads[number];
    let Some(unit) = this.inverter.map(|inverter| inverter.unit) else {
        return false;
    };
    let mut others = loads.iter().enumerate().filter(|(other, load)| {
        let on_it = load.inverter.is_some_and(|inverter| inverter.unit == unit);
        on_it && *other != number && !load.off && !load.kind.is_event()
    });
    let is_first = |other: usize| other < number || this.kind.is_event();
    if is_always(this) {
        return others.any(|(other, load)| is_always(load) && is_first(other));
    }
    others.any(|(other, load)| {
        is_always(load) || (load.when == this.when && load.place == this.place && is_first(other))
    })
}

fn is_always(load: &Load) -> bool {
    load.when == When::Always && load.place == Where::Anywhere && !load.kind.is_event()
}
