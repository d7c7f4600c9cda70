//! `mend`: the cheapest change that makes the trip work.
//!
//! One job: families screened with few trials, the promising decided with the run's own, put in order.
//! A mend that is shown as reaching the aim does so on the run's own trials, and one step less of its
//! size does not; the one that leads was looked at with as many other draws too.

use super::answer::{Mend, MendMap, MendResult, Useless};
use super::decide::{Standing, confirmed, decided, sort, sort_by_standing};
use super::families::{Family, Rung, families};
use super::map::map;
use super::search::{Bench, both};
use crate::scenario::Scenario;
use crate::study::answer::MendHint;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::costs::{Costs, extra};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::trials::{Progress, Silent, each_of};

/// How far below the aim a screening may stay, as a share, to be decided all the same.
const DOUBT: f64 = 0.04;
/// Mends that are decided and shown: so many that cost nothing, so many to buy, and tries for them at most.
const SHOWN: [usize; 2] = [3, 3];
const TRIES: usize = 9;
/// Families that are tried in pairs at most, where none does alone.
const PAIRED: usize = 4;

/// A change that screening found worth deciding.
pub(super) struct Found {
    pub(super) kind: &'static str,
    pub(super) free: bool,
    /// Of a size.
    pub(super) unit: Option<&'static str>,
    pub(super) rungs: Vec<Rung>,
    /// The rung that screening found.
    pub(super) at: usize,
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
    mend_of(&Simulation::trip(scenario, settings, progress)?, progress)
}

/// The same from the trip as it is.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn mend_of(full: &Simulation, progress: &dyn Progress) -> Result<MendResult, ChoosingError> {
    let scenario = &full.scenario;
    let screening = full.settings.screening();
    let coarse = Simulation::trip(scenario, &screening, &Silent)?;
    let screen = Bench::new(&coarse, progress);
    let bench = Bench::new(full, progress);
    let days = full.days();
    let loads = full.ensemble.totals.loads.iter();
    let load_wh: Vec<f64> = loads.map(|load| load.wh / days).collect();
    let families = families(scenario, &load_wh);
    progress.expect(families.len() as u64 * 3, full.timeline.steps);

    let meets_aim = bench.meets(&bench.as_it_is);
    let mut found = Vec::new();
    let mut useless = Vec::new();
    if !meets_aim {
        let alone = screen.on_one_thread();
        let threads = full.settings.run.threads;
        let looked = each_of(families.len(), threads, |at| {
            screened(&alone, &families[at])
        });
        for (family, looked) in families.iter().zip(looked) {
            match looked? {
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
        sort_by_standing(&mut found, |found: &Found| {
            let reached = found.meets.then_some((found.free, found.costs));
            Standing::new(reached, found.chance, found.rungs[found.at].effort)
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
        if let Some(mend) = decided(&bench, &screen, promising)? {
            *left -= usize::from(mend.meets_aim || !promising.meets);
            mends.push(mend);
        }
    }
    sort(&mut mends);
    confirmed(&bench, &mut mends)?;
    let map = map_of(&screen, &families, &mends)?;
    Ok(MendResult {
        heading: full.heading(),
        aim_chance: scenario.aim_chance,
        now: bench.as_it_is.chance,
        meets_aim,
        mends,
        useless,
        map,
        warnings: full.warnings(),
    })
}

/// Steps of a bank, of all trials, up to which the best mend is looked for without being asked by a trip: about a
/// tenth of a second; and by a report.
const LITTLE_WORK: u64 = 8_000_000;
const FAIR_WORK: u64 = 100_000_000;

/// Changes tried of a family, and for the map, about.
const TRIES_OF_A_FAMILY: u64 = 8;
const MAP_TRIES: u64 = 60;
/// Steps of a bank in the time that a changed file takes to be checked and laid out.
const WORK_OF_A_TRY: u64 = 100_000;

/// About how many steps of a bank a search takes.
fn work(trip: &Simulation) -> u64 {
    let Simulation {
        scenario,
        settings,
        timeline,
        ensemble,
        ..
    } = trip;
    let load_wh: Vec<f64> = ensemble.totals.loads.iter().map(|of| of.wh).collect();
    let families = families(scenario, &load_wh).len() as u64;
    let coarse = settings.screening();
    let longer = u64::from(coarse.step_minutes / settings.step_minutes);
    let shown = (SHOWN[0] + SHOWN[1]) as u64;
    let runs = 3 * families * coarse.run.trials / longer + 2 * shown * ensemble.trials;
    let tries = TRIES_OF_A_FAMILY * families + MAP_TRIES;
    runs * (timeline.steps * scenario.banks.len()) as u64 + tries * WORK_OF_A_TRY
}

/// Whether a trip can be mended and misses its aim; not one without chance, or from somewhere on the way.
fn is_to_be_mended(trip: &Simulation) -> bool {
    let settings = &trip.settings;
    let is_short = trip.chance_no_shortfall().value < trip.scenario.aim_chance;
    is_short
        && !settings.typical
        && settings.here.is_none()
        && !trip.scenario.house_banks().is_empty()
}

/// The best mend of a trip that misses its aim, where it is found with little work, by count and not by the clock;
/// `None` where nothing has to be mended.
#[must_use]
pub fn mend_hint(trip: &Simulation) -> Option<MendHint> {
    if !is_to_be_mended(trip) {
        return None;
    }
    if work(trip) > LITTLE_WORK {
        return Some(MendHint::Command);
    }
    let best = mend_of(trip, &Silent).ok()?.mends.into_iter().next();
    let best = best.filter(|mend| mend.meets_aim);
    Some(best.map_or(MendHint::Command, |mend| MendHint::Found(mend.text)))
}

/// Whether a report of a trip looks for mends without being asked.
#[must_use]
pub fn is_mended_in_passing(trip: &Simulation) -> bool {
    is_to_be_mended(trip) && work(trip) <= FAIR_WORK
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
        match screen.tried_as(family.kind, &last.changes)? {
            Some(tried) => break tried,
            None => rungs.truncate(rungs.len() / 2),
        }
    };
    if !screen.helps(&most) {
        return Ok(None);
    }
    let meets = most.chance.value >= screen.aim - DOUBT;
    let at = if screen.meets(&most) {
        let tried = |at: usize| screen.tried_as(family.kind, &rungs[at].changes);
        screen.least(rungs.len(), tried)?
    } else {
        rungs.len() - 1
    };
    let costs = extra(&screen.base.scenario, &rungs[at].changes, family.free);
    Ok(Some(Found {
        kind: family.kind,
        free: family.free,
        unit: family.key.as_ref().map(|_| family.unit),
        chance: most.chance.value,
        rungs,
        at,
        meets,
        costs,
    }))
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
            let at = screen.least(along.len(), |at| screen.tried(&along[at].changes))?;
            let fixed = share(&first.rungs, at, count);
            let rungs: Vec<Rung> = second.rungs.iter().map(|rung| pair(&fixed, rung)).collect();
            let top = (at * (second.rungs.len() - 1)).div_ceil((count - 1).max(1));
            let at = screen.least(top + 1, |at| screen.tried(&rungs[at].changes))?;
            let free = first.free && second.free;
            let costs = extra(&screen.base.scenario, &rungs[at].changes, free);
            out.push(Found {
                kind: "pair",
                free,
                unit: None,
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
    mends: &[Mend],
) -> Result<Option<MendMap>, ChoosingError> {
    let base = screen.base;
    let Some((bank, _)) = base.shortest_bank() else {
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
            return map(screen, [bank, other], mends);
        }
    }
    Ok(None)
}
