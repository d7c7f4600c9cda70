//! Light on a tilted plane.
//!
//! One job: sun, sky and plane in, irradiance in the plane out, in the classic form. The form that
//! keeps the weather apart from the geometry, for the step loop, is in `sky::sky_light`.
//! Left out: horizon brightening, shade, reflection at the glass.

use super::sun_position::SunPosition;

/// Share of light that the ground throws back.
///
/// Source: common practice, no source; bare ground 0.15 to 0.3, dry salt or snow 0.5 to 0.8.
pub const ALBEDO: f64 = 0.2;

/// Cosine below which the sun counts as standing 1° high, so that the circumsolar light of a low
/// sun does not run to infinity.
pub const COS_ZENITH_FLOOR: f64 = 0.017_45;

/// Cosine of the angle between the sun and the normal of a plane.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `sun` | where the sun stands | ° | [`SunPosition`] |
/// | `tilt_deg` | tilt of the plane, 0 flat | ° | 0 to 180 |
/// | `azimuth_deg` | where the plane faces, clockwise from north | ° | any |
///
/// Returns -1 to 1; negative when the sun is behind the plane.
///
/// # Source
/// Spherical geometry; J. A. Duffie, W. A. Beckman, "Solar Engineering of Thermal Processes",
/// chapter 1.
#[must_use]
pub fn cos_incidence(sun: SunPosition, tilt_deg: f64, azimuth_deg: f64) -> f64 {
    let (sin_zenith, cos_zenith) = libm::sincos(sun.zenith_deg.to_radians());
    let (sin_tilt, cos_tilt) = libm::sincos(tilt_deg.to_radians());
    let turn = libm::cos((sun.azimuth_deg - azimuth_deg).to_radians());
    (cos_zenith * cos_tilt + sin_zenith * sin_tilt * turn).clamp(-1.0, 1.0)
}

/// What reaches a tilted plane, by where it comes from, W/m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneLight {
    /// Straight from the sun.
    pub beam_w_m2: f64,
    /// From the sky, its bright part around the sun included.
    pub sky_w_m2: f64,
    /// From the ground.
    pub ground_w_m2: f64,
}

impl PlaneLight {
    /// All of it.
    #[must_use]
    pub fn total_w_m2(&self) -> f64 {
        self.beam_w_m2 + self.sky_w_m2 + self.ground_w_m2
    }
}

/// Measured or modelled light of one moment on the horizontal, W/m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HorizontalLight {
    /// Global horizontal.
    pub ghi_w_m2: f64,
    /// Direct, facing the sun.
    pub dni_w_m2: f64,
    /// Diffuse horizontal.
    pub dhi_w_m2: f64,
    /// Extraterrestrial, facing the sun; above 0.
    pub i0_w_m2: f64,
}

/// Irradiance of a tilted plane after Hay and Davies.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `light` | light of the moment | W/m² | none negative, `i0_w_m2` above 0 |
/// | `cos_zenith` | of the sun | 1 | -1 to 1 |
/// | `cos_incidence` | of the sun on the plane | 1 | -1 to 1 |
/// | `tilt_deg` | tilt of the plane | ° | 0 to 180 |
/// | `albedo` | of the ground, see [`ALBEDO`] | share | 0 to 1 |
///
/// # Validity
/// The sky's diffuse light is cut in two, around the sun and even all over; real skies are brighter
/// at the horizon. Below 1° of the sun's height [`COS_ZENITH_FLOOR`] holds.
///
/// # Source
/// J. E. Hay, J. A. Davies, "Calculations of the solar radiation incident on an inclined surface",
/// Proc. First Canadian Solar Radiation Data Workshop, 59-72, 1980. Ground: B. Y. H. Liu, R. C.
/// Jordan, Solar Energy 7(2), 53-74, 1963.
#[must_use]
pub fn hay_davies_plane(
    light: HorizontalLight,
    cos_zenith: f64,
    cos_incidence: f64,
    tilt_deg: f64,
    albedo: f64,
) -> PlaneLight {
    debug_assert!(light.i0_w_m2 > 0.0, "extraterrestrial {}", light.i0_w_m2);
    let facing = cos_incidence.max(0.0);
    let cos_tilt = libm::cos(tilt_deg.to_radians());
    let anisotropy = light.dni_w_m2 / light.i0_w_m2;
    let ratio = facing / cos_zenith.max(COS_ZENITH_FLOOR);
    PlaneLight {
        beam_w_m2: light.dni_w_m2 * facing,
        sky_w_m2: light.dhi_w_m2
            * (anisotropy * ratio + (1.0 - anisotropy) * f64::midpoint(1.0, cos_tilt)),
        ground_w_m2: light.ghi_w_m2 * albedo * (1.0 - cos_tilt) / 2.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside figure: Reda and Andreas 2004, worked example A.5: zenith 50.11162°, azimuth
    /// 194.34024°, slope 30°, rotation -10° from south: incidence 25.18700°.
    #[test]
    fn outside_incidence_reda_andreas_a5() {
        let sun = SunPosition {
            zenith_deg: 50.111_62,
            azimuth_deg: 194.340_24,
        };
        let incidence_deg = libm::acos(cos_incidence(sun, 30.0, 170.0)).to_degrees();
        assert!((incidence_deg - 25.187).abs() < 1e-5, "{incidence_deg}");
    }

    #[test]
    fn law_flat_plane_gets_the_global_light() {
        let light = HorizontalLight {
            ghi_w_m2: 500.0,
            dni_w_m2: 600.0,
            dhi_w_m2: 200.0,
            i0_w_m2: 1361.0,
        };
        let flat = hay_davies_plane(light, 0.5, 0.5, 0.0, ALBEDO);
        assert!((flat.total_w_m2() - 500.0).abs() < 1e-9);
    }
}
