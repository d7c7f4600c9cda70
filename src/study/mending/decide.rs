//! What screening found promising, decided with the run's own trials.
//!
//! One job: the rung that reaches the aim where a step less of it does not, its least size with an interval,
//! what it costs and which cable must grow; and whether the one that leads holds under other draws.

use serde_json::Value;

use super::answer::{Change, LeastSize, Mend};
use super::mend::Found;
use super::search::{Bench, Tried};
use crate::scenario::{Changes, Scenario};
use crate::study::answer::Chance;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::costs::{Costs, extra};
use crate::study::choosing::least_of_row::chance_margins;
use crate::wiring::schedule;

/// Rungs that a decision may go up or down from where screening put it.
const SETTLING: usize = 6;

/// By what a change stands before another: those that reach the aim first, free ones leading, then by price, mass
/// and how much of a change; the others by chance.
#[derive(PartialEq, PartialOrd)]
pub(super) struct Standing(bool, bool, f64, f64, f64);

impl Standing {
    pub(super) fn new(reached: Option<(bool, Costs)>, chance: f64, effort: f64) -> Self {
        let or_last = |value: Option<f64>| value.unwrap_or(f64::MAX);
        match reached {
            Some((free, costs)) => {
                let (price, mass_kg) = (or_last(costs.price), or_last(costs.mass_kg));
                Self(false, !free, price, mass_kg, effort)
            }
            None => Self(true, false, -chance, 0.0, effort),
        }
    }
}

/// Puts changes in that order.
pub(super) fn sort_by_standing<T>(changes: &mut [T], of: impl Fn(&T) -> Standing) {
    let equal = std::cmp::Ordering::Equal;
    changes.sort_by(|a, b| of(a).partial_cmp(&of(b)).unwrap_or(equal));
}

pub(super) fn sort(mends: &mut [Mend]) {
    sort_by_standing(mends, |mend| {
        let (price, mass_kg) = (mend.price, mend.mass_kg);
        let reached = mend
            .meets_aim
            .then_some((mend.free, Costs { price, mass_kg }));
        Standing::new(reached, mend.chance.value, mend.effort)
    });
}

/// Settles a rung with the run's own trials: up while the aim is missed, else down while it is not.
pub(super) fn decided(
    bench: &Bench<'_>,
    screen: &Bench<'_>,
    found: &Found,
) -> Result<Option<Mend>, ChoosingError> {
    let mut at = found.at;
    let tried_at = |at: usize| bench.tried_as(found.kind, &found.rungs[at].changes);
    let Some(mut tried) = tried_at(at)? else {
        return Ok(None);
    };
    let mut went_up = false;
    for _ in 0..SETTLING {
        if bench.meets(&tried) || at + 1 == found.rungs.len() {
            break;
        }
        let Some(next) = tried_at(at + 1)? else {
            break;
        };
        (at, tried, went_up) = (at + 1, next, true);
    }
    if bench.meets(&tried) && !went_up {
        for _ in 0..SETTLING {
            let Some(lower) = at.checked_sub(1) else {
                break;
            };
            match tried_at(lower)? {
                Some(less) if bench.meets(&less) => (at, tried) = (lower, less),
                _ => break,
            }
        }
    }
    if !bench.helps(&tried) {
        return Ok(None);
    }
    let rung = &found.rungs[at];
    let costs = extra(&bench.base.scenario, &rung.changes, found.free);
    let [chance_gained, days_gained] = bench.gains(&tried);
    Ok(Some(Mend {
        changes: changes_of(&bench.base.scenario, &rung.changes),
        text: rung.text.clone(),
        chance: tried.chance,
        chance_gained,
        days_gained,
        price: costs.price,
        mass_kg: costs.mass_kg,
        free: found.free,
        meets_aim: bench.meets(&tried),
        least: least_size(bench, screen, found, at, &tried)?,
        other_draws: None,
        cables: cables(&bench.base.scenario, &tried),
        effort: if found.kind == "pair" {
            rung.effort + 1.0
        } else {
            rung.effort
        },
    }))
}

/// The least size with its interval: where the ends of the chance's own interval reach the aim, by first looks
/// put right by what was run.
fn least_size(
    bench: &Bench<'_>,
    screen: &Bench<'_>,
    found: &Found,
    at: usize,
    tried: &Tried,
) -> Result<Option<LeastSize>, ChoosingError> {
    let Some(unit) = found.unit.filter(|_| bench.meets(tried)) else {
        return Ok(None);
    };
    let own = bench.base.ensemble.trials;
    let margins = |chance: Chance| chance_margins(chance.value, own, bench.aim);
    let look = |at: usize| screen.tried(&found.rungs[at].changes);
    let Some(looked) = look(at)? else {
        return Ok(None);
    };
    let (run, looked) = (margins(tried.chance), margins(looked.chance));
    let does = |at: usize, end: usize| -> Result<bool, ChoosingError> {
        let looked_at = look(at)?.map(|tried| margins(tried.chance)[end]);
        Ok(looked_at.is_some_and(|margin| margin + run[end] - looked[end] >= 0.0))
    };
    // Outward, a rung at a time: an interval spans few.
    let mut low = at;
    while low > 0 && does(low - 1, 0)? {
        low -= 1;
    }
    let mut high = Some(at);
    while let Some(end) = high {
        if does(end, 2)? {
            break;
        }
        high = Some(end + 1).filter(|end| *end < found.rungs.len());
    }
    let size = |at: usize| found.rungs[at].size;
    Ok(Some(LeastSize {
        value: size(at),
        low: size(low),
        high: high.map(size),
        unit,
    }))
}

/// The leading mend must not lie clearly below the aim under other draws either: one that does stands back
/// behind the next.
pub(super) fn confirmed(bench: &Bench<'_>, mends: &mut [Mend]) -> Result<(), ChoosingError> {
    for _ in 0..mends.len() {
        let Some(best) = mends.first_mut().filter(|mend| mend.meets_aim) else {
            return Ok(());
        };
        let set = best.changes.iter();
        let changes = set.fold(Changes::default(), |changes, change| {
            changes.and(change.key.clone(), change.to.clone())
        });
        let Ok(scenario) = bench.base.scenario.with(&changes) else {
            return Ok(());
        };
        let chance = bench.under_other_draws(&scenario)?;
        best.other_draws = Some(chance);
        if chance.high >= bench.aim {
            return Ok(());
        }
        best.meets_aim = false;
        best.least = None;
        sort(mends);
    }
    Ok(())
}

fn changes_of(base: &Scenario, changes: &Changes) -> Vec<Change> {
    let set = changes.0.iter();
    set.map(|(key, to)| Change {
        key: key.clone(),
        from: base.given(key).ok().flatten().unwrap_or(Value::Null),
        to: to.clone(),
    })
    .collect()
}

/// Runs that suit the scenario as it is, and do not suit the changed one.
pub(super) fn cables(base: &Scenario, tried: &Tried) -> Vec<String> {
    let before = schedule(base, None);
    let after = schedule(&tried.scenario, None);
    let suited = |id: &str| before.runs.iter().any(|run| run.id == id && run.pass);
    let failing = after.runs.into_iter().filter(|run| !run.pass);
    failing.map(|run| run.id).filter(|id| suited(id)).collect()
}
