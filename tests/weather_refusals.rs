//! Weather records: every refusal with its full text, and any bytes at all.
//!
//! One job: bad input. What is read well is in `weather_formats.rs`.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod typical_years;

use std::collections::BTreeMap;

use tideover::sky::history::{ReadOptions, read};
use typical_years::{STATIONS, at, daily};

/// Each text is refused, and so said.
fn refuses(cases: Vec<(String, &str)>) {
    for (text, wanted) in cases {
        let refusal = read(text.as_bytes(), "a.csv", &at(45.0, 10.0)).unwrap_err();
        assert_eq!(refusal.to_string(), wanted);
        let line = wanted
            .strip_prefix("line ")
            .and_then(|rest| rest.split(':').next()?.parse().ok());
        assert_eq!(refusal.line, line);
    }
}

#[test]
fn refuses_daily_files_with_line_and_what_is_allowed() {
    let head = "date,ghi_kwh_m2,min_c,max_c\n";
    let cases: Vec<(String, &str)> = vec![
        (
            String::new(),
            "the file is empty, but must hold a header and a row for each day or hour",
        ),
        (
            head.into(),
            "the file holds not one whole day; a day may lack 3 hours in a row",
        ),
        (
            "day,sun\n1,2\n".into(),
            "line 1: there is no column of the date: it is called `date`, or named in `columns`; the file has `day`, `sun`",
        ),
        (
            "date,ghi_kwh_m2,ghi_mj_m2,min_c,max_c\n".into(),
            "line 1: both `ghi_kwh_m2` and `ghi_mj_m2` give global horizontal irradiation; choose one in `columns`",
        ),
        (
            format!("{head}2014-07-01,5,4,15\n2014-07-02,five,4,15\n"),
            "line 3: `ghi_kwh_m2` is `five`, but must be a number",
        ),
        (
            format!("{head}2014-07-01,-0.1,4,15\n"),
            "line 2: `ghi_kwh_m2` is -0.1, but must be from 0 to 1000000",
        ),
        (
            format!("{head}2014-07-01,36,4,15\n"),
            "line 2: `ghi_kwh_m2` is 36000 Wh/m², but the sun outside the air allows at most 12746 on that day: \
          check the unit, the station's place and the zone of the times",
        ),
        (
            format!("{head}2014-07-01,5,16,15\n"),
            "line 2: the minimum of 16 °C is above the maximum of 15 °C",
        ),
        (
            format!("{head}2014-07-01,5,4,288\n"),
            "line 2: `max_c` is 288, but must be from -95 to 65",
        ),
        (
            format!("{head}01.07.2014,5,4,15\n"),
            "line 2: `date` is `01.07.2014`, but must be a date such as `2014-07-05`, in the years 1900 to 2200",
        ),
        (
            format!("{head}2014-07-01,5,4,15\n2014-07-01,5,4,15\n"),
            "line 3: 2014-07-01 stands there a second time, but must stand there once",
        ),
        (
            format!("{head}2014-07-02,5,4,15\n2014-07-01,5,4,15\n"),
            "line 3: 2014-07-01 comes after 2014-07-02, but the rows must ascend in time",
        ),
        (
            format!("{head}2014-07-01,\"5,4,15\n2014-07-02,5,4,15\n2014-07-03,5,4,15\n"),
            "line 2: a quotation mark opens and does not close in this line, but must do both",
        ),
        (
            // The second mark closes what the first one opened, two days later.
            format!("{head}2014-07-01,\"5,4,15\n2014-07-02,5,4,15\n2014-07-03,5\",4,15\n"),
            "line 2: a quotation mark opens and does not close in this line, but must do both",
        ),
        (
            format!("{head}2014-07-01,5,4,15\n2014-07-02,5,4,\"15"),
            "line 3: a quotation mark opens and does not close in this line, but must do both",
        ),
        (
            format!("{head}2014-07-01,5,4,15,\n2014-07-02,5,2,4,15\n"),
            "line 3: the row has 5 fields, but must have at most the 4 of the header; a number's decimal sign is a point",
        ),
    ];
    refuses(cases);
}

/// Both orders of the bytes, with the mark and without it.
#[test]
fn refuses_utf_16_by_its_name() {
    let text = "date,ghi_kwh_m2,min_c,max_c\n2014-07-01,5,4,15\n";
    for mark in ["", "\u{feff}"] {
        let units: Vec<u16> = format!("{mark}{text}").encode_utf16().collect();
        let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
        let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
        for bytes in [little, big] {
            let refusal = read(&bytes, "a.csv", &at(45.0, 10.0)).unwrap_err();
            assert_eq!(
                refusal.to_string(),
                "the file is UTF-16 text, but must be UTF-8: save it as that"
            );
        }
    }
}

