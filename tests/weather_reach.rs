//! Whether `check` and `trip` agree on which days have weather.
//!
//! One job: what is accepted runs, what is refused says where and why. Contents of weather files are
//! tested apart.

use proptest::prelude::*;
use tideover::scenario::{Reading, Refusal, read};
use tideover::sky::extraterrestrial::horizontal_day_wh_m2;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;

fn text(
    climate: &str,
    from: (f64, f64),
    to: (f64, f64),
    start: &str,
    nights: u32,
    hours: f64,
) -> String {
    let place = |(lat, lon): (f64, f64)| format!(r#""lat": {lat}, "lon": {lon}"#);
    format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "{start}", "time_zone": "UTC", "from": {{ "name": "A", {} }},
  "legs": [ {{ "to": "B", {}, "drive_hours": {{ "min": 0, "likely": {hours}, "max": 40 }}, "nights": {nights} }} ] }},
  {climate}
  "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }} ] }}"#,
        place(from),
        place(to)
    )
}

fn reads(text: &str, file: &str) -> Result<Reading, Refusal> {
    read(text, "a.json", &|_| Ok(file.as_bytes().to_vec()))
}

fn refusal(text: &str, file: &str) -> String {
    match reads(text, file) {
        Ok(_) => panic!("accepted: {text}"),
        Err(refusal) => refusal.to_string(),
    }
}

#[test]
fn refuses_a_stop_beyond_the_built_in_climate() {
    let text = text(
        "",
        (-20.0, 25.0),
        (-48.0, -120.0),
        "2027-07-03T06:00",
        2,
        3.0,
    );
    assert_eq!(
        refusal(&text, ""),
        "error: `a.json` has 1 problem\n\n  a.json:2:33  /itinerary/legs/0/lat (B)\n    \
         stands at -48, -120, where the built-in climate does not reach: its nearest cell is 3162 km away, \
         and at most 400 km are bridged\n    \
         hint: give the months yourself with `\"climate\": { \"kind\": \"monthly\", … }` or a weather file with \
         `\"climate\": { \"kind\": \"history\", … }`\n"
    );
}

/// A ferry: noon of the crossing lies far from every cell, both ends on land.
#[test]
fn a_crossing_beyond_the_built_in_climate_takes_the_nearest_day() {
    let text = text("", (38.7, -9.1), (40.7, -74.0), "2027-07-03T06:00", 2, 20.0);
    let reading = reads(&text, "").unwrap_or_else(|refusal| panic!("{refusal}"));
    assert!(Timeline::new(&reading.scenario, Plan::Trip, 60).is_ok());
}

fn july() -> String {
    let rows = (1..=31).map(|day| format!("2014-07-{day:02},5,6,24\n"));
    format!("date,ghi_kwh_m2,min_c,max_c\n{}", rows.collect::<String>())
}

#[test]
fn refuses_a_record_without_the_season_or_the_year() {
    let pan = (-20.0, 25.0);
    let history =
        |extra: &str| format!(r#""climate": {{ "kind": "history", "file": "a.csv"{extra} }},"#);
    for (extra, start, wanted) in [
        (
            r#", "block_days": 8"#,
            "2027-11-03T06:00",
            "/climate/file\n    is `a.csv`, but it has no 8 days in a row that begin within 20 days of 3 November\n    \
             hint: give a smaller `block_days`, a larger `season_days` or a longer file\n",
        ),
        (
            r#", "replay": 2014"#,
            "2027-07-30T06:00",
            "/climate/replay\n    is 2014, but the file lacks days from 2014-07-30 to 2014-08-02: \
             it holds 2014-07-01 to 2014-07-31\n",
        ),
        (
            r#", "replay": 2015"#,
            "2027-07-03T06:00",
            "/climate/replay\n    is 2015, but the file lacks days from 2015-07-03 to 2015-07-06: \
             it holds 2014-07-01 to 2014-07-31\n",
        ),
    ] {
        let text = text(&history(extra), pan, pan, start, 3, 2.0);
        let found = refusal(&text, &july());
        assert!(found.ends_with(wanted), "{found}");
    }
    // The whole of the file is enough: the days before and after the trip hardly touch it.
    let whole = text(
        &history(r#", "replay": 2014"#),
        pan,
        pan,
        "2027-07-01T06:00",
        30,
        2.0,
    );
    let reading = reads(&whole, &july()).unwrap_or_else(|refusal| panic!("{refusal}"));
    assert!(Timeline::new(&reading.scenario, Plan::Trip, 60).is_ok());
}

fn date() -> impl Strategy<Value = (u32, u32)> {
    (1..=12_u32, 1..=28_u32)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever table `check` accepts, every day of the trip has a climate: high latitudes and the edges
    /// of polar night included, where months' sun hours and the sun's own course part.
    #[test]
    fn law_an_accepted_table_has_every_day(
        lat in -85.0..85.0_f64,
        north in -4.0..4.0_f64,
        date in date(),
        nights in 0..70_u32,
        clearness in proptest::collection::vec(0.0..0.8_f64, 12),
        sd in proptest::option::of(0.0..0.15_f64),
        by_hours: bool,
    ) {
        let months: Vec<String> = (1..=12)
            .zip(&clearness)
            .map(|(month, kt)| {
                let middle = chrono::NaiveDate::from_ymd_opt(2027, month, 15).unwrap().and_time(chrono::NaiveTime::MIN);
                let outside = horizontal_day_wh_m2(middle.and_utc().timestamp(), lat, 10.0) / 1000.0;
                let kt = kt.max(0.03);
                let sun = if by_hours { format!(r#""sun_hours": {}"#, (kt * outside).min(12.0)) } else { format!(r#""kt": {kt}"#) };
                let sd = sd.map_or_else(String::new, |sd| format!(r#", "kt_sd": {sd}"#));
                format!(r#"{{ "month": {month}, {sun}, "day_min_c": -3, "day_max_c": 9{sd} }}"#)
            })
            .collect();
        let climate = format!(r#""climate": {{ "kind": "monthly", "months": [ {} ] }},"#, months.join(", "));
        let start = format!("2027-{:02}-{:02}T06:00", date.0, date.1);
        let text = text(&climate, (lat + north, 10.0), (lat, 10.0), &start, nights, 9.0);
        if let Ok(reading) = reads(&text, "") {
            let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60);
            prop_assert!(timeline.is_ok(), "{:?} {text}", timeline.err());
        }
    }

    /// The same for the built-in climate, wherever it is accepted.
    #[test]
    fn law_an_accepted_place_has_every_day(
        from in (-60.0..80.0_f64, -180.0..180.0_f64),
        to in (-60.0..80.0_f64, -180.0..180.0_f64),
        date in date(),
        nights in 0..20_u32,
    ) {
        let start = format!("2027-{:02}-{:02}T06:00", date.0, date.1);
        if let Ok(reading) = reads(&text("", from, to, &start, nights, 30.0), "") {
            let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60);
            prop_assert!(timeline.is_ok(), "{:?}", timeline.err());
        }
    }
}
