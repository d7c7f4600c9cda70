//! The sky of one moment in three numbers.
//!
//! One job: clearness index in, light split so that weather and geometry multiply: the step loop
//! holds the geometry once for all trials. The classic form is in `sky::tilt`.
//! Left out: what `sky::tilt` leaves out.

use super::diffuse::diffuse_share;
use super::tilt::COS_ZENITH_FLOOR;

/// Light as shares of the extraterrestrial irradiance.
///
/// With `I0` that irradiance facing the sun, `cos z` of the sun, `cos θ` of its incidence and tilt
/// `β`, a plane gets the sum of `directional · I0 · max(cos θ, 0)`, `isotropic · I0 · cos z · (1 +
/// cos β)/2` and `kt · I0 · cos z · albedo · (1 - cos β)/2`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyLight {
    /// Global horizontal over extraterrestrial horizontal.
    pub kt: f64,
    /// Beam and circumsolar light facing the sun, over extraterrestrial facing the sun.
    pub directional: f64,
    /// The even part of the diffuse horizontal over extraterrestrial horizontal.
    pub isotropic: f64,
}

/// The most direct light that comes through a clear atmosphere, over that outside it, by the sine of the
/// sun's height: `0.7 ^ (m ^ 0.678)` with the air mass `m = 1 / (sin h + 0.505 72 · (h + 6.079 95°)^−1.6364)`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `sin_height` | sine of the sun's height | 1 | above 0 to 1 |
///
/// # Validity
/// A clear sky at sea level; on high ground somewhat more comes through. It matters below some 10°, where
/// a clearness index says little of direct light and a steep plane would make much of it.
///
/// # Source
/// A. B. Meinel, M. P. Meinel, "Applied Solar Energy", 1976; F. Kasten, A. T. Young, Appl. Opt. 28(22),
/// 4735-4738, 1989, doi:10.1364/AO.28.004735; both from memory.
#[must_use]
pub fn most_beam(sin_height: f64) -> f64 {
    let height_deg = libm::asin(sin_height).to_degrees();
    let air_mass = 1.0 / (sin_height + 0.505_72 * libm::pow(height_deg + 6.079_95, -1.6364));
    libm::pow(0.7, libm::pow(air_mass, 0.678))
}

impl SkyLight {
    /// No light.
    pub const DARK: Self = Self {
        kt: 0.0,
        directional: 0.0,
        isotropic: 0.0,
    };

    /// The sky by its clearness index, the diffuse share after Erbs, the split after Hay and
    /// Davies.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `kt` | clearness index of the moment | share | 0 to 1 |
    ///
    /// With `A = DNI / I0 = kt · (1 - d)` and `d` the diffuse share: directional `A + kt · d · A`,
    /// isotropic `kt · d · (1 - A)`. Neither needs the height of the sun.
    ///
    /// # Validity
    /// That of [`diffuse_share`] and [`super::tilt::hay_davies_plane`], whose result it repeats
    /// wherever the sun stands above 1°.
    ///
    /// # Source
    /// As of those two; the separable form is algebra.
    #[must_use]
    pub fn from_kt(kt: f64) -> Self {
        Self::with_most_beam(kt, 1.0)
    }

    /// The same with a limit to the direct light, such as [`most_beam`]: what is over is even light.
    #[must_use]
    #[inline]
    pub fn with_most_beam(kt: f64, most_beam: f64) -> Self {
        let beam = kt - kt * diffuse_share(kt);
        let beam = if beam < most_beam { beam } else { most_beam };
        let diffuse = kt - beam;
        Self {
            kt,
            directional: beam + diffuse * beam,
            isotropic: diffuse * (1.0 - beam),
        }
    }

