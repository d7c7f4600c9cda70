//! An itinerary from a GPX file.
//!
//! One job: waypoints, route points or the ends of a track as stops, with the distances between them, put into a
//! starter scenario in the place of its own itinerary. Hours come from a speed that its owner edits.
//! Left out: dates and nights, which such a file does not have.

use std::fmt::Write as _;

use gpx::{Gpx, Waypoint};
use serde_json::{Value, json};

use super::super::document::scan;
use crate::sky::distance::great_circle_km;

/// Stops that an itinerary takes at most.
const MOST_STOPS: usize = 400;

/// How much longer roads are than the straight line, where no track tells. Ours.
const DETOUR: f64 = 1.3;

/// A waypoint farther from the track than this lies beside it, km: then the order of the file counts. Ours.
const BESIDE_KM: f64 = 5.0;

/// Mean speed on a leg of which nothing else is known, km/h, short halts included. Ours.
pub const LIKELY_KMH: u16 = 60;

/// Slowest and fastest speed as shares of the given one. Ours: halts and tracks on one side, good road on the other.
const SPEED_SPREAD: [f64; 2] = [0.75, 1.15];

/// Why no itinerary comes of a file.
#[derive(Debug, Clone, PartialEq)]
pub enum GpxProblem {
    /// It is not GPX.
    Unreadable(String),
    /// It has fewer than two points to go by.
    TooFew,
    /// It has more stops than an itinerary takes.
    TooMany(usize),
    /// The starter scenario does not fit its stops.
    Unfit(String),
}

impl std::fmt::Display for GpxProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Unreadable(error) => write!(f, "is not readable as GPX: {error}"),
            Self::TooFew => write!(
                f,
                "has neither two waypoints nor a route or track of two points"
            ),
            Self::TooMany(count) => write!(
                f,
                "has {count} stops, but an itinerary takes {MOST_STOPS} at most"
            ),
            Self::Unfit(error) => write!(f, "does not go with this template: {error}"),
        }
    }
}

impl std::error::Error for GpxProblem {}

/// A stop with the way to it.
struct Stop {
    name: String,
    point: (f64, f64),
    height_m: Option<f64>,
    /// From the stop before.
    km: f64,
}

/// The text of a starter scenario with the itinerary of a GPX file; `speed_kmh` is the likely mean speed.
///
/// # Errors
/// [`GpxProblem`].
pub fn with_gpx(template: &str, bytes: &[u8], speed_kmh: f64) -> Result<String, GpxProblem> {
    let file = gpx::read(bytes).map_err(|error| GpxProblem::Unreadable(error.to_string()))?;
    let stops = stops(&file)?;
    let unfit = |error: String| GpxProblem::Unfit(error);
    let (root, _) = scan(template).map_err(|(_, fault)| unfit(fault.text))?;
    let text_at = |pointer: &str| {
        let node = root.at(pointer)?;
        template.get(node.span.from..node.span.to)
    };
    let kept = |key: &str| text_at(&format!("/itinerary/{key}")).map(|text| (key.to_owned(), text));
    let kept: Vec<(String, &str)> = ["start", "lived_in", "heated"]
        .iter()
        .filter_map(|key| kept(key))
        .collect();
    let span = root
        .at("/itinerary")
        .map(|node| node.span)
        .ok_or_else(|| unfit("it has no itinerary".to_owned()))?;
    let (before, after) = (&template[..span.from], &template[span.to..]);
    let text = format!("{before}{}{after}", itinerary(&stops, &kept, speed_kmh));
    let none = |_: &str| Err("no weather file".to_owned());
    crate::scenario::read(&text, "the scenario", &none).map_err(|refusal| {
        let problems = refusal.problems.iter();
        let told = problems.map(|problem| format!("{} {}", problem.place(), problem.text));
        unfit(told.collect::<Vec<_>>().join("; "))
    })?;
    Ok(text)
}

