//! Where the station of a weather record stands, and for which stops.
//!
//! One job: warnings of far stations and of what a file's own head says better, each in full.

mod typical_years;

use tideover::scenario::{Reading, read};
use typical_years::STATIONS;

/// Stops by name, latitude, longitude, what else, and nights; the last one is where the trip ends.
type Stop<'a> = (&'a str, f64, f64, &'a str, u32);

fn reading(stops: &[Stop<'_>], climate: &str, file: &str) -> Reading {
    let legs: Vec<String> = stops
        .iter()
        .map(|(name, lat, lon, extra, nights)| {
            format!(
                r#"{{ "to": "{name}", "lat": {lat}, "lon": {lon}{extra}, "drive_hours": 1, "nights": {nights} }}"#
            )
        })
        .collect();
    let text = format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "2027-07-03T06:00", "time_zone": "UTC",
            "lived_in": ["07:00", "22:00"], "from": {{ "name": "Start", "lat": 0, "lon": 0 }},
            "legs": [ {} ] }},
            "climate": {{ "kind": "history", {climate} }},
            "banks": [ {{ "id": "main", "chemistry": "agm", "capacity_ah": 100 }} ],
            "solar": [ {{ "id": "roof", "to": "main", "panel_w": 100 }} ] }}"#,
        legs.join(", ")
    );
    read(&text, "a.json", &|_| Ok(file.as_bytes().to_vec()))
        .unwrap_or_else(|refusal| panic!("{refusal}"))
}

fn warnings(stops: &[Stop<'_>], climate: &str, file: &str) -> Vec<String> {
    let warnings = reading(stops, climate, file).warnings.clone();
    let words = |warning: tideover::scenario::Warning| format!("{} {}", warning.path, warning.text);
    // These stops lie where a station asks for them, not where anybody could drive in an hour.
    let of_record = warnings
        .into_iter()
        .filter(|it| it.path.starts_with("/climate"));
    of_record.map(words).collect()
}

fn july() -> String {
    let rows = (1..=31).map(|day| format!("2014-07-{day:02},5,6,24\n"));
    format!("date,ghi_kwh_m2,min_c,max_c\n{}", rows.collect::<String>())
}

const DAILY: &str = r#""file": "a.csv", "block_days": 5, "lat": 30, "lon": 10"#;

/// A degree of latitude is 111.2 km: 0.89 of it are 99 km, 0.91 are 101 km.
#[test]
fn a_stop_from_100_km_on_is_far() {
    let at = |lat: f64| warnings(&[("Pan", lat, 10.0, "", 2)], DAILY, &july());
    assert_eq!(at(30.89), Vec::<String>::new());
    assert_eq!(
        at(29.09),
        [
            "/climate/file is a record of the station at 30, 10, but stands for Pan (101 km away): the days there are \
             taken to be as clear and as warm"
        ]
    );
}

#[test]
fn stops_are_named_once_and_those_without_a_night_not_at_all() {
    let stops = [
        ("Pan", 32.0, 10.0, "", 1),
        ("Town", 50.0, 10.0, "", 0),
        ("Pan", 32.0, 10.0, "", 1),
        ("Hut", 33.0, 10.0, "", 1),
        ("Bay", 34.0, 10.0, "", 1),
        ("Near", 30.0, 10.0, "", 1),
        ("Ford", 35.0, 10.0, "", 1),
    ];
    assert_eq!(
        warnings(&stops, DAILY, &july()),
        [
            "/climate/file is a record of the station at 30, 10, but stands for Pan (222 km away), Hut (334 km away), \
             Bay (445 km away) and 1 more: the days there are taken to be as clear and as warm"
        ]
    );
}

#[test]
fn a_station_that_is_not_told_stands_at_the_last_stop() {
    let stops = [
        ("Pan", 30.0, 10.0, "", 2),
        ("Hut", 30.5, 10.0, "", 2),
        ("Home", 32.0, 10.0, "", 0),
    ];
    let climate = r#""file": "a.csv", "block_days": 5"#;
    assert_eq!(
        warnings(&stops, climate, &july()),
        [
            "/climate/file is a record of the last stop, since `lat` and `lon` of its station are not given, but stands \
             for Pan (222 km away) and Hut (167 km away): the days there are taken to be as clear and as warm"
        ]
    );
    let assumed = reading(&stops, climate, &july()).assumed.clone();
    assert!(assumed.iter().any(|assumed| assumed.path == "/climate/lat"));
}

/// Greensboro, whose written head says 10 m.
#[test]
fn the_head_of_a_file_tells_place_and_height() {
    let stops = [
        ("Low", 36.0, -80.0, r#", "height_m": 309"#, 1),
        ("High", 36.0, -80.0, r#", "height_m": 311"#, 1),
        ("Far", 38.0, -79.95, r#", "height_m": 1510"#, 1),
    ];
    for text in [STATIONS[0].epw(), STATIONS[0].tmy3()] {
        let found = reading(&stops, r#""file": "a""#, &text);
        let of_record = found
            .warnings
            .iter()
            .filter(|w| w.path.starts_with("/climate"));
        let words: Vec<&str> = of_record.map(|w| &w.text[..]).collect();
        assert_eq!(
            words,
            [
                "is a record of the station at 36.1, -79.95 in its head, but stands for High (301 m higher) and \
                 Far (211 km away, 1500 m higher): the days there are taken to be as clear and as warm"
            ]
        );
        let is_place = |assumed: &tideover::scenario::Assumed| assumed.path == "/climate/lat";
        assert!(!found.assumed.iter().any(is_place), "nothing is assumed");
    }
}

#[test]
fn what_the_head_of_a_file_says_better_is_not_used() {
    let stops = [("Low", 36.0, -80.0, "", 1)];
    let climate = r#""file": "a", "lat": 37, "lon": -79.95, "utc_offset_hours": -6,
        "columns": { "air_c": "t" }"#;
    assert_eq!(
        warnings(&stops, climate, &STATIONS[0].epw()),
        [
            "/climate/lat is not used: the head of the file has its station at 36.1, -79.95",
            "/climate/utc_offset_hours is not used: the head of the file has its zone",
            "/climate/columns is not used: the columns of this format are fixed",
        ]
    );
    let rounded = r#""file": "a", "lat": 36.1, "lon": -80"#;
    assert_eq!(
        warnings(&stops, rounded, &STATIONS[0].epw()),
        Vec::<String>::new()
    );
}