    /// The sky from measured light.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `ghi_w_m2`, `dni_w_m2`, `dhi_w_m2` | global, direct facing the sun, diffuse | W/m² | none negative |
    /// | `i0_w_m2` | extraterrestrial, facing the sun | W/m² | above 0 |
    /// | `cos_zenith` | of the sun, mean over the time measured | 1 | -1 to 1 |
    ///
    /// # Validity
    /// Below 1° of the sun's height the shares are those at 1°, so the little light of the last
    /// minutes counts for less; with the sun down there is none.
    ///
    /// # Source
    /// As of [`super::tilt::hay_davies_plane`].
    #[must_use]
    #[expect(
        clippy::similar_names,
        reason = "GHI, DNI and DHI are the trade's own names"
    )]
    pub fn from_measured(
        ghi_w_m2: f64,
        dni_w_m2: f64,
        dhi_w_m2: f64,
        i0_w_m2: f64,
        cos_zenith: f64,
    ) -> Self {
        debug_assert!(i0_w_m2 > 0.0, "extraterrestrial {i0_w_m2}");
        if cos_zenith <= 0.0 {
            return Self::DARK;
        }
        let horizontal_w_m2 = i0_w_m2 * cos_zenith.max(COS_ZENITH_FLOOR);
        // A share above 1 can only be a fault of the record; the split needs 0 to 1.
        let beam = (dni_w_m2 / i0_w_m2).clamp(0.0, 1.0);
        let diffuse = dhi_w_m2 / horizontal_w_m2;
        Self {
            kt: ghi_w_m2 / horizontal_w_m2,
            directional: beam + diffuse * beam,
            isotropic: diffuse * (1.0 - beam),
        }
    }

    /// Irradiance of a plane, W/m²; 0 with the sun down. Arguments as in
    /// [`super::tilt::hay_davies_plane`].
    #[must_use]
    pub fn plane_w_m2(
        &self,
        i0_w_m2: f64,
        cos_zenith: f64,
        cos_incidence: f64,
        tilt_deg: f64,
        albedo: f64,
    ) -> f64 {
        if cos_zenith <= 0.0 {
            return 0.0;
        }
        let cos_tilt = libm::cos(tilt_deg.to_radians());
        let geometry = [
            i0_w_m2 * cos_incidence.max(0.0),
            i0_w_m2 * cos_zenith * f64::midpoint(1.0, cos_tilt),
            i0_w_m2 * cos_zenith * albedo * (1.0 - cos_tilt) / 2.0,
        ];
        on_plane_w_m2([self.directional, self.isotropic, self.kt], geometry)
    }
}

/// Irradiance of a plane, W/m²: the directional part, the isotropic part and the clearness of a [`SkyLight`],
/// each times what the geometry makes of it, W/m².
#[must_use]
#[inline]
pub fn on_plane_w_m2(light: [f64; 3], geometry_w_m2: [f64; 3]) -> f64 {
    let [directional, isotropic, kt] = light;
    directional * geometry_w_m2[0] + isotropic * geometry_w_m2[1] + kt * geometry_w_m2[2]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Air mass 1 in the zenith: 0.7. At 1° the air mass of Kasten and Young is 26.3: 0.7^(26.3^0.678) = 0.038.
    #[test]
    fn by_hand_little_direct_light_comes_through_at_the_horizon() {
        assert!((most_beam(1.0) - 0.7).abs() < 1e-3);
        let at_1_deg = most_beam(libm::sin(1.0_f64.to_radians()));
        assert!((at_1_deg - 0.038).abs() < 1e-3, "{at_1_deg}");
        // A clear hour there on a plane that faces the sun: 0.9 of the extraterrestrial light without the limit.
        let sky = SkyLight::with_most_beam(1.0, at_1_deg);
        assert!(sky.directional < 0.08, "{}", sky.directional);
        let flat = sky.directional + sky.isotropic;
        assert!((flat - 1.0).abs() < 1e-12, "nothing is lost: {flat}");
    }

    #[test]
    fn law_flat_plane_gets_kt_of_the_extraterrestrial() {
        for k in 0..=100 {
            let kt = f64::from(k) / 100.0;
            let sky = SkyLight::from_kt(kt);
            let flat = sky.plane_w_m2(1361.0, 0.4, 0.4, 0.0, 0.2);
            assert!((flat - kt * 1361.0 * 0.4).abs() < 1e-9);
            assert!(sky.directional >= 0.0 && sky.isotropic >= 0.0);
        }
    }

    #[test]
    fn law_measured_and_modelled_agree_on_the_same_light() {
        let (kt, i0, cos_zenith) = (0.55, 1350.0, 0.6);
        let ghi = kt * i0 * cos_zenith;
        let dhi = ghi * diffuse_share(kt);
        let measured = SkyLight::from_measured(ghi, (ghi - dhi) / cos_zenith, dhi, i0, cos_zenith);
        let modelled = SkyLight::from_kt(kt);
        assert!((measured.directional - modelled.directional).abs() < 1e-12);
        assert!((measured.isotropic - modelled.isotropic).abs() < 1e-12);
    }

    #[test]
    fn law_sun_down_is_dark() {
        assert_eq!(
            SkyLight::from_measured(5.0, 0.0, 5.0, 1361.0, -0.1),
            SkyLight::DARK
        );
        let night = SkyLight::from_kt(0.5).plane_w_m2(1361.0, -0.1, 0.3, 40.0, 0.2);
        assert!(night.abs() < f64::EPSILON);
    }
}
