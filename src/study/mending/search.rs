//! The least change of a row that meets the aim.
//!
//! One job: runs of changed scenarios on common trials, and the least rung of a family by bisection.
//! More of a size helps or does nothing, so that the chance along a row rises (`tests/mending.rs`
//! holds the least to the whole row); where it does not (a larger load on a bank never comes up), the
//! decision at the run's own trials is what counts.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use super::families::LESS_LOAD;
use crate::scenario::{Changes, Scenario};
use crate::study::answer::Chance;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::paired::{Difference, EachTrial};
use crate::study::figures::chance_in;
use crate::study::first_shortfalls::{Meeting, ShortDays};
use crate::study::simulation::Simulation;
use crate::trials::{KeptDraws, Progress};
use crate::units::least_that_does;

/// What a changed scenario came to.
pub(super) struct Tried {
    pub(super) scenario: Scenario,
    pub(super) chance: Chance,
    trials: EachTrial,
}

impl Tried {
    fn of(base: &Simulation, scenario: Scenario, found: &ShortDays) -> Self {
        let trials = EachTrial::new(&found.days, found.horizon);
        let hits = trials.kept.iter().filter(|&&kept| kept).count();
        Self {
            scenario,
            chance: chance_in(&base.ensemble, hits as u64),
            trials,
        }
    }
}

/// A scenario as it is with its trials, against which changes are tried.
pub(super) struct Bench<'a> {
    pub(super) base: &'a Simulation,
    pub(super) as_it_is: Tried,
    pub(super) aim: f64,
    /// The trials, those that fall short first before the others: a batch of which none is left is not run on.
    order: Arc<[u64]>,
    drawn: Arc<KeptDraws<'a>>,
    /// What changes came to that were tried before.
    known: Arc<Mutex<BTreeMap<String, ShortDays>>>,
    threads: Option<usize>,
    progress: &'a dyn Progress,
}

impl<'a> Bench<'a> {
    pub(super) fn new(base: &'a Simulation, progress: &'a dyn Progress) -> Self {
        let found = ShortDays {
            days: base.ensemble.house_autonomy_days.clone(),
            horizon: base.trip_days(),
        };
        let mut order: Vec<(f32, u64)> = found.days.iter().copied().zip(0..).collect();
        order.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        Self {
            base,
            order: order.into_iter().map(|(_, trial)| trial).collect(),
            as_it_is: Tried::of(base, base.scenario.clone(), &found),
            aim: base.scenario.aim_chance,
            drawn: Arc::new(base.kept_draws()),
            known: Arc::default(),
            threads: base.settings.run.threads,
            progress,
        }
    }

    /// The same where each change is run on one thread: of many small runs each on its own is less to hand about
    /// than each on all.
    pub(super) fn on_one_thread(&self) -> Self {
        Self {
            drawn: Arc::clone(&self.drawn),
            known: Arc::clone(&self.known),
            order: Arc::clone(&self.order),
            threads: Some(1),
            ..Self::new(self.base, self.progress)
        }
    }

    /// The trials with a change; `None` where the checker refuses it.
    pub(super) fn tried(&self, changes: &Changes) -> Result<Option<Tried>, ChoosingError> {
        self.tried_of(changes, &self.order)
    }

    /// The same for a change of a kind. One that can only help, such as a load switched off, is run in the trials
    /// alone that fall short as it is.
    pub(super) fn tried_as(
        &self,
        kind: &str,
        changes: &Changes,
    ) -> Result<Option<Tried>, ChoosingError> {
        if kind != LESS_LOAD {
            return self.tried(changes);
        }
        let kept = self
            .as_it_is
            .trials
            .kept
            .iter()
            .filter(|&&kept| kept)
            .count();
        let short = &self.order[..self.order.len() - kept];
        self.tried_of(changes, short)
    }

    /// What a changed scenario came to, where only some trials are run and the others are as they were.
    fn tried_of(&self, changes: &Changes, trials: &[u64]) -> Result<Option<Tried>, ChoosingError> {
        let Ok(scenario) = self.base.scenario.with(changes) else {
            return Ok(None);
        };
        let name = format!("{:?}", changes.0);
        if let Ok(known) = self.known.lock()
            && let Some(found) = known.get(&name)
        {
            return Ok(Some(Tried::of(self.base, scenario, found)));
        }
        let meeting = Meeting {
            seed: self.base.settings.seed,
            kept: Some(&*self.drawn),
            threads: self.threads,
        };
        let found = self.base.days_of(&scenario, trials, &meeting)?;
        self.progress.advance(1, 1);
        let mut days = self.base.ensemble.house_autonomy_days.clone();
        for (&trial, found) in trials.iter().zip(found.days) {
            days[usize::try_from(trial).unwrap_or(0)] = found;
        }
        let found = ShortDays { days, ..found };
        let tried = Tried::of(self.base, scenario, &found);
        if let Ok(mut known) = self.known.lock() {
            known.insert(name, found);
        }
        Ok(Some(tried))
    }

    /// The chance with a change under as many other draws.
    pub(super) fn under_other_draws(&self, scenario: &Scenario) -> Result<Chance, ChoosingError> {
        const OTHER: u64 = 0x9E37_79B9_7F4A_7C15;
        let meeting = Meeting {
            seed: self.base.settings.seed ^ OTHER,
            kept: None,
            threads: self.threads,
        };
        let found = self.base.days_of(scenario, &self.order, &meeting)?;
        self.progress.advance(1, 1);
        Ok(Tried::of(self.base, scenario.clone(), &found).chance)
    }

    pub(super) fn meets(&self, tried: &Tried) -> bool {
        tried.chance.value >= self.aim
    }

    /// How much better a change does: by chance, by days.
    pub(super) fn gains(&self, tried: &Tried) -> [Difference; 2] {
        self.as_it_is.trials.gains(&tried.trials)
    }

    /// Whether a change is clearly better than none.
    pub(super) fn helps(&self, tried: &Tried) -> bool {
        self.gains(tried)
            .iter()
            .any(|gain| gain.clear && gain.value > 0.0)
    }

    /// The least of `count` rungs that meets the aim by bisection; the last is known to. `tried` tries one.
    pub(super) fn least(
        &self,
        count: usize,
        tried: impl Fn(usize) -> Result<Option<Tried>, ChoosingError>,
    ) -> Result<usize, ChoosingError> {
        let meets = |at| Ok(tried(at)?.is_some_and(|tried| self.meets(&tried)));
        least_that_does(0, count - 1, meets)
    }
}

/// Two sets of changes as one.
pub(super) fn both(first: &Changes, second: &Changes) -> Changes {
    Changes([first.0.clone(), second.0.clone()].concat())
}
