//! Why a command has no answer, its words and its exit status.

use std::cell::Cell;
use std::fmt;

use crate::scenario::{Reading, Refusal, read};
use crate::study::choosing::ChoosingError;
use crate::study::from_here::Misread;
use crate::study::learning::LearnError;
use crate::timeline::weather_days::WeatherError;

/// Why a command did not come to its end.
#[derive(Debug)]
pub enum Failure {
    /// The scenario file has problems; `unreadable` if a weather file it names could not be read.
    Refused {
        /// The problems.
        refusal: Refusal,
        /// Whether only a file that cannot be read is at fault.
        unreadable: bool,
    },
    /// An option's value cannot be used.
    Option {
        /// The option, with its dashes.
        option: String,
        /// What was found.
        found: String,
        /// What would do.
        allowed: String,
    },
    /// A name that no built-in place has.
    NoSuchPlace {
        /// The name.
        found: String,
        /// Names that are alike.
        alike: Vec<String>,
    },
    /// A choice that cannot be worked out.
    Choosing(ChoosingError),
    /// Nothing can be learned from a log.
    Learn(LearnError),
    /// The place has no built-in climate.
    Climate(String),
    /// A day of the plan has no weather.
    Weather(WeatherError),
    /// A result could not be written as JSON.
    Json(serde_json::Error),
    /// A table could not be written as CSV.
    Csv(csv::Error),
    /// The report could not be written as a page.
    Page(askama::Error),
    /// So many trials have no room.
    Memory {
        /// Trials asked for.
        trials: u64,
        /// What they need.
        bytes: u64,
    },
}

/// A file that a scenario names; else whether it is the file that cannot be read, and why not.
pub type Beside<'a> = dyn Fn(&str) -> Result<Vec<u8>, (bool, String)> + 'a;

/// Reads and checks the text of a scenario file of this name.
///
/// # Errors
/// [`Failure::Refused`].
pub fn read_scenario(text: &str, name: &str, files: &Beside<'_>) -> Result<Reading, Failure> {
    let unreadable = Cell::new(false);
    let beside = |name: &str| {
        files(name).map_err(|(is_unreadable, text)| {
            unreadable.set(is_unreadable);
            text
        })
    };
    read(text, name, &beside).map_err(|refusal| {
        // Only where nothing else is wrong is a file that cannot be read the reason.
        let mut problems = refusal.problems.iter();
        let only_weather = problems.all(|problem| problem.in_weather_file);
        Failure::Refused {
            unreadable: unreadable.get() && only_weather,
            refusal,
        }
    })
}

impl From<WeatherError> for Failure {
    fn from(error: WeatherError) -> Self {
        Self::Weather(error)
    }
}

impl From<Misread> for Failure {
    fn from(error: Misread) -> Self {
        Self::option(error.option, &error.found, error.allowed)
    }
}

impl From<LearnError> for Failure {
    fn from(error: LearnError) -> Self {
        Self::Learn(error)
    }
}

impl From<ChoosingError> for Failure {
    fn from(error: ChoosingError) -> Self {
        Self::Choosing(error)
    }
}

impl Failure {
    /// An option whose value cannot be used.
    #[must_use]
    pub fn option(option: &str, found: &str, allowed: impl Into<String>) -> Self {
        Self::Option {
            option: option.to_owned(),
            found: found.to_owned(),
            allowed: allowed.into(),
        }
    }

    /// 2 for bad input, 3 for files that cannot be read and for runs that failed.
    #[must_use]
    pub fn status(&self) -> u8 {
        match self {
            Self::Refused {
                unreadable: false, ..
            }
            | Self::Option { .. }
            | Self::NoSuchPlace { .. }
            | Self::Choosing(_)
            | Self::Learn(_)
            | Self::Climate(_)
            | Self::Weather(_) => 2,
            Self::Refused {
                unreadable: true, ..
            }
            | Self::Json(_)
            | Self::Csv(_)
            | Self::Page(_)
            | Self::Memory { .. } => 3,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Refused { refusal, .. } => write!(f, "{refusal}"),
            Self::Option {
                option,
                found,
                allowed,
            } => {
                let given = format!("{option} {found}");
                writeln!(f, "error: `{}`: {allowed}", given.trim_end())
            }
            Self::NoSuchPlace { found, alike } => {
                writeln!(
                    f,
                    "error: `{}` is none of the built-in places (500 people and more)",
                    found.escape_debug()
                )?;
                if !alike.is_empty() {
                    writeln!(
                        f,
                        "\n    hint: did you mean one of these? {}",
                        alike.join("; ")
                    )?;
                }
                Ok(())
            }
            Self::Choosing(error) => write!(f, "{error}"),
            Self::Learn(error) => writeln!(f, "error: {error}"),
            Self::Climate(text) => writeln!(f, "error: {text}"),
            Self::Weather(error) => writeln!(f, "error: {error}"),
            Self::Json(error) => writeln!(f, "error: cannot write the result as JSON: {error}"),
            Self::Csv(error) => writeln!(f, "error: cannot write the table: {error}"),
            Self::Page(error) => writeln!(f, "error: cannot write the page: {error}"),
            Self::Memory { trials, bytes } => writeln!(
                f,
                "error: {trials} trials need some {} MB of memory, which this machine does not give\n\n    \
                 hint: give fewer `--trials`",
                bytes / 1_000_000
            ),
        }
    }
}

impl std::error::Error for Failure {}
