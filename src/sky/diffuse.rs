//! Share of diffuse light.
//!
//! One job: clearness index in, the diffuse part of the global irradiance out. What a tilted plane
//! makes of it is in `sky::tilt` and `sky::sky_light`.
//! Left out: height of the sun, aerosols, snow.

/// Share of the hour's global horizontal irradiance that comes from the sky, not from the sun.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt` | clearness index of the hour | share | 0 to 1.2 |
///
/// Returns a share, 0.165 to 1.
///
/// # Validity
/// Fitted on hourly values of five stations between 31 and 42° N; one value scatters by about 0.1
/// around it. Used here for shorter steps too.
///
/// # Source
/// D. G. Erbs, S. A. Klein, J. A. Duffie, "Estimation of the diffuse radiation fraction for hourly,
/// daily and monthly-average global radiation", Solar Energy 28(4), 293-302, 1982.
#[must_use]
pub fn diffuse_share(kt: f64) -> f64 {
    debug_assert!((0.0..=1.5).contains(&kt), "kt {kt}");
    if kt <= 0.22 {
        1.0 - 0.09 * kt
    } else if kt <= 0.80 {
        0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)))
    } else {
        0.165
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_share_is_a_share_and_falls_with_clearness() {
        let mut last = 1.0;
        for k in 0..=120 {
            let share = diffuse_share(f64::from(k) / 100.0);
            assert!((0.0..=1.0).contains(&share));
            assert!(share <= last + 0.002, "kt {k} %: {share} after {last}");
            last = share;
        }
    }
}
