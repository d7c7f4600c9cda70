//! Times, dates and windows as the file writes them.

use chrono::{Datelike, NaiveDate, NaiveDateTime};

use crate::scenario::{ClockTime, WindowEnd};

/// Longest offset from sunrise or sunset, minutes.
const OFFSET_LIMIT_MIN: i32 = 12 * 60;

/// Reads `HH:MM`, `00:00` to `24:00`; one digit of hours is accepted.
pub(super) fn clock_time(text: &str) -> Option<ClockTime> {
    ClockTime::new(u16::try_from(minutes(text)?).ok()?)
}

/// Minutes of `H:MM` or `HH:MM`.
fn minutes(text: &str) -> Option<i32> {
    let (hours, minutes) = text.split_once(':')?;
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let shaped = (1..=2).contains(&hours.len()) && minutes.len() == 2;
    if !(shaped && digits(hours) && digits(minutes)) {
        return None;
    }
    let (hours, minutes): (i32, i32) = (hours.parse().ok()?, minutes.parse().ok()?);
    (minutes < 60).then_some(hours * 60 + minutes)
}

/// Reads an end of a window: a time, `sunrise`, `sunset`, or those with an offset.
pub(super) fn window_end(text: &str) -> Option<WindowEnd> {
    type Make = fn(i32) -> WindowEnd;
    let suns: [(&str, Make); 2] = [
        ("sunrise", WindowEnd::Sunrise),
        ("sunset", WindowEnd::Sunset),
    ];
    for (word, make) in suns {
        if let Some(rest) = text.strip_prefix(word) {
            return offset(rest).map(make);
        }
    }
    clock_time(text).map(WindowEnd::Clock)
}

fn offset(rest: &str) -> Option<i32> {
    if rest.is_empty() {
        return Some(0);
    }
    let sign = match rest.get(..1)? {
        "+" => 1,
        "-" => -1,
        _ => return None,
    };
    let offset = minutes(rest.get(1..)?)?;
    (offset <= OFFSET_LIMIT_MIN).then_some(sign * offset)
}

/// Reads a local date and time, `YYYY-MM-DDTHH:MM` or with `:SS`, years 1950 to 2150.
pub(super) fn local_date_time(text: &str) -> Option<NaiveDateTime> {
    let read = |format: &str| NaiveDateTime::parse_from_str(text, format).ok();
    read("%Y-%m-%dT%H:%M")
        .or_else(|| read("%Y-%m-%dT%H:%M:%S"))
        .filter(|moment| (1950..=2150).contains(&moment.year()))
        // chrono reads a leap second as 23:59:60, which has no place on an even calendar.
        .filter(|moment| chrono::Timelike::nanosecond(moment) == 0)
}

/// Reads a date, `YYYY-MM-DD`, years 1950 to 2150.
pub(super) fn date(text: &str) -> Option<NaiveDate> {
    let is_shaped = text.len() == 10 && text.is_ascii();
    let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
    date.filter(|date| is_shaped && (1950..=2150).contains(&date.year()))
}

/// A time of day as the file writes it.
pub(super) fn clock_words(minutes: u16) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn window_ends_of_every_kind() {
        let clock = |minutes| ClockTime::new(minutes).map(WindowEnd::Clock);
        assert_eq!(window_end("18:30"), clock(1110));
        assert_eq!(window_end("24:00"), clock(1440));
        assert_eq!(window_end("sunset"), Some(WindowEnd::Sunset(0)));
        assert_eq!(window_end("sunset+0:30"), Some(WindowEnd::Sunset(30)));
        assert_eq!(window_end("sunrise-1:05"), Some(WindowEnd::Sunrise(-65)));
        for bad in [
            "",
            "24:01",
            "7",
            "07:60",
            "+7:30",
            "sunset30",
            "sunset+13:00",
            "sünset",
        ] {
            assert_eq!(window_end(bad), None, "{bad}");
        }
    }

    #[test]
    fn dates_are_local_and_real() {
        assert!(local_date_time("2027-07-03T07:30").is_some());
        assert!(local_date_time("2028-02-29T07:30:15").is_some());
        for bad in [
            "2027-02-29T07:30",
            "2027-07-03",
            "2027-07-03T07:30Z",
            "1900-01-01T00:00",
        ] {
            assert_eq!(local_date_time(bad), None, "{bad}");
        }
    }
}
