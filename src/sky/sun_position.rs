//! Where the sun stands.
//!
//! One job: instant and place in, direction of the sun's centre out. Rise and set are in
//! `sky::sun_day`.
//! Left out: refraction (below 0.1° above 10° of height), mountains, height of the place (it moves
//! the sun by less than 0.001°).

use solar_positioning::time::JulianDate;
use solar_positioning::{Location, SolarPositions, delta_t};

/// Direction of the centre of the sun, topocentric, without refraction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Angle from straight up, 0 to 180.
    pub zenith_deg: f64,
    /// Clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
}

impl SunPosition {
    /// Cosine of the zenith angle: the sine of the sun's height, negative below the horizon.
    #[must_use]
    pub fn cos_zenith(&self) -> f64 {
        libm::cos(self.zenith_deg.to_radians())
    }

    /// What is returned where no position exists; the checks at the end of the timeline find it.
    const UNKNOWN: Self = Self {
        zenith_deg: f64::NAN,
        azimuth_deg: f64::NAN,
    };
}

/// Position of the sun by the algorithm of the National Renewable Energy Laboratory.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `utc_s` | instant, since 1970-01-01 UTC | s | years -2000 to 6000 |
/// | `lat_deg`, `lon_deg` | place | ° | -90 to 90, -180 to 180 |
///
/// # Validity
/// Within 0.0003° between the years -2000 and 6000, apart from what the future rotation of the
/// Earth will be: its estimate moves the sun by 0.01° per 2.4 s. Outside the accepted ranges both
/// angles are not a number. About 4 µs.
///
/// # Source
/// I. Reda, A. Andreas, "Solar position algorithm for solar radiation applications", Solar Energy
/// 76(5), 577-589, 2004, doi:10.1016/j.solener.2003.12.003.
#[must_use]
pub fn sun_position(utc_s: f64, lat_deg: f64, lon_deg: f64) -> SunPosition {
    position(SolarPositions::new(), utc_s, lat_deg, lon_deg).unwrap_or(SunPosition::UNKNOWN)
}

/// Position of the sun by a short algorithm, from 2010 to 2110; outside those years by
/// [`sun_position`].
///
/// Arguments as there.
///
/// # Validity
/// Within 0.01° from 2010 to 2110, 0.2 µs.
///
/// # Source
/// R. Grena, "Five new algorithms for the computation of sun position from 2010 to 2110", Solar
/// Energy 86(5), 1323-1337, 2012, doi:10.1016/j.solener.2012.01.024, algorithm 3.
#[must_use]
pub fn sun_position_fast(utc_s: f64, lat_deg: f64, lon_deg: f64) -> SunPosition {
    position(SolarPositions::grena3(), utc_s, lat_deg, lon_deg)
        .unwrap_or_else(|| sun_position(utc_s, lat_deg, lon_deg))
}

/// Local hour angle of the sun at a longitude: 0 at solar noon, positive in the afternoon, from
/// -180 to 180.
pub(super) fn hour_angle_deg(utc_s: f64, lon_deg: f64) -> f64 {
    // Seen from the north pole the azimuth runs with the hour angle, and there is no parallax in
    // it.
    sun_position(utc_s, 90.0, lon_deg).azimuth_deg - 180.0
}

fn position(method: SolarPositions, utc_s: f64, lat_deg: f64, lon_deg: f64) -> Option<SunPosition> {
    debug_assert!((-90.0..=90.0).contains(&lat_deg), "latitude {lat_deg}");
    debug_assert!((-180.0..=180.0).contains(&lon_deg), "longitude {lon_deg}");
    let time = JulianDate::new(utc_s / 86_400.0 + 2_440_587.5, rotation_delay_s(utc_s)).ok()?;
    let place = Location {
        latitude: lat_deg,
        longitude: lon_deg,
    };
    let sun = method.at_from_julian(time, place, 0.0, None).ok()?;
    Some(SunPosition {
        zenith_deg: sun.zenith_angle(),
        azimuth_deg: sun.azimuth(),
    })
}

/// Terrestrial time less universal time, ΔT. Estimated for the years -500 to 3000, held beyond.
fn rotation_delay_s(utc_s: f64) -> f64 {
    let year = (1970.0 + utc_s / (365.2425 * 86_400.0)).clamp(-499.0, 2999.0);
    delta_t::estimate(year).unwrap_or(70.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside figures: Reda and Andreas 2004, worked example A.5: 17 October 2003, 12:30:30 at
    /// UTC-7, 39.742476° N, 105.1786° W: topocentric height without refraction 39.872046°, azimuth
    /// 194.34024°. The example stands 1830 m high and uses ΔT 67 s; here sea level and the estimate
    /// for 2003 (64.5 s).
    #[test]
    fn outside_sun_position_reda_andreas_a5() {
        let sun = sun_position(1_066_419_030.0, 39.742_476, -105.178_6);
        let height_deg = 90.0 - sun.zenith_deg;
        assert!((height_deg - 39.872_046).abs() < 1e-3, "{sun:?}");
        assert!((sun.azimuth_deg - 194.340_24).abs() < 1e-3, "{sun:?}");
    }

    #[test]
    fn law_hour_angle_grows_by_15_degrees_an_hour() {
        let start_s = 1_750_000_000.0;
        let a = hour_angle_deg(start_s, 0.0);
        let b = hour_angle_deg(start_s + 3600.0, 0.0);
        assert!(((b - a).rem_euclid(360.0) - 15.0).abs() < 0.01);
    }

    #[test]
    fn refuses_years_without_a_position_by_no_number() {
        assert!(sun_position(1e13, 0.0, 0.0).zenith_deg.is_nan());
        assert!(sun_position_fast(f64::NAN, 0.0, 0.0).zenith_deg.is_nan());
    }

    #[test]
    fn law_fast_falls_back_outside_its_years() {
        let year_2000_s = 946_728_000.0;
        assert_eq!(
            sun_position(year_2000_s, 10.0, 20.0),
            sun_position_fast(year_2000_s, 10.0, 20.0)
        );
    }
}
