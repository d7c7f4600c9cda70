//! Options of a comparison as checked scenarios.
//!
//! One job: what the commands that choose share: the text of the scenario, edited and read again,
//! and the common options that make no sense for them.

use std::path::{Path, PathBuf};

use tideover::scenario::Scenario;
use tideover::study::choosing::ChoosingError;
use tideover::study::choosing::options::{Choice, edited, number_at};

use super::Failure;
use super::prepared::{Prepared, prepare};
use super::reading::{check_text, read_text};
use super::trial_options::TrialOptions;

/// A scenario that can be edited.
pub(super) struct Editable {
    text: String,
    path: PathBuf,
}

impl Editable {
    /// Reads the text.
    pub(super) fn read(path: &Path) -> Result<Self, Failure> {
        Ok(Self {
            text: read_text(path)?,
            path: path.to_owned(),
        })
    }

    /// The number at a key.
    pub(super) fn number(&self, option: &'static str, key: &str) -> Result<f64, Failure> {
        Ok(number_at(&self.text, option, key)?)
    }

    /// The scenario of a choice, checked. `option` is the word of the command line it came with.
    pub(super) fn with(&self, option: &'static str, choice: &Choice) -> Result<Scenario, Failure> {
        let text = edited(&self.text, option, choice)?;
        match check_text(&text, &self.path) {
            Ok(reading) => Ok(reading.scenario),
            Err(Failure::Refused { refusal, .. }) => {
                Err(Failure::Choosing(ChoosingError::Broken {
                    option: choice.name.clone(),
                    refusal,
                }))
            }
            Err(other) => Err(other),
        }
    }
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
