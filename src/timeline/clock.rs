//! Clock times of dates as instants.

use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime};

use crate::scenario::{ClockTime, Zone};

/// The instant of a clock time on a date; a skipped time moves to the change, of a doubled time
/// the first counts. 24:00 is midnight of the next date.
#[must_use]
pub fn clock_utc_s(zone: &Zone, date: NaiveDate, clock: ClockTime) -> i64 {
    zone.first_utc_s(local_time(date, clock))
}

/// Local wall-clock time of a clock time on a date.
#[must_use]
pub fn local_time(date: NaiveDate, clock: ClockTime) -> NaiveDateTime {
    let midnight = date.and_time(NaiveTime::MIN);
    midnight + chrono::TimeDelta::minutes(i64::from(clock.minutes()))
}

pub(crate) fn days_after(date: NaiveDate, days: u32) -> NaiveDate {
    date.checked_add_days(Days::new(u64::from(days)))
        .unwrap_or(date)
}

/// The first instant at or after another at which the clock shows this.
#[must_use]
pub(super) fn first_at_or_after(zone: &Zone, start_s: i64, clock: ClockTime) -> i64 {
    let today = zone.local(start_s).date();
    let on_day = clock_utc_s(zone, today, clock);
    if on_day >= start_s {
        on_day
    } else {
        clock_utc_s(zone, days_after(today, 1), clock)
    }
}
