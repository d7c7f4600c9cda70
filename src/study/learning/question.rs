//! What is asked: a log for each bank, and when it was driven.
//!
//! One job: the question, why it is refused, and reading times of drives from a table.

use std::fmt;

use crate::log::{Log, LogError};
use crate::scenario::{Scenario, Zone};
use crate::timeline::weather_days::WeatherError;

/// What is asked of logs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LearnQuestion {
    /// The log of each bank that has one, by the bank's index.
    pub logs: Vec<(usize, Log)>,
    /// Departures and arrivals, UTC seconds, where they are known.
    pub drives: Option<Vec<(i64, i64)>>,
}

/// Why nothing can be learned.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are said by the sentences of `Display`"
)]
pub enum LearnError {
    /// A log cannot be read.
    Log(LogError),
    /// A day has no climate.
    Weather(WeatherError),
    /// No hour of the log lies within the trip.
    OtherTime {
        file: String,
        log: [String; 2],
        trip: [String; 2],
    },
    /// Less than a day of the log lies within the trip.
    TooShort { file: String, hours: f64 },
    /// The voltage is none of this bank.
    OtherVoltage {
        file: String,
        bank: String,
        found_v: f64,
        least_v: f64,
        most_v: f64,
    },
    /// Charge and current are those of a much larger or smaller bank.
    OtherBank {
        file: String,
        bank: String,
        found_ah: f64,
        file_ah: f64,
    },
    /// No log has charge or current: nothing to hold against.
    VoltageOnly { file: String },
    /// A line of the table of drives.
    Drives {
        file: String,
        line: usize,
        found: String,
    },
    /// What was learned cannot be put into the scenario.
    PutRight(String),
}

impl From<LogError> for LearnError {
    fn from(error: LogError) -> Self {
        Self::Log(error)
    }
}

impl From<WeatherError> for LearnError {
    fn from(error: WeatherError) -> Self {
        Self::Weather(error)
    }
}

impl std::error::Error for LearnError {}

impl fmt::Display for LearnError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Log(error) => write!(f, "{error}"),
            Self::Weather(error) => write!(f, "{error}"),
            Self::OtherTime {
                file,
                log: [from, to],
                trip: [start, end],
            } => write!(
                f,
                "{file}: the log runs from {from} to {to} and the trip from {start} to {end}, so no hour of it lies within: \
                 set the scenario's `start` and legs to the trip that was driven"
            ),
            Self::TooShort { file, hours } => write!(
                f,
                "{file}: {hours:.0} h of the log lie within the trip, but it takes a day at least to learn anything"
            ),
            Self::OtherVoltage {
                file,
                bank,
                found_v,
                least_v,
                most_v,
            } => write!(
                f,
                "{file}: the voltage is {found_v:.1} V in the middle, but bank {bank} has from {least_v:.1} to {most_v:.1} V: \
                 is it another bank's log?"
            ),
            Self::OtherBank {
                file,
                bank,
                found_ah,
                file_ah,
            } => write!(
                f,
                "{file}: charge and current are those of a bank of about {found_ah:.0} Ah, and {bank} has {file_ah:.0} Ah: \
                 is it another bank's log?"
            ),
            Self::VoltageOnly { file } => write!(
                f,
                "{file}: has voltage only: it takes the charge, current, power or Ah to hold against the model"
            ),
            Self::Drives { file, line, found } => write!(
                f,
                "{file}:{line}: `{found}` must be departure and arrival, such as 2027-07-03 08:00,2027-07-03 13:30"
            ),
            Self::PutRight(text) => write!(f, "what was learned does not fit the scenario: {text}"),
        }
    }
}

/// Reads a table of drives: a line each with departure and arrival, a header or none.
///
/// # Errors
/// [`LearnError::Drives`] with the line.
pub fn drives_of(
    text: &str,
    file: &str,
    scenario: &Scenario,
) -> Result<Vec<(i64, i64)>, LearnError> {
    let zone = &scenario.itinerary.zone;
    let mut drives: Vec<(i64, i64)> = Vec::new();
    let lines = text.trim_start_matches('\u{feff}').lines().enumerate();
    for (index, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let refuse = || LearnError::Drives {
            file: file.to_owned(),
            line: index + 1,
            found: line.trim().chars().take(60).collect(),
        };
        let mut fields = line.split([',', ';', '\t']);
        let ends = (fields.next(), fields.next());
        let (Some(from), Some(to)) = ends else {
            return Err(refuse());
        };
        if index == 0 && !from.contains(|c: char| c.is_ascii_digit()) {
            continue;
        }
        let drive = (instant(zone, from), instant(zone, to));
        let (Some(from_s), Some(to_s)) = drive else {
            return Err(refuse());
        };
        let before_s = drives.last().map_or(i64::MIN, |drive| drive.1);
        if to_s <= from_s || from_s < before_s {
            return Err(refuse());
        }
        drives.push((from_s, to_s));
    }
    Ok(drives)
}

fn instant(zone: &Zone, text: &str) -> Option<i64> {
    crate::log::instant_s(text, zone)
}
