//! `mend --of`: one size solved for alone.
//!
//! One job: the least of a size that meets the aim, with its interval, from the smallest up, and the next size
//! from there that can be bought.

use super::answer::{Bought, LeastSize, SolveResult};
use super::decide::cables;
use super::families::{Family, families};
use super::search::{Bench, both};
use crate::scenario::{Changes, Scenario};
use crate::study::answer::Chance;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::costs::extra;
use crate::study::choosing::least_of_row::{Effort, Row, Search, chance_margins};
use crate::study::figures::{chance, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::trials::{Progress, Silent};
use crate::units::Whole;

/// Sizes that are told apart, against the steps in which they are bought.
const FINE: f64 = 0.1;

/// A size by its number: multiples of `step`, from one.
struct Sizes<'a> {
    own: &'a Bench<'a>,
    look: &'a Bench<'a>,
    key: &'a str,
    /// What must be set besides, where the part is not there yet.
    besides: Changes,
    step: f64,
}

impl Sizes<'_> {
    fn size(&self, number: u32) -> f64 {
        tidy(f64::from(number + 1) * self.step)
    }

    fn changes(&self, size: f64) -> Changes {
        both(&self.besides, &Changes::one(self.key, size))
    }
}

/// The chance with a size, and how far it is above the aim.
#[derive(Clone)]
struct Sized {
    chance: Chance,
    margins: [f64; 3],
}

impl Row for Sizes<'_> {
    type Tried = Sized;

    fn tried(&self, number: u32, effort: Effort) -> Result<Sized, ChoosingError> {
        let bench = match effort {
            Effort::Own => self.own,
            Effort::Look => self.look,
        };
        let trials = self.own.base.ensemble.trials;
        // A size that the checker refuses does not do.
        let tried = bench.tried(&self.changes(self.size(number)))?;
        let found = tried.map_or_else(|| chance(0, trials), |tried| tried.chance);
        Ok(Sized {
            chance: found,
            margins: chance_margins(found.value, trials, self.own.aim),
        })
    }

    fn margins(tried: &Sized) -> [f64; 3] {
        tried.margins
    }
}

/// Solves for one size.
///
/// # Errors
/// [`ChoosingError::Word`] for a key that is no size of a part which may be another; else as
/// [`mend`](super::mend()).
pub fn solve(
    scenario: &Scenario,
    key: &str,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<SolveResult, ChoosingError> {
    let family = family(scenario, key)?;
    let full = Simulation::trip(scenario, settings, progress)?;
    progress.expect(24, full.timeline.steps / 4);
    let coarse = Simulation::trip(scenario, &settings.coarse(LOOK_TRIALS), &Silent)?;
    let own = Bench::new(&full, progress);
    let look = Bench::new(&coarse, progress);
    let is_there = scenario.given(key).ok().flatten().is_some();
    let besides = match family.rungs.last() {
        Some(last) if !is_there => last.changes.clone(),
        _ => Changes::default(),
    };
    let step = FINE * if family.unit == "A" { 5.0 } else { 10.0 };
    let most = family.rungs.last().map_or(family.now, |rung| rung.size);
    let last = u32::cut((most / step).round()).max(1) - 1;
    let sizes = Sizes {
        own: &own,
        look: &look,
        key,
        besides,
        step,
    };
    let mut search = Search::new(sizes, last);
    let least = search.least()?;
    let mut result = SolveResult {
        heading: full.heading(),
        aim_chance: scenario.aim_chance,
        now: own.as_it_is.chance,
        of: key.to_owned(),
        part: family.part.clone(),
        size_now: family.now,
        least: None,
        chance: own.as_it_is.chance,
        most: search.row.size(last),
        bought: None,
        warnings: full.warnings(),
    };
    let Some(least) = least else {
        result.chance = search.own(last)?.chance;
        return Ok(result);
    };
    let (low, high) = search.ends(least.number)?;
    let value = search.row.size(least.number);
    result.least = Some(LeastSize {
        value,
        low: search.row.size(low),
        high: high.map(|high| search.row.size(high)),
        unit: family.unit,
    });
    result.chance = least.at.chance;
    result.bought = bought(&own, &search.row, &family, value)?;
    Ok(result)
}

/// Trials of a look at most.
const LOOK_TRIALS: u64 = 256;

/// The first size on sale from the least on that meets the aim with the run's own trials, and not clearly misses
/// it under other draws.
fn bought(
    own: &Bench<'_>,
    sizes: &Sizes<'_>,
    family: &Family,
    least: f64,
) -> Result<Option<Bought>, ChoosingError> {
    let mut on_sale: Vec<f64> = family.for_sale.clone();
    on_sale.push(family.now);
    on_sale.sort_by(f64::total_cmp);
    for size in on_sale.into_iter().filter(|size| *size >= least - 1e-9) {
        let changes = sizes.changes(size);
        let Some(tried) = own.tried(&changes)?.filter(|tried| own.meets(tried)) else {
            continue;
        };
        let other_draws = own.under_other_draws(&tried.scenario)?;
        if other_draws.high < own.aim {
            continue;
        }
        let is_there = (size - family.now).abs() < 1e-9;
        let costs = extra(&own.base.scenario, &changes, is_there);
        return Ok(Some(Bought {
            size,
            chance: tried.chance,
            other_draws,
            price: costs.price,
            mass_kg: costs.mass_kg,
            cables: cables(&own.base.scenario, &tried),
        }));
    }
    Ok(None)
}

/// The family of a key.
fn family(scenario: &Scenario, key: &str) -> Result<Family, ChoosingError> {
    let all = families(scenario, &vec![0.0; scenario.loads.len()]);
    let keys: Vec<String> = all.iter().filter_map(|family| family.key.clone()).collect();
    let mut all = all.into_iter();
    all.find(|family| family.key.as_deref() == Some(key))
        .ok_or_else(|| ChoosingError::Word {
            option: "--of",
            found: key.to_owned(),
            problem: "is no size of this scenario that can be solved for".to_owned(),
            hint: Some(if keys.is_empty() {
                "every part is `fixed`".to_owned()
            } else {
                format!("these can: {}", keys.join(", "))
            }),
        })
}
