//! Departures that were put off, and ends that came too late, in words.

use super::chance::{percent, trips_in_words};
use super::duration::weekday_date;
use super::figure::rounded;
use crate::scenario::counted;
use crate::study::answer::{Delays, Late, TripResult};
use crate::units::Units;

/// What delays did to the trips, and how many end too late; empty where the file knows of neither.
#[must_use]
pub(super) fn delays_in_words(result: &TripResult, units: Units) -> String {
    let delays = result.delays.iter().map(delayed);
    let late = result
        .late
        .iter()
        .map(|late| too_late(late, result.heading.typical, units));
    delays.chain(late).collect::<Vec<_>>().join(" ")
}

fn delayed(delays: &Delays) -> String {
    if delays.share <= 0.0 {
        return "No trip was put off.".to_owned();
    }
    let of_short = match (delays.share_of_shortfalls, delays.short_with_delay) {
        (Some(of_short), Some(with)) => format!(
            "; {} of those that fall short had been, and {} of those put off fall short",
            percent(of_short),
            percent(with)
        ),
        _ => String::new(),
    };
    format!(
        "Delays: {} of trips are put off, by {} on average{of_short}.",
        percent(delays.share),
        counted(rounded(delays.mean_days), "day")
    )
}

fn too_late(late: &Late, typical: bool, units: Units) -> String {
    let date = weekday_date(&late.no_later_than, units);
    let value = late.chance.value;
    match (typical, value > 0.0) {
        (true, true) => format!("It ends after {date}."),
        (true, false) => format!("It ends by {date}, as it should."),
        (false, false) => format!("All end by {date}, as they should."),
        (false, true) => format!(
            "Late: {} end after {date} ({}).",
            trips_in_words(value),
            percent(value)
        ),
    }
}
