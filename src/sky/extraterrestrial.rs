//! Sunlight above the air.
//!
//! One job: instant and place in, irradiance outside the atmosphere out. What the air lets through
//! is in `sky::clearness` and `sky::hours`.
//! Left out: the solar cycle (0.1 %).

use super::sun_position::sun_position_fast;
use crate::units::Whole;

/// Irradiance of the sun at its mean distance, W/m².
///
/// Source: G. Kopp, J. L. Lean, "A new, lower value of total solar irradiance", Geophys. Res. Lett.
/// 38, L01706, 2011, doi:10.1029/2010GL045777. Older tables use 1366.1 or 1367, 0.4 % more.
pub const SOLAR_CONSTANT_W_M2: f64 = 1361.0;

/// Noon-to-noon is cut into this many parts: 5 minutes each.
const PARTS_PER_DAY: u32 = 288;

/// Extraterrestrial irradiance on a plane that faces the sun.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `utc_s` | instant, since 1970-01-01 UTC | s | years 1900 to 2200 |
///
/// Returns W/m², between 1315 and 1410.
///
/// # Validity
/// Within 0.12 % of the distance given by the NREL algorithm (2020 to 2035). The year is counted in
/// 365.25 days from 1 January 2000, a leap year, so that the leap days don't shift the phase.
///
/// # Source
/// J. W. Spencer, "Fourier series representation of the position of the sun", Search 2(5), 172,
/// 1971.
#[must_use]
pub fn normal_w_m2(utc_s: f64) -> f64 {
    /// 2000-01-01 00:00 UTC.
    const LEAP_YEAR_START_S: f64 = 946_684_800.0;
    let year_share = (utc_s - LEAP_YEAR_START_S) / (86_400.0 * 365.25);
    let (sin, cos) = libm::sincos(core::f64::consts::TAU * (year_share - libm::floor(year_share)));
    let (sin_2, cos_2) = (2.0 * sin * cos, cos * cos - sin * sin);
    let distance_factor =
        1.000_110 + 0.034_221 * cos + 0.001_280 * sin + 0.000_719 * cos_2 + 0.000_077 * sin_2;
    SOLAR_CONSTANT_W_M2 * distance_factor
}

/// Extraterrestrial irradiation of a horizontal plane over the 24 hours from an instant.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `day_start_utc_s` | first instant, since 1970-01-01 UTC | s | years 1900 to 2200 |
/// | `lat_deg`, `lon_deg` | place | ° | -90 to 90, -180 to 180 |
///
/// Returns Wh/m²; 0 in polar night.
///
/// # Validity
/// Within 0.3 % of a sum over the NREL algorithm; midpoints of 5 minutes.
///
/// # Source
/// Definition.
#[must_use]
pub fn horizontal_day_wh_m2(day_start_utc_s: i64, lat_deg: f64, lon_deg: f64) -> f64 {
    let part_s = 86_400.0 / f64::from(PARTS_PER_DAY);
    let start_s = day_start_utc_s.real();
    let sum_w_m2: f64 = (0..PARTS_PER_DAY)
        .map(|part| {
            let at_s = start_s + (f64::from(part) + 0.5) * part_s;
            let cos_zenith = sun_position_fast(at_s, lat_deg, lon_deg).cos_zenith();
            cos_zenith.max(0.0) * normal_w_m2(at_s)
        })
        .sum();
    sum_w_m2 * 24.0 / f64::from(PARTS_PER_DAY)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside figure: J. A. Duffie, W. A. Beckman, "Solar Engineering of Thermal Processes",
    /// chapter 1: 43° N, 15 April, 33.8 MJ/m² with 1367 W/m² (from memory). Its declination (P. I.
    /// Cooper 1969, 9.4°) is 0.4° below the sun's on that date, which is worth 1 % of the day:
    /// hence the tolerance.
    #[test]
    fn outside_horizontal_day_textbook_april() {
        let midnight_s = 1_744_675_200; // 2025-04-15 00:00 UTC
        let mj_m2 = horizontal_day_wh_m2(midnight_s, 43.0, 0.0) * 0.003_6 * 1367.0 / 1361.0;
        assert!((mj_m2 - 33.8).abs() < 0.4, "{mj_m2}");
    }

    #[test]
    fn law_polar_night_gives_nothing() {
        let day = horizontal_day_wh_m2(1_766_275_200, 75.0, 0.0); // 2025-12-21
        assert!(day.abs() < f64::EPSILON);
    }
}
