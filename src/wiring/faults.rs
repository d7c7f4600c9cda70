//! What fails about a run, and what would do.
//!
//! One job: the problems of a line of the schedule. What is merely to be watched is in
//! [`super::run_warnings`].

use super::fuses::{Duty, is_standard_rating, next_fuse};
use super::run_demand::least_far_end_v;
use super::schedule::{Problem, ScheduledFuse, ScheduledRun};
use super::sizing::{RunDemand, Sizing, size_run};
use crate::scenario::{Run, Scenario};

/// Everything that fails; empty for a run that passes.
#[must_use]
pub fn problems(
    scenario: &Scenario,
    run: &Run,
    demand: &RunDemand,
    sizing: &Sizing,
    line: &ScheduledRun,
) -> Vec<Problem> {
    let Some(area) = line.mm2 else {
        return vec![no_conductor(run, demand, sizing)];
    };
    let mut found = Vec::new();
    if demand.current_a <= 0.0 {
        found.push(Problem {
            fails: "nothing that the run carries draws current".to_string(),
            would_do: "the ids of the chargers, panels or loads behind it in `carries`".to_string(),
        });
    }
    conductor_problems(demand, area, &mut found);
    fuse_problems(run, demand, area, line, &mut found);
    drop_problems(scenario, run, demand, line, &mut found);
    if let Some(p99) = line.simulated_p99_a {
        let carries = demand.around.ampacity_a(area).unwrap_or(0.0);
        let rating = line.fuse.as_ref().map_or(0.0, |fuse| fuse.rating_a);
        if p99 > carries || p99 > rating {
            found.push(Problem {
                fails: format!("the trials reach {p99:.1} A, above the fuse or the conductor"),
                would_do: "a look at what this run carries: its list is not complete".to_string(),
            });
        }
    }
    found
}

fn no_conductor(run: &Run, demand: &RunDemand, sizing: &Sizing) -> Problem {
    let fails = match (sizing.fuse, sizing.by_ampacity_mm2) {
        (None, _) => format!(
            "no standard fuse of at least {:.1} A breaks what this source can drive",
            demand.least_fuse_a()
        ),
        (Some(fuse), None) => format!(
            "no single conductor up to 120 mm² carries here the {} A of the fuse for {:.1} A",
            fuse.rating_a, demand.current_a
        ),
        _ => format!(
            "no single conductor up to 120 mm² keeps the drop within {:.2} V over {} m",
            demand.allowed_drop_v, run.one_way_m
        ),
    };
    Problem {
        fails,
        would_do: beyond(demand),
    }
}

fn conductor_problems(demand: &RunDemand, area: f64, found: &mut Vec<Problem>) {
    let fails = match demand.around.ampacity_a(area) {
        None => format!(
            "{area} mm² is below AWG 18, the smallest size for which 33 CFR 183.425 gives a current"
        ),
        Some(carries) if carries < demand.current_a => {
            format!(
                "{area} mm² carries {carries:.1} A here, the run asks for {:.1} A",
                demand.current_a
            )
        }
        Some(_) => return,
    };
    found.push(Problem {
        fails,
        would_do: remedy(demand),
    });
}

fn fuse_problems(
    run: &Run,
    demand: &RunDemand,
    area: f64,
    line: &ScheduledRun,
    found: &mut Vec<Problem>,
) {
    let least_a = demand.least_fuse_a();
    let Some(fuse) = &line.fuse else {
        found.push(Problem {
            fails: format!(
                "no standard fuse of at least {least_a:.1} A breaks what this source can drive"
            ),
            would_do: beyond(demand),
        });
        return;
    };
    let rating = fuse.rating_a;
    if rating < least_a - 1e-9 {
        found.push(Problem {
            fails: format!(
                "fuse {rating} A is below 1.25 × {:.1} A = {least_a:.1} A",
                demand.current_a
            ),
            would_do: remedy(demand),
        });
    }
    let carries = demand.around.ampacity_a(area).unwrap_or(0.0);
    if carries >= demand.current_a && rating > carries + 1e-9 {
        let bigger = demand
            .size_for_fuse_mm2(rating)
            .map_or_else(|| beyond(demand), |size| format!("at least {size} mm²"));
        let would_do = match run.fuse_a {
            Some(_) => format!("{bigger}, or {}", remedy(demand)),
            None => bigger,
        };
        found.push(Problem {
            fails: format!(
                "fuse {rating} A is above the {carries:.1} A that {area} mm² carries here"
            ),
            would_do,
        });
    }
    if fuse.kind.is_none() {
        found.push(Problem {
            fails: breaking_fails(demand, fuse),
            would_do: breaking_cure(demand, fuse),
        });
    }
}

