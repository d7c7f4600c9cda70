//! Commands with hardly an option of their own: `budget`, `shed` and `mend`.

use std::path::PathBuf;

use clap::Args;
use tideover::command::Question;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::{TrialOptions, hide_refused};
use super::{Ending, Failure};

/// The energy budget: what each bank takes and gets on an average day of the trip
#[derive(Debug, Args)]
pub(super) struct Budget {
    /// The scenario file
    scenario: PathBuf,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

impl Budget {
    /// Runs the command.
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let Self {
            scenario,
            here,
            options,
        } = self;
        studied(scenario, options, Some(here), &Question::Budget, false)
    }
}

/// What to switch off first, and what each load buys in days and chance
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Shed {
    /// The scenario file
    scenario: PathBuf,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

impl Shed {
    /// Runs the command.
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let Self {
            scenario,
            here,
            options,
        } = self;
        studied(scenario, options, Some(here), &Question::Shed, false)
    }
}

/// The cheapest change that makes the trip work, found by trying, and what does not help
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Mend {
    /// The scenario file
    scenario: PathBuf,
    /// Solve for one size alone, such as `banks.main.capacity_ah`: the least that reaches the aim, and the next
    /// to be bought
    #[arg(long, value_name = "KEY")]
    of: Option<String>,
    /// Exit with 1 if no change that was tried reaches the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    options: TrialOptions,
}

impl Mend {
    /// Runs the command.
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let Self {
            scenario,
            of,
            strict,
            options,
        } = self;
        let question = Question::Mend { of: of.clone() };
        studied(scenario, options, None, &question, *strict)
    }
}
