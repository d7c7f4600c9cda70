//! Days of stations and days as trials draw them, for holding the ones against the others.
//!
//! One job: records, a scenario of one year at their place, sums over days in a row. The figures are in
//! `tests/reference/`; what is expected is in the tests.

#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses a part of it"
)]

use chrono::{Datelike, NaiveDate};
use tideover::scenario::read;
use tideover::sky::history::{HistoryDay, read as read_weather};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::timeline::weather_days::day_extraterrestrial_wh_m2;
use tideover::trials::{Chance, weather_days};

use crate::typical_years::{STATIONS, at, daily};

const HONOLULU: &str = include_str!("../reference/weather/honolulu_us_typical_year_daily_ghi.csv");
const DE_BILT: &str = include_str!("../reference/weather/de_bilt_nl_daily_ghi_2003_2023.csv");
const MIAMI: &str = include_str!("../reference/solar/tmy_daily_12839.csv");

/// Days of a year without 29 February.
pub const YEAR: usize = 365;

/// Days of a station, without 29 February.
pub struct Record {
    pub name: &'static str,
    pub lat_deg: f64,
    pub lon_deg: f64,
    pub days: Vec<HistoryDay>,
}

impl Record {
    /// Numbers of its years, ascending.
    pub fn years(&self) -> Vec<i32> {
        let mut years: Vec<i32> = self.days.iter().map(|day| day.date.year()).collect();
        years.dedup();
        years
    }
}

/// Greensboro and Sand Point.
pub fn hourly_typical_years() -> [Record; 2] {
    [("Greensboro", 0), ("Sand Point", 1)].map(|(name, index)| {
        let station: &crate::typical_years::Station = &STATIONS[index];
        let series = read_weather(station.csv.as_bytes(), "a.csv", &station.options());
        Record {
            name,
            lat_deg: station.lat_deg,
            lon_deg: station.lon_deg,
            days: series.expect("a sound input").days,
        }
    })
}

pub fn honolulu() -> Record {
    let rows: Vec<(String, f64)> = HONOLULU
        .lines()
        .skip(1)
        .map(|line| {
            let parts: Vec<&str> = line.split(',').collect();
            let date = format!("2001-{:0>2}-{:0>2}", parts[0], parts[1]);
            (date, parts[2].parse().expect("a number"))
        })
        .collect();
    daily_record("Honolulu", (21.317, -157.933), &rows)
}

pub fn miami() -> Record {
    let rows: Vec<(String, f64)> = MIAMI
        .lines()
        .skip(1)
        .map(|line| {
            let parts: Vec<&str> = line.split(',').collect();
            let number = |part: &str| part.parse::<f64>().expect("a number");
            (parts[0].to_owned(), number(parts[2]) * number(parts[3]))
        })
        .collect();
    daily_record("Miami", (25.80, -80.27), &rows)
}

pub fn de_bilt() -> Record {
    let rows: Vec<(String, f64)> = DE_BILT
        .lines()
        .skip(1)
        .map(|line| {
            let (date, sun) = line.split_once(',').expect("two columns");
            (date.to_owned(), sun.parse().expect("a number"))
        })
        .collect();
    daily_record("De Bilt", (52.1, 5.18), &rows)
}

fn daily_record(name: &'static str, place: (f64, f64), rows: &[(String, f64)]) -> Record {
    let rows: Vec<(&str, f64)> = rows.iter().map(|(date, sun)| (&date[..], *sun)).collect();
    let series = read_weather(daily(&rows).as_bytes(), "a.csv", &at(place.0, place.1));
    let mut days = series.expect("a sound input").days;
    // The Dutch file lacks them, and the reader has filled them in.
    days.retain(|day| (day.date.month(), day.date.day()) != (2, 29));
    Record {
        name,
        lat_deg: place.0,
        lon_deg: place.1,
        days,
    }
}

/// Number of a date in a year without 29 February, from 0.
pub fn place_in_year(date: NaiveDate) -> usize {
    let in_2027 = date.with_year(2027).expect("no 29 February");
    in_2027.ordinal0() as usize
}

/// What trials draw for the year 2027 at a place.
pub struct DrawnYear {
    /// Sun outside the air of each date, Wh/m².
    pub outside_wh_m2: Vec<f64>,
    /// For each trial the sun on the flat up to the beginning of each date, Wh/m², and after the last.
    so_far: Vec<Vec<f64>>,
}

impl DrawnYear {
    /// By a `climate` object of a scenario file and, if it names one, the weather file.
    pub fn new((lat_deg, lon_deg): (f64, f64), climate: &str, file: &str, trials: u64) -> Self {
        let text = format!(
            r#"{{ "format": 1, "itinerary": {{ "start": "2027-01-02T01:00", "time_zone": "UTC",
                "from": {{ "name": "a", "lat": {lat_deg}, "lon": {lon_deg} }},
                "legs": [ {{ "to": "a", "lat": {lat_deg}, "lon": {lon_deg}, "depart": "02:00", "drive_hours": 0.1,
                    "nights": 364 }} ] }},
                "climate": {climate},
                "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }} ] }}"#
        );
        let reading = read(&text, "a.json", &|_| Ok(file.as_bytes().to_vec()))
            .unwrap_or_else(|refusal| panic!("{refusal}"));
        let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60).expect("a sound input");
        // The first 365 dates are the year 2027.
        assert_eq!(timeline.days[0].date.ordinal(), 1);
        let outside_wh_m2: Vec<f64> = timeline.days[..YEAR]
            .iter()
            .map(day_extraterrestrial_wh_m2)
            .collect();
        let so_far = weather_days(&timeline, 1, (0..trials).map(Chance::Trial))
            .map(|trial| {
                let sun = trial[..YEAR].iter().zip(&outside_wh_m2);
                let mut sum = 0.0;
                std::iter::once(0.0)
                    .chain(sun.map(|(day, outside)| {
                        sum += day.kt * outside;
                        sum
                    }))
                    .collect()
            })
            .collect();
        Self {
            outside_wh_m2,
            so_far,
        }
    }

    /// Sums of each trial over `length` days from a date's number on, ascending.
    pub fn sums(&self, first: usize, length: usize) -> Vec<f64> {
        let trials = self.so_far.iter();
        let mut sums: Vec<f64> = trials
            .map(|so_far| so_far[first + length] - so_far[first])
            .collect();
        sums.sort_by(f64::total_cmp);
        sums
    }

    /// Sum of real days from a date's number on.
    pub fn real_sum(&self, days: &[HistoryDay], first: usize) -> f64 {
        let pairs = days.iter().zip(&self.outside_wh_m2[first..]);
        pairs.map(|(day, outside)| day.kt * outside).sum()
    }
}

/// Runs of `length` days within a calendar year, each with the number of its first date.
pub fn runs(days: &[HistoryDay], length: usize) -> impl Iterator<Item = (usize, &[HistoryDay])> {
    days.windows(length).filter_map(move |run| {
        let (first, last) = (run[0].date, run[length - 1].date);
        (first.year() == last.year()).then(|| (place_in_year(first), run))
    })
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a rank among some hundred"
)]
pub fn percentile(ascending: &[f64], p: f64) -> f64 {
    ascending[(p * ascending.len() as f64).ceil() as usize - 1]
}
