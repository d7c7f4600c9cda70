//! `mend`: the cheapest change that makes the trip work.
//!
//! One job: families screened with few trials, the promising decided with the run's own, put in order.
//! A mend that is shown as reaching the aim does so on the run's own trials, and one step less of its
//! size does not.

use serde_json::Value;

use super::answer::{Change, Mend, MendResult, Useless};
use super::families::{Family, LESS_LOAD, Rung, families};
use super::map::map;
use super::search::{Bench, Tried, both};
use crate::scenario::{Changes, Scenario};
use crate::study::choosing::ChoosingError;
use crate::study::choosing::costs::{Costs, costs};
use crate::study::choosing::options::Choice;
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::trials::{Progress, Silent};
use crate::wiring::schedule;

/// Trials of the screening at most: its 95 % interval is some 5 points wide, and what it lets pass is
/// decided with the run's own.
const SCREENING_TRIALS: u64 = 256;
/// How far below the aim a screening may stay, as a share, to be decided all the same.
const DOUBT: f64 = 0.04;
/// Mends that are decided and shown: so many that cost nothing, so many to buy, and tries for them at most.
const SHOWN: [usize; 2] = [3, 3];
const TRIES: usize = 9;
/// Rungs that a decision may go up or down from where screening put it.
const SETTLING: usize = 6;
/// Families that are tried in pairs at most, where none does alone.
const PAIRED: usize = 4;

/// A change that screening found worth deciding.
struct Found {
    kind: &'static str,
    free: bool,
    rungs: Vec<Rung>,
    /// The rung that screening found.
    at: usize,
    meets: bool,
    chance: f64,
    costs: Costs,
}

