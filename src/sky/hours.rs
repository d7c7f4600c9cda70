//! Clearness of the hours of a day.
//!
//! One job: the day's clearness index and a deviate in, the hour's clearness index out, and the day's total held. The
//! days are drawn in `trials` from `sky::clearness`.
//! Left out: passing clouds within the hour.

use core::f64::consts::PI;

use super::beta_line::BetaLine;
use super::hour_table::{CLEAREST_DAY, look_up};

/// Lag-1 autocorrelation of the deviate from hour to hour within a day.
///
/// Source: Graham and Hollands 1990 (see [`trend_kt`]), mean 0.54 ± 0.14.
pub const HOUR_LAG1: f64 = 0.54;

pub use super::clearness::DAY_LAG1;

/// Mean clearness index of an hour of a day.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt_day` | clearness index of the day | share | 0 to 1 |
/// | `air_mass_m` | air mass `1 / sin(height of the sun)` at the middle of the hour | 1 | 1 or more |
///
/// # Validity
/// Its mean over a day is up to 16 % off the day's own at high latitudes in winter:
/// [`hold_day_total`] puts that right.
///
/// # Source
/// V. A. Graham, K. G. T. Hollands, "A method to generate synthetic hourly solar radiation globally", Solar
/// Energy 44(6), 333-341, 1990; coefficients confirmed in independent published code.
#[must_use]
pub fn trend_kt(kt_day: f64, air_mass_m: f64) -> f64 {
    debug_assert!((0.0..=1.0).contains(&kt_day), "KT {kt_day}");
    debug_assert!(air_mass_m > 0.99, "air mass {air_mass_m}");
    if kt_day <= 0.0 {
        return 0.0;
    }
    let cloud = 1.0 - kt_day;
    let low_sun = kt_day - 1.167 * kt_day * kt_day * kt_day * cloud;
    low_sun + 0.979 * cloud * libm::exp(-1.141 * cloud / kt_day * air_mass_m)
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

/// Clearness index of an hour: the Beta quantile with the mean `trend` and the standard deviation
/// [`noise_sd`] at the deviate `z`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt_day` | clearness index of the day | share | 0 to 1 |
/// | `trend` | mean of the hour, [`trend_kt`] | share | any, held to 0 to 1 |
/// | `z` | standard normal deviate | 1 | any, held to -4 to 4 |
///
/// Returns 0 to 1. Where no Beta distribution has that mean and standard deviation, and on days from 0.9 on, it is the
/// trend itself.
///
/// # Validity
/// By a table within 0.01 of the exact inverse, 0.003 in the mean square, as long as the odds of the trend are 0.3 to
/// 2.1 times those of the day (its own trend: 0.48 to 1.43); beyond that it is worked out, some microseconds.
///
/// # Source
/// Graham and Hollands 1990, as [`trend_kt`]; a Beta distribution on 0 to 1 (the limits are from
/// memory).
#[must_use]
#[inline]
pub fn hour_kt(kt_day: f64, trend: f64, z: f64) -> f64 {
    look_up(kt_day, trend, z).unwrap_or_else(|| worked_out(kt_day, trend, z))
}

#[cold]
fn worked_out(kt_day: f64, trend: f64, z: f64) -> f64 {
    BetaLine::new(trend, noise_sd(kt_day)).map_or(trend.clamp(0.0, 1.0), |beta| {
        beta.quantile_z(z.clamp(-4.0, 4.0))
    })
}

/// Scales the hours of a day so that they add up to the day.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt` | clearness index of each hour; replaced | share | 0 or more |
/// | `weight` | extraterrestrial irradiation of each hour | any | 0 or more |
/// | `cap` | the most an hour can have, from the clear sky | share | 0 to 1 |
/// | `kt_day` | clearness index of the day | share | 0 to 1 |
///
/// Afterwards `Σ kt · weight = kt_day · Σ weight` and no hour is above its cap. One factor multiplies all hours; what a
/// cap cuts raises the factor of the rest. Where the caps together cannot hold the day, they are 1 instead:
/// high or very clear places see more than the clear-sky curve.
///
/// # Validity
/// To rounding. Hours of no weight are scaled too.
///
/// # Source
/// Ours.
pub fn hold_day_total(kt: &mut [f64], weight: &[f64], cap: &[f64], kt_day: f64) {
    debug_assert!(kt.len() == weight.len() && kt.len() == cap.len(), "lengths");
    debug_assert!((0.0..=1.0).contains(&kt_day), "KT {kt_day}");
    let total: f64 = weight.iter().sum();
    if total <= 0.0 {
        return;
    }
    let wanted = kt_day * total;
    let room: f64 = cap.iter().zip(weight).map(|(c, w)| c * w).sum();
    if room >= wanted {
        fill(kt, weight, wanted, |index| cap[index]);
    } else {
        fill(kt, weight, wanted, |_| 1.0);
    }
}

/// The factor only grows as hours reach their caps, so at most one round an hour.
fn fill(kt: &mut [f64], weight: &[f64], wanted: f64, cap: impl Fn(usize) -> f64) {
    let mut factor = 0.0;
    for _ in 0..=kt.len() {
        let (mut full, mut free) = (0.0, 0.0);
        for (index, (&k, &w)) in kt.iter().zip(weight).enumerate() {
            if factor * k >= cap(index) && factor > 0.0 {
                full += cap(index) * w;
            } else {
                free += k * w;
            }
        }
        let rest = wanted - full;
        if free <= 0.0 {
            if rest > 0.0 {
                share_out(kt, weight, rest, factor, &cap);
                return;
            }
            break;
        }
        let next = (rest / free).max(factor);
        if next <= factor {
            break;
        }
        factor = next;
    }
    for (index, k) in kt.iter_mut().enumerate() {
        *k = (factor * *k).min(cap(index));
    }
}

/// All hours that can grow are full and something is left: hours of no light of their own take it, in proportion to
/// their caps.
fn share_out(kt: &mut [f64], weight: &[f64], rest: f64, factor: f64, cap: &impl Fn(usize) -> f64) {
    let is_dark = |k: f64| k <= 0.0;
    let room: f64 = kt
        .iter()
        .zip(weight)
        .enumerate()
        .filter(|(_, (k, _))| is_dark(**k))
        .map(|(index, (_, w))| cap(index) * w)
        .sum();
    let share = if room > 0.0 {
        (rest / room).min(1.0)
    } else {
        0.0
    };
    for (index, k) in kt.iter_mut().enumerate() {
        *k = if is_dark(*k) {
            cap(index) * share
        } else {
            (factor * *k).min(cap(index))
        };
    }
}

#[cfg(test)]
#[path = "hours_tests.rs"]
mod tests;
