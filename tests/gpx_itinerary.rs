//! Itineraries from GPX files (GPX 1.1, an open format).
//!
//! One job: which points become stops, and how far apart they are. Distances by hand: a degree of latitude is
//! 111.19 km on a sphere of 6371 km.

mod one_run;

use one_run::Tideover;
use serde_json::Value;

const HEAD: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="hand" xmlns="http://www.topografix.com/GPX/1/1">"#;

fn gpx(body: &str) -> String {
    format!("{HEAD}{body}</gpx>")
}

fn waypoint(kind: &str, lat: f64, lon: f64, name: &str) -> String {
    format!(r#"<{kind} lat="{lat}" lon="{lon}"><ele>812.4</ele><name>{name}</name></{kind}>"#)
}

/// The itinerary made of a file, and what `check` and `trip` say to it.
fn itinerary(body: &str, more: &[&str]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("way.gpx"), gpx(body)).expect("written");
    let run = |args: &[&str]| {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_tideover"))
            .args(args)
            .current_dir(folder.path())
            .output()
            .expect("it runs");
        let talk = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{args:?}: {talk}");
    };
    let mut args = vec!["new", "mine.json", "--gpx", "way.gpx"];
    args.extend(more);
    run(&args);
    run(&["check", "mine.json"]);
    run(&["trip", "mine.json", "--trials", "20", "--step", "60"]);
    let text = std::fs::read_to_string(folder.path().join("mine.json")).expect("written");
    let file: Value = serde_json::from_str(&text).expect("JSON");
    file["itinerary"].clone()
}

fn km(itinerary: &Value) -> Vec<f64> {
    let legs = itinerary["legs"].as_array().expect("legs").iter();
    legs.map(|leg| leg["distance_km"].as_f64().expect("a number"))
        .collect()
}

#[test]
fn by_hand_waypoints_along_a_track_out_and_back() {
    // North along a meridian in steps of 0.1°, two degrees, and back: the stop in the middle is passed twice.
    let there = (0..=20).map(|step| 46.0 + f64::from(step) * 0.1);
    let back = (0..20).rev().map(|step| 46.0 + f64::from(step) * 0.1);
    let points: Vec<String> = there
        .chain(back)
        .map(|lat| format!(r#"<trkpt lat="{lat:.1}" lon="8.0"></trkpt>"#))
        .collect();
    let body = [
        waypoint("wpt", 46.0, 8.0, "Home"),
        waypoint("wpt", 47.0, 8.01, "Lake"),
        waypoint("wpt", 48.0, 8.0, "Top"),
        waypoint("wpt", 46.0, 8.0, "Home"),
        format!("<trk><trkseg>{}</trkseg></trk>", points.concat()),
    ]
    .concat();
    let made = itinerary(&body, &["--speed", "80"]);
    assert_eq!(made["from"]["name"], "Home");
    assert_eq!(made["from"]["height_m"], 812);
    assert_eq!(km(&made), [111.2, 111.2, 222.4]);
    let last = &made["legs"][2];
    assert_eq!((&last["to"], &last["nights"]), (&"Home".into(), &0.into()));
    let speed = serde_json::json!({ "min": 60, "likely": 80, "max": 92 });
    assert_eq!(last["speed_kmh"], speed);
    assert_eq!(made["legs"][0]["nights"], 1);
    assert!(made["time_zone"].is_null());
}

#[test]
fn by_hand_waypoints_in_another_order_than_the_track_take_the_tracks() {
    let points: Vec<String> = (0..=20)
        .map(|step| {
            format!(
                r#"<trkpt lat="{:.1}" lon="8.0"></trkpt>"#,
                46.0 + f64::from(step) * 0.1
            )
        })
        .collect();
    let body = [
        waypoint("wpt", 48.0, 8.0, "Top"),
        waypoint("wpt", 46.0, 8.0, "Home"),
        waypoint("wpt", 47.5, 8.0, "Lake"),
        format!("<trk><trkseg>{}</trkseg></trk>", points.concat()),
    ]
    .concat();
    let made = itinerary(&body, &[]);
    assert_eq!(made["from"]["name"], "Home");
    assert_eq!(km(&made), [166.8, 55.6]);
}

#[test]
fn by_hand_a_route_has_named_points_as_stops_and_the_others_as_its_way() {
    let bare = r#"<rtept lat="46.5" lon="8.5"></rtept>"#;
    let body = format!(
        "<rte>{}{bare}{}</rte>",
        waypoint("rtept", 46.0, 8.0, "Home"),
        waypoint("rtept", 47.0, 8.0, "Lake &lt;deep&gt;")
    );
    let made = itinerary(&body, &["--from", "two-banks"]);
    assert_eq!(made["legs"][0]["to"], "Lake <deep>");
    // Twice half a degree north and half a degree east or west: 67.60 and 67.40 km, by the haversine formula.
    assert!((km(&made)[0] - 135.0).abs() < 0.06, "{:?}", km(&made));
}

#[test]
fn by_hand_waypoints_alone_are_a_straight_way_and_a_detour_apart() {
    let body = [
        waypoint("wpt", 46.0, 8.0, "Home"),
        waypoint("wpt", 47.0, 8.0, "Lake"),
    ]
    .concat();
    // 1.3 times 111.19 km.
    assert_eq!(km(&itinerary(&body, &[])), [144.6]);
}

#[test]
fn refuses_what_is_no_way() {
    let run = |text: &str| {
        Tideover::new()
            .file("way.gpx", text.as_bytes())
            .args(["new", "mine.json", "--gpx", "way.gpx"])
            .fails(2)
    };
    run("not xml").stderr_has("error: `--gpx way.gpx`: is not readable as GPX: ");
    let one = gpx(&waypoint("wpt", 46.0, 8.0, "Home"));
    let ran = run(&one).stderr_has("has neither two waypoints nor a route or track of two points");
    assert!(
        !ran.folder().join("mine.json").exists(),
        "nothing is written"
    );
    Tideover::new()
        .args(["new", "mine.json", "--speed", "80"])
        .fails(2)
        .stderr_has("--gpx");
}
