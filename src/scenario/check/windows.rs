//! Times of day and windows, checked.

use super::super::defaults::Assumption;
use super::super::file::NamedWindow;
use super::super::problem::{Fault, escaped, typed_time};
use super::daily_sun::day_hours;
use super::findings::Findings;
use super::time_words::{clock_time, clock_words, window_end};
use chrono::Datelike;

use super::calendar::PlannedDays;
use crate::scenario::{ClockTime, Window, WindowEnd};

/// A time of day that may be left out.
pub(in crate::scenario) fn time_or_assumed(
    given: Option<&String>,
    path: &str,
    default: Assumption<u16>,
    notes: &mut Findings<'_>,
) -> ClockTime {
    let fallback = ClockTime::new(default.0).unwrap_or(MIDNIGHT);
    let Some(given) = given else {
        notes.assume(path, &clock_words(default.0), default.1);
        return fallback;
    };
    clock_time(given).unwrap_or_else(|| {
        notes.problem(
            path,
            not_a_time(given, "a time of day from `00:00` to `24:00`"),
        );
        fallback
    })
}

const MIDNIGHT: ClockTime = ClockTime::MIDNIGHT;

/// A window of two ends; `path` is that of the list.
pub(super) fn window(ends: &[String; 2], path: &str, notes: &mut Findings<'_>) -> Window {
    let [from, to] = [0, 1].map(|index| {
        let text = ends.get(index).map_or("", String::as_str);
        window_end(text).unwrap_or_else(|| {
            let allowed = "a time of day such as `18:30`, `sunrise`, `sunset` or those with an offset up to 12 h such \
                           as `sunset+0:30`";
            notes.problem(&format!("{path}/{index}"), not_a_time(text, allowed));
            WindowEnd::Clock(MIDNIGHT)
        })
    });
    Window { from, to }
}

/// A window under its key; `path` is that of the object.
pub(super) fn named_window(
    named: &NamedWindow,
    path: &str,
    notes: &mut Findings<'_>,
) -> Option<Window> {
    let ends = named.window.as_ref()?;
    Some(window(ends, &format!("{path}/window"), notes))
}

fn not_a_time(text: &str, allowed: &str) -> Fault {
    let found = escaped(text, 40);
    let hint = typed_time(&found).map(|time| format!("write \"{time}\""));
    Fault::new(format!("is `{found}`, but must be {allowed}"), hint)
}

/// Longest that a window gets on the trip, hours.
pub(super) fn longest_hours(window: Window, calendar: &PlannedDays<'_>) -> f64 {
    if let (WindowEnd::Clock(from), WindowEnd::Clock(to)) = (window.from, window.to) {
        return clock_hours(from, to);
    }
    calendar
        .days
        .iter()
        .map(|day| hours_on(window, day_hours(day.place.lat_deg, day.date.ordinal())))
        .fold(0.0, f64::max)
}

fn clock_hours(from: ClockTime, to: ClockTime) -> f64 {
    let minutes = i32::from(to.minutes()) - i32::from(from.minutes());
    f64::from(if minutes <= 0 {
        minutes + 1440
    } else {
        minutes
    }) / 60.0
}

/// Length of a window that depends on the sun, by the length of the day alone: a clock time
/// against the sun depends on the zone, so that the whole day is granted there.
fn hours_on(window: Window, day_hours: f64) -> f64 {
    let offset = |from: i32, to: i32| f64::from(to - from) / 60.0;
    let hours = match (window.from, window.to) {
        (WindowEnd::Sunrise(from), WindowEnd::Sunset(to)) => day_hours + offset(from, to),
        (WindowEnd::Sunset(from), WindowEnd::Sunrise(to)) => 24.0 - day_hours + offset(from, to),
        (WindowEnd::Sunrise(from), WindowEnd::Sunrise(to))
        | (WindowEnd::Sunset(from), WindowEnd::Sunset(to)) => offset(from, to).rem_euclid(24.0),
        _ => 24.0,
    };
    hours.clamp(0.0, 24.0)
}
