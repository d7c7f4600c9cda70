//! Judging one run: what is proposed, or what is wrong with the user's own choice.
//!
//! One job: gather the schedule's line. The arithmetic is in [`super::sizing`], what fails in
//! [`super::faults`], what to watch in [`super::run_warnings`].

use super::conductors::{Awg, Series};
use super::design_current::{carried, design_current, end_id};
use super::faults::problems;
use super::fuse_places::{fuse_places, prospective_a};
use super::fuses::{Duty, Fuse, Status, fuse_of_rating, next_fuse};
use super::run_demand::{contact_ohm, run_demand, run_resistance_ohm, source_v};
use super::run_warnings::warnings;
use super::schedule::{Breaking, ChosenBy, Ground, ScheduledFuse, ScheduledRun, ScheduledStart};
use super::sizing::{RunDemand, Sizing, size_run};
use super::trip_hours::flowing_hours;
use crate::scenario::{Parts, Run};

/// The schedule's line for run `index` of the scenario.
#[must_use]
pub fn assess_run(
    scenario: &Parts,
    index: usize,
    series: Series,
    p99_a: Option<f64>,
) -> ScheduledRun {
    let run = &scenario.runs[index];
    let current = design_current(scenario, run);
    let demand = run_demand(scenario, run, series);
    let sizing = size_run(&demand);
    let area = run.mm2.or(sizing.area_mm2);
    let ampacity = area.map(|area| demand.around.ampacity_a(area).unwrap_or(0.0));
    let fuse = area.and_then(|area| scheduled_fuse(scenario, run, &demand, &sizing, area));
    let source_v = source_v(scenario, run);
    let contacts = contact_ohm(scenario, run);
    let drop_v = area.map(|area| demand.drop_v(area) + contacts * demand.current_a);
    let starts = current
        .starts
        .iter()
        .map(|start| ScheduledStart {
            id: start.id.clone(),
            current_a: start.surge.current_a,
            seconds: start.surge.seconds,
            drop_v: area.map(|area| demand.start_drop_v(area, start.surge)),
            basis: start.basis,
        })
        .collect();
    let heat_w = drop_v.map(|drop| drop * demand.current_a);
    let mut line = ScheduledRun {
        id: run.id.clone(),
        from: end_id(scenario, run.from).to_string(),
        to: end_id(scenario, run.to).to_string(),
        carries: carried(run)
            .iter()
            .map(|end| end_id(scenario, *end).to_string())
            .collect(),
        one_way_m: run.one_way_m,
        design_current_a: demand.current_a,
        continuous: current.continuous_a > 0.0,
        continuous_a: current.continuous_a,
        current_basis: current.basis,
        starts,
        simulated_p99_a: p99_a,
        insulation_c: run.insulation.rating_c(),
        ambient_c: run.ambient_c,
        bundled: run.bundled,
        place: run.place.word(),
        by_ampacity_mm2: sizing.by_ampacity_mm2,
        by_drop_mm2: sizing.by_drop_mm2,
        ruled_by: sizing.ruled_by,
        chosen_by: if run.mm2.is_some() {
            ChosenBy::User
        } else {
            ChosenBy::Schedule
        },
        mm2: area,
        awg: gauge(run, &demand, &sizing),
        conductor: area.map(|area| series.marked(area)),
        ampacity_a: ampacity,
        conductor_c: area.map(|area| demand.conductor_c(area)),
        resistance_mohm: area.map(|area| 1000.0 * demand.resistance_ohm(area)),
        trip_resistance_mohm: 1000.0 * run_resistance_ohm(scenario, index),
        source_v,
        drop_v,
        drop_percent: drop_v.map(|drop| 100.0 * drop / scenario.system_voltage_v),
        drop_limit_percent: 100.0 * run.drop_limit,
        far_end_v: drop_v.map(|drop| source_v - drop),
        heat_w,
        heat_wh_trip: heat_w.map(|heat| heat * flowing_hours(scenario, run)),
        fuse,
        pass: true,
        problems: Vec::new(),
        warnings: Vec::new(),
        grounds: Vec::new(),
    };
    line.problems = problems(scenario, run, &demand, &sizing, &line);
    line.pass = line.problems.is_empty();
    line.warnings = warnings(scenario, run, &demand, &line);
    line.grounds = grounds(&line);
    line
}

