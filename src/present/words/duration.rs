//! Times in plain words: how long a bank lasts, and dates.
//!
//! One job: days and dates as phrases, with what lies beyond the horizon said as such. The
//! chances beside them are in `chance`.

use chrono::{DateTime, NaiveDate, NaiveDateTime};

use crate::present::plain_text::shortened;
use crate::scenario::counted;
use crate::study::answer::{AutonomyDays, Days};
use crate::units::{DateForm, Units};

/// How far an answer looked, which decides the words for what lies beyond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Horizon {
    /// To the end of a trip of this many days.
    TripEnd(f64),
    /// This many days.
    Days(u32),
}

/// A time span: `10 hours`, `1 day`, `3.4 days`, `14 days`, `more than a year`.
#[must_use]
pub fn days_in_words(days: f64) -> String {
    if !days.is_finite() {
        return "–".to_owned();
    }
    if days > 366.0 {
        return "more than a year".to_owned();
    }
    let hours = (days * 24.0).round();
    if hours < 1.0 {
        return "less than an hour".to_owned();
    }
    if hours < 24.0 {
        let plural = if hours < 1.5 { "" } else { "s" };
        return format!("{hours:.0} hour{plural}");
    }
    if days < 9.95 {
        let text = format!("{days:.1}");
        return match text.strip_suffix(".0") {
            Some("1") => "1 day".to_owned(),
            Some(whole) => format!("{whole} days"),
            None => format!("{text} days"),
        };
    }
    format!("{days:.0} days")
}

/// A percentile of autonomy: `3.4 days`, `no time`, `more than 30 days`, `whole trip`.
#[must_use]
pub fn lasting(days: Days, horizon: Horizon) -> String {
    match (days.value, horizon) {
        (Some(0.0), _) => "no time".to_owned(),
        (Some(value), _) if !days.beyond_horizon => days_in_words(value),
        (_, Horizon::TripEnd(_)) => "whole trip".to_owned(),
        (_, Horizon::Days(limit)) => format!("more than {}", counted(limit, "day")),
    }
}

/// The 95 % interval of a percentile of autonomy: `3.2 to 3.6 days`, open where it is censored.
#[must_use]
pub fn lasting_interval(days: Days, horizon: Horizon) -> String {
    let beyond = match horizon {
        Horizon::TripEnd(_) => "trip end".to_owned(),
        Horizon::Days(limit) => format!("over {}", counted(limit, "day")),
    };
    match (days.low, days.high) {
        (Some(low), Some(high)) => format!("{low:.1} to {high:.1} days"),
        (Some(low), None) => format!("{low:.1} days to {beyond}"),
        (None, _) => beyond,
    }
}

/// One sentence: `9 in 10 trips last at least 3.4 days, half last 5.1 days or more`.
#[must_use]
pub fn autonomy_sentence(autonomy: &AutonomyDays, horizon: Horizon) -> String {
    if autonomy.p10.beyond_horizon {
        return match horizon {
            Horizon::TripEnd(days) => format!(
                "at least 9 in 10 trips last the whole trip ({})",
                days_in_words(days)
            ),
            Horizon::Days(limit) => {
                format!("at least 9 in 10 last more than {}", counted(limit, "day"))
            }
        };
    }
    let trips = match horizon {
        Horizon::TripEnd(_) => "9 in 10 trips last",
        Horizon::Days(_) => "9 in 10 last",
    };
    let first = match autonomy.p10.value {
        Some(0.0) if autonomy.p50.value == Some(0.0) => {
            return "more than half are below reserve from the start".to_owned();
        }
        Some(0.0) => "more than 1 in 10 are below reserve from the start".to_owned(),
        _ => format!("{trips} at least {}", lasting(autonomy.p10, horizon)),
    };
    let half = match horizon {
        Horizon::TripEnd(_) if autonomy.p50.beyond_horizon => "the whole trip".to_owned(),
        _ => lasting(autonomy.p50, horizon),
    };
    let or_more = if autonomy.p50.beyond_horizon {
        ""
    } else {
        " or more"
    };
    format!("{first}, half last {half}{or_more}")
}

/// A date as a person of the land says it: `Thursday 8 July`. Takes an ISO date or an RFC 3339 time; what is
/// neither is shown as it stands.
#[must_use]
pub fn weekday_date(iso: &str, units: Units) -> String {
    formatted(iso, DateForm::Weekday, units)
}

/// A time as a person says it: `Thursday 8 July, 14:30`, from RFC 3339.
#[must_use]
pub fn weekday_time(iso: &str, units: Units) -> String {
    formatted(iso, DateForm::WeekdayTime, units)
}

