//! What an answer's weather rests on.
//!
//! One job: the source of the weather and its weak points, as warnings of the answer, a sentence each.
//! Credits of the data are in `sky::world_climate::WORLD_CLIMATE_NOTICES`.

use chrono::Datelike;

use super::answer::Warning;
use super::sky_table::{MONTH_NAMES, place_text};
use crate::scenario::{Climate, History, Place, Scenario, counted};
use crate::sky::world_climate::{
    HeightSource, NOT_A_FORECAST, PlaceClimate, SUN_PERIOD, TEMPERATURE_PERIOD, place_climate,
};
use crate::timeline::Timeline;
use crate::timeline::weather_days::WeatherSource;
use crate::units::Sentence;

/// Stops named in one sentence.
const NAMED: usize = 3;

/// The notes of a plan; `stop` is the leg whose stop a stay is about, `None` for a whole trip.
#[must_use]
pub fn climate_notes(
    scenario: &Scenario,
    timeline: &Timeline,
    stop: Option<usize>,
) -> Vec<Warning> {
    match (&scenario.climate, &timeline.weather) {
        (Climate::BuiltIn { .. }, _) => built_in(scenario, timeline, stop),
        (Climate::History(history), WeatherSource::Record(days)) => {
            record(history, days.block_days)
        }
        (Climate::Monthly { .. } | Climate::History(_), _) => Vec::new(),
    }
}

fn note(path: impl Into<String>, text: impl Into<Sentence>) -> Warning {
    Warning::new(path, text)
}

/// A stop with its climate; stops at one place count once.
struct Stop<'a> {
    leg: usize,
    place: &'a Place,
    climate: PlaceClimate,
}

fn stops(scenario: &Scenario, stop: Option<usize>) -> Vec<Stop<'_>> {
    let mut found: Vec<Stop<'_>> = Vec::new();
    for (leg, to) in scenario.itinerary.legs.iter().enumerate() {
        let place = &to.stop;
        let at = (place.lat_deg, place.lon_deg, place.height_m);
        let is_known = found.iter().any(|known| {
            (
                known.place.lat_deg,
                known.place.lon_deg,
                known.place.height_m,
            ) == at
        });
        if is_known || stop.is_some_and(|stop| stop != leg) {
            continue;
        }
        if let Ok(climate) = place_climate(at.0, at.1, at.2) {
            found.push(Stop {
                leg,
                place,
                climate,
            });
        }
    }
    found
}

