//! Places that are likely not where their owner means them.
//!
//! One job: stops in the open sea, legs faster than any road, clocks that don't fit the sun, a start half a day
//! off; and the place a sign or a swap away, where that one fits. Left out: places found by name.

use chrono::{TimeDelta, Timelike};

use super::notebook::Notebook;
use crate::places::nearest;
use crate::scenario::{Itinerary, Place};
use crate::sky::distance::great_circle_km;
use crate::sky::world_climate::land_height_m;

/// Speed along the great circle beyond which a leg is doubted, km/h. Ours: roads wind, and who drives rests.
const FASTEST_KMH: f64 = 130.0;

/// A way this short proves nothing, km.
const SHORT_KM: f64 = 20.0;

/// Hours by which clocks may differ from the sun's mean time. Ours: the widest zones and summer time come to 3.4.
const CLOCK_OFF_H: f64 = 4.0;

/// A place without land around it is at sea unless a known place is this near, km: small islands. Ours.
const ISLAND_KM: f64 = 60.0;

/// A place of the itinerary with its path.
struct Stop<'a> {
    path: String,
    place: &'a Place,
    /// Mean hours of the drive that leads there.
    hours: Option<f64>,
    /// Whether the file gives it by degrees.
    is_by_degrees: bool,
}

/// Degrees that may have been meant, and what to write.
struct Meant {
    point: (f64, f64),
    write: String,
}

/// Warns of places, zone and start that are likely slips.
pub(super) fn doubt(itinerary: &Itinerary, notes: &mut Notebook<'_>) {
    let stops = stops(itinerary, notes);
    let zone_off_h = |point: (f64, f64)| clock_off_h(itinerary, point.1);
    let zone_is_given = notes.is_given("/itinerary/time_zone");
    let fits = |at: usize, point: (f64, f64)| {
        let by_zone = !zone_is_given || zone_off_h(point).abs() <= CLOCK_OFF_H;
        let before = at.checked_sub(1).and_then(|before| stops.get(before));
        let from =
            before.is_none_or(|before| is_drivable(position(before), point, stops[at].hours));
        let next = stops.get(at + 1);
        let to = next.is_none_or(|next| is_drivable(point, position(next), next.hours));
        by_zone && from && to && !is_sea(point)
    };
    let mut is_misplaced = false;
    for at in 0..stops.len() {
        let stop = &stops[at];
        let point = position(stop);
        let before = at.checked_sub(1).map(|before| &stops[before]);
        let way = before.map(|before| (before, great_circle_km(position(before), point)));
        let mut about = at;
        let text = if is_sea(point) {
            format!(
                "{} lies in the open sea, at {}",
                stop.place.name,
                degrees(point)
            )
        } else if let Some((before, km)) = way
            && !is_drivable(position(before), point, stop.hours)
        {
            // The stop before may be the one that is misplaced.
            let candidates = |at: usize| meant(&stops[at]).into_iter().any(|it| fits(at, it.point));
            if !candidates(at) && candidates(at - 1) {
                about = at - 1;
            }
            format!(
                "{km:.0} km in a straight line from {} to {} in {:.1} h: faster than {FASTEST_KMH:.0} km/h",
                before.place.name,
                stop.place.name,
                stop.hours.unwrap_or(0.0)
            )
        } else if at == 0 && zone_is_given && zone_off_h(point).abs() > CLOCK_OFF_H {
            format!(
                "the clocks of {} are {:.0} h off the sun at {}, at {}",
                itinerary.zone.name(),
                zone_off_h(point).abs(),
                stop.place.name,
                degrees(point)
            )
        } else {
            continue;
        };
        if is_misplaced && about < at {
            continue;
        }
        is_misplaced = true;
        let cure = meant(&stops[about])
            .into_iter()
            .find(|candidate| fits(about, candidate.point))
            .map_or_else(String::new, |candidate| {
                format!(
                    "; {} would be {}",
                    candidate.write,
                    described(candidate.point)
                )
            });
        let path = format!("{}/lat", stops[about].path);
        notes.warn(&path, format!("{text}{cure}"));
        if about == at {
            // What follows from this one is no doubt of its own.
            break;
        }
    }
    half_a_day(itinerary, notes);
}

