//! Places of the world as a table or as JSON.
//!
//! One job: what `places` found, in the order found.

use serde_json::{Value, json};

use super::part::Part;
use crate::places::{KnownPlace, PLACES_NOTICE};
use crate::present::table::Table;

const HEADINGS: [&str; 6] = ["place", "region", "country", "lat", "lon", "time zone"];

/// How to read it.
const SAYS: &str = "Latitude and longitude in degrees, north and east positive.";

/// Everything that `places` shows.
#[must_use]
pub fn places_tables(places: &[&KnownPlace]) -> Vec<Part> {
    let rows = places.iter().map(|place| {
        let region = match place.region_name {
            "" => place.region,
            name => name,
        };
        vec![
            place.full_name(),
            region.to_owned(),
            place.country_name.to_owned(),
            format!("{:.2}", place.lat_deg),
            format!("{:.2}", place.lon_deg),
            place.zone.to_owned(),
        ]
    });
    let table = Table::shown(&HEADINGS, 3, rows).titled("", SAYS);
    let mut parts = Vec::from(Part::with_says(table));
    parts.push(Part::Lines(PLACES_NOTICE.to_owned()));
    parts
}

/// The same for programs.
#[must_use]
pub fn places_json(places: &[&KnownPlace]) -> Value {
    let places: Vec<Value> = places
        .iter()
        .map(|place| {
            json!({
                "name": place.name, "full_name": place.full_name(),
                "country": place.country, "country_name": place.country_name,
                "region": place.region, "region_name": place.region_name,
                "lat": place.lat_deg, "lon": place.lon_deg, "time_zone": place.zone,
            })
        })
        .collect();
    json!({ "places": places, "notice": PLACES_NOTICE })
}
