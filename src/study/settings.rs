//! How a study is run.

use std::sync::Arc;

use crate::timeline::calendar::Plan;
use crate::timeline::here::Here;
use crate::trials::RunSettings;

/// Seed without another word.
pub const DEFAULT_SEED: u64 = 1;

/// Trials without another word.
pub const DEFAULT_TRIALS: u64 = 2000;

/// Step without another word, minutes.
pub const DEFAULT_STEP_MINUTES: u32 = 5;

/// Least step of a first look, minutes.
const LOOK_MINUTES: u32 = 15;

/// Trials of a first look: enough to tell where an answer lies. What is found so is decided with the run's own.
const LOOK_TRIALS: u64 = 128;

/// Trials of a look at one of many at most, and its least step, minutes: its 95 % interval is some 5 points wide, and
/// what it lets pass is decided with the run's own.
const SCREENING_TRIALS: u64 = 256;
const SCREENING_MINUTES: u32 = 30;

/// How a study is run.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Seed of the random streams.
    pub seed: u64,
    /// Step, minutes: 1 to 60, dividing the hour.
    pub step_minutes: u32,
    /// Trials and threads.
    pub run: RunSettings,
    /// One trip without chance instead of trials.
    pub typical: bool,
    /// From where on a trip is run; `None`: from the departure.
    pub here: Option<Arc<Here>>,
}

impl Settings {
    /// What a trip is: the whole of it, or the rest from where it goes on.
    #[must_use]
    pub fn plan(&self) -> Plan {
        match &self.here {
            Some(here) => Plan::Onward(Arc::clone(here)),
            None => Plan::Trip,
        }
    }

    /// A first look: the first of the same trials, in longer steps.
    #[must_use]
    pub fn look(&self) -> Self {
        self.coarse(LOOK_TRIALS)
    }

    /// A look at one of many changes or plans: few of the same trials, in steps of half an hour or more.
    #[must_use]
    pub fn screening(&self) -> Self {
        let coarse = self.coarse(SCREENING_TRIALS);
        Self {
            step_minutes: coarse.step_minutes.max(SCREENING_MINUTES),
            ..coarse
        }
    }

    /// At most so many of the same trials, in steps of a quarter of an hour or more.
    #[must_use]
    pub fn coarse(&self, most_trials: u64) -> Self {
        Self {
            step_minutes: self.step_minutes.max(LOOK_MINUTES),
            run: RunSettings {
                trials: self.run.trials.min(most_trials),
                precision: None,
                ..self.run
            },
            ..self.clone()
        }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            seed: DEFAULT_SEED,
            step_minutes: DEFAULT_STEP_MINUTES,
            run: RunSettings {
                trials: DEFAULT_TRIALS,
                threads: None,
                precision: None,
            },
            typical: false,
            here: None,
        }
    }
}
