//! `tideover stay`: how many days can we stay parked here, from now on?

use std::path::PathBuf;

use clap::Args;
use tideover::command::{Question, horizon_days};
use tideover::study::stay::DEFAULT_HORIZON_DAYS;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::TrialOptions;
use super::{Ending, Failure};

/// How many days you can stay parked at a stop, from now on, without driving
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// How many days to look ahead, 1 to 366
    #[arg(long, value_name = "D", default_value_t = DEFAULT_HORIZON_DAYS,
          value_parser = horizon_days)]
    horizon: u32,
    /// Exit with 1 if the nights planned here do not meet the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let Arguments {
        scenario,
        horizon,
        strict,
        here,
        options,
    } = arguments;
    let question = Question::Stay {
        horizon_days: *horizon,
    };
    studied(scenario, options, Some(here), &question, *strict)
}
