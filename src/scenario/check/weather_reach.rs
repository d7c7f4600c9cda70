//! Whether there is weather for every day of the trip.
//!
//! One job: the stops within reach of the built-in climate, the dates within a record. What a table
//! or a file holds is checked in `climate`.

use chrono::{Days, NaiveDate};

use super::super::problem::{Fault, counted, escaped};
use super::calendar::PlannedDays;
use super::findings::Findings;
use super::misplaced::Way;
use crate::scenario::{History, Itinerary, Place};
use crate::sky::world_climate::{OutsideWorldClimate, REACH_KM, place_climate};

/// Reports every place that the built-in climate does not reach.
pub(super) fn built_in(itinerary: &Itinerary, notes: &mut Findings<'_>) {
    let way = Way::new(itinerary, notes);
    let stops = itinerary.legs.iter().map(|leg| &leg.stop).enumerate();
    place("/itinerary/from", &itinerary.from, &|| way.likely(0), notes);
    for (number, stop) in stops {
        let path = format!("/itinerary/legs/{number}");
        place(&path, stop, &|| way.likely(number + 1), notes);
    }
}

fn place(path: &str, place: &Place, meant: &dyn Fn() -> Option<String>, notes: &mut Findings<'_>) {
    let climate = place_climate(place.lat_deg, place.lon_deg, place.height_m);
    if let Err(OutsideWorldClimate::TooFar {
        nearest_cell_km, ..
    }) = climate
    {
        let text = format!(
            "stands at {}, {}, where the built-in climate does not reach: its nearest cell is {nearest_cell_km:.0} km \
             away, and at most {REACH_KM:.0} km are bridged",
            place.lat_deg, place.lon_deg
        );
        let hint = meant().unwrap_or_else(|| {
            "give the months yourself with `\"climate\": { \"kind\": \"monthly\", … }` or a weather file with \
             `\"climate\": { \"kind\": \"history\", … }`"
                .to_owned()
        });
        notes.problem(&format!("{path}/lat"), Fault::from(text).hint(&hint));
    }
}

/// Reports a record that has no days for the trip.
pub(super) fn record(
    name: &str,
    history: &History,
    calendar: &PlannedDays<'_>,
    notes: &mut Findings<'_>,
) {
    let dates = || calendar.days.iter().map(|day| day.date);
    let (Some(first), Some(last)) = (dates().min(), dates().max()) else {
        return;
    };
    let series = &history.series;
    if let Some(year) = history.replay {
        if let Some(why) = unreplayable(history, year, first, last) {
            notes.problem("/climate/replay", format!("is {year}, but {why}"));
        }
        return;
    }
    let block_days = history
        .block_days
        .unwrap_or_else(|| series.default_block_days());
    let bare = first
        .iter_days()
        .take_while(|date| *date <= last)
        .find(|date| {
            series
                .block_starts(*date, history.season_days, block_days)
                .is_empty()
        });
    if let Some(date) = bare {
        let text = format!(
            "is `{}`, but it has no {} in a row that begin within {} of {}",
            escaped(name, 80),
            counted(block_days, "day"),
            counted(history.season_days, "day"),
            date.format("%-d %B")
        );
        let hint = "give a smaller `block_days`, a larger `season_days` or a longer file";
        notes.problem("/climate/file", Fault::from(text).hint(hint));
    }
}

/// Why the days of the trip are not in the year to be replayed.
fn unreplayable(history: &History, year: i32, first: NaiveDate, last: NaiveDate) -> Option<String> {
    let series = &history.series;
    if series.is_typical {
        return Some("the file is a typical year, whose months are of no one year".to_owned());
    }
    let length = usize::try_from((last - first).num_days()).unwrap_or(0);
    let is_whole = series.replay_start(year, first).is_some_and(|start| {
        let mut stretches = series.stretches.iter();
        stretches.any(|stretch| stretch.contains(&start) && start + length < stretch.end)
    });
    if is_whole {
        return None;
    }
    let wanted = chrono::Datelike::with_year(&first, year).unwrap_or(first);
    let end = wanted
        .checked_add_days(Days::new(length as u64))
        .unwrap_or(wanted);
    let (from, to) = (series.days.first()?.date, series.days.last()?.date);
    Some(format!(
        "the file lacks days from {wanted} to {end}: it holds {from} to {to}{}",
        if series.stretches.len() > 1 {
            ", with gaps"
        } else {
            ""
        }
    ))
}