#[test]
fn refuses_hourly_files_with_line_and_what_is_allowed() {
    let hourly = "timestamp,ghi_wh_m2,air_c\n";
    let epw = STATIONS[0].epw();
    let cases: Vec<(String, &str)> = vec![
        (
            format!("{hourly}2014-07-01T00:00,0,4\n"),
            "line 2: `2014-07-01T00:00` has no zone: write it as in `2027-07-05T18:00+02:00`, or state `utc_offset_hours` \
          for the file",
        ),
        (
            format!("{hourly}2014-07-01T00:00Z,0,4\n2014-07-01T00:30Z,0,4\n"),
            "line 3: 30 min after the row above it, but hours must be whole hours apart",
        ),
        (
            format!("{hourly}2014-07-01T01:00Z,0,4\n2014-07-01T01:00Z,0,4\n"),
            "line 3: the hour to 2014-07-01 02:00 stands there a second time, but must stand there once",
        ),
        (
            format!("{hourly}2014-07-01T25:00Z,0,4\n"),
            "line 2: `timestamp` is `2014-07-01T25:00Z`, but must be a time such as `2014-07-05T18:00+02:00`, in the \
          years 1900 to 2200",
        ),
        (
            "month,day,hour_ending_utc,ghi_wh_m2,air_c\n2,30,1,0,5\n".into(),
            "line 2: `day` is `30`, but must be a day that the month has",
        ),
        (
            epw.replace("DATA PERIODS,1,1,", "DATA PERIODS,1,4,"),
            "line 8: as EPW it must have 1 record an hour",
        ),
        (
            "LOCATION,Town\n".into(),
            "line 1: as EPW it must have latitude, longitude and time zone as fields 7, 8 and 9",
        ),
        (
            STATIONS[0].tmy3().replacen(",01:00,", ",01:00,1,", 1),
            "line 3: the row has 17 fields, but must have at most the 16 of the header; a number's decimal sign is a point",
        ),
        (
            STATIONS[0].tmy3().replace("GHI (W/m^2)", "Sun"),
            "line 2: as TMY3 it must have GHI (W/m^2)",
        ),
        (
            STATIONS[0].tmy3().replacen("01:00", "01:30", 1),
            "line 3: `Time (HH:MM)` is `01:30`, but must be a whole hour from `00:00` to `24:00`",
        ),
        (
            STATIONS[0].tmy3().replacen("01/01/1998", "1998-01-01", 1),
            "line 3: `Date (MM/DD/YYYY)` is `1998-01-01`, but must be a date as month/day/year, such as `07/05/1998`",
        ),
    ];
    refuses(cases);
}

#[test]
fn refuses_options_that_do_not_fit() {
    let options = at(45.0, 10.0);
    let refusal = |options: &ReadOptions| {
        read(b"date,sun\n", "a.csv", options)
            .unwrap_err()
            .to_string()
    };
    let map = |name: &str, column: &str| ReadOptions {
        columns: BTreeMap::from([(name.to_owned(), column.to_owned())]),
        ..at(45.0, 10.0)
    };
    assert_eq!(
        refusal(&map("ghi_mj_m2", "Sonne")),
        "`columns` takes `ghi_mj_m2` from `Sonne`, but the file has `date`, `sun`"
    );
    assert!(
        refusal(&map("ghi", "sun"))
            .starts_with("`columns` names `ghi`, but must name one of `date`, `timestamp`")
    );
    assert_eq!(
        refusal(&at(95.0, 10.0)),
        "the station stands at 95, 10, but the latitude must be from -90 to 90 and the longitude from -180 to 180"
    );
    let refusal = read(
        b"timestamp,ghi_wh_m2,air_c\n2014-07-01T00:00,0,4\n",
        "a.csv",
        &ReadOptions {
            utc_offset_h: Some(120.0),
            ..options
        },
    );
    assert_eq!(
        refusal.unwrap_err().to_string(),
        "the times are stated to be 120 h from UTC, but must be from -14 to 14"
    );
}

mod any_bytes {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..400), epw: bool) {
            let _ = read(&bytes, if epw { "a.epw" } else { "a.csv" }, &at(50.0, 179.9));
        }

        /// A sound file of each format with bytes overwritten, lines dropped or doubled.
        #[test]
        fn law_damaged_files_are_answered(
            format in 0..4_usize,
            hits in proptest::collection::vec((any::<u16>(), any::<u8>()), 1..12),
            dropped in 0..200_usize,
            doubled in 0..200_usize,
        ) {
            let station = &STATIONS[format % 2];
            let whole = match format {
                0 => station.csv.to_owned(),
                1 => station.epw(),
                2 => station.tmy3(),
                _ => daily(&[("2014-07-01", 4.0), ("2014-07-03", 6.0), ("2014-07-06", 5.0)]),
            };
            let mut lines: Vec<&str> = whole.lines().take(200).collect();
            if dropped < lines.len() {
                lines.remove(dropped);
            }
            if doubled < lines.len() {
                lines.insert(doubled, lines[doubled]);
            }
            let mut bytes = lines.join("\n").into_bytes();
            for (at, value) in hits {
                let at = usize::from(at) % bytes.len();
                bytes[at] = value;
            }
            if let Ok(series) = read(&bytes, "a", &station.options()) {
                for day in &series.days {
                    prop_assert!((0.0..=1.0).contains(&day.kt) && day.min_c <= day.max_c);
                }
            }
        }
    }
}
