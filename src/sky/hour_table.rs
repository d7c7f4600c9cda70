//! Clearness of an hour by a table.
//!
//! One job: look up the Beta quantiles that `sky::hours` needs, some nanoseconds each. The
//! distribution is in `sky::beta_line`.
//! Left out: means far from the day's; `sky::hours` works those out.

use std::sync::OnceLock;

use super::beta_line::BetaLine;
use super::hour_trend::{CLEAREST_DAY, noise_sd};

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

type Line = [f32; DEVIATES];

/// Clearness index of the hour; nothing where the table does not reach.
#[inline]
pub(super) fn look_up(kt_day: f64, trend: f64, z: f64) -> Option<f64> {
    if !(kt_day > 0.0 && kt_day < CLEAREST_DAY && trend > 0.0 && trend < 1.0) {
        return None;
    }
    let odds = trend * (1.0 - kt_day) / (kt_day * (1.0 - trend));
    if !(ODDS_FROM..=ODDS_TO).contains(&odds) {
        return None;
    }
    let (day, day_share) = cell(kt_day * DAYS_PER_UNIT, DAYS);
    let (odd, odd_share) = cell((odds - ODDS_FROM) * ODDS_PER_UNIT, ODDS);
    let at = (z.clamp(-LARGEST_Z, LARGEST_Z) + LARGEST_Z) * DEVIATES_PER_UNIT;
    let (dev, dev_share) = cell(at, DEVIATES);
    let table = table();
    let along = |day: usize, odd: usize| {
        let line = &table[day * ODDS + odd];
        let (a, b) = (f64::from(line[dev]), f64::from(line[dev + 1]));
        a + (b - a) * dev_share
    };
    let across = |day: usize| {
        let (a, b) = (along(day, odd), along(day, odd + 1));
        a + (b - a) * odd_share
    };
    let (a, b) = (across(day), across(day + 1));
    Some(a + (b - a) * day_share)
}

/// Cell and place in it, of an axis with so many nodes.
#[inline]
fn cell(at: f64, nodes: usize) -> (usize, f64) {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "never negative, and bounded by the number of nodes"
    )]
    let index = (at as usize).min(nodes - 2);
    #[expect(clippy::cast_precision_loss, reason = "at most 64")]
    let share = at - index as f64;
    (index, share)
}

fn table() -> &'static [Line] {
    static TABLE: OnceLock<Vec<Line>> = OnceLock::new();
    TABLE.get_or_init(build)
}

/// All lines, by day and odds.
pub(super) fn build() -> Vec<Line> {
    let mut lines = Vec::with_capacity(DAYS * ODDS);
    for day in 0..DAYS {
        #[expect(clippy::cast_precision_loss, reason = "at most 36")]
        let kt_day = day as f64 / DAYS_PER_UNIT;
        for odd in 0..ODDS {
            #[expect(clippy::cast_precision_loss, reason = "at most 12")]
            let odds = ODDS_FROM + odd as f64 / ODDS_PER_UNIT;
            let mean = kt_day * odds / (1.0 - kt_day + kt_day * odds);
            let beta = BetaLine::new(mean, noise_sd(kt_day));
            lines.push(core::array::from_fn(|index| {
                #[expect(clippy::cast_precision_loss, reason = "at most 64")]
                let z = index as f64 / DEVIATES_PER_UNIT - LARGEST_Z;
                let kt = beta.as_ref().map_or(mean, |beta| beta.quantile_z(z));
                #[expect(clippy::cast_possible_truncation, reason = "seven digits suffice")]
                let kept = kt as f32;
                kept
            }));
        }
    }
    lines
}