/// A date for a table: `Thu 8 Jul`.
#[must_use]
pub fn short_date(iso: &str, units: Units) -> String {
    formatted(iso, DateForm::Short, units)
}

/// A time for a table: `Thu 8 Jul 14:30`, from RFC 3339.
#[must_use]
pub fn short_time(iso: &str, units: Units) -> String {
    formatted(iso, DateForm::ShortTime, units)
}

/// When something ended that began at a time: `16:10`, with its date where that is another.
#[must_use]
pub fn until(from_iso: &str, to_iso: &str, units: Units) -> String {
    match DateTime::parse_from_rfc3339(to_iso) {
        Ok(time) if from_iso.get(..10) == to_iso.get(..10) => {
            units.date(DateForm::Clock, time.naive_local())
        }
        _ => short_time(to_iso, units),
    }
}

/// A date on an axis: `8 Jul`.
#[must_use]
pub fn day_month(iso: &str, units: Units) -> String {
    formatted(iso, DateForm::DayMonth, units)
}

/// A date with its year: `2027-07-08`.
#[must_use]
pub fn full_date(iso: &str, units: Units) -> String {
    formatted(iso, DateForm::Full, units)
}

fn formatted(iso: &str, form: DateForm, units: Units) -> String {
    let has_time = matches!(form, DateForm::WeekdayTime | DateForm::ShortTime);
    let time = DateTime::parse_from_rfc3339(iso).map(|time| time.naive_local());
    let date = NaiveDate::parse_from_str(iso, "%Y-%m-%d").map(NaiveDateTime::from);
    match time.or(date) {
        Ok(_) if has_time && time.is_err() => shortened(iso, 24),
        Ok(moment) => units.date(form, moment),
        Err(_) => shortened(iso, 24),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(value: f64) -> Days {
        Days {
            value: Some(value),
            low: Some(value - 0.2),
            high: Some(value + 0.2),
            beyond_horizon: false,
        }
    }

    const BEYOND: Days = Days {
        value: None,
        low: None,
        high: None,
        beyond_horizon: true,
    };

    #[test]
    fn pinned_time_spans() {
        for (days, words) in [
            (0.01, "less than an hour"),
            (1.0 / 24.0, "1 hour"),
            (0.42, "10 hours"),
            (0.99, "1 day"),
            (3.42, "3.4 days"),
            (9.97, "10 days"),
            (14.4, "14 days"),
            (366.0, "366 days"),
            (9.6e20, "more than a year"),
        ] {
            assert_eq!(days_in_words(days), words);
        }
    }

    #[test]
    fn pinned_autonomy_sentences() {
        let mut autonomy = AutonomyDays {
            p10: known(3.42),
            p50: known(5.1),
            p90: BEYOND,
        };
        assert_eq!(
            autonomy_sentence(&autonomy, Horizon::Days(30)),
            "9 in 10 last at least 3.4 days, half last 5.1 days or more"
        );
        autonomy.p50 = BEYOND;
        assert_eq!(
            autonomy_sentence(&autonomy, Horizon::TripEnd(12.0)),
            "9 in 10 trips last at least 3.4 days, half last the whole trip"
        );
        autonomy.p10 = BEYOND;
        assert_eq!(
            autonomy_sentence(&autonomy, Horizon::Days(30)),
            "at least 9 in 10 last more than 30 days"
        );
        assert_eq!(lasting(BEYOND, Horizon::Days(30)), "more than 30 days");
        assert_eq!(lasting_interval(BEYOND, Horizon::Days(30)), "over 30 days");
    }

    #[test]
    fn dates_are_said_with_their_weekday() {
        let (si, us) = (Units::Si, Units::Us);
        assert_eq!(weekday_date("2027-07-08", si), "Thursday 8 July");
        assert_eq!(
            weekday_date("2027-07-08T09:30:00+02:00", si),
            "Thursday 8 July"
        );
        assert_eq!(weekday_date("2027-07-08", us), "Thursday, July 8");
        assert_eq!(
            weekday_time("2027-07-08T17:00:00-06:00", us),
            "Thursday, July 8, 5:00 PM"
        );
        assert_eq!(short_date("2027-07-08", si), "Thu 8 Jul");
        assert_eq!(short_time("2027-07-08T00:05:00Z", si), "Thu 8 Jul 00:05");
        assert_eq!(
            short_time("2027-07-08T00:05:00Z", us),
            "Thu, Jul 8, 12:05 AM"
        );
        assert_eq!(day_month("2027-07-08", si), "8 Jul");
        assert_eq!(full_date("2027-07-08", us), "Jul 8, 2027");
        assert_eq!(short_date("soon", us), "soon");
    }
}
