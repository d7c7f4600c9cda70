//! `tideover topup`: how many hours of driving a day keep the banks topped up?

use std::path::PathBuf;

use clap::Args;
use tideover::command::Question;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::{TrialOptions, hide_refused};
use super::{Ending, Failure};

/// The least driving a day that keeps the banks topped up at the aim
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
#[expect(
    clippy::doc_markdown,
    reason = "the words of --help, shown without backticks"
)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// The size across the picture, such as solar.roof.panel_w [default: the capacity of the bank
    /// that binds]
    #[arg(long, value_name = "KEY")]
    against: Option<String>,
    /// Exit with 1 if no number of hours does
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
        against,
        strict,
        here,
        options,
    } = arguments;
    let against = against.clone();
    studied(
        scenario,
        options,
        Some(here),
        &Question::Topup { against },
        *strict,
    )
}
