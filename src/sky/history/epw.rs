//! EPW files: the open format of weather for building simulation.
//!
//! One job: head and rows to hours. Field numbers, ranges and marks for "missing" are those of the
//! format's published data dictionary (US Department of Energy, *Auxiliary Programs* manual, "EPW Data
//! Dictionary"; from memory): eight head lines, then year, month, day, hour 1 to 24, minute, flags, dry bulb …; irradiation in Wh/m² of the hour that ends there, local
//! standard time.

use super::dates::{day_of, midnight_s};
use super::error::HistoryError;
use super::hour_record::{
    HEIGHT_RANGE_M, HOUR_S, HourRecord, Hours, check_order, settle_typical, short, short_line,
};
use super::rows::{Quotes, Rows, SUN_RANGE};

const FORMAT: &str = "EPW";
const AIR: (usize, &str) = (6, "dry bulb temperature");
const GLOBAL: (usize, &str) = (13, "global horizontal radiation");
const DIRECT: (usize, &str) = (14, "direct normal radiation");
const DIFFUSE: (usize, &str) = (15, "diffuse horizontal radiation");
/// "Missing" of the dry bulb.
const NO_AIR_C: f64 = 99.9;
/// "Missing" of radiation.
const NO_SUN: f64 = 9999.0;
const AIR_RANGE_C: (f64, f64) = (-90.0, 70.0);

/// Whether a file looks like one.
pub(super) fn is_epw(bytes: &[u8]) -> bool {
    bytes
        .get(..9)
        .is_some_and(|begin| begin.eq_ignore_ascii_case(b"LOCATION,"))
}

/// Reads a whole file.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(bytes: &[u8]) -> Result<Hours, HistoryError> {
    let mut rows = Rows::new(bytes, Quotes::Plain);
    let head = |line, wanted| HistoryError::BadHead {
        line,
        format: FORMAT,
        wanted,
    };
    if !is_epw(bytes) || !rows.advance()? {
        return Err(head(1, "a first line that begins with `LOCATION`"));
    }
    let place = |index, range| {
        rows.number(index, "LOCATION")
            .ok()
            .flatten()
            .filter(|number| within(*number, range))
    };
    let (Some(lat_deg), Some(lon_deg), Some(zone_h)) =
        (place(6, 90.0), place(7, 180.0), place(8, 14.0))
    else {
        return Err(head(
            1,
            "latitude, longitude and time zone as fields 7, 8 and 9",
        ));
    };
    let (lowest_m, highest_m) = HEIGHT_RANGE_M;
    let height_m = place(9, 1e9).filter(|height_m| (lowest_m..=highest_m).contains(height_m));
    #[expect(clippy::cast_possible_truncation, reason = "at most 14 hours")]
    let offset_s = (zone_h * 3600.0).round() as i64;
    loop {
        if !rows.advance()? {
            return Err(head(8, "a line that begins with `DATA PERIODS`"));
        }
        if rows.field(0).eq_ignore_ascii_case(b"DATA PERIODS") {
            break;
        }
    }
    if rows.field(2) != b"1" {
        return Err(head(rows.line(), "1 record an hour"));
    }
    let mut records = Vec::new();
    while rows.advance()? {
        records.push(record(&rows, offset_s)?);
    }
    let is_typical = settle_typical(&mut records, offset_s);
    check_order(&records, offset_s)?;
    Ok(Hours {
        records,
        lat_deg,
        lon_deg,
        height_m,
        is_placed: true,
        is_typical,
        global_name: GLOBAL.1.to_owned(),
    })
}

fn within(number: f64, most: f64) -> bool {
    number.abs() <= most
}

fn record(rows: &Rows<'_>, offset_s: i64) -> Result<HourRecord, HistoryError> {
    let part = |index: usize, name: &str, range: (f64, f64)| {
        let number = rows.ranged(index, name, range, |_| false)?;
        let number = number.filter(|number| number.fract().abs() <= 0.0);
        #[expect(clippy::cast_possible_truncation, reason = "the ranges are small")]
        number
            .map(|number| number as i32)
            .ok_or_else(|| HistoryError::BadNumber {
                line: rows.line(),
                column: name.to_owned(),
                found: rows.shown(index),
            })
    };
    let year = part(0, "year", (1900.0, 2200.0))?;
    let month = part(1, "month", (1.0, 12.0))?;
    let day = part(2, "day", (1.0, 31.0))?;
    let hour = part(3, "hour", (1.0, 24.0))?;
    let date = day_of(year, month.unsigned_abs(), day.unsigned_abs()).ok_or_else(|| {
        HistoryError::BadDate {
            line: rows.line(),
            column: "day".to_owned(),
            found: rows.shown(2),
            allowed: "a day that the month has",
        }
    })?;
    let sun = |(index, name): (usize, &str)| {
        rows.ranged(index, name, SUN_RANGE, |number| number >= NO_SUN)
            .map(short)
    };
    Ok(HourRecord {
        end_utc_s: midnight_s(date) + i64::from(hour) * HOUR_S - offset_s,
        line: short_line(rows.line()),
        global_wh_m2: sun(GLOBAL)?,
        direct_wh_m2: sun(DIRECT)?,
        diffuse_wh_m2: sun(DIFFUSE)?,
        air_c: short(rows.ranged(AIR.0, AIR.1, AIR_RANGE_C, |number| number >= NO_AIR_C)?),
    })
}
