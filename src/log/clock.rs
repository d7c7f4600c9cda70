//! The time of a row.
//!
//! One job: RFC 3339, local time in the scenario's zone, or seconds, to UTC seconds. A log has
//! millions of rows, so the digits are read by place, and the zone's offset is asked once an hour.

use chrono::{NaiveDate, NaiveDateTime, TimeDelta};

use super::error::LogFault;
use crate::scenario::{LocalInstant, Zone};

/// Seconds from here on are those since 1970, else since the start of the trip.
const SINCE_1970_S: f64 = 1e8;

/// Reads times, row by row.
pub(super) struct Clock<'a> {
    zone: &'a Zone,
    start_s: i64,
    /// Local hour, and the offset that holds in all of it.
    hour: Option<(i64, i64)>,
    last_s: i64,
}

/// A time as it was read: the wall clock, and what follows it.
struct Wall<'t> {
    at: NaiveDateTime,
    rest: &'t str,
}

fn number(digits: &[u8]) -> Option<u32> {
    digits.iter().try_fold(0, |sum: u32, digit| {
        digit
            .is_ascii_digit()
            .then(|| sum * 10 + u32::from(digit - b'0'))
    })
}

/// `2027-07-03`, `2027/07/03` or `03.07.2027`.
fn date(text: &[u8]) -> Option<NaiveDate> {
    let (year, month, day) = match (text.get(4)?, text.get(7)?, text.get(2)?, text.get(5)?) {
        (b'-', b'-', _, _) | (b'/', b'/', _, _) => (&text[..4], &text[5..7], &text[8..10]),
        (_, _, b'.', b'.') => (&text[6..10], &text[3..5], &text[..2]),
        _ => return None,
    };
    let year = i32::try_from(number(year)?).ok()?;
    NaiveDate::from_ymd_opt(year, number(month)?, number(day)?)
}

/// A date of ten characters, a space or `T`, hours and minutes, maybe seconds and their fraction.
fn wall(text: &str) -> Option<Wall<'_>> {
    let bytes = text.as_bytes();
    let date = date(bytes.get(..10)?)?;
    if !matches!(bytes.get(10)?, b'T' | b' ' | b't') || bytes.get(13)? != &b':' {
        return None;
    }
    let hour = number(bytes.get(11..13)?)?;
    let minute = number(bytes.get(14..16)?)?;
    let mut end = 16;
    let mut second = 0;
    if bytes.get(16) == Some(&b':') {
        second = number(bytes.get(17..19)?)?;
        end = 19;
        if matches!(bytes.get(19), Some(b'.' | b',')) {
            let digits = bytes[20..]
                .iter()
                .take_while(|b| b.is_ascii_digit())
                .count();
            end = 20 + digits;
        }
    }
    let at = if (hour, minute, second) == (24, 0, 0) {
        date.and_hms_opt(0, 0, 0)? + TimeDelta::days(1)
    } else {
        date.and_hms_opt(hour, minute, second.min(59))?
    };
    Some(Wall {
        at,
        rest: text.get(end..)?.trim(),
    })
}

/// Seconds east of UTC: `Z`, `+02:00`, `+0200`, `+02`.
fn offset_s(text: &str) -> Option<i64> {
    if text.eq_ignore_ascii_case("z") || text.eq_ignore_ascii_case("utc") {
        return Some(0);
    }
    let (sign, digits) = match text.as_bytes().first()? {
        b'+' => (1, &text[1..]),
        b'-' => (-1, &text[1..]),
        _ => return None,
    };
    let digits = digits.replace(':', "");
    let (hours, minutes) = match digits.len() {
        2 => (number(digits.as_bytes())?, 0),
        4 => (
            number(&digits.as_bytes()[..2])?,
            number(&digits.as_bytes()[2..])?,
        ),
        _ => return None,
    };
    (hours <= 18 && minutes < 60).then(|| sign * i64::from(hours * 3600 + minutes * 60))
}

impl<'a> Clock<'a> {
    pub(super) fn new(zone: &'a Zone, start_s: i64) -> Self {
        Self {
            zone,
            start_s,
            hour: None,
            last_s: i64::MIN,
        }
    }