/// The itinerary as text, a line a leg.
fn itinerary(stops: &[Stop], kept: &[(String, &str)], speed_kmh: f64) -> String {
    let mut text = "{\n    \"note\": \"from a GPX file: edit start, departures, nights and speeds; the time zone is that of the first place\",\n"
        .to_owned();
    for (key, value) in kept {
        let _ = writeln!(text, "    \"{key}\": {value},");
    }
    let place = |stop: &Stop, key: &str| {
        let mut place = serde_json::Map::new();
        place.insert(key.to_owned(), Value::from(stop.name.as_str()));
        place.insert("lat".to_owned(), json!(rounded(stop.point.0, 1e5)));
        place.insert("lon".to_owned(), json!(rounded(stop.point.1, 1e5)));
        if let Some(height_m) = stop.height_m {
            place.insert("height_m".to_owned(), json!(rounded(height_m, 1.0)));
        }
        place
    };
    let _ = writeln!(
        text,
        "    \"from\": {},",
        line(&place(&stops[0], "name").into())
    );
    text.push_str("    \"legs\": [\n");
    let is_round = great_circle_km(stops[0].point, stops[stops.len() - 1].point) < BESIDE_KM;
    for (at, stop) in stops.iter().enumerate().skip(1) {
        let mut leg = place(stop, "to");
        let is_last = at + 1 == stops.len();
        leg.insert("depart".to_owned(), json!("09:00"));
        leg.insert("distance_km".to_owned(), json!(rounded(stop.km, 10.0)));
        leg.insert("speed_kmh".to_owned(), speed_spread(speed_kmh));
        leg.insert(
            "nights".to_owned(),
            json!(u32::from(!(is_last && is_round))),
        );
        let comma = if is_last { "" } else { "," };
        let _ = writeln!(text, "      {}{comma}", line(&leg.into()));
    }
    text.push_str("    ]\n  }");
    text
}

/// Mean speed on a leg as a spread about a likely one, km/h.
fn speed_spread(likely_kmh: f64) -> Value {
    let [slow, fast] = SPEED_SPREAD.map(|share| rounded(share * likely_kmh, 1.0).max(1.0));
    json!({ "min": slow, "likely": likely_kmh, "max": fast.max(likely_kmh) })
}

/// The way between two points where nothing but these is known, km: the straight line with a detour.
fn road_km(from: (f64, f64), to: (f64, f64)) -> f64 {
    DETOUR * great_circle_km(from, to)
}

/// The keys of a leg that say how far and how fast it is, guessed from its two ends (latitude and longitude in
/// degrees) for its owner to edit.
#[must_use]
pub fn guessed_way(from: (f64, f64), to: (f64, f64)) -> Value {
    let km = rounded(road_km(from, to), 1.0).max(1.0);
    json!({ "distance_km": km, "speed_kmh": speed_spread(f64::from(LIKELY_KMH)) })
}

/// JSON on one line, with spaces as people write it.
fn line(value: &Value) -> String {
    match value {
        Value::Object(members) => {
            let members = members.iter();
            let members = members.map(|(key, value)| format!("{}: {}", json!(key), line(value)));
            format!("{{ {} }}", members.collect::<Vec<_>>().join(", "))
        }
        Value::Number(number) => {
            let text = number.to_string();
            text.strip_suffix(".0").unwrap_or(&text).to_owned()
        }
        other => other.to_string(),
    }
}

fn rounded(value: f64, per: f64) -> f64 {
    (value * per).round() / per + 0.0
}

fn point(point: &Waypoint) -> (f64, f64) {
    (point.point().y(), point.point().x())
}

