//! Length and strength of the sun's day, to a few minutes, for the checks alone.
//!
//! One job: is a table or a window possible there and then. The trip itself uses the exact sun.

use std::f64::consts::PI;

/// Solar constant, W/m² (Kopp and Lean, Geophys. Res. Lett. 38, L01706, 2011).
const SOLAR_W_M2: f64 = 1361.0;

/// Declination of the sun on a day of the year (1 to 366), radians.
///
/// # Source
/// J. W. Spencer, "Fourier series representation of the position of the sun", Search 2(5), 1971.
fn declination_rad(day_of_year: u32) -> f64 {
    let b = 2.0 * PI * (f64::from(day_of_year) - 1.0) / 365.0;
    0.006_918 - 0.399_912 * b.cos() + 0.070_257 * b.sin() - 0.006_758 * (2.0 * b).cos()
        + 0.000_907 * (2.0 * b).sin()
        - 0.002_697 * (3.0 * b).cos()
        + 0.001_48 * (3.0 * b).sin()
}

/// Half the time between sunrise and sunset as an angle, 0 to π, the sun's centre at `height_rad`.
fn half_day_rad(lat_deg: f64, day_of_year: u32, height_rad: f64) -> f64 {
    let lat = lat_deg.clamp(-89.9, 89.9).to_radians();
    let declination = declination_rad(day_of_year);
    let cosine =
        (height_rad.sin() - lat.sin() * declination.sin()) / (lat.cos() * declination.cos());
    cosine.clamp(-1.0, 1.0).acos()
}

/// Hours between sunrise and sunset, refraction and the sun's radius included (0.833°).
pub(super) fn day_hours(lat_deg: f64, day_of_year: u32) -> f64 {
    half_day_rad(lat_deg, day_of_year, -0.833_f64.to_radians()) * 24.0 / PI
}

/// Extraterrestrial irradiation on the horizontal, kWh/m² a day.
///
/// # Source
/// J. A. Duffie, W. A. Beckman, N. Blair, "Solar Engineering of Thermal Processes, Photovoltaics
/// and Wind", 5th ed., Wiley, 2020, chapter 1.
pub(super) fn extraterrestrial_kwh_m2(lat_deg: f64, day_of_year: u32) -> f64 {
    let lat = lat_deg.clamp(-89.9, 89.9).to_radians();
    let declination = declination_rad(day_of_year);
    let half = half_day_rad(lat_deg, day_of_year, 0.0);
    let b = 2.0 * PI * (f64::from(day_of_year) - 1.0) / 365.0;
    let distance = 1.000_110
        + 0.034_221 * b.cos()
        + 0.001_280 * b.sin()
        + 0.000_719 * (2.0 * b).cos()
        + 0.000_077 * (2.0 * b).sin();
    let angle = lat.cos() * declination.cos() * half.sin() + half * lat.sin() * declination.sin();
    (24.0 / PI * SOLAR_W_M2 * distance * angle / 1000.0).max(0.0)
}

/// Middle of a month (1 to 12) as a day of the year.
pub(super) fn mid_month(month: u32) -> u32 {
    const MIDDLES: [u32; 12] = [16, 45, 75, 105, 136, 166, 197, 228, 258, 289, 319, 350];
    let index = usize::try_from(month.clamp(1, 12) - 1).unwrap_or(0);
    MIDDLES.get(index).copied().unwrap_or(16)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: on the equator at the March equinox `24/π · Gsc · E0` = 10.4 kWh/m², E0 1.01.
    #[test]
    fn equator_at_the_equinox() {
        let found = extraterrestrial_kwh_m2(0.0, 80);
        assert!((found - 24.0 / PI * 1.361 * 1.0087).abs() < 0.03, "{found}");
        assert!((day_hours(0.0, 80) - 12.11).abs() < 0.02);
    }

    #[test]
    fn polar_day_and_night() {
        assert!(extraterrestrial_kwh_m2(75.0, 350) < 1e-9);
        assert!(day_hours(75.0, 350) < 1e-9);
        assert!((day_hours(75.0, 172) - 24.0).abs() < 1e-9);
    }
}