/// Finds the cheapest change that meets the aim.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn mend(
    scenario: &Scenario,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<MendResult, ChoosingError> {
    let full = Simulation::trip(scenario, settings, progress)?;
    let coarse = Simulation::trip(scenario, &settings.coarse(SCREENING_TRIALS), &Silent)?;
    let screen = Bench::new(&coarse, progress);
    let bench = Bench::new(&full, progress);
    let days = full.days();
    let load_wh: Vec<f64> = full.ensemble.load_wh.iter().map(|wh| wh / days).collect();
    let families = families(scenario, &load_wh);
    progress.expect(families.len() as u64 * 3, full.timeline.steps);

    let meets_aim = bench.meets(&bench.as_it_is);
    let mut found = Vec::new();
    let mut useless = Vec::new();
    if !meets_aim {
        for family in &families {
            match screened(&screen, family)? {
                Some(promising) => found.push(promising),
                // Nobody asks for moves that don't help.
                None if family.kind.starts_with("move") => {}
                None => useless.push(of_no_use(family)),
            }
        }
        if !found.iter().any(|found| found.meets) {
            let together = pairs(&screen, &mut found)?;
            found.extend(together);
        }
        found.sort_by(|a, b| {
            order(a)
                .partial_cmp(&order(b))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
    }
    let mut mends = Vec::new();
    let mut left = SHOWN;
    let mut tries = 0;
    for promising in &found {
        let left = &mut left[usize::from(!promising.free)];
        if *left == 0 || tries == TRIES {
            continue;
        }
        tries += 1;
        if let Some(mend) = decided(&bench, promising)? {
            *left -= usize::from(mend.meets_aim || !promising.meets);
            mends.push(mend);
        }
    }
    mends.sort_by(|a, b| {
        rank(a)
            .partial_cmp(&rank(b))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    Ok(MendResult {
        heading: full.heading(),
        aim_chance: scenario.aim_chance,
        now: bench.as_it_is.chance,
        meets_aim,
        mends,
        useless,
        map: map_of(&screen, &families)?,
        warnings: full.warnings(),
    })
}

/// Those that reach the aim first, free ones leading, then by price, mass and how much of a change.
fn order(found: &Found) -> (bool, bool, f64, f64, f64) {
    let or_last = |value: Option<f64>| value.unwrap_or(f64::MAX);
    let effort = found.rungs[found.at].effort;
    if found.meets {
        let Costs { price, mass_kg } = found.costs;
        (false, !found.free, or_last(price), or_last(mass_kg), effort)
    } else {
        (true, false, -found.chance, 0.0, effort)
    }
}

/// The same of a decided one.
fn rank(mend: &Mend) -> (bool, bool, f64, f64, f64) {
    let or_last = |value: Option<f64>| value.unwrap_or(f64::MAX);
    if mend.meets_aim {
        (
            false,
            !mend.free,
            or_last(mend.price),
            or_last(mend.mass_kg),
            mend.effort,
        )
    } else {
        (true, false, -mend.chance.value, 0.0, mend.effort)
    }
}

/// The least rung of a family that meets the aim with the screening's trials, or the one that does
/// most; `None` where all of it is of no use.
fn screened(screen: &Bench<'_>, family: &Family) -> Result<Option<Found>, ChoosingError> {
    // The checker may refuse the largest sizes: the last that holds counts.
    let mut rungs = family.rungs.clone();
    let most = loop {
        let Some(last) = rungs.last() else {
            return Ok(None);
        };
        match screen.tried(&last.changes)? {
            Some(tried) => break tried,
            None => rungs.truncate(rungs.len() / 2),
        }
    };
    if !screen.helps(&most) {
        return Ok(None);
    }
    let meets = most.chance.value >= screen.aim - DOUBT;
    let at = if screen.meets(&most) {
        screen.least(rungs.len(), |at| rungs[at].changes.clone())?
    } else {
        rungs.len() - 1
    };
    let costs = extra(screen, &rungs[at].changes, family.free);
    Ok(Some(Found {
        kind: family.kind,
        free: family.free,
        chance: most.chance.value,
        rungs,
        at,
        meets,
        costs,
    }))
}

/// What a change costs and weighs beyond what there is.
fn extra(bench: &Bench<'_>, changes: &Changes, free: bool) -> Costs {
    if free {
        return Costs {
            price: Some(0.0),
            mass_kg: Some(0.0),
        };
    }
    let base = &bench.base.scenario;
    let choice = Choice {
        name: String::new(),
        set: changes.clone(),
    };
    let Ok(changed) = base.with(changes) else {
        return Costs {
            price: None,
            mass_kg: None,
        };
    };
    let before = costs(&Choice::as_it_is(), base, base);
    let after = costs(&choice, &changed, base);
    let [priced, weighed] = known(base, changes);
    let more = |after: Option<f64>, before: Option<f64>| Some(after? - before?);
    Costs {
        price: more(after.price, before.price).filter(|_| priced),
        mass_kg: more(after.mass_kg, before.mass_kg).filter(|_| weighed),
    }
}

/// Whether every part that changes has a price, and a mass; a part that is new has none.
fn known(base: &Scenario, changes: &Changes) -> [bool; 2] {
    let of_part = |key: &str| {
        let mut steps = key.split('.');
        let (list, id) = (steps.next()?, steps.next()?);
        let banks = base
            .banks
            .iter()
            .map(|p| ("banks", &p.id, p.price, p.mass_kg));
        let chargers = base
            .chargers
            .iter()
            .map(|p| ("chargers", &p.id, p.price, p.mass_kg));
        let panels = base
            .solar
            .iter()
            .map(|p| ("solar", &p.id, p.price, p.mass_kg));
        let mut all = banks.chain(chargers).chain(panels);
        all.find(|part| part.0 == list && part.1 == id)
    };
    let parts: Vec<_> = changes.0.iter().map(|(key, _)| of_part(key)).collect();
    [
        parts
            .iter()
            .all(|part| part.is_some_and(|part| part.2.is_some())),
        parts
            .iter()
            .all(|part| part.is_some_and(|part| part.3.is_some())),
    ]
}

/// Two families together, where none does alone: both by the same share of their rows, then each as
/// small as the other allows.
fn pairs(screen: &Bench<'_>, found: &mut [Found]) -> Result<Vec<Found>, ChoosingError> {
    found.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    let best = &found[..found.len().min(PAIRED)];
    let mut out = Vec::new();
    for (index, first) in best.iter().enumerate() {
        for second in &best[index + 1..] {
            let pair = |a: &Rung, b: &Rung| Rung {
                changes: both(&a.changes, &b.changes),
                text: format!("{}, and {}", a.text, b.text),
                effort: a.effort + b.effort,
                size: 0.0,
            };
            let share = |rungs: &[Rung], at: usize, of: usize| {
                rungs[(at * (rungs.len() - 1)).div_ceil((of - 1).max(1))].clone()
            };
            let count = first.rungs.len().max(second.rungs.len());
            let along: Vec<Rung> = (0..count)
                .map(|at| {
                    pair(
                        &share(&first.rungs, at, count),
                        &share(&second.rungs, at, count),
                    )
                })
                .collect();
            let Some(most) = along.last() else { continue };
            let Some(tried) = screen.tried(&most.changes)? else {
                continue;
            };
            if !screen.meets(&tried) {
                continue;
            }
            let at = screen.least(along.len(), |at| along[at].changes.clone())?;
            let fixed = share(&first.rungs, at, count);
            let rungs: Vec<Rung> = second.rungs.iter().map(|rung| pair(&fixed, rung)).collect();
            let top = (at * (second.rungs.len() - 1)).div_ceil((count - 1).max(1));
            let at = screen.least(top + 1, |at| rungs[at].changes.clone())?;
            let free = first.free && second.free;
            let costs = extra(screen, &rungs[at].changes, free);
            out.push(Found {
                kind: "pair",
                free,
                rungs,
                at,
                meets: true,
                chance: tried.chance.value,
                costs,
            });
        }
    }
    Ok(out)
}

/// Settles a rung with the run's own trials: up while the aim is missed, else down while it is not.
fn decided(bench: &Bench<'_>, found: &Found) -> Result<Option<Mend>, ChoosingError> {
    let mut at = found.at;
    let tried_at = |at: usize| match found.kind {
        LESS_LOAD => bench.tried_short(&found.rungs[at].changes),
        _ => bench.tried(&found.rungs[at].changes),
    };
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
    let costs = extra(bench, &rung.changes, found.free);
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
        cables: cables(&bench.base.scenario, &tried),
        effort: if found.kind == "pair" {
            rung.effort + 1.0
        } else {
            rung.effort
        },
    }))
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
fn cables(base: &Scenario, tried: &Tried) -> Vec<String> {
    let before = schedule(base, None);
    let after = schedule(&tried.scenario, None);
    let suited = |id: &str| before.runs.iter().any(|run| run.id == id && run.pass);
    let failing = after.runs.into_iter().filter(|run| !run.pass);
    failing.map(|run| run.id).filter(|id| suited(id)).collect()
}

fn of_no_use(family: &Family) -> Useless {
    let text = match family.rungs.last() {
        Some(last) if last.size > 0.0 && family.key.is_some() => {
            format!("{}, tried up to {} {}", family.name, last.size, family.unit)
        }
        _ => family.name.clone(),
    };
    Useless {
        kind: family.kind,
        text,
    }
}

/// The map over the bank that falls short most and its panel, or its charger where no panel helps.
fn map_of(
    screen: &Bench<'_>,
    families: &[Family],
) -> Result<Option<super::answer::MendMap>, ChoosingError> {
    let base = screen.base;
    let short = |bank: usize| {
        let days = base.ensemble.banks[bank].autonomy_days.iter();
        days.filter(|days| days.is_finite()).count()
    };
    let Some(bank) = base
        .house()
        .into_iter()
        .max_by_key(|&bank| (short(bank), usize::MAX - bank))
    else {
        return Ok(None);
    };
    let scenario = &base.scenario;
    let key = format!("banks.{}.capacity_ah", scenario.banks[bank].id);
    let of_key = |key: &str| {
        families
            .iter()
            .find(|family| family.key.as_deref() == Some(key))
    };
    let own_panels = scenario.solar.iter().filter(|panel| panel.to == bank);
    let mut others: Vec<String> = own_panels
        .map(|panel| format!("solar.{}.panel_w", panel.id))
        .collect();
    others.push(format!("solar.roof-{}.panel_w", scenario.banks[bank].id));
    let own_chargers = scenario
        .chargers
        .iter()
        .filter(|charger| charger.to == bank);
    others.extend(own_chargers.map(|charger| format!("chargers.{}.output_a", charger.id)));
    let Some(bank) = of_key(&key) else {
        return Ok(None);
    };
    for other in others.iter().filter_map(|key| of_key(key)) {
        let Some(last) = other.rungs.last() else {
            continue;
        };
        let helps = screen
            .tried(&last.changes)?
            .is_some_and(|tried| screen.helps(&tried));
        if helps || screen.meets(&screen.as_it_is) {
            return map(screen, bank, other);
        }
    }
    Ok(None)
}
