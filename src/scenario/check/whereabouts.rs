//! Where a place of the itinerary lies.
//!
//! One job: its degrees, a way from a place known by name, or its own name, to one point; and what
//! was found, for `check` to say. Left out: whether the point makes sense (`doubts`).

use super::super::parts::BearingFile;
use super::super::problem::{
    Fault, both_given, either, escaped, missing_beside, must_be, needs_other,
};
use super::findings::Findings;
use crate::places::{Bearing, KnownPlace, alike, destination, find, nearest};
use crate::scenario::{Place, Zone};

/// Of equal names the nearest counts, if it lies within this distance of the stop before, km: a
/// long way even for days at the wheel.
const WITHIN_KM: f64 = 2000.0;

/// Equal names that a warning lists at most.
const LISTED: usize = 5;

/// What the file says of where a place is.
pub(super) struct Whereabouts<'a> {
    /// Its name and the key that gives it.
    pub(super) name: (&'a str, &'static str),
    pub(super) lat: Option<f64>,
    pub(super) lon: Option<f64>,
    pub(super) near: Option<&'a str>,
    pub(super) km: Option<f64>,
    pub(super) bearing: Option<&'a BearingFile>,
    pub(super) height_m: Option<f64>,
}

impl Whereabouts<'_> {
    /// The place, or a problem written down. `before` is the stop before it.
    pub(super) fn place(
        &self,
        before: Option<(f64, f64)>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<Place> {
        let (lat_deg, lon_deg) = self.point(before, path, notes)?;
        Some(Place {
            name: self.name.0.to_owned(),
            lat_deg,
            lon_deg,
            height_m: self.height_m,
        })
    }

    fn point(
        &self,
        before: Option<(f64, f64)>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<(f64, f64)> {
        let spoiled = ["lat", "lon", "near", "km", "bearing"]
            .iter()
            .any(|key| notes.is_spoiled_itself(&format!("{path}/{key}")));
        match (self.lat, self.lon, self.near) {
            _ if spoiled => None,
            (Some(_), Some(_), Some(_)) => {
                notes.problem(&format!("{path}/near"), both_given("lat"));
                None
            }
            (Some(lat), Some(lon), None) => {
                self.way_without_near(path, notes).then_some((lat, lon))
            }
            (Some(_), None, _) => missing(path, "lat", "lon", notes),
            (None, Some(_), _) => missing(path, "lon", "lat", notes),
            (None, None, Some(near)) => self.point_near(near, before, path, notes),
            (None, None, None) => {
                if !self.way_without_near(path, notes) {
                    return None;
                }
                let found = meant(
                    self.name.0,
                    before,
                    &format!("{path}/{}", self.name.1),
                    notes,
                )?;
                let reason = format!("{} of the built-in places", found.full_name());
                notes.assume(&format!("{path}/lat"), &found.lat_deg, &reason);
                notes.assume(&format!("{path}/lon"), &found.lon_deg, &reason);
                Some((found.lat_deg, found.lon_deg))
            }
        }
    }

    /// Whether `km` and `bearing` are left out, as they must be where there is no `near`.
    fn way_without_near(&self, path: &str, notes: &mut Findings<'_>) -> bool {
        for (key, is_given) in [
            ("km", self.km.is_some()),
            ("bearing", self.bearing.is_some()),
        ] {
            if is_given {
                notes.problem(&format!("{path}/{key}"), needs_other("near"));
                return false;
            }
        }
        true
    }

    fn point_near(
        &self,
        near: &str,
        before: Option<(f64, f64)>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<(f64, f64)> {
        let found = meant(near, before, &format!("{path}/near"), notes)?;
        let Some(km) = self.km else {
            return missing(path, "near", "km", notes);
        };
        let bearing = match self.bearing {
            None => return missing(path, "near", "bearing", notes),
            Some(BearingFile::Degrees(degrees)) => Bearing::degrees(*degrees)?,
            Some(BearingFile::Point(text)) => {
                let Some(bearing) = Bearing::parse(text) else {
                    let allowed = "a compass point such as `NW` or `NNW`, or degrees from 0 to 360";
                    let fault = must_be(format_args!("`{}`", text.escape_debug()), allowed);
                    notes.problem(&format!("{path}/bearing"), fault);
                    return None;
                };
                bearing
            }
        };
        let (lat, lon) = destination((found.lat_deg, found.lon_deg), km, bearing);
        let reason = format!("‹{km} km› {} of {}", bearing.point(), found.full_name());
        notes.assume(&format!("{path}/lat"), &format!("{lat:.3}"), &reason);
        notes.assume(&format!("{path}/lon"), &format!("{lon:.3}"), &reason);
        Some((lat, lon))
    }
}

fn missing(
    path: &str,
    given: &'static str,
    lacks: &str,
    notes: &mut Findings<'_>,
) -> Option<(f64, f64)> {
    let key = format!("{path}/{lacks}");
    if !notes.is_given(&key) {
        notes.problem(&key, missing_beside(given));
    }
    None
}

/// The place that a name means on the way from the stop before; a problem where there is none, a
/// warning where there are several.
fn meant(
    name: &str,
    before: Option<(f64, f64)>,
    path: &str,
    notes: &mut Findings<'_>,
) -> Option<&'static KnownPlace> {
    let mut found = find(name);
    let Some(first) = found.first() else {
        let alike: Vec<String> = (alike(name, 3).into_iter())
            .map(KnownPlace::full_name)
            .collect();
        let hint = if alike.is_empty() {
            "give `lat` and `lon`, or a town with `\"near\": \"Town, Country\", \"km\": 30, \"bearing\": \"NW\"`".to_owned()
        } else {
            format!("did you mean {}?", either(&alike))
        };
        let text = format!(
            "is `{}`, which is none of the built-in places (500 people and more), and has no `lat` and `lon`",
            escaped(name, 40)
        );
        notes.problem(path, Fault::from(text).hint(&hint));
        return None;
    };
    // Those spelled to the letter go before others of the same key.
    let spelled_as_first = |place: &&KnownPlace| place.name == first.name;
    let mut chosen = *first;
    if let Some((lat, lon)) = before {
        let from_before = |place: &&KnownPlace| place.distance_km(lat, lon);
        chosen = found
            .iter()
            .copied()
            .filter(spelled_as_first)
            .filter(|place| from_before(place) <= WITHIN_KM)
            .min_by(|a, b| from_before(a).total_cmp(&from_before(b)))
            .unwrap_or(chosen);
    }
    if found.len() > 1 {
        found.retain(|place| !std::ptr::eq(*place, chosen));
        notes.warn(path, several(chosen, &found, before));
    }
    Some(chosen)
}

fn several(chosen: &KnownPlace, others: &[&KnownPlace], before: Option<(f64, f64)>) -> String {
    let described = |place: &KnownPlace| {
        let region = if place.region_name.is_empty() {
            String::new()
        } else {
            format!("{}, ", place.region_name)
        };
        let distance = before.map_or(String::new(), |(lat, lon)| {
            format!(
                ", ‹{} km:0› from the stop before",
                place.distance_km(lat, lon)
            )
        });
        format!(
            "{} ({region}{}{distance})",
            place.full_name(),
            place.country_name
        )
    };
    let listed: Vec<String> = others
        .iter()
        .take(LISTED)
        .map(|place| described(place))
        .collect();
    let rest = match others.len().saturating_sub(LISTED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!(
        "is the name of {} places; taken as {}. Others: {}{rest}",
        others.len() + 1,
        described(chosen),
        listed.join("; ")
    )
}

/// The time zone of the place where the trip begins: that of the nearest place of the table.
pub(super) fn zone_of(from: &Place, notes: &mut Findings<'_>) -> Option<Zone> {
    let (place, km) = nearest(from.lat_deg, from.lon_deg)?;
    let reason = if km < 1.0 {
        format!("that of {}, where the trip begins", place.full_name())
    } else {
        format!(
            "that of {}, the nearest known place, ‹{km} km:0› from where the trip begins",
            place.full_name()
        )
    };
    notes.assume("/itinerary/time_zone", &place.zone, &reason);
    Zone::find(place.zone)
}