fn built_in(scenario: &Scenario, timeline: &Timeline, stop: Option<usize>) -> Vec<Warning> {
    let stops = stops(scenario, stop);
    let mut notes = vec![note(
        "/climate",
        format!(
            "the weather is drawn from the built-in climate, {NOT_A_FORECAST} (sun of {SUN_PERIOD}, \
             temperature of {TEMPERATURE_PERIOD}): {}",
            support(&stops)
        ),
    )];
    // What is weak at several stops is said once.
    let mut weak: Vec<(Sentence, Vec<&Stop<'_>>)> = Vec::new();
    for stop in &stops {
        for warning in &stop.climate.support.warnings {
            let text = warning.sentence();
            match weak.iter_mut().find(|(known, _)| *known == text) {
                Some((_, at)) => at.push(stop),
                None => weak.push((text, vec![stop])),
            }
        }
    }
    for stop in &stops {
        if let Some(text) = doubtful_months(scenario, timeline, stop) {
            match weak.iter_mut().find(|(known, _)| *known == text) {
                Some((_, at)) => at.push(stop),
                None => weak.push((text, vec![stop])),
            }
        }
    }
    notes.extend(weak.into_iter().map(|(text, at)| {
        note(
            format!("/itinerary/legs/{}", at[0].leg),
            text.within(|text| format!("{}: {text}", names(&at))),
        )
    }));
    notes
}

/// A table that is known no better than this is worth a word.
const DOUBTFUL_REL_SD: f64 = 0.1;

/// The months of the plan's nights at a stop in which the table's own mean is not known to a tenth.
fn doubtful_months(scenario: &Scenario, timeline: &Timeline, stop: &Stop<'_>) -> Option<Sentence> {
    let at = |place: &Place| (place.lat_deg, place.lon_deg);
    let nights = timeline.calendar.nights.iter();
    let mut months: Vec<usize> = nights
        .filter(|night| at(&scenario.itinerary.legs[night.stop].stop) == at(stop.place))
        .map(|night| night.date.month0() as usize)
        .collect();
    months.dedup();
    let doubtful: Vec<(&str, f64)> = months
        .into_iter()
        .map(|month| (MONTH_NAMES[month], stop.climate.months[month].mean_rel_sd))
        .filter(|(_, rel_sd)| *rel_sd > DOUBTFUL_REL_SD)
        .collect();
    let most = doubtful
        .iter()
        .map(|(_, rel_sd)| *rel_sd)
        .fold(0.0, f64::max);
    (!doubtful.is_empty()).then(|| {
        let names: Vec<&str> = doubtful.iter().map(|(name, _)| *name).collect();
        format!(
            "the climate's own mean sun in {} is known to {:.0} % only (2 in 3), which the chances hold: give your own \
             months if you know them",
            names.join(" and "),
            most * 100.0
        )
        .into()
    })
}

fn names(stops: &[&Stop<'_>]) -> String {
    let named: Vec<&str> = stops
        .iter()
        .take(NAMED)
        .map(|stop| stop.place.name.as_str())
        .collect();
    match stops.len() - named.len() {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}

fn support(stops: &[Stop<'_>]) -> String {
    let mut parts: Vec<String> = stops
        .iter()
        .take(NAMED)
        .map(|stop| {
            let support = &stop.climate.support;
            let cell = support.cells.first().map_or_else(String::new, |cell| {
                let others = match support.cells.len() {
                    1 => String::new(),
                    count => format!(" and {} around", count - 1),
                };
                format!(
                    "cell {}{others}, ",
                    place_text(cell.lat_deg, cell.lon_deg, 0)
                )
            });
            let height = match support.height_source {
                HeightSource::Given => "as given",
                HeightSource::LandBox => "the land's mean",
                HeightSource::SeaLevel => "sea level",
            };
            format!(
                "{} on {cell}sunshine weight {:.1} of 1, height ‹{} m:0› ({height})",
                stop.place.name,
                support.sunshine_weight.min(1.0),
                support.height_m
            )
        })
        .collect();
    if stops.len() > NAMED {
        parts.push(format!("and {} more", stops.len() - NAMED));
    }
    parts.push("`tideover sky --at LAT,LON` shows a place".to_owned());
    parts.join("; ")
}

fn record(history: &History, block_days: u32) -> Vec<Warning> {
    let series = &history.series;
    let years = match (series.days.first(), series.days.last()) {
        (Some(first), Some(last)) if !series.is_typical => {
            format!(
                "a record of {} days, ‹{}› to ‹{}›",
                series.days.len(),
                first.date,
                last.date
            )
        }
        _ => "a typical year".to_owned(),
    };
    let text = match history.replay {
        Some(year) => format!("the weather is that of {year}, without chance, from {years}"),
        None => format!(
            "the weather is drawn from {years}, in runs of {} that begin within {} of the date{}",
            counted(block_days, "day"),
            counted(history.season_days, "day"),
            if history.block_days.is_some() {
                String::new()
            } else {
                format!(" (length chosen for a lag-1 of {:.2})", series.lag1)
            }
        ),
    };
    let mut notes = vec![note("/climate", text)];
    notes.extend(
        series
            .notices()
            .into_iter()
            .map(|text| note("/climate/file", text)),
    );
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::read;
    use crate::timeline::calendar::Plan;

    fn notes(climate: &str, stop: &str, start: &str, files: &str) -> Vec<String> {
        let text = format!(
            r#"{{ "format": 1, "itinerary": {{ "start": "{start}T06:00", "time_zone": "UTC",
                "from": {{ "name": "A", {stop} }},
                "legs": [ {{ "to": "Pan", {stop}, "drive_hours": 1, "nights": 2 }} ] }}, {climate}
                "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }} ] }}"#
        );
        let reading = read(&text, "a.json", &|_| Ok(files.as_bytes().to_vec()))
            .unwrap_or_else(|refusal| panic!("{refusal}"));
        let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60).unwrap();
        climate_notes(&reading.scenario, &timeline, None)
            .into_iter()
            .map(|warning| format!("{} {}", warning.path, warning.text))
            .collect()
    }

    #[test]
    fn pinned_built_in_says_what_it_rests_on() {
        let found = notes("", r#""lat": -20.49, "lon": 25.18"#, "2027-07-03", "");
        assert_eq!(
            found,
            [
                "/climate the weather is drawn from the built-in climate, a plausible climate of the place, not a \
                 forecast (sun of 2011-2015, temperature of 2003-2021): Pan on cell 21° S, 24° E and 3 around, \
                 sunshine weight 0.4 of 1, height 900 m (the land's mean); `tideover sky --at LAT,LON` shows \
                 a place",
                "/itinerary/legs/0 Pan: temperature records are some 402 km away, height counted as distance",
            ]
        );
    }

    #[test]
    fn pinned_a_month_that_is_hardly_known_is_said() {
        let found = notes("", r#""lat": 67, "lon": 22"#, "2027-11-12", "");
        assert!(
            found.contains(
                &"/itinerary/legs/0 Pan: the climate's own mean sun in November is known to 25 % only (2 in 3), which the \
                  chances hold: give your own months if you know them"
                    .to_owned()
            ),
            "{found:?}"
        );
        let found = notes("", r#""lat": 67, "lon": 22"#, "2027-07-12", "");
        assert!(
            found.iter().all(|note| !note.contains("is known to")),
            "{found:?}"
        );
    }

    #[test]
    fn pinned_a_record_says_its_days_and_its_gaps() {
        let rows: Vec<String> = (1..=30)
            .filter(|day| *day != 12)
            .map(|day| format!("2014-07-{day:02},5,6,24\n"))
            .collect();
        let file = format!("date,ghi_kwh_m2,min_c,max_c\n{}", rows.concat());
        let climate = r#""climate": { "kind": "history", "file": "a.csv", "block_days": 4 },"#;
        assert_eq!(
            notes(
                climate,
                r#""lat": -20.49, "lon": 25.18"#,
                "2027-07-03",
                &file
            ),
            [
                "/climate the weather is drawn from a record of 30 days, 2014-07-01 to 2014-07-30, in runs of 4 days \
                 that begin within 20 days of the date",
                "/climate/file 1 of the 30 days of the record were missing and took the mean of their neighbours",
            ]
        );
    }
}
