//! Dates and times in weather files.
//!
//! One job: fields to dates and UTC seconds. Years 1900 to 2200 are taken, the range of the sun's
//! formulas.

use chrono::{Datelike, NaiveDate};

/// What a date may look like, for refusals.
pub(super) const DATE_ALLOWED: &str = "a date such as `2014-07-05`, in the years 1900 to 2200";
/// What a time may look like, for refusals.
pub(super) const TIME_ALLOWED: &str =
    "a time such as `2014-07-05T18:00+02:00`, in the years 1900 to 2200";

/// A clock reading and its zone, if it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Reading {
    /// Seconds since 1970 as if the clock were UTC's.
    pub(super) wall_s: i64,
    /// Seconds east of UTC.
    pub(super) offset_s: Option<i64>,
}

/// A date, `YYYY-MM-DD`.
pub(super) fn date(field: &[u8]) -> Option<NaiveDate> {
    let [y0, y1, y2, y3, b'-', m0, m1, b'-', d0, d1] = *field else {
        return None;
    };
    let year = digits(&[y0, y1, y2, y3])?;
    day_of(
        i32::try_from(year).ok()?,
        digits(&[m0, m1])?,
        digits(&[d0, d1])?,
    )
}

/// A date by its numbers, in the years taken.
pub(super) fn day_of(year: i32, month: u32, day: u32) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(year, month, day).filter(|date| (1900..=2200).contains(&date.year()))
}

/// Seconds from 1970 to the beginning of a date.
pub(super) fn midnight_s(date: NaiveDate) -> i64 {
    /// chrono's day number of 1 January 1970.
    const UNIX_DAY: i32 = 719_163;
    i64::from(date.num_days_from_ce() - UNIX_DAY) * 86_400
}

/// The date at a number of seconds since 1970.
pub(super) fn date_at(wall_s: i64) -> NaiveDate {
    chrono::DateTime::from_timestamp(wall_s, 0)
        .unwrap_or(chrono::DateTime::UNIX_EPOCH)
        .date_naive()
}

/// A clock reading as refusals show it.
pub(super) fn clock_text(wall_s: i64) -> String {
    let time = chrono::DateTime::from_timestamp(wall_s, 0).unwrap_or(chrono::DateTime::UNIX_EPOCH);
    time.format("%Y-%m-%d %H:%M").to_string()
}

/// A time, RFC 3339 with a blank for the `T` allowed, seconds and zone optional.
pub(super) fn reading(field: &[u8]) -> Option<Reading> {
    let date = date(field.get(..10)?)?;
    let (&between, rest) = field.get(10..)?.split_first()?;
    let (clock, rest) = rest.split_at_checked(5)?;
    let [h0, h1, b':', m0, m1] = *clock else {
        return None;
    };
    let (hour, minute) = (digits(&[h0, h1])?, digits(&[m0, m1])?);
    let (second, zone) = match *rest {
        [b':', s0, s1, ref zone @ ..] => (digits(&[s0, s1])?, zone),
        _ => (0, rest),
    };
    let is_clock = matches!(between, b'T' | b't' | b' ')
        && minute < 60
        && second < 60
        && (hour < 24 || (hour == 24 && minute == 0 && second == 0));
    let offset_s = zone_s(zone.trim_ascii())?;
    is_clock.then(|| Reading {
        wall_s: midnight_s(date) + i64::from(hour * 3600 + minute * 60 + second),
        offset_s,
    })
}

/// `Z`, `+02:00`, `+0200`, `+02`, or nothing.
#[expect(clippy::option_option, reason = "outer: not a zone; inner: no zone")]
fn zone_s(zone: &[u8]) -> Option<Option<i64>> {
    let (sign, hours, minutes) = match *zone {
        [] => return Some(None),
        [b'Z' | b'z'] => return Some(Some(0)),
        [sign, h0, h1] => (sign, digits(&[h0, h1])?, 0),
        [sign, h0, h1, m0, m1] | [sign, h0, h1, b':', m0, m1] => {
            (sign, digits(&[h0, h1])?, digits(&[m0, m1])?)
        }
        _ => return None,
    };
    let seconds = i64::from(hours * 3600 + minutes * 60);
    match sign {
        _ if minutes > 59 || hours > 14 => None,
        b'+' => Some(Some(seconds)),
        b'-' => Some(Some(-seconds)),
        _ => None,
    }
}

fn digits(bytes: &[u8]) -> Option<u32> {
    bytes.iter().try_fold(0, |number, byte| {
        byte.is_ascii_digit()
            .then(|| number * 10 + u32::from(byte - b'0'))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_with_and_without_zone() {
        let noon_s = midnight_s(NaiveDate::from_ymd_opt(2014, 7, 5).expect("a date")) + 43_200;
        for (text, offset_s) in [
            ("2014-07-05T12:00", None),
            ("2014-07-05 12:00:00", None),
            ("2014-07-05T12:00Z", Some(0)),
            ("2014-07-05T12:00:00+02:00", Some(7200)),
            ("2014-07-05 12:00 -0930", Some(-34_200)),
        ] {
            assert_eq!(
                reading(text.as_bytes()),
                Some(Reading {
                    wall_s: noon_s,
                    offset_s
                }),
                "{text}"
            );
        }
        let midnight = reading(b"2014-07-04T24:00").expect("the end of the day");
        assert_eq!(midnight.wall_s, noon_s - 43_200);
    }

    #[test]
    fn refuses_what_is_no_time() {
        for text in [
            "",
            "2014-07-05",
            "2014-07-05T",
            "2014-07-05T25:00",
            "2014-07-05T12:60",
            "2014-02-30T12:00",
            "2014-07-05T12:00+2",
            "2014-07-05T12:00+99:00",
            "1066-10-14T09:00",
            "2014-07-05x12:00",
            "05.07.2014 12:00",
        ] {
            assert_eq!(reading(text.as_bytes()), None, "{text}");
        }
    }
}
