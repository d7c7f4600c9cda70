//! Places that are likely not where their owner means them.
//!
//! One job: stops in the open sea, legs faster than any road, clocks that don't fit the sun, a start half a day
//! off; and the place a sign or a swap away, where that one fits. Left out: places found by name.

use chrono::{TimeDelta, Timelike};

use super::findings::Findings;
use crate::places::nearest;
use crate::scenario::{Itinerary, Place};
use crate::sky::distance::great_circle_km;
use crate::sky::world_climate::land_height_m;
use crate::units::Whole;

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

/// The places of an itinerary, each with what would have to fit.
pub(super) struct Way<'a> {
    itinerary: &'a Itinerary,
    stops: Vec<Stop<'a>>,
    zone_is_given: bool,
}

impl<'a> Way<'a> {
    pub(super) fn new(itinerary: &'a Itinerary, notes: &Findings<'_>) -> Self {
        Self {
            itinerary,
            stops: stops(itinerary, notes),
            zone_is_given: notes.is_given("/itinerary/time_zone"),
        }
    }

    /// Whether a place would be on land, within a drive of its neighbours, under the sun of its clocks.
    fn fits(&self, at: usize, point: (f64, f64)) -> bool {
        let stops = &self.stops;
        let off_h = clock_off_h(self.itinerary, point.1).abs();
        let before = at.checked_sub(1).and_then(|before| stops.get(before));
        let next = stops.get(at + 1);
        (!self.zone_is_given || off_h <= CLOCK_OFF_H)
            && before.is_none_or(|it| is_drivable(position(it), point, stops[at].hours))
            && next.is_none_or(|it| is_drivable(point, position(it), it.hours))
            && !is_sea(point)
    }

    /// What was likely meant by the degrees of a place, and where that is; 0 is where the trip begins.
    pub(super) fn likely(&self, at: usize) -> Option<String> {
        let found = self.likely_degrees(at)?;
        Some(format!(
            "{} would be {}",
            found.write,
            described(found.point)
        ))
    }

    fn likely_degrees(&self, at: usize) -> Option<Meant> {
        let candidates = meant(self.stops.get(at)?);
        candidates.into_iter().find(|it| self.fits(at, it.point))
    }

    /// How far what was likely meant lies from a known place, km.
    fn remoteness_km(&self, at: usize) -> f64 {
        let found = self.likely_degrees(at);
        let known = found.and_then(|found| nearest(found.point.0, found.point.1));
        known.map_or(f64::INFINITY, |(_, km)| km)
    }

    /// What is wrong with a place, and of which place that tells.
    fn doubt(&self, at: usize) -> Option<(usize, String)> {
        let stop = &self.stops[at];
        let (name, point) = (&stop.place.name, position(stop));
        if is_sea(point) {
            return Some((at, format!("lies in the open sea, at {}", degrees(point))));
        }
        let before = at.checked_sub(1).map(|before| &self.stops[before]);
        if let Some(before) = before.filter(|it| !is_drivable(position(it), point, stop.hours)) {
            // Either of the two may be misplaced: what is meant is rather where people live.
            let about = if self.remoteness_km(at - 1) < self.remoteness_km(at) {
                at - 1
            } else {
                at
            };
            let other = if about == at {
                &before.place.name
            } else {
                name
            };
            let text = format!(
                "is ‹{} km:0› in a straight line from {other}, {:.1} h at the wheel: faster than ‹{FASTEST_KMH} km/h:0›",
                great_circle_km(position(before), point),
                stop.hours.unwrap_or(0.0)
            );
            return Some((about, text));
        }
        let off_h = clock_off_h(self.itinerary, point.1).abs();
        (at == 0 && self.zone_is_given && off_h > CLOCK_OFF_H).then(|| {
            let zone = self.itinerary.zone.name();
            let place = degrees(point);
            (
                at,
                format!("is at {place}, where the clocks of {zone} are {off_h:.0} h off the sun"),
            )
        })
    }
}

/// Warns of the first place that is likely a slip, and of a start half a day off.
pub(super) fn doubt(itinerary: &Itinerary, notes: &mut Findings<'_>) {
    let way = Way::new(itinerary, notes);
    // What follows from the first is no doubt of its own.
    if let Some((at, text)) = (0..way.stops.len()).find_map(|at| way.doubt(at)) {
        let cure = way
            .likely(at)
            .map_or_else(String::new, |cure| format!("; {cure}"));
        notes.warn(
            &format!("{}/lat", way.stops[at].path),
            format!("{text}{cure}"),
        );
    }
    half_a_day(itinerary, notes);
}

fn stops<'a>(itinerary: &'a Itinerary, notes: &Findings<'_>) -> Vec<Stop<'a>> {
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
    let clock_h = itinerary.zone.offset_s(start_s).real() / 3600.0;
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
        // The table has the middle of a town, to the nearest kilometre.
        Some((place, km)) if km < 2.0 => place.full_name(),
        Some((place, km)) => format!("‹{km} km:0› from {}", place.full_name()),
        None => degrees((lat, lon)),
    }
}

/// A start twelve hours before the first departure of the same date: the evening written as the morning.
fn half_a_day(itinerary: &Itinerary, notes: &mut Findings<'_>) {
    let start = itinerary.start;
    let Some(leg) = itinerary.legs.first() else {
        return;
    };
    let start_min = i64::from(start.hour() * 60 + start.minute());
    let wait_min = i64::from(leg.depart.minutes()) - start_min;
    if start.hour() < 12 && (wait_min - 720).abs() <= 30 {
        let meant = (start + TimeDelta::hours(12)).format("%Y-%m-%dT%H:%M");
        let text = format!(
            "is {:.0} h before the first departure at ‹{:02}:{:02}›: is \"{meant}\" meant?",
            TimeDelta::minutes(wait_min).as_seconds_f64() / 3600.0,
            leg.depart.minutes() / 60,
            leg.depart.minutes() % 60
        );
        notes.warn("/itinerary/start", text);
    }
}
