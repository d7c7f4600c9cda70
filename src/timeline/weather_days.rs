//! The climate of each day of a plan, before any draw.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use super::daily_windows::{DayTimes, mean_noon_s};
use crate::scenario::{Climate, History, MonthRow};
use crate::sky::clearness::KtError;
use crate::sky::day_climate::DayClimate;
use crate::sky::day_persistence::DayPersistence;
use crate::sky::extraterrestrial::horizontal_day_wh_m2;
use crate::sky::history::Series;
use crate::sky::monthly::MonthlyYear;
use crate::sky::world_climate::{PlaceYear, place_climate};

/// What the weather of the trials is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherSource {
    /// Synthetic days.
    Synthetic(SyntheticDays),
    /// Runs of days of a record.
    Record(RecordDays),
}

impl WeatherSource {
    /// Whether the mean of its climate is itself not quite known.
    #[must_use]
    pub fn has_unknown_mean(&self) -> bool {
        match self {
            Self::Synthetic(days) => days.climates.iter().any(|day| day.mean_rel_sd > 0.0),
            Self::Record(_) => false,
        }
    }
}

/// Days drawn from a climate.
#[derive(Debug, Clone, PartialEq)]
pub struct SyntheticDays {
    /// One a day.
    pub climates: Vec<DayClimate>,
    /// How a day depends on those before it.
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
    let (climates, persistence) = match climate {
        Climate::Monthly { rows, persistence } => (monthly(rows, days)?, persistence),
        Climate::BuiltIn { persistence } => (built_in(days)?, persistence),
        Climate::History(history) => return record(history, days, spare_days),
    };
    Ok(WeatherSource::Synthetic(SyntheticDays {
        climates,
        persistence: persistence.clone(),
    }))
}

/// Extraterrestrial irradiation of a day at its place, Wh/m².
#[must_use]
pub fn day_extraterrestrial_wh_m2(day: &DayTimes) -> f64 {
    let midnight_s = mean_noon_s(day.date, day.lon_deg) - 43_200;
    horizontal_day_wh_m2(midnight_s, day.lat_deg, day.lon_deg)
}

/// The user's months on each day, at its place.
fn monthly(rows: &[MonthRow], days: &[DayTimes]) -> Result<Vec<DayClimate>, WeatherError> {
    let mut last: Option<(Stand, MonthlyYear)> = None;
    let mut climates = Vec::with_capacity(days.len());
    for times in days {
        let refusal = |error| WeatherError::Clearness(times.date, error);
        let stand = stand(times);
        let ((lat_deg, lon_deg, _), year) = stand;
        let of_year = match last.take().filter(|(known, _)| *known == stand) {
            Some((_, of_year)) => of_year,
            None => MonthlyYear::new(rows, (lat_deg, lon_deg), year).map_err(refusal)?,
        };
        climates.push(of_year.day(times.date).map_err(refusal)?);
        last = Some((stand, of_year));
    }
    Ok(climates)
}

/// Where and in which year a day is.
type Stand = ((f64, f64, Option<f64>), i32);

fn stand(times: &DayTimes) -> Stand {
    (
        (times.lat_deg, times.lon_deg, times.height_m),
        times.date.year(),
    )
}

