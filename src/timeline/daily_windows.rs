//! Daily windows as spans of time.
//!
//! One job: the window of every date, with its ends at the clock or at the sun. The sun of a date
//! is that of the place where the calendar has the vehicle at noon.

use chrono::{NaiveDate, NaiveTime};

use super::calendar::{NominalCalendar, local_time};
use super::steps::Steps;
use crate::scenario::{Itinerary, Window, WindowEnd, Zone};
use crate::sky::sun_day::{SunDay, sun_day};
use crate::units::Whole;

/// Sun and clock of one local date.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayTimes {
    /// The date.
    pub date: NaiveDate,
    /// Local midnight at its beginning.
    pub midnight_s: i64,
    /// Local midnight at its end.
    pub next_midnight_s: i64,
    /// Sunrise; the first midnight in polar day, the sun's highest stand in polar night.
    pub rise_s: i64,
    /// Sunset; the second midnight in polar day, the sun's highest stand in polar night.
    pub set_s: i64,
    /// Whether the sun rises and sets.
    pub has_sunrise: bool,
    /// The sun's highest stand.
    pub transit_s: i64,
    /// Latitude at noon, degrees.
    pub lat_deg: f64,
    /// Longitude at noon, degrees.
    pub lon_deg: f64,
    /// Height at noon, if known, m.
    pub height_m: Option<f64>,
}

/// Dates from the day before the weather's beginning, by the clock and by the sun, to the day after the latest
/// end.
#[must_use]
pub fn day_times(itinerary: &Itinerary, calendar: &NominalCalendar) -> Vec<DayTimes> {
    let zone = &itinerary.zone;
    let first = zone.local(calendar.weather_from_s).date();
    let last = zone.local(calendar.latest_end_s).date();
    let before = |date: NaiveDate| date.pred_opt().unwrap_or(date);
    let mut first = before(first);
    // Where the clock is more than a day ahead of the sun, the solar day is that of the date before.
    let first_lon_deg = one_day(itinerary, calendar, first).lon_deg;
    if mean_noon_s(first, first_lon_deg) - 43_200 > calendar.weather_from_s {
        first = before(first);
    }
    let last = last.succ_opt().unwrap_or(last);
    first
        .iter_days()
        .take_while(|date| *date <= last)
        .map(|date| one_day(itinerary, calendar, date))
        .collect()
}

fn one_day(itinerary: &Itinerary, calendar: &NominalCalendar, date: NaiveDate) -> DayTimes {
    let zone = &itinerary.zone;
    let midnight_s = zone.first_utc_s(date.and_time(NaiveTime::MIN));
    let next = date.succ_opt().unwrap_or(date);
    let next_midnight_s = zone.first_utc_s(next.and_time(NaiveTime::MIN));
    let place = calendar.place_at(itinerary, midnight_s.midpoint(next_midnight_s));
    let sun = sun_day(
        mean_noon_s(date, place.lon_deg),
        place.lat_deg,
        place.lon_deg,
    );
    let (rise_s, set_s, transit_s, has_sunrise) = match sun {
        SunDay::Normal {
            rise_s,
            transit_s,
            set_s,
        } => (rise_s, set_s, transit_s, true),
        SunDay::PolarDay { transit_s } => (midnight_s, next_midnight_s, transit_s, false),
        SunDay::PolarNight { transit_s } => (transit_s, transit_s, transit_s, false),
    };
    DayTimes {
        date,
        midnight_s,
        next_midnight_s,
        rise_s,
        set_s,
        has_sunrise,
        transit_s,
        lat_deg: place.lat_deg,
        lon_deg: place.lon_deg,
        height_m: place.height_m,
    }
}

/// Local mean noon of a date at a longitude, UTC seconds.
#[must_use]
pub fn mean_noon_s(date: NaiveDate, lon_deg: f64) -> i64 {
    let east_s = i64::cut((lon_deg * 240.0).round());
    date.and_time(NaiveTime::MIN).and_utc().timestamp() + 43_200 - east_s
}

/// The window of one date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DaySpan {
    /// Index into the day times.
    pub day: usize,
    /// Opening.
    pub from_s: i64,
    /// Closing, after `from_s`.
    pub to_s: i64,
}

/// The spans of a window, one a date at most, in order. A window wraps midnight if it does so with
/// sunrise at 06:00 and sunset at 18:00: `sunset` to `22:00` is empty where the sun sets later.
#[must_use]
pub fn window_spans(window: Window, days: &[DayTimes], zone: &Zone) -> Vec<DaySpan> {
    let (from_ref, to_ref) = (usual_minute(window.from), usual_minute(window.to));
    let wraps = to_ref <= from_ref;
    let mut spans = Vec::with_capacity(days.len());
    for (day, times) in days.iter().enumerate() {
        let from_s = end_s(window.from, times, zone, false);
        let to_s = if wraps {
            let Some(next) = days.get(day + 1) else {
                continue;
            };
            end_s(window.to, next, zone, true)
        } else {
            end_s(window.to, times, zone, true)
        };
        if to_s > from_s {
            spans.push(DaySpan { day, from_s, to_s });
        }
    }
    spans
}

fn usual_minute(end: WindowEnd) -> i32 {
    match end {
        WindowEnd::Clock(clock) => i32::from(clock.minutes()),
        WindowEnd::Sunrise(offset) => 6 * 60 + offset,
        WindowEnd::Sunset(offset) => 18 * 60 + offset,
    }
}

fn end_s(end: WindowEnd, times: &DayTimes, zone: &Zone, is_close: bool) -> i64 {
    match end {
        WindowEnd::Clock(clock) => {
            let local = local_time(times.date, clock);
            if is_close {
                zone.last_utc_s(local)
            } else {
                zone.first_utc_s(local)
            }
        }
        WindowEnd::Sunrise(offset) => times.rise_s + i64::from(offset) * 60,
        WindowEnd::Sunset(offset) => times.set_s + i64::from(offset) * 60,
    }
}

/// Share of each step that lies in any of the spans, 0 to 1; spans in order, overlaps count once.
pub(super) fn step_shares(spans: impl Iterator<Item = (i64, i64)>, steps: Steps) -> Vec<f64> {
    let (start_s, step_s) = (steps.start_s, steps.step_s);
    let mut shares = vec![0.0; steps.count];
    let mut covered_s = i64::MIN;
    for (from_s, to_s) in spans {
        let from_s = from_s.max(covered_s).max(start_s);
        covered_s = covered_s.max(to_s);
        if to_s <= from_s {
            continue;
        }
        let first = usize::try_from((from_s - start_s) / step_s).unwrap_or(0);
        for (step, share) in shares.iter_mut().enumerate().skip(first) {
            let begin_s = steps.begin_s(step);
            if begin_s >= to_s {
                break;
            }
            let inside_s = to_s.min(begin_s + step_s) - from_s.max(begin_s);
            *share += inside_s.real() / step_s.real();
        }
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn part_steps_count_for_their_part_and_overlaps_once() {
        let steps = Steps {
            start_s: 0,
            step_s: 100,
            count: 5,
        };
        let shares = step_shares([(90, 250), (200, 330)].into_iter(), steps);
        let expected = [0.1, 1.0, 1.0, 0.3, 0.0];
        for (share, expected) in shares.iter().zip(expected) {
            assert!((share - expected).abs() < 1e-12, "{shares:?}");
        }
    }
}
