//! The weather that trials take from a record.
//!
//! One job: runs of days keep what makes the record, a replayed year is that year, and the sun of the
//! record shines at the right time elsewhere. How files are read is tested beside the formats.

mod typical_years;

use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate, TimeDelta};
use tideover::scenario::{Changes, Climate, Scenario, read};
use tideover::sky::history::Series;
use tideover::study::settings::Settings;
use tideover::study::typical::typical;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::{Chance, WeatherDay, weather_days};
use typical_years::STATIONS;

/// A stay under a weather file; `place` and `zone` are those of the stay, `extra` more of the climate.
fn scenario(
    file: &str,
    place: &str,
    zone: &str,
    start: &str,
    nights: u32,
    extra: &str,
) -> Scenario {
    let text = format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "{start}", "time_zone": "{zone}", "from": {{ "name": "a", {place} }},
            "legs": [ {{ "to": "a", {place}, "depart": "02:00", "drive_hours": 0.1, "nights": {nights} }} ] }},
            "climate": {{ "kind": "history", "file": "a.csv"{extra} }},
            "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 300, "start_soc": 0.3 }} ],
            "solar": [ {{ "id": "roof", "to": "main", "panel_w": 100 }} ] }}"#
    );
    let reading = read(&text, "a.json", &|_| Ok(file.as_bytes().to_vec()));
    reading
        .unwrap_or_else(|refusal| panic!("{refusal}"))
        .scenario
}

fn record(scenario: &Scenario) -> &Series {
    match &scenario.climate {
        Climate::History(history) => &history.series,
        other => panic!("{other:?}"),
    }
}

const GREENSBORO: &str = r#""lat": 36.1, "lon": -79.95"#;
const ZONE: &str = r#", "utc_offset_hours": -5"#;

/// Mean, standard deviation and lag-1 of sequences, about the mean of each calendar month over all.
fn statistics(sequences: &[Vec<(u32, f64)>]) -> (f64, f64, f64) {
    let mut months = [(0.0, 0.0); 12];
    for (month, kt) in sequences.iter().flatten() {
        let of = &mut months[*month as usize - 1];
        *of = (of.0 + kt, of.1 + 1.0);
    }
    let deviation = |(month, kt): (u32, f64)| {
        let (sum, count) = months[month as usize - 1];
        kt - sum / count
    };
    let (sum, count) = months
        .iter()
        .fold((0.0, 0.0), |all, of| (all.0 + of.0, all.1 + of.1));
    let (mut squares, mut products) = (0.0, 0.0);
    for sequence in sequences {
        squares += sequence
            .iter()
            .map(|day| deviation(*day).powi(2))
            .sum::<f64>();
        products += sequence
            .windows(2)
            .map(|pair| deviation(pair[0]) * deviation(pair[1]))
            .sum::<f64>();
    }
    (sum / count, (squares / count).sqrt(), products / squares)
}

/// Outside figures: the typical year of Greensboro (NREL, TMY3). A hundred drawn years keep the mean of its
/// clearness to 2 %, its spread to 10 %, its lag-1 to 0.05.
#[test]
fn outside_runs_of_days_keep_mean_spread_and_persistence() {
    let scenario = scenario(
        STATIONS[0].csv,
        GREENSBORO,
        "UTC",
        "2027-01-02T01:00",
        364,
        ZONE,
    );
    let timeline = Timeline::new(&scenario, Plan::Trip, 60).unwrap();
    let of = |days: &[WeatherDay]| {
        days.iter()
            .map(|day| (day.date.month(), day.kt))
            .collect::<Vec<_>>()
    };
    let drawn: Vec<Vec<(u32, f64)>> = weather_days(&timeline, 3, (0..100).map(Chance::Trial))
        .map(|days| of(&days))
        .collect();
    let series = record(&scenario);
    let real = vec![
        series
            .days
            .iter()
            .map(|day| (day.date.month(), day.kt))
            .collect(),
    ];
    let ((mean, sd, lag1), (real_mean, real_sd, real_lag1)) =
        (statistics(&drawn), statistics(&real));
    assert!((mean / real_mean - 1.0).abs() < 0.02, "{mean} {real_mean}");
    assert!((sd / real_sd - 1.0).abs() < 0.10, "{sd} {real_sd}");
    assert!((lag1 - real_lag1).abs() < 0.05, "{lag1} {real_lag1}");
    // Cloud and temperature stay together: every drawn day is a day of the record.
    let one = weather_days(&timeline, 3, [Chance::Trial(7)])
        .next()
        .unwrap();
    for day in &one {
        let is_real = |real: &tideover::sky::history::HistoryDay| {
            (real.kt - day.kt).abs() < 1e-12 && (real.max_c - day.max_c).abs() < 1e-12
        };
        assert!(series.days.iter().any(is_real), "{}", day.date);
    }
}

