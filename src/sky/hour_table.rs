//! Clearness of an hour by a table.
//!
//! One job: look up the Beta quantiles that `sky::hours` needs, some nanoseconds each. The
//! distribution is in `sky::beta_line`.
//! Left out: means far from the day's; `sky::hours` works those out.

use std::sync::OnceLock;

use super::beta_line::BetaLine;
use super::deviate_grid::cell;
use super::hour_trend::{CLEAREST_DAY, noise_sd};
use crate::units::{Whole, narrow};

/// Clearness index of the day: 0 to 0.9 in steps of 0.025.
const DAYS: usize = 37;
const DAYS_PER_UNIT: f64 = 40.0;

/// Odds of the hour's mean over the odds of the day's: 0.3 to 2.1 in steps of 0.15. The trend of
/// Graham and Hollands stays between 0.48 and 1.43.
const ODDS: usize = 13;
const ODDS_FROM: f64 = 0.3;
const ODDS_TO: f64 = 2.1;
const ODDS_PER_UNIT: f64 = 1.0 / 0.15;

/// Deviate: -4 to 4 in eighths.
const DEVIATES: usize = 65;
const DEVIATES_PER_UNIT: f64 = 8.0;
const LARGEST_Z: f64 = 4.0;

const NODES: usize = DAYS * ODDS * DEVIATES;

/// Clearness indices of an hour on several days side by side; not a number where the table does not
/// reach.
#[expect(
    clippy::inline_always,
    clippy::needless_bitwise_bool,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub(super) fn look_up<const N: usize>(
    kt_day: &[f64; N],
    trend: &[f64; N],
    z: &[f64; N],
) -> [f64; N] {
    let mut kt = [f64::NAN; N];
    let Some(table) = table().first_chunk::<NODES>() else {
        return kt;
    };
    for lane in 0..N {
        let (kt_day, trend, z) = (kt_day[lane], trend[lane], z[lane]);
        let odds = trend * (1.0 - kt_day) / (kt_day * (1.0 - trend));
        let is_in = (kt_day > 0.0)
            & (kt_day < CLEAREST_DAY)
            & (trend > 0.0)
            & (trend < 1.0)
            & (ODDS_FROM..=ODDS_TO).contains(&odds);
        let (day, day_share) = cell(kt_day * DAYS_PER_UNIT, DAYS);
        let (odd, odd_share) = cell((odds - ODDS_FROM) * ODDS_PER_UNIT, ODDS);
        let (dev, dev_share) = cell((z + LARGEST_Z) * DEVIATES_PER_UNIT, DEVIATES);
        let node = |day: usize, odd: usize, dev: usize| {
            f64::from(table[((day * ODDS + odd) * DEVIATES + dev).min(NODES - 1)])
        };
        let along = |day: usize, odd: usize| {
            let (a, b) = (node(day, odd, dev), node(day, odd, dev + 1));
            a + (b - a) * dev_share
        };
        let across = |day: usize| {
            let (a, b) = (along(day, odd), along(day, odd + 1));
            a + (b - a) * odd_share
        };
        let (a, b) = (across(day), across(day + 1));
        let found = a + (b - a) * day_share;
        kt[lane] = if is_in { found } else { f64::NAN };
    }
    kt
}

/// Clearness indices by day, odds and deviate.
fn table() -> &'static [f32] {
    static TABLE: OnceLock<Vec<f32>> = OnceLock::new();
    TABLE.get_or_init(|| build().concat())
}

/// Lays the table that [`super::hours::hour_kts`] reads, some milliseconds, unless it is there. Without
/// this the first hour does it: a program may do so beside other work.
pub fn lay_hour_table() {
    table();
}

/// All lines, by day and odds.
pub(super) fn build() -> Vec<[f32; DEVIATES]> {
    let mut lines = Vec::with_capacity(DAYS * ODDS);
    for day in 0..DAYS {
        let kt_day = day.real() / DAYS_PER_UNIT;
        for odd in 0..ODDS {
            let odds = ODDS_FROM + odd.real() / ODDS_PER_UNIT;
            let mean = kt_day * odds / (1.0 - kt_day + kt_day * odds);
            let beta = BetaLine::new(mean, noise_sd(kt_day));
            lines.push(core::array::from_fn(|index| {
                let z = index.real() / DEVIATES_PER_UNIT - LARGEST_Z;
                narrow(beta.as_ref().map_or(mean, |beta| beta.quantile_z(z)))
            }));
        }
    }
    lines
}
