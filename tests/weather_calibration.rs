//! The program's own days against those of two stations.
//!
//! One job: whether runs of dark and of bright days are as long as the real ones. The days are those
//! that trials meet.

mod typical_years;

use std::fmt::Write as _;

use chrono::Datelike;
use tideover::scenario::read;
use tideover::sky::history::{HistoryDay, read as read_weather};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::timeline::weather_days::day_extraterrestrial_wh_m2;
use tideover::trials::{Chance, weather_days};
use typical_years::{STATIONS, Station};

const TRIALS: u64 = 600;
const LENGTHS: [usize; 5] = [1, 3, 5, 7, 10];

/// A year at the station, by a table of the station's own months.
fn scenario(station: &Station, days: &[HistoryDay]) -> String {
    let mut months = Vec::new();
    for month in 1..=12 {
        let kt: Vec<f64> = days
            .iter()
            .filter(|day| day.date.month() == month)
            .map(|day| day.kt)
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "28 to 31")]
        let count = kt.len() as f64;
        let mean = kt.iter().sum::<f64>() / count;
        let variance = kt.iter().map(|k| (k - mean).powi(2)).sum::<f64>() / (count - 1.0);
        let mut text = String::new();
        write!(
            text,
            r#"{{ "month": {month}, "kt": {mean:.4}, "kt_sd": {:.4}, "day_min_c": 5, "day_max_c": 15 }}"#,
            variance.sqrt()
        )
        .unwrap();
        months.push(text);
    }
    format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "2027-01-02T01:00", "time_zone": "UTC",
            "from": {{ "name": "a", "lat": {lat}, "lon": {lon} }},
            "legs": [ {{ "to": "a", "lat": {lat}, "lon": {lon}, "depart": "02:00", "drive_hours": 0.1, "nights": 364 }} ] }},
            "climate": {{ "kind": "monthly", "months": [ {} ] }},
            "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }} ] }}"#,
        months.join(", "),
        lat = station.lat_deg,
        lon = station.lon_deg,
    )
}

/// Share of the real sums below the 10th and the 90th percentile of the drawn ones.
fn shares(station: &Station) -> [(f64, f64); 5] {
    let series = read_weather(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    let text = scenario(station, &series.days);
    let none = |_: &str| Err(String::new());
    let reading = read(&text, "a.json", &none).unwrap_or_else(|refusal| panic!("{refusal}"));
    let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60).unwrap();
    let outside: Vec<f64> = timeline.days.iter().map(day_extraterrestrial_wh_m2).collect();
    // The first 365 dates are the year 2027.
    let days = 365;
    assert_eq!(timeline.days[0].date.ordinal(), 1);
    let sun = |kt: &dyn Fn(usize) -> f64| -> Vec<f64> { (0..days).map(|day| kt(day) * outside[day]).collect() };
    let real = sun(&|day| series.days[day].kt);
    let drawn: Vec<Vec<f64>> = weather_days(&timeline, 1, (0..TRIALS).map(Chance::Trial))
        .map(|trial| sun(&|day| trial[day].kt))
        .collect();
    LENGTHS.map(|length| {
        let mut below = (0, 0);
        for first in 0..=days - length {
            let sum = |sun: &[f64]| sun[first..first + length].iter().sum::<f64>();
            let mut sums: Vec<f64> = drawn.iter().map(|sun| sum(sun)).collect();
            sums.sort_by(f64::total_cmp);
            let at = |p: f64| {
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a rank")]
                let rank = (p * sums.len() as f64).ceil() as usize;
                sums[rank - 1]
            };
            let real = sum(&real);
            below.0 += usize::from(real < at(0.1));
            below.1 += usize::from(real < at(0.9));
        }
        #[expect(clippy::cast_precision_loss, reason = "at most 365")]
        let share = |count: usize| count as f64 / (days + 1 - length) as f64;
        (share(below.0), share(below.1))
    })
}

#[test]
fn outside_calibration_of_days_in_a_row() {
    for station in &STATIONS {
        println!("{} {:?}", station.lat_deg, shares(station));
    }
}
