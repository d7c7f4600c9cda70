//! Temperatures of cells and of the air through the day, against outside figures.
//!
//! One job: `sky::cell_temperature` and `sky::day_temperature`.
//! Left out: cabins and boxes; they belong to `system`.

mod reference_table;

use reference_table::table;
use tideover::sky::cell_temperature::cell_temperature_c;
use tideover::sky::day_temperature::{HIGH_HOUR, LOW_HOUR, Limb, limb, shape};

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

/// The limbs carry the published shape: within a day of equal neighbours, low + range · share is
/// the series shifted to start at the low.
#[test]
fn outside_limbs_repeat_the_published_shape() {
    let range = shape(HIGH_HOUR) - shape(LOW_HOUR);
    for minute in 0..=1440 {
        let hour = f64::from(minute) / 60.0;
        let wanted = (shape(hour) - shape(LOW_HOUR)) / range;
        assert!((limb(hour).1 - wanted).abs() < 1e-8, "{hour}");
    }
    assert_eq!(limb(3.0).0, Limb::BeforeDawn);
    assert_eq!(limb(12.0).0, Limb::Day);
    assert_eq!(limb(20.0).0, Limb::Evening);
}
