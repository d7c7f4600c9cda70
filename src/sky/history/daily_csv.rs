//! Daily values in a comma-separated file.
//!
//! One job: rows of `date`, irradiation, minimum and maximum temperature to days.

use chrono::NaiveDate;

use super::columns::{Columns, Quantity, Unit};
use super::dates::{DATE_ALLOWED, date};
use super::day_light::DayLight;
use super::error::HistoryError;
use super::read::ReadOptions;
use super::rows::{AIR_RANGE_C, Rows, SUN_RANGE};
use super::series::{RawDay, SUNLESS_WH_M2};

/// Above the extraterrestrial sun by this factor is a fault.
pub(super) const MOST_CLEARNESS: f64 = 1.1;
/// Light of twilight and rounding, Wh/m² a day.
const TWILIGHT_WH_M2: f64 = 50.0;

/// Reads the rows after the header; days without a value are left out.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(
    rows: &mut Rows<'_>,
    columns: &Columns,
    options: &ReadOptions,
) -> Result<Vec<RawDay>, HistoryError> {
    let when = columns.need(Quantity::Date)?;
    let global = columns.need(Quantity::Global)?;
    let (low, high) = (
        columns.need(Quantity::AirMin)?,
        columns.need(Quantity::AirMax)?,
    );
    let factor = match global.unit {
        Unit::Sum(factor) => factor,
        Unit::Mean => 24.0,
        Unit::Plain => 1.0,
    };
    let mut days: Vec<RawDay> = Vec::new();
    let mut last: Option<NaiveDate> = None;
    while rows.advance()? {
        let line = rows.line();
        let date = date(rows.field(when.index)).ok_or_else(|| HistoryError::BadDate {
            line,
            column: when.header.clone(),
            found: rows.shown(when.index),
            allowed: DATE_ALLOWED,
        })?;
        match last {
            Some(last) if last == date => {
                return Err(HistoryError::Twice {
                    line,
                    found: date.to_string(),
                });
            }
            Some(last) if last > date => {
                return Err(HistoryError::NotAscending {
                    line,
                    found: date.to_string(),
                    before: last.to_string(),
                });
            }
            _ => last = Some(date),
        }
        let global_raw = rows.ranged(global.index, &global.header, SUN_RANGE, |_| false)?;
        let min_c = rows.ranged(low.index, &low.header, AIR_RANGE_C, |_| false)?;
        let max_c = rows.ranged(high.index, &high.header, AIR_RANGE_C, |_| false)?;
        if let Some(raw) = global_raw {
            check_sun(line, &global.header, raw * factor, date, options.lat_deg)?;
        }
        let (Some(raw), Some(min_c), Some(max_c)) = (global_raw, min_c, max_c) else {
            continue;
        };
        if min_c > max_c {
            return Err(HistoryError::MinAboveMax { line, min_c, max_c });
        }
        let outside_wh_m2 = day_wh_m2(date, options.lat_deg);
        let kt = (raw * factor / outside_wh_m2).min(1.0);
        let kt = (outside_wh_m2 >= SUNLESS_WH_M2).then_some(kt);
        days.push(RawDay {
            date,
            kt,
            min_c,
            max_c,
            hours: None,
        });
    }
    Ok(days)
}

fn day_wh_m2(date: NaiveDate, lat_deg: f64) -> f64 {
    DayLight::sun_of(date).horizontal_day_wh_m2(lat_deg)
}

/// The file's day may be a UTC day, half a day off: its neighbours' sun counts too.
fn check_sun(
    line: u64,
    column: &str,
    found_wh_m2: f64,
    date: NaiveDate,
    lat_deg: f64,
) -> Result<(), HistoryError> {
    let most_wh_m2 = [date.pred_opt(), Some(date), date.succ_opt()]
        .into_iter()
        .flatten()
        .map(|date| day_wh_m2(date, lat_deg))
        .fold(0.0, f64::max);
    let limit_wh_m2 = MOST_CLEARNESS * most_wh_m2 + TWILIGHT_WH_M2;
    if found_wh_m2 <= limit_wh_m2 {
        return Ok(());
    }
    Err(HistoryError::TooMuchSun {
        line,
        column: column.to_owned(),
        found_wh_m2,
        limit_wh_m2,
        span: "on that day",
    })
}
