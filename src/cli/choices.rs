//! What the commands that choose share.
//!
//! One job: options of the command line made scenarios, and the common options that make no sense for
//! such commands.

use std::path::Path;

use tideover::scenario::Scenario;
use tideover::study::choosing::ChoosingError;
use tideover::study::choosing::options::Choice;

use super::Failure;
use super::prepared::{Prepared, prepare};
use super::reading::read_weather;
use super::trial_options::TrialOptions;

/// The scenario of a choice, checked. `option` is the word of the command line it came with, `path`
/// the file of the scenario.
pub(super) fn chosen(
    scenario: &Scenario,
    option: &'static str,
    choice: &Choice,
    path: &Path,
) -> Result<Scenario, Failure> {
    let weather = |name: &str| read_weather(path, name).map_err(|(_, text)| text);
    let made = scenario.with_files(&choice.set, &weather);
    made.map_err(|error| ChoosingError::of_change(option, &choice.name, error).into())
}

/// The options that [`prepare_choosing`] refuses don't stand in the help.
pub(super) fn hide_refused(argument: clap::Arg) -> clap::Arg {
    let is_refused = matches!(argument.get_id().as_str(), "typical" | "precision");
    argument.hide(is_refused)
}

/// Reads the scenario for a command that compares runs: they need the same trials.
pub(super) fn prepare_choosing(path: &Path, options: &TrialOptions) -> Result<Prepared, Failure> {
    let refused = |option, found: &str, allowed: &str| {
        Err(Failure::Option {
            option,
            found: found.to_owned(),
            allowed: allowed.to_owned(),
        })
    };
    if options.typical {
        return refused(
            "--typical",
            "",
            "this command compares chances, and a trip without chance has none",
        );
    }
    if let Some(precision) = options.precision {
        return refused(
            "--precision",
            &precision.to_string(),
            "this command needs the same trials in every run: give --trials",
        );
    }
    prepare(path, options)
}
