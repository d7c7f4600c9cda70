//! A user's own table of the months.
//!
//! One job: rows of months in, the climate of a date out. Where and how the rows were written is in
//! `scenario`; the world climate is another source of the same days.
//! Left out: places; the table holds for the whole trip.

use chrono::{Datelike, NaiveDate};

use super::clearness::{KtError, KtQuantile, MAX_MEAN_KT};
use super::day_climate::DayClimate;
use super::day_temperature::DEFAULT_ANOMALY_SD_C;
use super::hollands_huget::{HollandsHuget, upper_limit};

/// One month of a user's own table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthRow {
    /// 1 to 12.
    pub month: u32,
    /// Peak sun hours: kWh/m² a day on the flat. Given, or else `kt`.
    pub sun_hours: Option<f64>,
    /// Mean daily clearness index, 0 to 1. Given, or else `sun_hours`.
    pub kt: Option<f64>,
    /// Mean daily minimum temperature.
    pub day_min_c: f64,
    /// Mean daily maximum temperature.
    pub day_max_c: f64,
    /// Standard deviation of the daily clearness index, if known.
    pub kt_sd: Option<f64>,
}

/// Climate of a date by the user's months.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `rows` | the months given | | at least one, any order |
/// | `date` | local date | | any |
/// | `h0_wh_m2` | extraterrestrial irradiation of the date at the place | Wh/m² | 0 or more |
///
/// Values hold at mid-month and run straight between; the year wraps; a month that is not given
/// takes the nearest given one (the earlier of two). Sun hours become a clearness index by
/// `h0_wh_m2`. Where one of two months has a standard deviation and the other none, the other's is
/// Hollands and Huget's.
///
/// # Validity
/// A straight line between two months' sun hours is not the sun's own course: where the days draw in
/// fast it promises more than the sky has, and a month that stands in for its neighbour too. A mean
/// above [`MAX_MEAN_KT`] is held to it; [`monthly_mean_kt`] tells. Whether the months themselves can
/// be true is asked when the table is read.
///
/// # Errors
/// [`KtError`]: no row, or a row without sun.
///
/// # Source
/// Ours; common practice for monthly tables.
pub fn monthly_day(
    rows: &[MonthRow],
    date: NaiveDate,
    h0_wh_m2: f64,
) -> Result<DayClimate, KtError> {
    debug_assert!(h0_wh_m2 >= 0.0, "extraterrestrial {h0_wh_m2}");
    let (earlier, later, share) = months_around(date);
    let a = nearest(rows, earlier).ok_or(KtError::NoMonth)?;
    let b = nearest(rows, later).ok_or(KtError::NoMonth)?;
    let between = |x: f64, y: f64| x + (y - x) * share;

    let (kt_a, kt_b) = (mean_kt(a, h0_wh_m2)?, mean_kt(b, h0_wh_m2)?);
    let mean = between(kt_a, kt_b).min(MAX_MEAN_KT);
    let sd = match (a.kt_sd, b.kt_sd) {
        (None, None) => None,
        (sd_a, sd_b) => Some(between(
            sd_a.unwrap_or_else(|| usual_sd(kt_a)),
            sd_b.unwrap_or_else(|| usual_sd(kt_b)),
        )),
    };
    Ok(DayClimate {
        kt: KtQuantile::from_mean(mean, sd)?,
        min_c: between(a.day_min_c, b.day_min_c),
        max_c: between(a.day_max_c, b.day_max_c),
        anomaly_sd_c: DEFAULT_ANOMALY_SD_C,
    })
}

/// Mean clearness index of a date as the table has it, before it is held to what a sky can be.
///
/// Arguments and errors are those of [`monthly_day`].
///
/// # Errors
/// [`KtError`]: no row, or a row without sun.
pub fn monthly_mean_kt(rows: &[MonthRow], date: NaiveDate, h0_wh_m2: f64) -> Result<f64, KtError> {
    let (earlier, later, share) = months_around(date);
    let a = nearest(rows, earlier).ok_or(KtError::NoMonth)?;
    let b = nearest(rows, later).ok_or(KtError::NoMonth)?;
    let (kt_a, kt_b) = (mean_kt(a, h0_wh_m2)?, mean_kt(b, h0_wh_m2)?);
    Ok(kt_a + (kt_b - kt_a) * share)
}

/// The months whose middles lie around a date, 1 to 12, and how far it is from the first to the
/// second.
fn months_around(date: NaiveDate) -> (u32, u32, f64) {
    let month = date.month();
    let share = (f64::from(date.day()) - 0.5) / f64::from(days_in_month(date));
    if share < 0.5 {
        (before(month), month, share + 0.5)
    } else {
        (month, month % 12 + 1, share - 0.5)
    }
}

fn before(month: u32) -> u32 {
    (month + 10) % 12 + 1
}

fn days_in_month(date: NaiveDate) -> u32 {
    (28..=31)
        .rev()
        .find(|&day| date.with_day(day).is_some())
        .unwrap_or(28)
}

