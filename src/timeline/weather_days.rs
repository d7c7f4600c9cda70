//! The climate of each day of a plan, before any draw.

use std::sync::Arc;

use chrono::NaiveDate;

use super::daily_windows::{DayTimes, mean_noon_s};
use crate::scenario::{Climate, History};
use crate::sky::clearness::{KtError, KtQuantile};
use crate::sky::day_climate::DayClimate;
use crate::sky::extraterrestrial::horizontal_day_wh_m2;
use crate::sky::history::Series;
use crate::sky::monthly::monthly_day;
use crate::sky::world_climate::{self, PlaceClimate, place_climate};

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
    pub block_days: u32,
    /// For each day of the plan, where in the record a run may begin.
    pub starts: Vec<Vec<usize>>,
    /// Where the replayed year begins in the record, if one is.
    pub replay: Option<usize>,
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
                write!(
                    out,
                    "the weather file has no run of days near {}",
                    date.format("%-d %B")
                )
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

/// Irradiation of a day above the air on the flat, Wh/m².
#[must_use]
pub fn day_extraterrestrial_wh_m2(day: &DayTimes) -> f64 {
    let midnight_s = mean_noon_s(day.date, day.lon_deg) - 43_200;
    horizontal_day_wh_m2(midnight_s, day.lat_deg, day.lon_deg)
}

fn built_in(days: &[DayTimes]) -> Result<WeatherSource, WeatherError> {
    let mut climates: Vec<DayClimate> = Vec::with_capacity(days.len());
    let mut last: Option<((f64, f64, Option<f64>), PlaceClimate)> = None;
    for times in days {
        let place = (times.lat_deg, times.lon_deg, times.height_m);
        let is_same = last.as_ref().is_some_and(|(known, _)| *known == place);
        if !is_same {
            let climate = place_climate(place.0, place.1, place.2)
                .map_err(|error| WeatherError::OutsideWorld(error.to_string()))?;
            last = Some((place, climate));
        }
        let Some((_, climate)) = &last else { continue };
        let day = world_climate::day(climate, times.date);
        let kt = KtQuantile::from_percentiles(day.kt, day.kt_sd, &day.kt_percentiles)
            .map_err(|error| WeatherError::Clearness(times.date, error))?;
        climates.push(DayClimate {
            kt,
            min_c: day.tmin_c,
            max_c: day.tmax_c,
            anomaly_sd_c: day.day_mean_sd_c,
        });
    }
    Ok(WeatherSource::Synthetic(climates))
}

fn record(history: &History, days: &[DayTimes]) -> Result<WeatherSource, WeatherError> {
    let series = &history.series;
    let replay = match history.replay {
        None => None,
        Some(year) => {
            let first = days[0].date;
            let missing = WeatherError::NoReplay(year, first);
            let start = series
                .replay_start(year, first)
                .ok_or_else(|| missing.clone())?;
            let has_all = series
                .stretches
                .iter()
                .any(|stretch| stretch.contains(&start) && start + days.len() <= stretch.end);
            if !has_all {
                return Err(missing);
            }
            Some(start)
        }
    };
    let block_days = history
        .block_days
        .unwrap_or_else(|| series.default_block_days());
    let starts: Vec<Vec<usize>> = days
        .iter()
        .map(|day| series.block_starts(day.date, history.season_days, block_days))
        .collect();
    if let Some(day) = starts.iter().position(Vec::is_empty)
        && replay.is_none()
    {
        return Err(WeatherError::NoSeason(days[day].date));
    }
    Ok(WeatherSource::Record(RecordDays {
        series: Arc::clone(series),
        block_days,
        starts,
        replay,
    }))
}
