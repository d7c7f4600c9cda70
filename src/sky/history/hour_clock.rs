//! How the rows of an hourly file tell their hour.
//!
//! One job: the clock fields of a row to the end of its hour in UTC.

use chrono::NaiveDate;

use super::dates::{DATE_ALLOWED, TIME_ALLOWED, date, day_of, midnight_s, reading};
use super::error::{HistoryError, HistoryFault};
use super::field::Field;
use super::hour_record::{HOUR_S, HourRecord};
use super::rows::Rows;

/// Nominal year of a typical year without and with a 29 February.
pub(super) const NOMINAL_YEARS: (i32, i32) = (2001, 2000);
/// A day of the month that there is not.
const DAY_ALLOWED: &str = "a day that the month has";

/// What tells the hour.
pub(super) enum Clock<'a> {
    /// Date and time in one field, of the beginning or the end of the hour.
    Stamp { stamp: Field<'a>, is_end: bool },
    /// A date, and an hour from 1 to 24 that ends there.
    DateHour { date: Field<'a>, hour: Field<'a> },
    /// A date as month/day/year, and the end of the hour from 00:00 to 24:00.
    SlashedDateTime { date: Field<'a>, time: Field<'a> },
    /// Year, month, day and hour from 1 to 24 as numbers; without a year those of a typical year.
    Numbers {
        year: Option<Field<'a>>,
        month: Field<'a>,
        day: Field<'a>,
        hour: Field<'a>,
    },
}

impl Clock<'_> {
    /// Whether the rows are those of a year that bears no number.
    pub(super) fn is_yearless(&self) -> bool {
        matches!(self, Self::Numbers { year: None, .. })
    }

    /// End of the current row's hour, UTC seconds. `stated_s`: how far the file's clock is ahead of UTC where its
    /// rows do not say; `before`: the rows read so far, which move if a yearless file turns out to be of a leap year.
    ///
    /// # Errors
    /// What is no such time, or has no zone.
    pub(super) fn end_utc_s(
        &self,
        rows: &Rows<'_>,
        stated_s: Option<i64>,
        nominal: &mut NominalYear,
        before: &mut [HourRecord],
    ) -> Result<i64, HistoryError> {
        let offset = |field: &Field<'_>| {
            let found = || rows.shown(field.index);
            stated_s.ok_or_else(|| HistoryFault::NoOffset { found: found() }.at(rows.line()))
        };
        let (day, hour, offset_s) = match self {
            Self::Stamp { stamp, is_end } => {
                let read = reading(rows.field(stamp.index))
                    .ok_or_else(|| stamp.bad_date(rows, TIME_ALLOWED))?;
                let offset_s = read.offset_s.map_or_else(|| offset(stamp), Ok)?;
                return Ok(read.wall_s - offset_s + if *is_end { 0 } else { HOUR_S });
            }
            Self::DateHour { date: field, hour } => {
                let day = date(rows.field(field.index))
                    .ok_or_else(|| field.bad_date(rows, DATE_ALLOWED))?;
                let offset_s = offset(field)?;
                (day, hour.whole(rows)?, offset_s)
            }
            Self::SlashedDateTime { date, time } => {
                let (day, hour) = slashed(rows, date, time)?;
                (day, hour, offset(date)?)
            }
            Self::Numbers {
                year,
                month,
                day,
                hour,
            } => {
                let offset_s = offset(hour)?;
                let year = year.as_ref().map(|year| year.whole(rows)).transpose()?;
                let (m, d) = (month.whole(rows)?, day.whole(rows)?);
                let year = year.unwrap_or_else(|| nominal.with((m, d), before));
                let date = day_of(year, m.unsigned_abs(), d.unsigned_abs())
                    .ok_or_else(|| day.bad_date(rows, DAY_ALLOWED))?;
                (date, hour.whole(rows)?, offset_s)
            }
        };
        Ok(midnight_s(day) + i64::from(hour) * HOUR_S - offset_s)
    }
}

/// The year that a typical year stands in: one without a 29 February until one comes.
pub(super) struct NominalYear(i32);

impl NominalYear {
    pub(super) fn new() -> Self {
        Self(NOMINAL_YEARS.0)
    }

    fn with(&mut self, month_day: (i32, i32), before: &mut [HourRecord]) -> i32 {
        if month_day == (2, 29) && self.0 == NOMINAL_YEARS.0 {
            self.0 = NOMINAL_YEARS.1;
            // What was read of the year so far moves from 2001 to 2000: 366 days.
            for record in before {
                record.end_utc_s -= 366 * 24 * HOUR_S;
            }
        }
        self.0
    }
}

fn slashed(
    rows: &Rows<'_>,
    date: &Field<'_>,
    time: &Field<'_>,
) -> Result<(NaiveDate, i32), HistoryError> {
    let day = numbers(rows.field(date.index), b'/')
        .and_then(|[month, day, year]| day_of(i32::try_from(year).ok()?, month, day))
        .ok_or_else(|| date.bad_date(rows, "a date as month/day/year, such as `07/05/1998`"))?;
    let hour = numbers(&[rows.field(time.index), b":0"].concat(), b':')
        .filter(|&[hour, minute, _]| hour <= 24 && minute == 0)
        .and_then(|[hour, ..]| i32::try_from(hour).ok())
        .ok_or_else(|| time.bad_date(rows, "a whole hour from `00:00` to `24:00`"))?;
    Ok((day, hour))
}

/// Three numbers with a sign between them.
fn numbers(field: &[u8], between: u8) -> Option<[u32; 3]> {
    let mut parts = field.split(|&byte| byte == between).map(|part| {
        std::str::from_utf8(part)
            .ok()
            .filter(|text| text.bytes().all(|b| b.is_ascii_digit()))?
            .parse()
            .ok()
    });
    let found = [parts.next()??, parts.next()??, parts.next()??];
    parts.next().is_none().then_some(found)
}
