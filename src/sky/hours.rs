//! Clearness of the hours of a day.
//!
//! One job: the day's clearness index and a deviate in, the hour's clearness index out, and the
//! day's total held. The days are drawn in `trials` from `sky::clearness`.
//! Left out: passing clouds within the hour.

use super::beta_line::BetaLine;
use super::hour_table::look_up;

pub use super::hour_table::lay_hour_table;
pub use super::hour_trend::{HOUR_LAG1, noise_sd, trend_kt, trend_kts};

/// Clearness index of an hour: the Beta quantile with the mean `trend` and the standard deviation
/// [`noise_sd`] at the deviate `z`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `kt_day` | clearness index of the day | share | 0 to 1 |
/// | `trend` | mean of the hour, [`trend_kt`] | share | any, held to 0 to 1 |
/// | `z` | standard normal deviate | 1 | any, held to -4 to 4 |
///
/// Returns 0 to 1. Where no Beta distribution has that mean and standard deviation, and on days
/// from 0.9 on, it is the trend itself.
///
/// # Validity
/// By a table within 0.01 of the exact inverse, 0.003 in the mean square, as long as the odds of
/// the trend are 0.3 to 2.1 times those of the day (its own trend: 0.48 to 1.43); beyond that it is
/// worked out, some microseconds.
///
/// # Source
/// Graham and Hollands 1990, as [`trend_kt`]; a Beta distribution on 0 to 1 (the limits are from
/// memory).
#[must_use]
pub fn hour_kt(kt_day: f64, trend: f64, z: f64) -> f64 {
    hour_kts(&[kt_day], &[trend], &[z])[0]
}

/// [`hour_kt`] on several days side by side, the same to the bit.
#[must_use]
#[expect(
    clippy::inline_always,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub fn hour_kts<const N: usize>(kt_day: &[f64; N], trend: &[f64; N], z: &[f64; N]) -> [f64; N] {
    let mut kt = look_up(kt_day, trend, z);
    for lane in 0..N {
        if kt[lane].is_nan() {
            kt[lane] = worked_out(kt_day[lane], trend[lane], z[lane]);
        }
    }
    kt
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
/// Afterwards `Σ kt · weight = kt_day · Σ weight` and no hour is above its cap. One factor
/// multiplies all hours; what a cap cuts raises the factor of the rest. Where the caps together
/// cannot hold the day, they are 1 instead: high or very clear places see more than the clear-sky
/// curve.
///
/// # Validity
/// To rounding. Hours of no weight are scaled too.
///
/// # Source
/// Ours.
pub fn hold_day_total(kt: &mut [f64], weight: &[f64], cap: &[f64], kt_day: f64) {
    hold_day_totals(kt.as_chunks_mut::<1>().0, weight, cap, &[kt_day]);
}

/// [`hold_day_total`] of several days side by side, the same to the bit: `kt[hour][day]`.
#[expect(
    clippy::inline_always,
    clippy::needless_bitwise_bool,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub fn hold_day_totals<const N: usize>(
    kt: &mut [[f64; N]],
    weight: &[f64],
    cap: &[f64],
    kt_day: &[f64; N],
) {
    debug_assert!(kt.len() == weight.len() && kt.len() == cap.len(), "lengths");
    let total: f64 = weight.iter().sum();
    if total <= 0.0 {
        return;
    }
    let room: f64 = cap.iter().zip(weight).map(|(c, w)| c * w).sum();
    // The least that a cap is raised to: 0 where the caps hold the day, 1 where they cannot.
    let mut least_cap = [0.0; N];
    let mut wanted = [0.0; N];
    for day in 0..N {
        debug_assert!((0.0..=1.0).contains(&kt_day[day]), "KT {}", kt_day[day]);
        wanted[day] = kt_day[day] * total;
        least_cap[day] = if room >= wanted[day] { 0.0 } else { 1.0 };
    }
    let capped = |cap: f64, least: f64| if cap > least { cap } else { least };
    let (mut factor, mut rest, mut free) = ([0.0; N], wanted, [0.0; N]);
    // The factor only grows as hours reach their caps, so at most one round an hour.
    for _ in 0..=kt.len() {
        rest = wanted;
        free = [0.0; N];
        let mut full = [0.0; N];
        for ((kt, &cap), &weight) in kt.iter().zip(cap).zip(weight) {
            for day in 0..N {
                let cap = capped(cap, least_cap[day]);
                let is_full = (factor[day] * kt[day] >= cap) & (factor[day] > 0.0);
                full[day] += if is_full { cap * weight } else { 0.0 };
                free[day] += if is_full { 0.0 } else { kt[day] * weight };
            }
        }
        let mut grows = false;
        for day in 0..N {
            rest[day] -= full[day];
            let next = rest[day] / free[day];
            let is_next = (free[day] > 0.0) & (next > factor[day]);
            factor[day] = if is_next { next } else { factor[day] };
            grows |= is_next;
        }
        if !grows {
            break;
        }
    }
    for day in 0..N {
        if free[day] <= 0.0 && rest[day] > 0.0 {
            let mut column: Vec<f64> = kt.iter().map(|kt| kt[day]).collect();
            let cap = |hour: usize| capped(cap[hour], least_cap[day]);
            share_out(&mut column, weight, rest[day], factor[day], &cap);
            for (kt, held) in kt.iter_mut().zip(column) {
                kt[day] = held;
            }
            // They are within their caps already.
            factor[day] = 1.0;
        }
    }
    for (kt, &cap) in kt.iter_mut().zip(cap) {
        for day in 0..N {
            let cap = capped(cap, least_cap[day]);
            let scaled = factor[day] * kt[day];
            kt[day] = if scaled < cap { scaled } else { cap };
        }
    }
}

/// All hours that can grow are full and something is left: hours of no light of their own take it,
/// in proportion to their caps.
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
