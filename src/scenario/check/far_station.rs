//! Whether a weather record stands for places like its own.
//!
//! One job: doubts about the station of a record: far from a stop, or given twice. Whether its dates
//! suffice is asked in `weather_reach`.

use super::super::parts::ClimateFile;
use super::super::problem::escaped;
use super::findings::Findings;
use crate::scenario::{Itinerary, Place};
use crate::sky::distance::great_circle_km;
use crate::sky::history::Series;
use crate::units::joined;

/// From here on a stop is far from the station. Ours: a third of a cell of the built-in climate.
const FAR_KM: f64 = 100.0;

/// From this difference of height on a stop has another climate. Ours: some 2 K, and often another
/// side of the clouds.
const FAR_M: f64 = 300.0;

/// A place given beside the head of a file may differ so much by rounding. Ours.
const SAME_KM: f64 = 10.0;

/// Stops named in one sentence.
const NAMED: usize = 3;

/// Writes down the doubts about the station of a record.
pub(super) fn doubt(
    file: &ClimateFile,
    series: &Series,
    itinerary: &Itinerary,
    notes: &mut Findings<'_>,
) {
    if series.is_placed {
        unused(file, series, notes);
    }
    let mut far: Vec<String> = Vec::new();
    for leg in itinerary.legs.iter().filter(|leg| leg.nights > 0) {
        let words = far_words(&leg.stop, series);
        far.extend(words.filter(|words| !far.contains(words)));
    }
    if far.is_empty() {
        return;
    }
    let station = format!("{}, {}", series.lat_deg, series.lon_deg);
    let whose = if series.is_placed {
        format!("the station at {station} in its head")
    } else if file.lat.is_some() {
        format!("the station at {station}")
    } else {
        "the last stop, since `lat` and `lon` of its station are not given".to_owned()
    };
    let text = format!(
        "is a record of {whose}, but stands for {}: the days there are taken to be as clear and as warm",
        and(&far)
    );
    notes.warn("/climate/file", text);
}

/// What is given in the scenario although the head of the file says it.
fn unused(file: &ClimateFile, series: &Series, notes: &mut Findings<'_>) {
    if let (Some(lat_deg), Some(lon_deg)) = (file.lat, file.lon)
        && great_circle_km((lat_deg, lon_deg), (series.lat_deg, series.lon_deg)) > SAME_KM
    {
        let text = format!(
            "is not used: the head of the file has its station at {}, {}",
            series.lat_deg, series.lon_deg
        );
        notes.warn("/climate/lat", text);
    }
    if file.utc_offset_hours.is_some() {
        let text = "is not used: the head of the file has its zone";
        notes.warn("/climate/utc_offset_hours", text.to_owned());
    }
    if file.columns.is_some() {
        let text = "is not used: the columns of this format are fixed";
        notes.warn("/climate/columns", text.to_owned());
    }
}

/// A stop and how far it is from the station; `None` where it is near.
fn far_words(stop: &Place, series: &Series) -> Option<String> {
    let km = great_circle_km(
        (stop.lat_deg, stop.lon_deg),
        (series.lat_deg, series.lon_deg),
    );
    let higher_m = stop
        .height_m
        .zip(series.height_m)
        .map_or(0.0, |(stop_m, station_m)| stop_m - station_m);
    let mut parts = Vec::new();
    if km > FAR_KM {
        parts.push(format!("‹{km} km:0› away"));
    }
    if higher_m.abs() > FAR_M {
        let word = if higher_m > 0.0 { "higher" } else { "lower" };
        parts.push(format!("‹{} m:0› {word}", higher_m.abs()));
    }
    let name = escaped(&stop.name, 40);
    (!parts.is_empty()).then(|| format!("{name} ({})", parts.join(", ")))
}

/// The first few in one sentence.
fn and(words: &[String]) -> String {
    let more = words.len().saturating_sub(NAMED);
    let named = &words[..words.len() - more];
    match more {
        0 => joined(named, "and"),
        more => format!("{} and {more} more", named.join(", ")),
    }
}
