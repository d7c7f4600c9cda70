//! The nominal calendar of a trip, for the checks alone.
//!
//! One job: on which days of the year the trip is where, every spread at its mean. The exact
//! calendar, to the second and in UTC, is `timeline`'s.

use std::collections::BTreeSet;

use chrono::{Datelike, Duration, NaiveDate, NaiveDateTime, NaiveTime};

use crate::scenario::{ClockTime, Delay, Itinerary, Place};
use crate::units::Whole;

/// A day at a place.
pub(super) struct PlacedDay<'a> {
    pub(super) date: NaiveDate,
    pub(super) place: &'a Place,
}

/// Which day the trip spends where, and how long it takes.
pub(super) struct PlannedDays<'a> {
    pub(super) days: Vec<PlacedDay<'a>>,
    pub(super) length_days: f64,
    /// The date of the end by plan.
    pub(super) ends: NaiveDate,
    pub(super) camp_nights: u32,
}

/// First moment at or after `now` at which the clock shows `time`.
fn next_at(now: NaiveDateTime, time: ClockTime) -> NaiveDateTime {
    let today = now.date().and_time(NaiveTime::MIN) + Duration::minutes(time.minutes().into());
    if today < now {
        today + Duration::days(1)
    } else {
        today
    }
}

fn hours(hours: f64) -> Duration {
    Duration::seconds(i64::cut((hours * 3600.0).round()))
}

/// Walks through the legs; at most `limit_days` days are listed.
pub(super) fn calendar(itinerary: &Itinerary, limit_days: u32) -> PlannedDays<'_> {
    let mut now = itinerary.start;
    let mut days = Vec::new();
    let mut place = &itinerary.from;
    // Days by which all that follows may be later.
    let mut put_off = Duration::zero();
    let limit = itinerary.start.date() + Duration::days(limit_days.into());
    let mut stay = |place, from: NaiveDate, to: NaiveDate| {
        let dates = from.iter_days().take_while(|date| *date <= to.min(limit));
        days.extend(dates.map(|date| PlacedDay { date, place }));
    };
    for (number, leg) in itinerary.legs.iter().enumerate() {
        let planned = next_at(now, leg.depart);
        // After a night one leaves in the morning; without one, at once if the time has passed.
        let before = number.checked_sub(1).map(|before| &itinerary.legs[before]);
        let passes_through =
            before.is_some_and(|leg| leg.nights == 0) && planned.date() > now.date();
        let departs = if passes_through { now } else { planned };
        put_off += Duration::days(leg.delay.map_or(0, Delay::most_days).into());
        stay(place, now.date(), departs.date() + put_off);
        let arrives = departs + hours(leg.drive_hours.mean());
        place = &leg.stop;
        stay(place, departs.date(), arrives.date() + put_off);
        now = arrives;
        if leg.nights > 0 {
            let morning = arrives.date() + Duration::days(leg.nights.into());
            stay(place, arrives.date(), morning + put_off);
            now = arrives.max(morning.and_time(NaiveTime::MIN));
        }
    }
    let end = match itinerary.legs.last() {
        Some(last) if last.nights > 0 => next_at(now, last.depart),
        _ => now,
    };
    let length_days = (end + put_off - itinerary.start).num_minutes().real() / 1440.0;
    PlannedDays {
        days,
        length_days,
        ends: end.date(),
        camp_nights: itinerary.legs.iter().map(|leg| leg.nights).sum(),
    }
}

impl PlannedDays<'_> {
    /// Months the trip touches, 1 to 12.
    pub(super) fn months(&self) -> BTreeSet<u32> {
        self.days.iter().map(|day| day.date.month()).collect()
    }
}
