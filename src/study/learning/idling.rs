//! What a charger gives while the engine idles, and for how much of its time.
//!
//! One job: the two levels of a charger's current on the road, where the rows are near enough to show them.

use std::collections::BTreeMap;

use super::estimate::{Estimate, of_days};
use super::ground::Ground;
use super::meter::{Meter, step_of};
use super::sources::{BLOCK_S, Charging, GAIN_HALF};
use super::spans::{Shows, levels_of, mean_of};
use crate::units::Whole;

/// A row within this share of the way from one level to the other is of that level.
const OF_A_LEVEL: f64 = 0.25;

/// Rows that idle all through, at least.
const LEAST_ROWS: usize = 6;

/// The way from one level to the other over what a compressor switches by, at least.
const LEAST_SWING: f64 = 2.0;

/// Idling over all the engine's time, at least.
const LEAST_SHARE: f64 = 0.01;

/// A charger on the road, at its two levels.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Idling {
    /// Current at the bank at cruise, A.
    pub(super) cruise_a: Estimate,
    /// At idle, A.
    pub(super) idle_a: Estimate,
    /// Share of the engine's time at idle.
    pub(super) share: Estimate,
}

/// The levels of a charger; the reason where only one shows.
pub(super) fn idling(
    ground: &Ground<'_>,
    meter: &Meter,
    charging: &Charging,
) -> Result<Idling, String> {
    let added: BTreeMap<usize, f64> = charging
        .steps
        .iter()
        .copied()
        .zip(charging.added_a.iter().copied())
        .collect();
    let rows = meter.row_s.iter().zip(&meter.row_amps);
    let came: Vec<(f64, f64)> = rows
        .filter_map(|(&at_s, amps)| {
            let added_a = added.get(&step_of(ground.timeline, at_s))?;
            amps.is_finite().then_some((at_s, amps + added_a))
        })
        .collect();
    let amps: Vec<f64> = came.iter().map(|(_, amps)| *amps).collect();
    let one_level = || {
        format!(
            "with rows {:.0} s apart its current on the road has one level: the engine never idled for long enough to \
             show, or its alternator has enough at idle too",
            meter.every_s
        )
    };
    let Some(Shows::Two { low_a, swing_a }) = levels_of(&amps).filter(|_| meter.has_current) else {
        return Err(one_level());
    };
    let is_idle = |amps: f64| amps < low_a + OF_A_LEVEL * swing_a;
    let is_cruise = |amps: f64| amps > low_a + (1.0 - OF_A_LEVEL) * swing_a;
    let mut blocks: BTreeMap<i64, Vec<f64>> = BTreeMap::new();
    let mut idle_blocks: BTreeMap<i64, Vec<f64>> = BTreeMap::new();
    for (row, &(at_s, amps)) in came.iter().enumerate() {
        let block = i64::cut(at_s / BLOCK_S);
        blocks.entry(block).or_default().push(amps);
        // A row that idles in part lies between the levels, wherever; one between two others is whole.
        let is_whole = (row.saturating_sub(1)..row + 2)
            .all(|row| came.get(row).is_some_and(|(_, amps)| is_idle(*amps)));
        if is_whole {
            idle_blocks.entry(block).or_default().push(amps);
        }
    }
    if idle_blocks.values().map(Vec::len).sum::<usize>() < LEAST_ROWS {
        return Err(one_level());
    }
    let running_a = ground.compressors_a(meter.bank);
    if swing_a < LEAST_SWING * running_a {
        return Err(format!(
            "a compressor on the same bank switches by as much: {running_a:.1} A of the {swing_a:.1} A between its two levels"
        ));
    }
    let level = |blocks: &BTreeMap<i64, Vec<f64>>, of: &dyn Fn(f64) -> bool| {
        let each = blocks.values().filter_map(|block| {
            let of_level: Vec<f64> = block.iter().copied().filter(|amps| of(*amps)).collect();
            let weight = of_level.len().real();
            (weight > 0.0).then(|| (mean_of(&of_level), weight))
        });
        of_days(&each.collect::<Vec<_>>())
    };
    let levels = (level(&blocks, &is_cruise), level(&idle_blocks, &is_idle));
    let (Some(cruise_a), Some(idle_a)) = levels else {
        return Err("it idled in one half hour of the log only".to_owned());
    };
    // A row in between holds some of both.
    let shares = blocks.values().map(|block| {
        let share = (cruise_a.value - mean_of(block)) / (cruise_a.value - idle_a.value);
        let weight = block.len().real();
        (share, weight)
    });
    let share = of_days(&shares.collect::<Vec<_>>());
    let Some(share) = share.filter(|share| share.value > LEAST_SHARE && share.value < 0.9) else {
        return Err("it idled too little to show".to_owned());
    };
    let sure = |level: Estimate| {
        let half = charging.added_half_a.hypot(GAIN_HALF * level.value);
        level.widened(half)
    };
    Ok(Idling {
        cruise_a: sure(cruise_a),
        idle_a: sure(idle_a),
        share,
    })
}