fn stops<'a>(itinerary: &'a Itinerary, notes: &Notebook<'_>) -> Vec<Stop<'a>> {
    let stop = |path: String, place, hours| Stop {
        is_by_degrees: notes.is_given(&format!("{path}/lat")),
        path,
        place,
        hours,
    };
    let first = stop("/itinerary/from".to_owned(), &itinerary.from, None);
    let legs = itinerary.legs.iter().enumerate().map(|(number, leg)| {
        let hours = leg.drive_hours.mean();
        stop(format!("/itinerary/legs/{number}"), &leg.stop, Some(hours))
    });
    std::iter::once(first).chain(legs).collect()
}

fn position(stop: &Stop<'_>) -> (f64, f64) {
    (stop.place.lat_deg, stop.place.lon_deg)
}

fn is_drivable(from: (f64, f64), to: (f64, f64), hours: Option<f64>) -> bool {
    let km = great_circle_km(from, to);
    km < SHORT_KM || hours.is_none_or(|hours| km <= FASTEST_KMH * hours)
}

fn is_sea((lat, lon): (f64, f64)) -> bool {
    land_height_m(lat, lon).is_none() && nearest(lat, lon).is_none_or(|(_, km)| km > ISLAND_KM)
}

/// Hours by which the zone's clocks at the start are ahead of the sun's mean time.
fn clock_off_h(itinerary: &Itinerary, lon_deg: f64) -> f64 {
    let start_s = itinerary.zone.first_utc_s(itinerary.start);
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    let clock_h = itinerary.zone.offset_s(start_s) as f64 / 3600.0;
    // Past the date line a day more or less is no matter of the sun.
    (clock_h - lon_deg / 15.0 + 12.0).rem_euclid(24.0) - 12.0
}

/// The degrees a slip away: a sign forgotten, or the two in each other's place.
fn meant(stop: &Stop<'_>) -> Vec<Meant> {
    if !stop.is_by_degrees {
        return Vec::new();
    }
    let (lat, lon) = position(stop);
    let both = |lat: f64, lon: f64| Meant {
        point: (lat, lon),
        write: format!("`\"lat\": {lat}, \"lon\": {lon}`"),
    };
    let mut meant = vec![
        Meant {
            point: (-lat, lon),
            write: format!("`\"lat\": {}`", -lat),
        },
        Meant {
            point: (lat, -lon),
            write: format!("`\"lon\": {}`", -lon),
        },
    ];
    if lon.abs() <= 90.0 {
        meant.push(both(lon, lat));
    }
    meant.push(both(-lat, -lon));
    if lon.abs() <= 90.0 {
        meant.push(both(-lon, lat));
        meant.push(both(lon, -lat));
    }
    meant
}

fn degrees((lat, lon): (f64, f64)) -> String {
    let side = |value: f64, plus: &str, minus: &str| {
        let side = if value < 0.0 { minus } else { plus };
        format!("{}° {side}", value.abs())
    };
    format!("{} {}", side(lat, "N", "S"), side(lon, "E", "W"))
}

fn described((lat, lon): (f64, f64)) -> String {
    match nearest(lat, lon) {
        Some((place, km)) if km < 1.0 => place.full_name(),
        Some((place, km)) => format!("{km:.0} km from {}", place.full_name()),
        None => degrees((lat, lon)),
    }
}

/// A start twelve hours before the first departure of the same date: the evening written as the morning.
fn half_a_day(itinerary: &Itinerary, notes: &mut Notebook<'_>) {
    let start = itinerary.start;
    let Some(leg) = itinerary.legs.first() else {
        return;
    };
    let start_min = i64::from(start.hour() * 60 + start.minute());
    let wait_min = i64::from(leg.depart.minutes()) - start_min;
    if start.hour() < 12 && (wait_min - 720).abs() <= 30 {
        let meant = (start + TimeDelta::hours(12)).format("%Y-%m-%dT%H:%M");
        let text = format!(
            "the trip begins {:.0} h before its first departure at {:02}:{:02}: is \"{meant}\" meant?",
            TimeDelta::minutes(wait_min).as_seconds_f64() / 3600.0,
            leg.depart.minutes() / 60,
            leg.depart.minutes() % 60
        );
        notes.warn("/itinerary/start", text);
    }
}
