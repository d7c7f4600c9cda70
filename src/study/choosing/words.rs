//! What can be wrong with a choice.

use std::fmt;

use crate::scenario::{ChangeError, Refusal};
use crate::timeline::weather_days::WeatherError;

/// Why a choice cannot be worked out.
#[derive(Debug)]
pub enum ChoosingError {
    /// A word of the command line cannot be understood.
    Word {
        /// The option it was given to, with its dashes.
        option: &'static str,
        /// What was found.
        found: String,
        /// What is wrong with it.
        problem: String,
        /// The cure, where it is known.
        hint: Option<String>,
    },
    /// An option makes a scenario that does not hold.
    Broken {
        /// Name of the option.
        option: String,
        /// What the scenario's own check says.
        refusal: Refusal,
    },
    /// A day has no climate.
    Weather(WeatherError),
    /// The scenario gives nothing to work on.
    Nothing(&'static str),
}

impl ChoosingError {
    /// A change that does not fit: `option` is the word of the command line it came with, `name` what
    /// it is called.
    #[must_use]
    pub fn of_change(option: &'static str, name: &str, error: ChangeError) -> Self {
        match error {
            ChangeError::Key { key, problem, hint } => Self::Word {
                option,
                found: key,
                problem,
                hint,
            },
            ChangeError::Refused(refusal) => Self::Broken {
                option: name.to_owned(),
                refusal,
            },
        }
    }
}

impl From<WeatherError> for ChoosingError {
    fn from(error: WeatherError) -> Self {
        Self::Weather(error)
    }
}

impl fmt::Display for ChoosingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Word {
                option,
                found,
                problem,
                hint,
            } => {
                writeln!(f, "error: `{option} {found}`: {problem}")?;
                match hint {
                    Some(hint) => writeln!(f, "\n    hint: {hint}"),
                    None => Ok(()),
                }
            }
            // Lines and columns would be those of a text that nobody has seen.
            Self::Broken { option, refusal } => {
                writeln!(
                    f,
                    "error: option `{option}` does not fit `{}`",
                    refusal.file_name
                )?;
                for problem in &refusal.problems {
                    writeln!(f, "\n  {}\n    {}", problem.place(), problem.text)?;
                    if let Some(hint) = &problem.hint {
                        writeln!(f, "    hint: {hint}")?;
                    }
                }
                Ok(())
            }
            Self::Weather(error) => writeln!(f, "error: {error}"),
            Self::Nothing(text) => writeln!(f, "error: {text}"),
        }
    }
}

impl std::error::Error for ChoosingError {}
