//! The least change of a row that meets the aim.
//!
//! One job: runs of changed scenarios on common trials, and the least rung of a family by bisection.
//! More of a size helps or does nothing, so that the chance along a row rises (`tests/mending.rs`
//! holds the least to the whole row); where it does not (a larger load on a bank never comes up), the
//! decision at the run's own trials is what counts.

use crate::scenario::{Changes, Scenario};
use crate::study::answer::Chance;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::paired::{Difference, EachTrial};
use crate::study::figures::chance_of;
use crate::study::simulation::Simulation;
use crate::trials::{Progress, Seeds, Silent};

/// What a changed scenario came to.
pub(super) struct Tried {
    pub(super) scenario: Scenario,
    pub(super) chance: Chance,
    trials: EachTrial,
}

impl Tried {
    fn of(run: &Simulation) -> Self {
        Self {
            scenario: run.scenario.clone(),
            chance: run.chance_no_shortfall(),
            trials: EachTrial::of(run),
        }
    }
}

/// A scenario as it is with its trials, against which changes are tried.
pub(super) struct Bench<'a> {
    pub(super) base: &'a Simulation,
    pub(super) as_it_is: Tried,
    pub(super) aim: f64,
    progress: &'a dyn Progress,
}

impl<'a> Bench<'a> {
    pub(super) fn new(base: &'a Simulation, progress: &'a dyn Progress) -> Self {
        Self {
            base,
            as_it_is: Tried::of(base),
            aim: base.scenario.aim_chance,
            progress,
        }
    }

    /// The trials with a change; `None` where the checker refuses it.
    pub(super) fn tried(&self, changes: &Changes) -> Result<Option<Tried>, ChoosingError> {
        let Ok(scenario) = self.base.scenario.with(changes) else {
            return Ok(None);
        };
        let run = self.base.changed(&scenario, &Silent)?;
        self.progress.advance(1, 1);
        Ok(Some(Tried::of(&run)))
    }

    /// The same for a change that can only help, such as a load switched off: only trials that fall short as
    /// it is are run again.
    pub(super) fn tried_short(&self, changes: &Changes) -> Result<Option<Tried>, ChoosingError> {
        let Ok(scenario) = self.base.scenario.with(changes) else {
            return Ok(None);
        };
        let kept = self.as_it_is.trials.kept.iter().zip(0_u64..);
        let short: Vec<u64> = kept.filter(|(kept, _)| !**kept).map(|(_, at)| at).collect();
        let days = self.base.days_of(&scenario, &short)?;
        self.progress.advance(1, 1);
        let horizon = self.base.trip_days();
        let mut trials = self.as_it_is.trials.clone();
        for (trial, days) in short.into_iter().zip(days) {
            let trial = usize::try_from(trial).unwrap_or(0);
            trials.kept[trial] = days.is_infinite();
            trials.days[trial] = days.min(horizon);
        }
        Ok(Some(Tried {
            scenario,
            chance: chance_of(&trials.kept),
            trials,
        }))
    }

    /// The chance with a change under as many other draws.
    pub(super) fn under_other_draws(&self, scenario: &Scenario) -> Result<Chance, ChoosingError> {
        const OTHER: u64 = 0x9E37_79B9_7F4A_7C15;
        let trials = self.base.ensemble.trials;
        let draws = Seeds::all(self.base.settings.seed ^ OTHER);
        let run = self.base.changed_with_seeds(scenario, draws, trials)?;
        self.progress.advance(1, 1);
        Ok(run.chance_no_shortfall())
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

    /// The least of `count` rungs that meets the aim by bisection; the last is known to. `changes`
    /// gives those of a rung.
    pub(super) fn least(
        &self,
        count: usize,
        changes: impl Fn(usize) -> Changes,
    ) -> Result<usize, ChoosingError> {
        let (mut below, mut enough) = (None::<usize>, count - 1);
        while below.map_or(0, |below| below + 1) < enough {
            let middle =
                usize::midpoint(below.map_or(0, |below| below + 1), enough.saturating_sub(1));
            let does = self
                .tried(&changes(middle))?
                .is_some_and(|tried| self.meets(&tried));
            if does {
                enough = middle;
            } else {
                below = Some(middle);
            }
        }
        Ok(enough)
    }
}

/// Two sets of changes as one.
pub(super) fn both(first: &Changes, second: &Changes) -> Changes {
    Changes([first.0.clone(), second.0.clone()].concat())
}
