//! The verdict and the trip at a glance.
//!
//! One job: the first page: will it work, the key table, the picture of the trip, what to watch.

use super::parts::{Passage, Section};
use crate::present::charts::trip_svg;
use crate::present::tables::banks_table;
use crate::present::words::chance::{percent, with_interval};
use crate::present::words::duration::days_in_words;
use crate::present::words::figure::{rounded, whole};
use crate::present::words::{trip_verdict, warning_lines};
use crate::scenario::counted;
use crate::study::report::ReportAnswer;

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let trip = &answer.trip;
    let mut parts = vec![
        Passage::verdict(&trip_verdict(trip)),
        banks_table(trip).into(),
        Passage::figure(
            "State of charge of each bank over the trip.",
            "See how low the light band dips at each stop and how far it stays from the reserve line; bars at \
             the foot are drives, shaded stretches are nights.",
            trip_svg(trip),
        ),
        facts(answer),
    ];
    // Where the weather comes from has a section of its own.
    let doubts = trip.result.warnings.iter().filter(|it| !it.is_note());
    let warnings = warning_lines(
        &doubts.cloned().collect::<Vec<_>>(),
        trip.result.heading.units,
    );
    if !warnings.is_empty() {
        parts.push(Passage::warnings(warnings));
    }
    Section {
        id: "glance",
        title: "The trip at a glance",
        parts,
    }
}

fn facts(answer: &ReportAnswer) -> Passage {
    let trip = &answer.trip;
    let nights: usize = answer.stops.iter().map(|stop| stop.nights.len()).sum();
    let legs_hours: f64 = answer.stops.iter().map(|stop| stop.drive_hours.mean).sum();
    let mut facts = vec![
        (
            "chance that no house bank goes below its reserve",
            with_interval(trip.result.chance_no_shortfall),
        ),
        ("chance aimed at", percent(trip.aim_chance)),
        (
            "length",
            format!(
                "{}, {}, {}",
                days_in_words(trip.length_days),
                counted(answer.stops.len(), "stop"),
                counted(nights, "night")
            ),
        ),
        (
            "legs, hours at the wheel",
            format!("{} h expected", rounded(legs_hours)),
        ),
    ];
    if let Some(alternator) = &trip.result.alternator {
        facts.push((
            "alternator asked for more than it gives",
            format!("{} h of the trip", rounded(alternator.oversubscribed_hours)),
        ));
        facts.push((
            "largest current asked of the alternator",
            format!("{} A", whole(alternator.peak_a)),
        ));
    }
    Passage::facts(facts)
}