/// A replayed year is that year in every trial, day by day and hour by hour, and without chance too.
#[test]
fn law_a_replayed_year_is_that_year() {
    let mut file = "timestamp_end,ghi_w_m2,temp_air_c\n".to_owned();
    let begin = NaiveDate::from_ymd_opt(2012, 1, 1)
        .unwrap()
        .and_hms_opt(0, 0, 0)
        .unwrap();
    for hour in 1..=24 * 365 * 2 {
        let solar = f64::from(hour % 24) - 12.5;
        let cloud = 0.3 + 0.7 * f64::from((hour / 24 * 37) % 101) / 101.0;
        let sun = (500.0 * cloud * (1.0 - (solar / 5.0).powi(2))).max(0.0);
        writeln!(
            file,
            "{}Z,{sun:.1},{}",
            (begin + TimeDelta::hours(i64::from(hour))).format("%Y-%m-%dT%H:%M"),
            hour / 24 % 17
        )
        .unwrap();
    }
    let place = r#""lat": 10, "lon": 0"#;
    for (year, start) in [
        (2012, "2027-03-01T01:00"),
        (2013, "2027-03-01T01:00"),
        (2012, "2027-12-28T01:00"),
        (2012, "2027-01-01T01:00"),
    ] {
        let extra = format!(r#", "replay": {year}"#);
        let scenario = scenario(&file, place, "UTC", start, 9, &extra);
        let timeline = Timeline::new(&scenario, Plan::Trip, 60).unwrap();
        let series = record(&scenario);
        let first = NaiveDate::parse_from_str(&start[..10], "%Y-%m-%d")
            .unwrap()
            .with_year(year)
            .unwrap();
        let index = series
            .days
            .iter()
            .position(|day| day.date == first)
            .unwrap();
        for chance in [Chance::Mean, Chance::Trial(0), Chance::Trial(9)] {
            let days = weather_days(&timeline, 5, [chance]).next().unwrap();
            // The first is the day before the plan.
            for (day, real) in days.iter().skip(1).zip(&series.days[index..]) {
                assert!((day.kt - real.kt).abs() < 1e-12 && (day.min_c - real.min_c).abs() < 1e-12);
                for (hour, light) in &day.hours {
                    assert_eq!(*light, real.hours.as_ref().unwrap()[*hour]);
                }
            }
        }
    }
}

/// A record at 0° E whose mornings are clear and whose afternoons are dark, used at 150° E: there too the
/// panel gets the clear half before the sun stands in the south. By the clock of UTC+10, noon is 12:00.
#[test]
fn law_the_hours_keep_their_sun_at_another_longitude() {
    let mut file = "timestamp_end,ghi_w_m2,temp_air_c\n".to_owned();
    let begin = NaiveDate::from_ymd_opt(2013, 3, 1)
        .unwrap()
        .and_hms_opt(0, 0, 0)
        .unwrap();
    for hour in 1..=24 * 60 {
        let solar = f64::from(hour % 24) - 0.5 - 12.0;
        let height = (1.0 - (solar / 6.0).powi(2)).max(0.0);
        let sun = if solar < 0.0 {
            700.0 * height
        } else {
            100.0 * height
        };
        writeln!(
            file,
            "{}Z,{sun:.1},20",
            (begin + TimeDelta::hours(i64::from(hour))).format("%Y-%m-%dT%H:%M")
        )
        .unwrap();
    }
    let scenario = scenario(
        &file,
        r#""lat": 10, "lon": 150"#,
        "Etc/GMT-10",
        "2027-03-20T01:00",
        5,
        r#", "lat": 10, "lon": 0"#,
    );
    let settings = Settings {
        typical: true,
        step_minutes: 30,
        ..Settings::default()
    };
    // The days of the record are alike, but their mean is drawn on the trend: one year instead.
    let replayed = Changes::one("climate.replay", 2013);
    let scenario = scenario.with(&replayed).unwrap();
    let (_, table) = typical(&scenario, &settings).unwrap();
    let column = table
        .header
        .iter()
        .position(|name| name == "roof.w")
        .unwrap()
        - 1;
    let (mut before, mut after) = (0.0, 0.0);
    for (time, row) in &table.rows {
        let minutes =
            time[11..13].parse::<i32>().unwrap() * 60 + time[14..16].parse::<i32>().unwrap();
        // The row's time is the step's end; the equation of time is within 8 min here.
        if (1..=720).contains(&minutes) {
            before += row[column];
        } else {
            after += row[column];
        }
    }
    let ratio = before / after;
    assert!(
        (4.5..10.0).contains(&ratio),
        "{before} before noon, {after} after"
    );
}
