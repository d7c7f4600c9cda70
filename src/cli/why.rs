//! `tideover why`: which assumption does the answer depend on?

use std::path::PathBuf;

use clap::Args;
use tideover::command::Question;
use tideover::study::choosing::why::Of;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::{TrialOptions, hide_refused};
use super::{Ending, Failure};

/// Which assumption the answer depends on most; 500 trials where none are given
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// What to look at: chance (of no shortfall) or soc (the lowest state of charge) [default: chance,
    /// or soc where the chance stands at 0 or 100 %]
    #[arg(long, value_name = "WHAT", value_parser = ["chance", "soc"])]
    of: Option<String>,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let of = arguments.of.as_deref().map(|of| match of {
        "soc" => Of::LowestSoc,
        _ => Of::Chance,
    });
    let Arguments {
        scenario,
        here,
        options,
        ..
    } = arguments;
    studied(scenario, options, Some(here), &Question::Why { of }, false)
}
