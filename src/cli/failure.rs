//! Why a command failed, its words and its exit status.

use std::fmt;
use std::io;
use std::path::PathBuf;

use tideover::scenario::Refusal;
use tideover::study::choosing::ChoosingError;
use tideover::study::from_here::Misread;
use tideover::timeline::weather_days::WeatherError;

/// Why a command did not come to its end.
#[derive(Debug)]
pub(super) enum Failure {
    /// The scenario file has problems; `unreadable` if a weather file it names could not be read.
    Refused { refusal: Refusal, unreadable: bool },
    /// `new` found something at its path.
    Exists(PathBuf),
    /// A file is text of two bytes a character.
    Utf16(PathBuf),
    /// A file is not text.
    NotUtf8 { path: PathBuf, byte: usize },
    /// A file is larger than the program reads.
    TooLarge { path: PathBuf, limit_mb: u64 },
    /// An act on a file failed.
    File {
        act: &'static str,
        path: PathBuf,
        error: io::Error,
    },
    /// An option's value names something that the scenario does not have.
    Option {
        option: &'static str,
        found: String,
        allowed: String,
    },
    /// A name that no built-in place has.
    NoSuchPlace { found: String, alike: Vec<String> },
    /// A choice that cannot be worked out.
    Choosing(ChoosingError),
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
    /// stdout could not be written.
    Stdout(io::Error),
    /// So many trials have no room.
    Memory { trials: u64, bytes: u64 },
    /// The user or the system ended the run.
    Interrupted,
}

impl From<WeatherError> for Failure {
    fn from(error: WeatherError) -> Self {
        Self::Weather(error)
    }
}

impl From<Misread> for Failure {
    fn from(error: Misread) -> Self {
        Self::Option {
            option: error.option,
            found: error.found,
            allowed: error.allowed,
        }
    }
}

impl From<ChoosingError> for Failure {
    fn from(error: ChoosingError) -> Self {
        Self::Choosing(error)
    }
}

impl Failure {
    /// 2 for bad input, 3 for files that cannot be read or written and for interruptions.
    pub(super) fn status(&self) -> u8 {
        match self {
            Self::Refused { unreadable, .. } => {
                if *unreadable {
                    3
                } else {
                    2
                }
            }
            Self::Exists(_)
            | Self::Utf16(_)
            | Self::NotUtf8 { .. }
            | Self::TooLarge { .. }
            | Self::Option { .. }
            | Self::NoSuchPlace { .. }
            | Self::Choosing(_)
            | Self::Climate(_)
            | Self::Weather(_) => 2,
            Self::File { .. }
            | Self::Json(_)
            | Self::Csv(_)
            | Self::Page(_)
            | Self::Stdout(_)
            | Self::Memory { .. }
            | Self::Interrupted => 3,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Refused { refusal, .. } => write!(f, "{refusal}"),
            Self::Exists(path) => writeln!(
                f,
                "error: `{}` exists already\n\n    hint: choose another name; `new` never overwrites",
                path.display()
            ),
            Self::Utf16(path) => writeln!(
                f,
                "error: `{}` is UTF-16 text, but must be UTF-8\n\n    hint: save it as UTF-8",
                path.display()
            ),
            Self::NotUtf8 { path, byte } => writeln!(
                f,
                "error: `{}` is not UTF-8 text: byte {byte} belongs to no character",
                path.display()
            ),
            Self::TooLarge { path, limit_mb } => writeln!(
                f,
                "error: `{}` is larger than {limit_mb} MB",
                path.display()
            ),
            Self::File { act, path, error } => {
                writeln!(f, "error: cannot {act} `{}`: {error}", path.display())
            }
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
            Self::Climate(text) => writeln!(f, "error: {text}"),
            Self::Weather(error) => writeln!(f, "error: {error}"),
            Self::Json(error) => writeln!(f, "error: cannot write the result as JSON: {error}"),
            Self::Csv(error) => writeln!(f, "error: cannot write the table: {error}"),
            Self::Page(error) => writeln!(f, "error: cannot write the page: {error}"),
            Self::Stdout(error) => writeln!(f, "error: cannot write the answer: {error}"),
            Self::Memory { trials, bytes } => writeln!(
                f,
                "error: {trials} trials need some {} MB of memory, which this machine does not give\n\n    \
                 hint: give fewer `--trials`",
                bytes / 1_000_000
            ),
            Self::Interrupted => writeln!(f, "error: interrupted, and nothing written"),
        }
    }
}
