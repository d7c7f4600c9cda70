//! The climate of each day of a plan, before any draw.

use std::sync::Arc;

use chrono::NaiveDate;

use super::daily_windows::{DayTimes, mean_noon_s};
use crate::scenario::{Climate, History};
use crate::sky::clearness::KtError;
use crate::sky::day_climate::{DayClimate, monthly_day};
use crate::sky::extraterrestrial::horizontal_day_wh_m2;
use crate::sky::history::Series;

/// What the weather of the trials is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherSource {
    /// Synthetic days, one climate a day.
    Synthetic(Vec<DayClimate>),
    /// Runs of days of a record.
    Record(RecordDays),
}

/// Runs of days of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordDays {
    /// The record.
    pub series: Arc<Series>,
    /// Days in a run.
    pub block_days: usize,
    /// For each day of the plan, where in the record a run may begin.
    pub starts: Vec<Vec<usize>>,
    /// The day of the record for each day of the plan, where a year is replayed.
    pub replay: Option<Vec<usize>>,
}

/// Why a plan has no weather.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherError {
    /// A clearness that no distribution can hold.
    Clearness(NaiveDate, KtError),
    /// A record without days in the season.
    NoSeason(NaiveDate),
    /// A record without the replayed days.
    NoReplay(i32, NaiveDate),
    /// The place has no built-in climate.
    OutsideWorld(String),
}

impl std::fmt::Display for WeatherError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Clearness(date, error) => write!(out, "the climate of {date}: {error}"),
            Self::NoSeason(date) => {
                write!(out, "the weather file has no run of days near {}", date.format("%-d %B"))
            }
            Self::NoReplay(year, date) => write!(
                out,
                "the weather file has no unbroken days of {year} from {} on",
                date.format("%-d %B")
            ),
            Self::OutsideWorld(text) => write!(out, "{text}"),
        }
    }
}

impl std::error::Error for WeatherError {}

/// The weather source of a plan's days.
///
/// # Errors
/// [`WeatherError`] where the climate of a day cannot be had.
pub fn weather_source(climate: &Climate, days: &[DayTimes]) -> Result<WeatherSource, WeatherError> {
    match climate {
        Climate::Monthly(rows) => days
            .iter()
            .map(|day| {
                let h0_wh_m2 = day_extraterrestrial_wh_m2(day);
                monthly_day(rows, day.date, h0_wh_m2)
                    .map_err(|error| WeatherError::Clearness(day.date, error))
            })
            .collect::<Result<_, _>>()
            .map(WeatherSource::Synthetic),
        Climate::BuiltIn => built_in(days),
        Climate::History(history) => record(history, days),
    }
}

fn day_extraterrestrial_wh_m2(day: &DayTimes) -> f64 {
    let midnight_s = mean_noon_s(day.date, day.lon_deg) - 43_200;
    horizontal_day_wh_m2(midnight_s, day.lat_deg, day.lon_deg)
}
