//! `tideover compare`: what does each option buy?

use std::path::PathBuf;

use clap::Args;
use tideover::command::Question;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::{TrialOptions, hide_refused};
use super::{Ending, Failure};

/// What each option buys: batteries, panels, chargers, nights, all on the same trial trips
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Values of a key, such as `banks.main.capacity_ah=100,200`; repeat it for the cross product, 64
    /// options at most
    #[arg(long, value_name = "KEY=V1,V2,…")]
    vary: Vec<String>,
    /// One option that sets several keys, such as
    /// `big:banks.main.capacity_ah=200,banks.main.price=1600`
    #[arg(long, value_name = "NAME:KEY=V,KEY=V")]
    option: Vec<String>,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let Arguments {
        scenario,
        vary,
        option,
        here,
        options,
    } = arguments;
    let question = Question::Compare {
        vary: vary.clone(),
        option: option.clone(),
    };
    studied(scenario, options, Some(here), &question, false)
}
