//! An IANA time zone: local time to UTC and back.
//!
//! One job: the rules of one zone behind chrono's types. The zone data comes with the `jiff`
//! crate, so that no system database is needed; times cross over as seconds since 1970.

use std::convert::Infallible;

use chrono::{DateTime, NaiveDateTime};
use jiff::tz::{AmbiguousOffset, TimeZone};

use crate::units::least_that_does;

/// One zone of the IANA database.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    name: String,
    rules: TimeZone,
}

/// What a local time means in UTC seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LocalInstant {
    /// It happens once.
    Once(i64),
    /// The clocks jump over it, at this instant.
    Skipped {
        /// The instant of the change.
        change_s: i64,
    },
    /// It happens twice.
    Twice {
        /// The earlier one.
        first_s: i64,
        /// The later one.
        second_s: i64,
    },
}

impl Zone {
    /// Finds a zone by its IANA name, such as `Africa/Gaborone`. `None`: not in the database.
    #[must_use]
    pub fn find(name: &str) -> Option<Self> {
        let rules = jiff::tz::db().get(name).ok()?;
        Some(Self {
            name: rules.iana_name().unwrap_or(name).to_owned(),
            rules,
        })
    }

    /// Every name in the database, for suggestions.
    #[must_use]
    pub fn names() -> Vec<String> {
        jiff::tz::db()
            .available()
            .map(|name| name.to_string())
            .collect()
    }

    /// The IANA name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Seconds east of UTC at an instant. Instants outside the years -9999 to 9999 count as UTC.
    #[must_use]
    pub fn offset_s(&self, utc_s: i64) -> i64 {
        jiff::Timestamp::from_second(utc_s).map_or(0, |instant| {
            i64::from(self.rules.to_offset(instant).seconds())
        })
    }

    /// Local wall-clock time at an instant.
    #[must_use]
    pub fn local(&self, utc_s: i64) -> NaiveDateTime {
        DateTime::from_timestamp(utc_s + self.offset_s(utc_s), 0)
            .unwrap_or(DateTime::UNIX_EPOCH)
            .naive_utc()
    }

    /// What a local time means.
    #[must_use]
    pub fn resolve(&self, local: NaiveDateTime) -> LocalInstant {
        let wall_s = local.and_utc().timestamp();
        let Some(wall) = civil(local) else {
            return LocalInstant::Once(wall_s);
        };
        match self.rules.to_ambiguous_timestamp(wall).offset() {
            AmbiguousOffset::Unambiguous { offset } => {
                LocalInstant::Once(wall_s - i64::from(offset.seconds()))
            }
            AmbiguousOffset::Gap { before, after } => {
                // The change lies between the two readings; it is found by its own rule table.
                let early_s = wall_s - i64::from(after.seconds());
                let late_s = wall_s - i64::from(before.seconds());
                LocalInstant::Skipped {
                    change_s: self.change_between(early_s, late_s),
                }
            }
            AmbiguousOffset::Fold { before, after } => LocalInstant::Twice {
                first_s: wall_s - i64::from(before.seconds()),
                second_s: wall_s - i64::from(after.seconds()),
            },
        }
    }

    /// The first of the instants a local time can mean; a skipped time moves to the change.
    #[must_use]
    pub fn first_utc_s(&self, local: NaiveDateTime) -> i64 {
        match self.resolve(local) {
            LocalInstant::Once(utc_s) => utc_s,
            LocalInstant::Skipped { change_s } => change_s,
            LocalInstant::Twice { first_s, .. } => first_s,
        }
    }

    /// The last of the instants a local time can mean; a skipped time moves to the change.
    #[must_use]
    pub fn last_utc_s(&self, local: NaiveDateTime) -> i64 {
        match self.resolve(local) {
            LocalInstant::Once(utc_s) => utc_s,
            LocalInstant::Skipped { change_s } => change_s,
            LocalInstant::Twice { second_s, .. } => second_s,
        }
    }

    fn change_between(&self, early_s: i64, late_s: i64) -> i64 {
        let before = self.offset_s(early_s);
        let has_changed = |at_s: i64| Ok::<bool, Infallible>(self.offset_s(at_s) != before);
        least_that_does(early_s + 1, late_s, has_changed).unwrap_or(late_s)
    }
}

fn civil(local: NaiveDateTime) -> Option<jiff::civil::DateTime> {
    jiff::Timestamp::from_second(local.and_utc().timestamp())
        .ok()
        .map(|instant| jiff::tz::Offset::UTC.to_datetime(instant))
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    fn at(month: u32, day: u32, hour: u32, minute: u32) -> NaiveDateTime {
        NaiveDate::from_ymd_opt(2027, month, day)
            .and_then(|date| date.and_hms_opt(hour, minute, 0))
            .expect("a date of the test")
    }

    /// Outside figure: Directive 2000/84/EC: summer time begins and ends at 1:00 UTC on the last
    /// Sundays of March and October; in 2027 the 28th and the 31st.
    #[test]
    fn outside_summer_time_of_europe() {
        let zone = Zone::find("Europe/Oslo").expect("an IANA name");
        let change_s = at(3, 28, 1, 0).and_utc().timestamp();
        assert_eq!(
            zone.resolve(at(3, 28, 2, 30)),
            LocalInstant::Skipped { change_s }
        );
        let first_s = at(10, 31, 0, 30).and_utc().timestamp();
        assert_eq!(
            zone.resolve(at(10, 31, 2, 30)),
            LocalInstant::Twice {
                first_s,
                second_s: first_s + 3600
            }
        );
        assert_eq!(zone.local(change_s), at(3, 28, 3, 0));
    }

    #[test]
    fn an_unknown_name_is_none() {
        assert!(Zone::find("Africa/Gaberone").is_none());
        assert!(Zone::names().iter().any(|name| name == "Africa/Gaborone"));
    }
}