fn drop_problems(
    scenario: &Scenario,
    run: &Run,
    demand: &RunDemand,
    line: &ScheduledRun,
    found: &mut Vec<Problem>,
) {
    let drop = line.drop_v.unwrap_or(0.0);
    if drop > run.drop_limit * scenario.system_voltage_v + 1e-9 {
        found.push(Problem {
            fails: format!(
                "drops {drop:.2} V ({:.1} %), over the limit of {:.1} %",
                100.0 * drop / scenario.system_voltage_v,
                line.drop_limit_percent
            ),
            would_do: remedy(demand),
        });
    }
    if let (Some(least_v), Some(far_v)) = (least_far_end_v(scenario, run), line.far_end_v)
        && far_v < least_v - 1e-9
    {
        let would_do = if line.source_v > least_v {
            remedy(demand)
        } else {
            format!(
                "a charger that works from less, or a source above {least_v} V: no cable cures this"
            )
        };
        found.push(Problem {
            fails: format!(
                "{far_v:.2} V arrive of {:.2} V, {} stops below {least_v} V",
                line.source_v, line.to
            ),
            would_do,
        });
    }
}

/// What the schedule would take in the place of the user's choice.
fn remedy(demand: &RunDemand) -> String {
    let own = size_run(&RunDemand {
        fuse_a: None,
        ..*demand
    });
    match (own.area_mm2, own.fuse) {
        (Some(area), Some(fuse)) => format!(
            "{area} mm² with a fuse of {} A ({})",
            fuse.rating_a,
            fuse.kind.words()
        ),
        _ => beyond(demand),
    }
}

fn beyond(demand: &RunDemand) -> String {
    let warmer = "insulation of a higher rating, cooler air, fewer conductors in the bundle";
    if demand.around.heat_factor() <= 0.0 {
        format!("{warmer}: the air is as hot as this insulation may get")
    } else {
        format!("a shorter run, a smaller current, {warmer}, a higher system voltage, or two runs")
    }
}

fn breaking_fails(demand: &RunDemand, fuse: &ScheduledFuse) -> String {
    let rating = fuse.rating_a;
    if !is_standard_rating(rating) {
        return format!("{rating} A is not a standard rating");
    }
    match demand.duty {
        Duty::AtSource { lithium: true, .. } => format!(
            "a lithium bank can drive some {:.0} A here, and no fuse of {rating} A that is fit to be its main fuse is sold",
            fuse.prospective_a
        ),
        Duty::AtSource { breaking_a, .. } => {
            format!(
                "no fuse of {rating} A that breaks the {breaking_a:.0} A asked for at this source is sold"
            )
        }
        Duty::BehindMain => format!("{rating} A is not sold for a fuse block"),
    }
}

fn breaking_cure(demand: &RunDemand, fuse: &ScheduledFuse) -> String {
    let wanted = fuse.rating_a.max(demand.least_fuse_a());
    let other = next_fuse(wanted, demand.duty, demand.system_voltage_v).and_then(|next| {
        let size = demand.size_for_fuse_mm2(next.rating_a)?;
        Some(format!(
            "{} A ({}) on at least {size} mm²",
            next.rating_a,
            next.kind.words()
        ))
    });
    let block =
        "a run from the bank to a fuse block that carries this one too, with the main fuse on it";
    match (demand.duty, other) {
        (Duty::AtSource { .. }, Some(other)) => format!("{other}; or {block}"),
        (_, Some(other)) => other,
        (_, None) => block.to_string(),
    }
}
