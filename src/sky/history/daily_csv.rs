//! Daily values in a comma-separated file.
//!
//! One job: rows of `date`, irradiation, minimum and maximum temperature to days.

use chrono::NaiveDate;

use super::columns::{Columns, Quantity, Unit};
use super::dates::{DATE_ALLOWED, date};
use super::day_light::{DayLight, check_sun, most_wh_m2};
use super::error::{HistoryError, HistoryFault};
use super::field::Field;
use super::read::ReadOptions;
use super::rows::{AIR_RANGE_C, Rows, SUN_RANGE};
use super::series::{RawDay, SUNLESS_WH_M2};

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
        let when = Field::text(when.index, &when.header);
        let date = date(rows.field(when.index)).ok_or_else(|| when.bad_date(rows, DATE_ALLOWED))?;
        match last {
            Some(last) if last == date => {
                let found = date.to_string();
                return Err(HistoryFault::Twice { found }.at(line));
            }
            Some(last) if last > date => {
                let (found, before) = (date.to_string(), last.to_string());
                return Err(HistoryFault::NotAscending { found, before }.at(line));
            }
            _ => last = Some(date),
        }
        let global_raw = rows.ranged(global.index, &global.header, SUN_RANGE, |_| false)?;
        let min_c = rows.ranged(low.index, &low.header, AIR_RANGE_C, |_| false)?;
        let max_c = rows.ranged(high.index, &high.header, AIR_RANGE_C, |_| false)?;
        if let Some(raw) = global_raw {
            // The file's day may be a UTC day, half a day off: its neighbours' sun counts too.
            let near = [date.pred_opt(), Some(date), date.succ_opt()];
            let near_wh_m2 = near.into_iter().flatten();
            let near_wh_m2 = near_wh_m2.map(|date| day_wh_m2(date, options.lat_deg));
            let limit_wh_m2 = most_wh_m2(near_wh_m2, TWILIGHT_WH_M2);
            let sun_wh_m2 = (raw * factor, limit_wh_m2);
            check_sun(sun_wh_m2, &global.header, "on that day", line)?;
        }
        let (Some(raw), Some(min_c), Some(max_c)) = (global_raw, min_c, max_c) else {
            continue;
        };
        if min_c > max_c {
            return Err(HistoryFault::MinAboveMax { min_c, max_c }.at(line));
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
