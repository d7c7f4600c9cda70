//! One hour of a weather file, before it has a day.
//!
//! One job: what the readers of hourly formats hand on, in order of time; 32 bytes an hour.

use chrono::Datelike;

use super::dates::{clock_text, date_at, day_of, midnight_s};
use super::error::{HistoryError, HistoryFault};
use super::hour_clock::NOMINAL_YEARS;

/// Seconds in an hour.
pub(super) const HOUR_S: i64 = 3600;

/// A measured hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HourRecord {
    /// End of the hour, UTC.
    pub(super) end_utc_s: i64,
    /// Where it stands.
    pub(super) line: u32,
    /// Global horizontal, Wh/m²; NaN: none measured.
    pub(super) global_wh_m2: f32,
    /// Direct normal, Wh/m²; NaN: none measured.
    pub(super) direct_wh_m2: f32,
    /// Diffuse horizontal, Wh/m²; NaN: none measured.
    pub(super) diffuse_wh_m2: f32,
    /// Air temperature, °C; NaN: none measured.
    pub(super) air_c: f32,
}

/// Hours of one station.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hours {
    pub(super) records: Vec<HourRecord>,
    pub(super) lat_deg: f64,
    pub(super) lon_deg: f64,
    /// Height above the sea, m, if the head of the file tells it.
    pub(super) height_m: Option<f64>,
    /// Whether the place is that in the head of the file.
    pub(super) is_placed: bool,
    /// Whether months of different years make up one nominal year.
    pub(super) is_typical: bool,
    /// What the file calls its global irradiation.
    pub(super) global_name: String,
}

/// Heights of stations taken from a head, m: the land of the Earth. Others stand for "not known".
pub(super) const HEIGHT_RANGE_M: (f64, f64) = (-430.0, 8850.0);

/// A line number for an [`HourRecord`].
pub(super) fn short_line(line: u64) -> u32 {
    u32::try_from(line).unwrap_or(u32::MAX)
}

/// Checks that the hours ascend and lie whole hours apart.
///
/// # Errors
/// The first row that repeats, goes back or lies between.
pub(super) fn check_order(records: &[HourRecord], offset_s: i64) -> Result<(), HistoryError> {
    for pair in records.windows(2) {
        let step_s = pair[1].end_utc_s - pair[0].end_utc_s;
        let line = u64::from(pair[1].line);
        let text = |record: &HourRecord| {
            format!("the hour to {}", clock_text(record.end_utc_s + offset_s))
        };
        if step_s == 0 {
            let found = text(&pair[1]);
            return Err(HistoryFault::Twice { found }.at(line));
        }
        if step_s < 0 {
            let (found, before) = (text(&pair[1]), text(&pair[0]));
            return Err(HistoryFault::NotAscending { found, before }.at(line));
        }
        if step_s % HOUR_S != 0 {
            let minutes = step_s / 60;
            return Err(HistoryFault::NotHourly { minutes }.at(line));
        }
    }
    Ok(())
}

/// Puts the months of a typical year, which bear the years they were taken from, into one nominal
/// year. `true` if it did: at most one year of rows, of different years, not in order as they are but in
/// order so. The nominal year is 2001, or 2000 where there is a 29 February.
pub(super) fn settle_typical(records: &mut [HourRecord], offset_s: i64) -> bool {
    const MOST_HOURS: usize = 8784;
    const JUMP_S: i64 = 20 * 24 * HOUR_S;
    let starts = |record: &HourRecord| record.end_utc_s + offset_s - HOUR_S;
    let date = |record: &HourRecord| date_at(starts(record));
    let is_in_order = records
        .windows(2)
        .all(|pair| (1..=JUMP_S).contains(&(pair[1].end_utc_s - pair[0].end_utc_s)));
    let first_year = records.first().map(|record| date(record).year());
    let is_of_years = records
        .iter()
        .any(|record| Some(date(record).year()) != first_year);
    if is_in_order || !is_of_years || records.len() > MOST_HOURS {
        return false;
    }
    let has_leap_day = records
        .iter()
        .any(|record| date(record).ordinal() == 60 && date(record).day() == 29);
    let (plain, leap) = NOMINAL_YEARS;
    let year = if has_leap_day { leap } else { plain };
    let nominal: Vec<i64> = records
        .iter()
        .filter_map(|record| {
            let date = date(record);
            let day = day_of(year, date.month(), date.day())?;
            Some(midnight_s(day) + starts(record).rem_euclid(86_400) + HOUR_S - offset_s)
        })
        .collect();
    let ascends = nominal.windows(2).all(|pair| pair[1] > pair[0]);
    if nominal.len() != records.len() || !ascends {
        return false;
    }
    for (record, end_utc_s) in records.iter_mut().zip(nominal) {
        record.end_utc_s = end_utc_s;
    }
    true
}