/// The built-in climate of each day. Where a drive passes noon out of its reach, on a ferry say, the
/// nearest day within it stands in.
fn built_in(days: &[DayTimes]) -> Result<Vec<DayClimate>, WeatherError> {
    let mut climates: Vec<Option<DayClimate>> = Vec::with_capacity(days.len());
    let mut last: Option<(Stand, PlaceYear)> = None;
    let mut refusal = None;
    for times in days {
        let stand = stand(times);
        if last.as_ref().is_none_or(|(known, _)| *known != stand) {
            let ((lat_deg, lon_deg, height_m), year) = stand;
            match place_climate(lat_deg, lon_deg, height_m) {
                Ok(climate) => last = Some((stand, PlaceYear::new(&climate, year))),
                Err(error) => {
                    refusal = Some(WeatherError::OutsideWorld(error.to_string()));
                    climates.push(None);
                    continue;
                }
            }
        }
        let Some((_, of_year)) = &last else { continue };
        let day = of_year
            .day(times.date)
            .day_climate()
            .map_err(|error| WeatherError::Clearness(times.date, error))?;
        climates.push(Some(day));
    }
    let filled: Option<Vec<DayClimate>> = (0..climates.len())
        .map(|day| nearest_given(&climates, day, climates.len()).cloned())
        .collect();
    let no_day = || WeatherError::OutsideWorld("the plan has no day".to_owned());
    filled.ok_or_else(|| refusal.unwrap_or_else(no_day))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::read;
    use crate::sky::world_climate::place_climate;
    use crate::timeline::Timeline;
    use crate::timeline::calendar::Plan;

    /// Mean sun of each month of a year at a place, by the sun that trips use.
    fn month_means(climate: &str, (lat_deg, lon_deg): (f64, f64)) -> [f64; 12] {
        let text = format!(
            r#"{{ "format": 1, "itinerary": {{ "start": "2027-01-02T01:00", "time_zone": "UTC",
                "from": {{ "name": "a", "lat": {lat_deg}, "lon": {lon_deg} }},
                "legs": [ {{ "to": "a", "lat": {lat_deg}, "lon": {lon_deg}, "drive_hours": 0.1, "nights": 364 }} ] }},
                "climate": {climate},
                "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }} ] }}"#
        );
        let none = |_: &str| Err(String::new());
        let reading = read(&text, "a.json", &none).unwrap_or_else(|refusal| panic!("{refusal}"));
        let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60).expect("a sound input");
        let WeatherSource::Synthetic(days) = &timeline.weather else {
            panic!("a climate")
        };
        let mut sums = [(0.0, 0.0); 12];
        for (times, climate) in timeline.days.iter().zip(&days.climates) {
            if times.date.year() == 2027 {
                let (sum, count) = &mut sums[times.date.month0() as usize];
                *sum += climate.kt.mean() * day_extraterrestrial_wh_m2(times) / 1000.0;
                *count += 1.0;
            }
        }
        sums.map(|(sum, count)| sum / count)
    }

    /// De Bilt's months (Source: KNMI), typed and built in: 0.1 %, where straight lines between mid-months made 12 % of
    /// December.
    #[test]
    fn law_the_months_of_a_plan_have_their_means() {
        const SUN_HOURS: [f64; 12] = [
            0.65, 1.31, 2.63, 4.18, 5.06, 5.48, 5.08, 4.33, 3.15, 1.78, 0.80, 0.49,
        ];
        let rows: Vec<String> = (1..=12)
            .zip(SUN_HOURS)
            .map(|(month, sun)| {
                format!(
                    r#"{{ "month": {month}, "sun_hours": {sun}, "day_min_c": 5, "day_max_c": 15 }}"#
                )
            })
            .collect();
        let typed = format!(
            r#"{{ "kind": "monthly", "months": [ {} ] }}"#,
            rows.join(", ")
        );
        let place = (52.1, 5.18);
        for (found, wanted) in month_means(&typed, place).iter().zip(SUN_HOURS) {
            assert!((found / wanted - 1.0).abs() < 0.001, "{found} {wanted}");
        }
        for place in [place, (-26.42, 135.5), (36.1, -79.95), (60.0, 172.0)] {
            let climate = place_climate(place.0, place.1, None).expect("on land");
            let found = month_means(r#"{ "kind": "built-in" }"#, place);
            for (found, month) in found.iter().zip(&climate.months) {
                let error = found / month.ghi_kwh_m2 - 1.0;
                assert!(error.abs() < 0.001, "{place:?}: {error} {month:?}");
            }
        }
    }
}
