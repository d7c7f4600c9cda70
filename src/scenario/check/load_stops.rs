//! At which stops a load is used.
//!
//! One job: `at` and `not_at`, by name or number, to places in the itinerary; and which `at` is a time of day
//! instead.

use super::super::parts::{LoadFile, StopFile, StopsFile};
use super::super::problem::{both_given, must_be, no_such};
use super::findings::Findings;
use crate::scenario::StopChoice;

/// The text of `at` where it is a time of day: it begins as one, and no stop is called so.
pub(super) fn time_of<'a>(file: &'a LoadFile, stops: &[String]) -> Option<&'a String> {
    match &file.at {
        Some(StopsFile::One(text)) if !stops.contains(text) => text
            .starts_with(|c: char| c.is_ascii_digit())
            .then_some(text),
        _ => None,
    }
}

/// The stops of a load; `stops` are the names of the itinerary's, in order.
pub(super) fn choice(
    file: &LoadFile,
    stops: &[String],
    path: &str,
    notes: &mut Findings<'_>,
) -> StopChoice {
    let at = file.at.as_ref().filter(|_| time_of(file, stops).is_none());
    match (at, &file.not_at) {
        (Some(_), Some(_)) => {
            notes.problem(&format!("{path}/not_at"), both_given("at"));
            StopChoice::Everywhere
        }
        (Some(at), None) => StopChoice::Only(numbers(at, stops, &format!("{path}/at"), notes)),
        (None, Some(not_at)) => {
            StopChoice::Except(numbers(not_at, stops, &format!("{path}/not_at"), notes))
        }
        (None, None) => StopChoice::Everywhere,
    }
}

/// The numbers of stops, from 0; of a name that several have, all of them.
fn numbers(
    given: &StopsFile,
    stops: &[String],
    path: &str,
    notes: &mut Findings<'_>,
) -> Vec<usize> {
    let named = |name: &str, path: &str, notes: &mut Findings<'_>| -> Vec<usize> {
        let found: Vec<usize> = (0..stops.len()).filter(|&at| stops[at] == name).collect();
        if found.is_empty() && !notes.is_spoiled("/itinerary/legs") {
            let wanted = "the name of a stop, or its number from 1";
            notes.problem(path, no_such(name, wanted, stops));
        }
        found
    };
    let several = match given {
        StopsFile::One(name) => return named(name, path, notes),
        StopsFile::Several(several) => several.iter().enumerate(),
    };
    several
        .flat_map(|(index, stop)| {
            let path = format!("{path}/{index}");
            match stop {
                StopFile::Name(name) => named(name, &path, notes),
                StopFile::Number(number) => {
                    let at = usize::try_from(*number).unwrap_or(usize::MAX);
                    if at > stops.len() && !notes.is_spoiled("/itinerary/legs") {
                        let allowed = format!("the number of a stop, from 1 to {}", stops.len());
                        notes.problem(&path, must_be(number, allowed));
                    }
                    vec![at.saturating_sub(1)]
                }
            }
        })
        .collect()
}