/// The stops of a file with the distances along its track, its route, or in a straight line with a detour.
fn stops(file: &Gpx) -> Result<Vec<Stop>, GpxProblem> {
    let track: Vec<&Waypoint> = file
        .tracks
        .iter()
        .flat_map(|track| &track.segments)
        .flat_map(|segment| &segment.points)
        .collect();
    let route: Vec<&Waypoint> = file
        .routes
        .iter()
        .map(|route| &route.points)
        .find(|points| points.len() > 1)
        .into_iter()
        .flatten()
        .collect();
    let is_named = |point: &&&Waypoint| {
        point
            .name
            .as_deref()
            .is_some_and(|name| !name.trim().is_empty())
    };
    let named: Vec<&Waypoint> = route.iter().filter(is_named).copied().collect();
    let mut chosen: Vec<&Waypoint> = if file.waypoints.len() > 1 {
        file.waypoints.iter().collect()
    } else if named.len() > 1 {
        named
    } else if route.len() > 1 {
        route.clone()
    } else {
        track
            .first()
            .into_iter()
            .chain(track.last())
            .copied()
            .collect()
    };
    if chosen.len() < 2 {
        return Err(GpxProblem::TooFew);
    }
    if chosen.len() > MOST_STOPS + 1 {
        return Err(GpxProblem::TooMany(chosen.len()));
    }
    let line = if track.len() > 1 { track } else { route };
    let line: Vec<(f64, f64)> = line.into_iter().map(point).collect();
    let along = along(&line, &mut chosen);
    Ok(named_stops(&chosen, &along))
}

/// Distance along a line at each of the points, km; points that the file has in another order than the line are
/// put into the line's. Without a line the straight ways with a detour.
fn along(line: &[(f64, f64)], points: &mut [&Waypoint]) -> Vec<f64> {
    if line.len() < 2 {
        let mut sum_km = 0.0;
        let ways = points.windows(2).map(|pair| {
            sum_km += road_km(point(pair[0]), point(pair[1]));
            sum_km
        });
        return std::iter::once(0.0).chain(ways).collect();
    }
    let mut sums_km = vec![0.0];
    for pair in line.windows(2) {
        sums_km.push(sums_km[sums_km.len() - 1] + great_circle_km(pair[0], pair[1]));
    }
    let nearest = |to: (f64, f64), from: usize| {
        let ahead = (from..line.len()).map(|at| (at, great_circle_km(line[at], to)));
        ahead
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((from, f64::INFINITY))
    };
    // In the order of the file, each ahead of the one before, where they all lie by the line so.
    let mut at = 0;
    let in_order: Option<Vec<usize>> = points
        .iter()
        .map(|stop| {
            let (found, km) = nearest(point(stop), at);
            let (_, anywhere_km) = nearest(point(stop), 0);
            at = found;
            (km < anywhere_km + BESIDE_KM).then_some(found)
        })
        .collect();
    let places = in_order.unwrap_or_else(|| {
        points.sort_by_key(|stop| nearest(point(stop), 0).0);
        points
            .iter()
            .map(|stop| nearest(point(stop), 0).0)
            .collect()
    });
    places.into_iter().map(|at| sums_km[at]).collect()
}

/// Stops with names that tell them apart.
fn named_stops(points: &[&Waypoint], along_km: &[f64]) -> Vec<Stop> {
    let mut stops: Vec<Stop> = Vec::with_capacity(points.len());
    for (at, found) in points.iter().enumerate() {
        let name = found.name.as_deref().map(str::trim).unwrap_or_default();
        let name: String = name.chars().filter(|c| !c.is_control()).take(90).collect();
        let name = match (name.is_empty(), at) {
            (false, _) => name,
            (true, 0) => "Start".to_owned(),
            (true, _) => format!("Stop {at}"),
        };
        let here = point(found);
        // The same name at another place is another stop.
        let is_taken = stops
            .iter()
            .any(|known| known.name == name && great_circle_km(known.point, here) > 1.0);
        stops.push(Stop {
            name: if is_taken {
                format!("{name} {at}")
            } else {
                name
            },
            point: here,
            height_m: found.elevation.filter(|m| (-500.0..=6500.0).contains(m)),
            km: at
                .checked_sub(1)
                .map_or(0.0, |before| along_km[at] - along_km[before]),
        });
    }
    stops
}
