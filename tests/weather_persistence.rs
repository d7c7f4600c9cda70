//! Drawn days depend on those before them as the file says.
//!
//! One job: autocorrelations of clearness and of temperatures over many drawn years. The process itself is
//! tested to the last digit beside its code.

use tideover::scenario::read;
use tideover::sky::clearness::KtQuantile;
use tideover::sky::day_persistence::DEFAULT_AUTOCORRELATIONS;
use tideover::sky::day_temperature::{ANOMALY_LAG1, DEFAULT_ANOMALY_SD_C};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::{Chance, WeatherDay, weather_days};

const KT: (f64, f64) = (0.5, 0.1);
const MIN_C: f64 = 0.0;
const MAX_C: f64 = 40.0;

/// Years of one climate without seasons.
fn years(extra: &str, trials: u64) -> Vec<Vec<WeatherDay>> {
    let months: Vec<String> = (1..=12)
        .map(|month| {
            format!(
                r#"{{ "month": {month}, "kt": {}, "kt_sd": {}, "day_min_c": {MIN_C}, "day_max_c": {MAX_C} }}"#,
                KT.0, KT.1
            )
        })
        .collect();
    let text = format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "2027-01-02T01:00", "time_zone": "UTC",
            "from": {{ "name": "a", "lat": 10, "lon": 0 }},
            "legs": [ {{ "to": "a", "lat": 10, "lon": 0, "depart": "02:00", "drive_hours": 0.1, "nights": 364 }} ] }},
            "climate": {{ "kind": "monthly", {extra} "months": [ {} ] }},
            "banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }} ] }}"#,
        months.join(", ")
    );
    let none = |_: &str| Err(String::new());
    let reading = read(&text, "a.json", &none).unwrap_or_else(|refusal| panic!("{refusal}"));
    let timeline = Timeline::new(&reading.scenario, Plan::Trip, 60).expect("a sound input");
    weather_days(&timeline, 4, (0..trials).map(Chance::Trial)).collect()
}

/// The deviate behind a clearness.
fn deviate(days: &KtQuantile, kt: f64) -> f64 {
    let (mut low, mut high) = (-4.0, 4.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if days.kt(middle) < kt {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Mean product of `a` and what `b` is `lag` days later; both have mean 0 and variance 1.
fn correlation(a: &[Vec<f64>], b: &[Vec<f64>], lag: usize) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for (a, b) in a.iter().zip(b) {
        for (earlier, later) in a.iter().zip(&b[lag..]) {
            sum += earlier * later;
            count += 1.0;
        }
    }
    sum / count
}

fn each_day(years: &[Vec<WeatherDay>], of: impl Fn(&WeatherDay) -> f64) -> Vec<Vec<f64>> {
    let year = |year: &Vec<WeatherDay>| year.iter().map(&of).collect();
    years.iter().map(year).collect()
}

/// Autocorrelations given, and those of a run of 400 years beyond them by the difference equation of the
/// process (worked out by hand for the orders 1 and 2). A deviation of 0.015 is some five standard errors.
///
/// Temperatures: +0.3 and -0.2 with the clearness of the day, whatever the persistence. The rest of the
/// anomaly has its own lag-1 of 0.6, so that the day's maximum has `0.09 · r₁ + 0.91 · 0.6` and its minimum
/// `0.04 · r₁ + 0.96 · 0.6`: 0.58 and 0.59 by default.
#[test]
fn law_drawn_days_hang_together_as_given() {
    let ar2 = [0.5, 0.125];
    // φ = (7/12, -1/6) by the Yule-Walker equations, ρ₃ = φ₁ ρ₂ + φ₂ ρ₁.
    let ar2_goes_on = 7.0 / 12.0 * ar2[1] - ar2[0] / 6.0;
    let ten = [0.3, 0.2, 0.1, 0.0, -0.1, -0.15, -0.1, 0.0, 0.05, 0.1];
    let cases: [(&[f64], &[f64]); 4] = [
        (&[], &DEFAULT_AUTOCORRELATIONS),
        (&[-0.5], &[-0.5, 0.25, -0.125]),
        (&ar2, &[ar2[0], ar2[1], ar2_goes_on]),
        (&ten, &ten),
    ];
    let days = KtQuantile::from_mean(KT.0, Some(KT.1)).expect("a usual mean");
    for (given, wanted) in cases {
        let extra = if given.is_empty() {
            String::new()
        } else {
            format!(r#""kt_autocorrelation": {given:?},"#)
        };
        let years = years(&extra, 400);
        let clearness = each_day(&years, |day| deviate(&days, day.kt));
        let highest = each_day(&years, |day| (day.max_c - MAX_C) / DEFAULT_ANOMALY_SD_C);
        let lowest = each_day(&years, |day| (day.min_c - MIN_C) / DEFAULT_ANOMALY_SD_C);
        let near = |found: f64, wanted: f64, what: &str| {
            assert!(
                (found - wanted).abs() < 0.015,
                "{given:?}, {what}: {found:.4} for {wanted:.4}"
            );
        };
        near(correlation(&clearness, &clearness, 0), 1.0, "variance");
        for (index, &wanted) in wanted.iter().enumerate() {
            let found = correlation(&clearness, &clearness, index + 1);
            near(found, wanted, &format!("lag {}", index + 1));
        }
        near(correlation(&highest, &clearness, 0), 0.3, "maximum");
        near(correlation(&lowest, &clearness, 0), -0.2, "minimum");
        let lag1 = |share: f64| share * wanted[0] + (1.0 - share) * ANOMALY_LAG1;
        near(correlation(&highest, &highest, 0), 1.0, "its variance");
        near(correlation(&highest, &highest, 1), lag1(0.09), "its lag 1");
        near(correlation(&lowest, &lowest, 1), lag1(0.04), "its lag 1");
    }
}

/// The default said aloud changes not a bit.
#[test]
fn law_the_default_given_is_the_default() {
    let default = format!(r#""kt_autocorrelation": {DEFAULT_AUTOCORRELATIONS:?},"#);
    assert_eq!(years("", 3), years(&default, 3));
    assert_ne!(years("", 3), years(r#""kt_autocorrelation": [0.36],"#, 3));
}
