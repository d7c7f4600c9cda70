//! Temperatures of cells and of the air through the day, against outside figures.
//!
//! One job: `sky::cell_temperature` and `sky::day_temperature`.
//! Left out: cabins and boxes; they belong to `system`.

mod reference_table;

use reference_table::table;
use tideover::sky::cell_temperature::cell_temperature_c;
use tideover::sky::day_temperature::{
    DayTemperatures, HIGH_HOUR, LOW_HOUR, Limb, limb, shape, temperature_c,
};

/// Outside figures: D. Faiman, Prog. Photovolt. 16(4), 307-315, 2008, by a general-purpose library;
/// 336 cases.
#[test]
fn outside_cell_temperature_faiman() {
    for row in table("solar/cell_temperature.csv") {
        let got = cell_temperature_c(
            row.number("poa_w_m2"),
            row.number("air_temperature_c"),
            row.number("wind_speed_m_s"),
        );
        // The table has nine figures.
        assert!((got - row.number("module_faiman_c")).abs() < 1e-6);
    }
}

/// Outside figures: D. G. Erbs, S. A. Klein, W. A. Beckman, ASHRAE Journal 25(6), 60-65, 1983: the
/// series has mean 0, maximum +0.525 at 15.2 h, minimum -0.455 at 5.6 h, peak to peak 0.980.
#[test]
fn outside_day_shape_erbs_klein_beckman() {
    let minutes: Vec<f64> = (0..1440).map(|m| shape(f64::from(m) / 60.0)).collect();
    let mean = minutes.iter().sum::<f64>() / 1440.0;
    assert!(mean.abs() < 1e-9, "{mean}");
    let highest = minutes.iter().copied().fold(f64::MIN, f64::max);
    let lowest = minutes.iter().copied().fold(f64::MAX, f64::min);
    assert!((highest - 0.525).abs() < 5e-4 && (lowest + 0.455).abs() < 5e-4 + 1e-4);
    assert!((HIGH_HOUR - 15.2).abs() < 0.05 && (LOW_HOUR - 5.6).abs() < 0.05);
    assert!((shape(HIGH_HOUR) - highest).abs() < 1e-5);
    assert!((shape(LOW_HOUR) - lowest).abs() < 1e-5);
}

/// The limbs carry the published shape: within a day of equal neighbours, low + range · share is the
/// series shifted to start at the low, and lifted between its ends by less than 0.07 of the range.
#[test]
fn outside_limbs_repeat_the_published_shape() {
    let range = shape(HIGH_HOUR) - shape(LOW_HOUR);
    for minute in 0..=1440 {
        let hour = f64::from(minute) / 60.0;
        let published = (shape(hour) - shape(LOW_HOUR)) / range;
        let lift = limb(hour).1 - published;
        assert!((-1e-8..0.07).contains(&lift), "{hour}");
    }
    assert_eq!(limb(3.0).0, Limb::BeforeDawn);
    assert_eq!(limb(12.0).0, Limb::Day);
    assert_eq!(limb(20.0).0, Limb::Evening);
}

/// Mean error of the air against hours measured or typical, each day's own low and high given, K. Typical
/// years of Greensboro and Sand Point, stations and sources in `tests/reference/weather/README.md`. Spanned
/// between the extremes without a lift the errors were -0.28 and -0.13 K.
#[test]
fn outside_air_is_as_warm_as_its_hours_in_the_mean() {
    for (file, lon_deg, zone_h) in [
        ("weather/greensboro_us_typical_year.csv", -79.95, -5.0),
        ("weather/sand_point_us_typical_year.csv", -160.517, -9.0),
    ] {
        let hours: Vec<f64> = table(file)
            .iter()
            .map(|row| row.number("temp_air_c"))
            .collect();
        let days: Vec<&[f64]> = hours.chunks_exact(24).collect();
        let low = |day: usize| days[day].iter().copied().fold(f64::INFINITY, f64::min);
        let high = |day: usize| days[day].iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (mut sum, mut count) = (0.0, 0.0);
        for (day, hours) in days.iter().enumerate().take(days.len() - 2).skip(2) {
            for (index, measured_c) in hours.iter().enumerate() {
                let clock = f64::from(u32::try_from(index + 1).expect("an hour"));
                let solar_hour = clock + lon_deg / 15.0 - zone_h;
                let (day, solar_hour) = if solar_hour < 0.0 {
                    (day - 1, solar_hour + 24.0)
                } else if solar_hour >= 24.0 {
                    (day + 1, solar_hour - 24.0)
                } else {
                    (day, solar_hour)
                };
                let around = DayTemperatures {
                    yesterday_max_c: high(day - 1),
                    min_c: low(day),
                    max_c: high(day),
                    tomorrow_min_c: low(day + 1),
                };
                sum += temperature_c(solar_hour, &around) - measured_c;
                count += 1.0;
            }
        }
        let error_k: f64 = sum / count;
        assert!(error_k.abs() < 0.12, "{file}: {error_k} K");
    }
}