/// The gauge that the same demand takes in the AWG series; of a conductor of one's own the next above.
fn gauge(run: &Run, demand: &RunDemand, sizing: &Sizing) -> Option<String> {
    if let Some(own) = run.mm2 {
        return Awg::not_smaller_than(own).map(|gauge| gauge.to_string());
    }
    let area = match demand.series {
        Series::Awg => sizing.area_mm2?,
        Series::Metric => {
            let series = Series::Awg;
            size_run(&RunDemand {
                series,
                ..demand.clone()
            })
            .area_mm2?
        }
    };
    Awg::of_area(area).map(|gauge| gauge.to_string())
}

fn scheduled_fuse(
    scenario: &Parts,
    run: &Run,
    demand: &RunDemand,
    sizing: &Sizing,
    area_mm2: f64,
) -> Option<ScheduledFuse> {
    let volts = demand.system_voltage_v;
    let least_a = demand.least_fuse_a();
    let (rating_a, found): (f64, Option<Fuse>) = if let Some(given) = demand.fuse_a {
        (given, fuse_of_rating(given, demand.duty, volts))
    } else {
        let fuse = if run.mm2.is_some() {
            next_fuse(least_a, &demand.surges, demand.duty, volts)
        } else {
            sizing.fuse
        };
        fuse.map(|fuse| (fuse.rating_a, Some(fuse)))?
    };
    let prospective = prospective_a(scenario, run);
    let breaking_capacity_a = found.map(|fuse| fuse.kind.breaking_capacity_a(volts).0);
    let breaking = match (found, breaking_capacity_a, demand.duty) {
        (Some(_), Some(can_a), _) if can_a >= prospective => Breaking::Alone,
        (Some(_), _, Duty::BehindMain) => Breaking::BehindMainFuse,
        // `suits` lets class T through up to the 20 kA with which it is sold.
        (Some(_), _, Duty::AtSource { .. }) => Breaking::Alone,
        (None, ..) => Breaking::NotEnough,
    };
    let places = fuse_places(scenario, run);
    Some(ScheduledFuse {
        rating_a,
        chosen_by: if run.fuse_a.is_some() {
            ChosenBy::User
        } else if demand.is_makers_fuse {
            ChosenBy::Maker
        } else {
            ChosenBy::Schedule
        },
        window_low_a: least_a,
        window_high_a: demand.around.ampacity_a(area_mm2).unwrap_or(0.0),
        kind: found.map(|fuse| fuse.kind),
        words: found.map_or_else(
            || "none of this rating may stand here".to_string(),
            |f| f.kind.words().to_string(),
        ),
        breaking_capacity_a,
        prospective_a: prospective,
        breaking,
        number: places.len(),
        places,
    })
}

fn grounds(line: &ScheduledRun) -> Vec<Ground> {
    let heat = "33 CFR 183.425, notes 1 and 2; heat balance outside an engine space";
    let mut grounds = vec![
        (
            "current of the conductor",
            "33 CFR 183.425, Table 5",
            Status::Verified,
        ),
        (
            "factors for heat and bundling",
            heat,
            Status::VerifiedSecondhand,
        ),
        (
            "resistance of the conductor",
            "IEC 60228, class 5",
            Status::Verified,
        ),
        (
            "fuse ratings on sale",
            "ISO 8820 and UL 248 series",
            Status::Memory,
        ),
    ];
    if let Some(kind) = line.fuse.as_ref().and_then(|fuse| fuse.kind) {
        let status = kind.breaking_capacity_a(12.0).1;
        grounds.push(("breaking capacity of the fuse", kind.words(), status));
    }
    let ground = |(what, source, status)| Ground {
        what,
        source,
        status,
    };
    grounds.into_iter().map(ground).collect()
}