    /// UTC seconds of a row's time.
    pub(super) fn read(&mut self, text: &str) -> Result<i64, LogFault> {
        let text = text.trim();
        let bad = || LogFault::BadTime {
            found: text.chars().take(40).collect(),
        };
        let utc_s = match wall(text) {
            Some(wall) if wall.rest.is_empty() => self.local(text, wall.at)?,
            Some(wall) => {
                let east_s = offset_s(wall.rest).ok_or_else(bad)?;
                wall.at.and_utc().timestamp() - east_s
            }
            None => {
                let seconds: f64 = text.parse().map_err(|_| bad())?;
                if !(seconds.is_finite() && seconds.abs() < 1e11) {
                    return Err(bad());
                }
                #[expect(clippy::cast_possible_truncation, reason = "checked above")]
                let whole = seconds.floor() as i64;
                if seconds < SINCE_1970_S {
                    self.start_s + whole
                } else {
                    whole
                }
            }
        };
        self.last_s = utc_s;
        Ok(utc_s)
    }

    fn local(&mut self, text: &str, at: NaiveDateTime) -> Result<i64, LogFault> {
        let wall_s = at.and_utc().timestamp();
        let hour = wall_s.div_euclid(3600);
        if let Some((_, east_s)) = self.hour.filter(|known| known.0 == hour) {
            return Ok(wall_s - east_s);
        }
        match self.zone.resolve(at) {
            LocalInstant::Once(utc_s) => {
                let ends = [hour * 3600, hour * 3600 + 3599].map(|end_s| {
                    let end = at + TimeDelta::seconds(end_s - wall_s);
                    self.zone.resolve(end) == LocalInstant::Once(utc_s + end_s - wall_s)
                });
                self.hour = (ends == [true, true]).then_some((hour, wall_s - utc_s));
                Ok(utc_s)
            }
            // Of an hour that comes twice a row after its second half belongs to the second.
            LocalInstant::Twice { first_s, second_s } => Ok(if first_s < self.last_s {
                second_s
            } else {
                first_s
            }),
            LocalInstant::Skipped { .. } => Err(LogFault::Skipped {
                found: text.to_owned(),
                zone: self.zone.name().to_owned(),
            }),
        }
    }
}

/// The instant of a single time: RFC 3339 or local; `None`: it is none.
#[must_use]
pub fn instant_s(text: &str, zone: &Zone) -> Option<i64> {
    wall(text.trim())?;
    Clock::new(zone, 0).read(text).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: half past seven in Botswana, UTC+2, is half past five UTC.
    #[test]
    fn by_hand_every_way_to_write_a_time_is_one_instant() {
        let zone = Zone::find("Africa/Gaborone").unwrap();
        let start_s = 1_814_592_600;
        let mut clock = Clock::new(&zone, start_s);
        for text in [
            "2027-07-03T07:30:00+02:00",
            "2027-07-03T05:30:00Z",
            "2027-07-03 07:30",
            "2027-07-03T07:30:00.25",
            "03.07.2027 07:30:00",
            "2027/07/03 07:30",
            "1814592600",
            "0",
        ] {
            assert_eq!(clock.read(text), Ok(start_s), "{text}");
        }
        for text in [
            "",
            "noon",
            "2027-13-03 07:30",
            "07:30",
            "NaN",
            "1e300",
            "2027-07-03",
        ] {
            assert!(
                matches!(clock.read(text), Err(LogFault::BadTime { .. })),
                "{text}"
            );
        }
    }

    /// By hand: on 31 October 2027 Berlin's clocks go back at 03:00 summer time, 01:00 UTC.
    #[test]
    fn by_hand_the_hour_that_comes_twice_goes_on() {
        let zone = Zone::find("Europe/Berlin").unwrap();
        let mut clock = Clock::new(&zone, 0);
        let times: Vec<i64> = ["02:00", "02:30", "02:00", "02:30", "03:00"]
            .map(|at| clock.read(&format!("2027-10-31 {at}")).unwrap())
            .to_vec();
        let steps: Vec<i64> = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert_eq!(steps, [1800, 1800, 1800, 1800]);
        let skipped = clock.read("2027-03-28 02:30").unwrap_err();
        assert!(matches!(skipped, LogFault::Skipped { .. }));
    }
}
