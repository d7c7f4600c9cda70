//! What an hour's clearness hovers about, and how far from it.
//!
//! One job: the day's clearness index and the sun's height in, mean and spread of the hour's out.
//! The hour itself is drawn through `sky::hours`.
//! Left out: the day's total, which `sky::hours` holds.

use core::f64::consts::PI;

use super::decay::decay;

/// `kt_day` from which on the noise is nil.
pub(super) const CLEAREST_DAY: f64 = 0.9;

/// Lag-1 autocorrelation of the deviate from hour to hour within a day.
///
/// Source: Graham and Hollands 1990 (see [`trend_kt`]), mean 0.54 ± 0.14.
pub const HOUR_LAG1: f64 = 0.54;

/// Mean clearness index of an hour of a day.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt_day` | clearness index of the day | share | 0 to 1 |
/// | `air_mass_m` | air mass `1 / sin(height of the sun)` at the middle of the hour | 1 | 1 or more |
///
/// # Validity
/// Its mean over a day is up to 16 % off the day's own at high latitudes in winter:
/// [`super::hours::hold_day_total`] puts that right.
///
/// # Source
/// V. A. Graham, K. G. T. Hollands, "A method to generate synthetic hourly solar radiation
/// globally", Solar Energy 44(6), 333-341, 1990; coefficients confirmed in independent published
/// code.
#[must_use]
#[expect(
    clippy::inline_always,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub fn trend_kt(kt_day: f64, air_mass_m: f64) -> f64 {
    debug_assert!((0.0..=1.0).contains(&kt_day), "KT {kt_day}");
    debug_assert!(air_mass_m > 0.99, "air mass {air_mass_m}");
    let cloud = 1.0 - kt_day;
    let low_sun = kt_day - 1.167 * kt_day * kt_day * kt_day * cloud;
    let trend = low_sun + 0.979 * cloud * decay(1.141 * cloud / kt_day * air_mass_m);
    if kt_day > 0.0 { trend } else { 0.0 }
}

/// [`trend_kt`] on several days side by side, the same to the bit.
#[must_use]
#[expect(clippy::inline_always, reason = "as `trend_kt`")]
#[inline(always)]
pub fn trend_kts<const N: usize>(kt_day: &[f64; N], air_mass_m: f64) -> [f64; N] {
    let mut trend = [0.0; N];
    for (trend, &kt_day) in trend.iter_mut().zip(kt_day) {
        *trend = trend_kt(kt_day, air_mass_m);
    }
    trend
}

/// Standard deviation of an hour's clearness index about the trend.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt_day` | clearness index of the day | share | 0 to 1 |
///
/// # Validity
/// Nil from 0.9 on, where the sine of the fit turns negative.
///
/// # Source
/// As [`trend_kt`].
#[must_use]
pub fn noise_sd(kt_day: f64) -> f64 {
    if kt_day >= CLEAREST_DAY {
        return 0.0;
    }
    0.16 * libm::sin(PI * kt_day / CLEAREST_DAY)
}
