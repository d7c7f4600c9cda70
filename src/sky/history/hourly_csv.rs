//! Hourly values in a comma-separated file.
//!
//! One job: rows to hours. The time is a timestamp with its zone (or the file's stated offset), a
//! `date` with `hour_ending` from 1 to 24, or `month`, `day`, `hour_ending` of a typical year.

use super::columns::{Column, Columns, Quantity, Unit};
use super::dates::{DATE_ALLOWED, TIME_ALLOWED, date, day_of, midnight_s, reading};
use super::error::HistoryError;
use super::hour_record::{HOUR_S, HourRecord, Hours, check_order, short, short_line};
use super::read::ReadOptions;
use super::rows::{AIR_RANGE_C, Rows, SUN_RANGE};

/// Nominal year of a typical year without and with a 29 February.
const NOMINAL_YEARS: (i32, i32) = (2001, 2000);

/// How the rows say their hour.
enum Clock<'a> {
    Stamp {
        column: &'a Column,
        is_end: bool,
    },
    DateHour {
        date: &'a Column,
        hour: &'a Column,
    },
    Typical {
        month: &'a Column,
        day: &'a Column,
        hour: &'a Column,
    },
}

/// Reads the rows after the header.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(
    rows: &mut Rows<'_>,
    columns: &Columns,
    options: &ReadOptions,
) -> Result<Hours, HistoryError> {
    let clock = Clock::find(columns)?;
    let stated_s = if clock.is_utc() {
        Some(0)
    } else {
        options.utc_offset_s()?
    };
    let global = columns.need(Quantity::Global)?;
    let air = columns.need(Quantity::Air)?;
    let (direct, diffuse) = (
        columns.get(Quantity::Direct),
        columns.get(Quantity::Diffuse),
    );
    let mut records: Vec<HourRecord> = Vec::new();
    let mut year = NOMINAL_YEARS.0;
    while rows.advance()? {
        let end_utc_s = clock.end_utc_s(rows, stated_s, &mut year, &mut records)?;
        let sun = |column: Option<&Column>| match column {
            Some(column) => rows
                .ranged(column.index, &column.header, SUN_RANGE, |_| false)
                .map(|number| short(number.map(|number| number * factor(column.unit)))),
            None => Ok(f32::NAN),
        };
        records.push(HourRecord {
            end_utc_s,
            line: short_line(rows.line()),
            global_wh_m2: sun(Some(global))?,
            direct_wh_m2: sun(direct)?,
            diffuse_wh_m2: sun(diffuse)?,
            air_c: short(rows.ranged(air.index, &air.header, AIR_RANGE_C, |_| false)?),
        });
    }
    check_order(&records, stated_s.unwrap_or(0))?;
    Ok(Hours {
        records,
        lat_deg: options.lat_deg,
        lon_deg: options.lon_deg,
        height_m: None,
        is_placed: false,
        is_typical: matches!(clock, Clock::Typical { .. }),
        global_name: global.header.clone(),
    })
}

fn factor(unit: Unit) -> f64 {
    match unit {
        Unit::Plain | Unit::Mean => 1.0,
        Unit::Sum(factor) => factor,
    }
}

impl<'a> Clock<'a> {
    fn find(columns: &'a Columns) -> Result<Self, HistoryError> {
        if let Some(column) = columns.get(Quantity::HourStart) {
            return Ok(Self::Stamp {
                column,
                is_end: false,
            });
        }
        if let Some(column) = columns.get(Quantity::HourEnd) {
            return Ok(Self::Stamp {
                column,
                is_end: true,
            });
        }
        let hour = columns.need(Quantity::HourEnding)?;
        if let Some(date) = columns.get(Quantity::Date) {
            return Ok(Self::DateHour { date, hour });
        }
        Ok(Self::Typical {
            month: columns.need(Quantity::Month)?,
            day: columns.need(Quantity::Day)?,
            hour,
        })
    }

    fn is_utc(&self) -> bool {
        match self {
            Self::Stamp { column, .. } => column.is_utc,
            Self::DateHour { hour, .. } | Self::Typical { hour, .. } => hour.is_utc,
        }
    }

    fn end_utc_s(
        &self,
        rows: &Rows<'_>,
        stated_s: Option<i64>,
        year: &mut i32,
        records: &mut [HourRecord],
    ) -> Result<i64, HistoryError> {
        match self {
            Self::Stamp { column, is_end } => {
                let read = reading(rows.field(column.index))
                    .ok_or_else(|| bad_date(rows, column, TIME_ALLOWED))?;
                let offset_s =
                    read.offset_s
                        .or(stated_s)
                        .ok_or_else(|| HistoryError::NoOffset {
                            line: rows.line(),
                            found: rows.shown(column.index),
                        })?;
                Ok(read.wall_s - offset_s + if *is_end { 0 } else { HOUR_S })
            }
            Self::DateHour { date: column, hour } => {
                let day = date(rows.field(column.index))
                    .ok_or_else(|| bad_date(rows, column, DATE_ALLOWED))?;
                let offset_s = need_offset(rows, column, stated_s)?;
                Ok(midnight_s(day) + whole(rows, hour, 1, 24)? * HOUR_S - offset_s)
            }
            Self::Typical { month, day, hour } => {
                let offset_s = need_offset(rows, hour, stated_s)?;
                let (m, d) = (whole(rows, month, 1, 12)?, whole(rows, day, 1, 31)?);
                if (m, d) == (2, 29) && *year == NOMINAL_YEARS.0 {
                    *year = NOMINAL_YEARS.1;
                    // What was read of the year so far moves from 2001 to 2000: 366 days.
                    for record in records {
                        record.end_utc_s -= 366 * 24 * HOUR_S;
                    }
                }
                let (m, d) = (u32::try_from(m).unwrap_or(0), u32::try_from(d).unwrap_or(0));
                let date = day_of(*year, m, d)
                    .ok_or_else(|| bad_date(rows, day, "a day that the month has"))?;
                Ok(midnight_s(date) + whole(rows, hour, 1, 24)? * HOUR_S - offset_s)
            }
        }
    }
}

fn bad_date(rows: &Rows<'_>, column: &Column, allowed: &'static str) -> HistoryError {
    HistoryError::BadDate {
        line: rows.line(),
        column: column.header.clone(),
        found: rows.shown(column.index),
        allowed,
    }
}

fn need_offset(
    rows: &Rows<'_>,
    column: &Column,
    stated_s: Option<i64>,
) -> Result<i64, HistoryError> {
    stated_s.ok_or_else(|| HistoryError::NoOffset {
        line: rows.line(),
        found: rows.shown(column.index),
    })
}

/// A whole number in a range.
fn whole(rows: &Rows<'_>, column: &Column, low: i32, high: i32) -> Result<i64, HistoryError> {
    let bad = || HistoryError::BadNumber {
        line: rows.line(),
        column: column.header.clone(),
        found: rows.shown(column.index),
    };
    let range = (f64::from(low), f64::from(high));
    let number = rows
        .ranged(column.index, &column.header, range, |_| false)?
        .ok_or_else(bad)?;
    #[expect(clippy::cast_possible_truncation, reason = "at most 31")]
    let whole = number as i64;
    if number.fract().abs() > 0.0 {
        Err(bad())
    } else {
        Ok(whole)
    }
}
