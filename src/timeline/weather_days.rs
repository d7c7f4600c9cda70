//! The climate of each day of a plan, before any draw.

use std::sync::Arc;

use chrono::NaiveDate;

use super::daily_windows::{DayTimes, mean_noon_s};
use crate::scenario::{Climate, History};
use crate::sky::clearness::KtError;
use crate::sky::day_climate::DayClimate;
use crate::sky::day_persistence::DayPersistence;
use crate::sky::extraterrestrial::horizontal_day_wh_m2;
use crate::sky::history::Series;
use crate::sky::monthly::monthly_day;
use crate::sky::world_climate::{self, PlaceClimate, place_climate};

/// What the weather of the trials is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherSource {
    /// Synthetic days.
    Synthetic(SyntheticDays),
    /// Runs of days of a record.
    Record(RecordDays),
}

/// Days drawn from a climate.
#[derive(Debug, Clone, PartialEq)]
pub struct SyntheticDays {
    /// One a day.
    pub climates: Vec<DayClimate>,
    /// How a day hangs on those before it.
    pub persistence: DayPersistence,
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
    /// For each day of the plan, the day of the replayed year, if one is.
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
/// `spare_days` at the end, and the one before the beginning, hardly touch the plan: where a record
/// lacks them their neighbours stand in.
///
/// # Errors
/// [`WeatherError`] where the climate of a day cannot be had.
pub fn weather_source(
    climate: &Climate,
    days: &[DayTimes],
    spare_days: usize,
) -> Result<WeatherSource, WeatherError> {
    let synthetic = |climates, persistence: &DayPersistence| {
        WeatherSource::Synthetic(SyntheticDays {
            climates,
            persistence: persistence.clone(),
        })
    };
    match climate {
        Climate::Monthly { rows, persistence } => days
            .iter()
            .map(|day| {
                monthly_day(rows, day.date, day_extraterrestrial_wh_m2(day))
                    .map_err(|error| WeatherError::Clearness(day.date, error))
            })
            .collect::<Result<_, _>>()
            .map(|climates| synthetic(climates, persistence)),
        Climate::BuiltIn { persistence } => {
            built_in(days).map(|climates| synthetic(climates, persistence))
        }
        Climate::History(history) => record(history, days, spare_days),
    }
}

/// Extraterrestrial irradiation of a day at its place, Wh/m².
#[must_use]
pub fn day_extraterrestrial_wh_m2(day: &DayTimes) -> f64 {
    let midnight_s = mean_noon_s(day.date, day.lon_deg) - 43_200;
    horizontal_day_wh_m2(midnight_s, day.lat_deg, day.lon_deg)
}

/// Latitude, longitude and, if known, height.
type Stand = (f64, f64, Option<f64>);

/// The built-in climate of each day. Where a drive passes noon out of its reach, on a ferry say, the
/// nearest day within it stands in.
fn built_in(days: &[DayTimes]) -> Result<Vec<DayClimate>, WeatherError> {
    let mut climates: Vec<Option<DayClimate>> = Vec::with_capacity(days.len());
    let mut last: Option<(Stand, PlaceClimate)> = None;
    let mut refusal = None;
    for times in days {
        let place = (times.lat_deg, times.lon_deg, times.height_m);
        if last.as_ref().is_none_or(|(known, _)| *known != place) {
            match place_climate(place.0, place.1, place.2) {
                Ok(climate) => last = Some((place, climate)),
                Err(error) => {
                    refusal = Some(WeatherError::OutsideWorld(error.to_string()));
                    climates.push(None);
                    continue;
                }
            }
        }
        let Some((_, climate)) = &last else { continue };
        let day = world_climate::day(climate, times.date)
            .day_climate()
            .map_err(|error| WeatherError::Clearness(times.date, error))?;
        climates.push(Some(day));
    }
    let filled: Option<Vec<DayClimate>> = (0..climates.len())
        .map(|day| nearest_given(&climates, day, climates.len()).cloned())
        .collect();
    match (filled, refusal) {
        (Some(days), _) => Ok(days),
        (None, refusal) => {
            Err(refusal
                .unwrap_or_else(|| WeatherError::OutsideWorld("the plan has no day".to_owned())))
        }
    }
}

/// What is given for a day, or for the nearest one up to `reach` days away, the earlier of two.
fn nearest_given<T>(days: &[Option<T>], day: usize, reach: usize) -> Option<&T> {
    (0..=reach)
        .flat_map(|apart| [day.checked_sub(apart), day.checked_add(apart)])
        .flatten()
        .find_map(|near| days.get(near).and_then(Option::as_ref))
}

fn record(
    history: &History,
    days: &[DayTimes],
    spare_days: usize,
) -> Result<WeatherSource, WeatherError> {
    let series = &history.series;
    let replay = history
        .replay
        .map(|year| replayed_days(series, year, days, spare_days))
        .transpose()?;
    let block_days = history
        .block_days
        .unwrap_or_else(|| series.default_block_days());
    let found: Vec<Option<Vec<usize>>> = days
        .iter()
        .map(|day| series.block_starts(day.date, history.season_days, block_days))
        .map(|starts| (!starts.is_empty()).then_some(starts))
        .collect();
    let mut starts = Vec::with_capacity(days.len());
    for (day, times) in days.iter().enumerate() {
        match nearest_given(&found, day, spare_days) {
            Some(near) => starts.push(near.clone()),
            None if replay.is_some() => starts.push(Vec::new()),
            None => return Err(WeatherError::NoSeason(times.date)),
        }
    }
    Ok(WeatherSource::Record(RecordDays {
        series: Arc::clone(series),
        block_days,
        starts,
        replay,
    }))
}

/// The day of the record for each day of the plan. The plan's second day is its first date; what
/// lies before that, or at most `spare_days` beyond the stretch, is held at the stretch's ends.
fn replayed_days(
    series: &Series,
    year: i32,
    days: &[DayTimes],
    spare_days: usize,
) -> Result<Vec<usize>, WeatherError> {
    let first = days[days.len().min(2) - 1].date;
    let missing = WeatherError::NoReplay(year, first);
    let found = series.replay_start(year, first).and_then(|anchor| {
        let mut stretches = series.stretches.iter();
        let stretch = stretches.find(|stretch| stretch.contains(&anchor))?;
        (anchor + days.len() <= stretch.end + 1 + spare_days).then_some((anchor, stretch))
    });
    let (anchor, stretch) = found.ok_or(missing)?;
    Ok((0..days.len())
        .map(|day| {
            (anchor + day)
                .saturating_sub(1)
                .clamp(stretch.start, stretch.end - 1)
        })
        .collect())
}
