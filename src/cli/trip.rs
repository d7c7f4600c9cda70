//! `tideover trip`: does this itinerary work?

use std::path::PathBuf;

use clap::Args;
use tideover::command::Question;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::TrialOptions;
use super::{Ending, Failure};

/// Test an itinerary: the chance that it works, night by night, and its weak point
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Exit with 1 if the chance of no shortfall is below the aim
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
        strict,
        here,
        options,
    } = arguments;
    studied(scenario, options, Some(here), &Question::Trip, *strict)
}