/// The row of a month, or the nearest around the year, the earlier of two.
fn nearest(rows: &[MonthRow], month: u32) -> Option<&MonthRow> {
    rows.iter().min_by_key(|row| {
        let ahead = (row.month + 12 - month) % 12;
        let behind = (month + 12 - row.month) % 12;
        (ahead.min(behind), ahead < behind)
    })
}

/// Mean clearness index of a row on a day.
fn mean_kt(row: &MonthRow, h0_wh_m2: f64) -> Result<f64, KtError> {
    match (row.kt, row.sun_hours) {
        (Some(kt), _) => Ok(kt),
        (None, Some(hours)) if hours <= 0.0 => Ok(hours),
        (None, Some(_)) if h0_wh_m2 <= 0.0 => Ok(0.0),
        (None, Some(hours)) => Ok(hours * 1000.0 / h0_wh_m2),
        (None, None) => Err(KtError::NoMonth),
    }
}

fn usual_sd(mean: f64) -> f64 {
    let mean = mean.min(MAX_MEAN_KT);
    HollandsHuget::new(mean, upper_limit(mean)).map_or(0.0, |days| days.sd())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(month: u32, sun_hours: f64) -> MonthRow {
        MonthRow {
            month,
            sun_hours: Some(sun_hours),
            kt: None,
            day_min_c: f64::from(month),
            day_max_c: f64::from(month) + 10.0,
            kt_sd: None,
        }
    }

    fn date(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, month, day).unwrap()
    }

    #[test]
    fn law_values_hold_at_mid_month_and_run_straight_between() {
        let rows = [row(6, 4.0), row(7, 5.0)];
        // By hand: 16 July is 15.5 of 31 days, the very middle. 30 June is 29.5/30 of June: 0.4833
        // of the way.
        let middle = monthly_day(&rows, date(7, 16), 8000.0).unwrap();
        assert!((middle.kt.mean() - 0.625).abs() < 1e-6);
        assert!((middle.min_c - 7.0).abs() < 1e-12 && (middle.max_c - 17.0).abs() < 1e-12);
        let end = monthly_day(&rows, date(6, 30), 8000.0).unwrap();
        assert!((end.min_c - (6.0 + 29.5 / 30.0 - 0.5)).abs() < 1e-12);
        assert!((end.kt.mean() - (4.0 + 29.5 / 30.0 - 0.5) / 8.0).abs() < 1e-6);
    }

    #[test]
    fn law_the_year_wraps_and_missing_months_take_the_nearest() {
        let rows = [row(1, 2.0), row(12, 1.0)];
        let new_year = monthly_day(&rows, date(1, 1), 4000.0).unwrap();
        let share = 0.5 + 0.5 / 31.0;
        assert!((new_year.min_c - (12.0 + (1.0 - 12.0) * share)).abs() < 1e-12);
        let one = [row(3, 2.0)];
        let far = monthly_day(&one, date(9, 20), 4000.0).unwrap();
        assert!((far.min_c - 3.0).abs() < 1e-12 && (far.kt.mean() - 0.5).abs() < 1e-6);
        assert_eq!(nearest(&rows, 2).map(|row| row.month), Some(1));
        assert_eq!(
            nearest(&[row(2, 1.0), row(4, 1.0)], 3).map(|row| row.month),
            Some(2)
        );
    }

    #[test]
    fn law_polar_night_is_dark_and_its_edge_is_held() {
        let night = monthly_day(&[row(12, 0.0)], date(12, 20), 0.0).unwrap();
        assert!(night.kt.mean().abs() < f64::EPSILON);
        let edge = monthly_day(&[row(10, 0.6), row(11, 0.0)], date(11, 2), 250.0).unwrap();
        assert!((edge.kt.mean() - MAX_MEAN_KT).abs() < 1e-6);
    }

    #[test]
    fn law_given_spread_is_taken() {
        let mut rows = [row(6, 4.0), row(7, 4.0)];
        rows[1].kt_sd = Some(0.1);
        let day = monthly_day(&rows, date(7, 16), 8000.0).unwrap();
        assert!((day.kt.sd() - 0.1).abs() < 1e-3);
        let day = monthly_day(&rows, date(6, 15), 8000.0).unwrap();
        assert!((day.kt.sd() - 0.167).abs() < 0.003, "{}", day.kt.sd());
    }

    /// Late October at 65° N: October's hours alone are more than the shorter days can have.
    #[test]
    fn law_more_sun_than_the_sky_has_is_held() {
        let day = monthly_day(&[row(10, 2.2)], date(10, 28), 1900.0).unwrap();
        assert!((day.kt.mean() - MAX_MEAN_KT).abs() < 1e-4);
        let as_given = monthly_mean_kt(&[row(10, 2.2)], date(10, 28), 1900.0).unwrap();
        assert!((as_given - 2.2 / 1.9).abs() < 1e-12);
    }

    #[test]
    fn refuses_an_empty_table() {
        assert_eq!(
            monthly_day(&[], date(7, 16), 8000.0).unwrap_err(),
            KtError::NoMonth
        );
    }
}
