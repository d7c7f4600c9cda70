//! What fails about a run, and what would do.
//!
//! One job: the problems of a line of the schedule. What is merely to be watched is in
//! [`super::run_warnings`].

use super::fuse_times::bears_s;
use super::fuses::{Duty, is_standard_rating, next_fuse};
use super::run_demand::{least_far_end_v, makers_fuse_a};
use super::schedule::{ChosenBy, Problem, ScheduledFuse, ScheduledRun};
use super::sizing::{RunDemand, Sizing, size_run};
use crate::scenario::{Parts, Run, RunEnd};

/// Everything that fails; empty for a run that passes.
#[must_use]
pub fn problems(
    scenario: &Parts,
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
    found.extend(conductor_problem(demand, area));
    found.extend(terminal_problem(scenario, run, demand, area));
    fuse_problems(scenario, run, demand, line, &mut found);
    drop_problems(scenario, run, demand, line, &mut found);
    if let Some(p99) = line.simulated_p99_a {
        let carries = line.ampacity_a.unwrap_or(0.0);
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
    let largest = demand.series.areas_mm2().last().copied().unwrap_or(0.0);
    let largest = demand.series.marked(largest);
    let least_a = demand.least_fuse_a();
    // A fuse of the user's own that asks for more than the run does is the fault itself.
    if let Some(own_a) = demand.fuse_a
        && own_a >= least_a
        && sizing.by_drop_mm2.is_some()
        && let Some(cure) = without_own_fuse(demand)
    {
        return Problem {
            fails: format!(
                "the fuse of {own_a} A is too large: {:.1} A ask for one of at least {least_a:.1} A, and no single conductor up to {largest} carries {own_a} A here",
                demand.current_a
            ),
            would_do: cure,
        };
    }
    let fails = match (sizing.fuse, sizing.by_ampacity_mm2) {
        (None, None) => format!(
            "no standard fuse of at least {least_a:.1} A breaks what this source can drive and bears what starts here"
        ),
        (Some(fuse), None) => format!(
            "no single conductor up to {largest} carries here the {} A of the fuse for {:.1} A",
            fuse.rating_a, demand.current_a
        ),
        _ => format!(
            "no single conductor up to {largest} keeps the drop within {:.2} V over ‹{} m›",
            demand.allowed_drop_v, run.one_way_m
        ),
    };
    Problem {
        fails,
        would_do: beyond(demand),
    }
}

/// What the schedule would take were no fuse given; `None` where nothing does.
fn without_own_fuse(demand: &RunDemand) -> Option<String> {
    let own = size_run(&RunDemand {
        fuse_a: None,
        is_makers_fuse: false,
        ..demand.clone()
    });
    let (area, fuse) = (own.area_mm2?, own.fuse?);
    Some(format!(
        "{} with a fuse of {} A ({})",
        demand.series.marked(area),
        fuse.rating_a,
        fuse.kind.words()
    ))
}

/// A plug, block or terminal that does not take the conductor, with what does: the longest run, or
/// the drop to allow, at the largest size that fits.
fn terminal_problem(scenario: &Parts, run: &Run, demand: &RunDemand, area: f64) -> Option<Problem> {
    let mut limits: Vec<(String, f64)> = Vec::new();
    if let Some(most) = run.largest_mm2 {
        limits.push(("its terminals take".to_string(), most));
    }
    for end in [run.from, run.to] {
        if let RunEnd::Point(index) = end {
            let point = &scenario.distribution[index];
            if let Some(most) = point.largest_mm2 {
                limits.push((
                    format!("the {} {} takes", point.kind.words(), point.id),
                    most,
                ));
            }
        }
    }
    let tightest = limits.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let (what, most) = tightest.filter(|(_, most)| *most < area - 1e-9)?;
    let sizes = demand.series.areas_mm2();
    let fits = sizes.into_iter().rev().find(|size| *size <= most + 1e-9);
    let carries = fits.filter(|size| {
        let carries_a = demand.around.ampacity_a(*size).unwrap_or(0.0);
        carries_a >= demand.fuse_a.unwrap_or_else(|| demand.least_fuse_a())
    });
    let would_do = match carries {
        Some(size) => {
            let per_m = demand.resistance_ohm(size) / demand.one_way_m.max(1e-9);
            let longest_m = demand.allowed_drop_v / (demand.current_a * per_m).max(1e-9);
            let percent = 100.0 * demand.drop_v(size) / demand.system_voltage_v;
            let nearer = match run.to {
                RunEnd::Charger(_) => ", or the charger nearer to its source",
                _ => "",
            };
            format!(
                "{} over at most ‹{longest_m} m:1›, or over these ‹{} m› with a drop of {percent:.1} % allowed{nearer}; or terminals for {}",
                demand.series.marked(size),
                run.one_way_m,
                demand.series.marked(area)
            )
        }
        None => format!(
            "terminals for {}, or less current: nothing that fits carries the fuse",
            demand.series.marked(area)
        ),
    };
    Some(Problem {
        fails: format!(
            "{what} up to {}, the run asks for {}",
            demand.series.marked(most),
            demand.series.marked(area)
        ),
        would_do,
    })
}

fn conductor_problem(demand: &RunDemand, area: f64) -> Option<Problem> {
    let fails = match demand.around.ampacity_a(area) {
        None => format!(
            "‹{area} mm²› is below AWG 18, the smallest size for which 33 CFR 183.425 gives a current"
        ),
        Some(carries) if carries < demand.current_a => {
            format!(
                "‹{area} mm²› carries {carries:.1} A here, the run asks for {:.1} A",
                demand.current_a
            )
        }
        Some(_) => return None,
    };
    let would_do = remedy(demand);
    Some(Problem { fails, would_do })
}

fn fuse_problems(
    scenario: &Parts,
    run: &Run,
    demand: &RunDemand,
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
    if let (Some(own_a), Some(makers_a)) = (run.fuse_a, makers_fuse_a(scenario, run))
        && own_a > makers_a + 1e-9
    {
        found.push(Problem {
            fails: format!(
                "fuse {own_a} A is above the {makers_a} A that the maker of {} asks for",
                line.to
            ),
            would_do: format!("a fuse of {makers_a} A"),
        });
    }
    // Against a fuse that the maker of the load asks for stands only what the load runs with.
    if fuse.chosen_by == ChosenBy::Maker {
        if rating < demand.current_a - 1e-9 {
            found.push(Problem {
                fails: format!(
                    "the maker's fuse of {rating} A is below the {:.1} A that flow at the lowest voltage",
                    demand.current_a
                ),
                would_do: "a look at the data sheet: power, peak and fuse do not go together".to_string(),
            });
        }
    } else if let Some(kind) = fuse.kind
        && rating >= least_a - 1e-9
        && let Some(start) = line
            .starts
            .iter()
            .find(|start| bears_s(kind, start.current_a / rating) < start.seconds)
    {
        found.push(Problem {
            fails: format!(
                "fuse {rating} A ({}) may open in {:.2} s when {} starts: {:.1} A for {} s",
                kind.short_words(),
                bears_s(kind, start.current_a / rating),
                start.id,
                start.current_a,
                start.seconds
            ),
            would_do: remedy(demand),
        });
    }
    if rating < least_a - 1e-9 && fuse.chosen_by != ChosenBy::Maker {
        found.push(Problem {
            fails: format!(
                "fuse {rating} A is below 1.25 × {:.1} A = {least_a:.1} A",
                demand.current_a
            ),
            would_do: remedy(demand),
        });
    }
    let (area, carries) = (line.mm2.unwrap_or(0.0), line.ampacity_a.unwrap_or(0.0));
    if carries >= demand.current_a && rating > carries + 1e-9 {
        let bigger = demand.size_for_fuse_mm2(rating).map_or_else(
            || beyond(demand),
            |size| format!("at least {}", demand.series.marked(size)),
        );
        let would_do = match run.fuse_a {
            Some(_) => format!("{bigger}, or {}", remedy(demand)),
            None => bigger,
        };
        found.push(Problem {
            fails: format!(
                "fuse {rating} A is above the {carries:.1} A that ‹{area} mm²› carries here"
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
    scenario: &Parts,
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
    let start_limit_v = demand.allowed_start_drop_v();
    for start in &line.starts {
        if let Some(start_v) = start.drop_v
            && start_v > start_limit_v + 1e-9
        {
            found.push(Problem {
                fails: format!(
                    "drops {start_v:.2} V while {} starts ({:.1} A), over the {start_limit_v:.2} V allowed for a moment",
                    start.id, start.current_a
                ),
                would_do: remedy(demand),
            });
        }
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
    without_own_fuse(demand).unwrap_or_else(|| beyond(demand))
}

fn beyond(demand: &RunDemand) -> String {
    let warmer = "insulation of a higher rating, cooler air, fewer conductors in the bundle";
    if demand.around.heat_factor() <= 0.0 {
        format!("{warmer}: the air is as hot as this insulation may get")
    } else {
        format!("a shorter run, a smaller current, {warmer}, or two runs with a fuse each")
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
    let volts = demand.system_voltage_v;
    let next = next_fuse(wanted, &demand.surges, demand.duty, volts);
    let other = next.and_then(|next| {
        let size = demand.size_for_fuse_mm2(next.rating_a)?;
        Some(format!(
            "{} A ({}) on at least {}",
            next.rating_a,
            next.kind.words(),
            demand.series.marked(size)
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
