//! What steps of current say of the battery: its resistance.
//!
//! One job: the step of voltage that comes with each step of current, between two rows.

use std::collections::BTreeMap;

use super::estimate::{Estimate, of_days};
use super::meter::Meter;
use crate::units::Whole;

/// Rows further apart do not show a step, s.
const STEP_ROWS_S: f64 = 130.0;

/// How well a meter's voltage and current are read together, as a share: half the width of 8 in 10. Common
/// practice, no source.
const GAIN_HALF: f64 = 0.012;

/// Sum of the squares of steps that it takes, A².
const LEAST_SQUARES_A2: f64 = 300.0;

/// Ohmic resistance in mΩ, and the hours it rests on; the reason where it does not show.
pub(super) fn resistance_mohm(meter: &Meter) -> Result<(f64, Estimate), &'static str> {
    if meter.row_volts.is_empty() {
        return Err("the log has no voltage");
    }
    if !meter.has_current {
        return Err("the log has no current");
    }
    if meter.every_s > STEP_ROWS_S {
        return Err("the rows are too far apart to show steps of current");
    }
    let mut days: BTreeMap<i64, (f64, f64)> = BTreeMap::new();
    let mut pairs = 0_u32;
    for row in 1..meter.row_s.len() {
        let apart_s = meter.row_s[row] - meter.row_s[row - 1];
        let step_a = meter.row_amps[row] - meter.row_amps[row - 1];
        let step_v = meter.row_volts[row] - meter.row_volts[row - 1];
        if apart_s > STEP_ROWS_S || !step_v.is_finite() || step_a.is_nan() || step_a.abs() < 2.0 {
            continue;
        }
        let day = i64::cut(meter.row_s[row] / 86_400.0);
        let (both, squares) = days.entry(day).or_default();
        *both += step_a * step_v;
        *squares += step_a * step_a;
        pairs += 1;
    }
    let all: f64 = days.values().map(|(_, squares)| squares).sum();
    if all < LEAST_SQUARES_A2 {
        return Err("the current never steps far enough between two rows");
    }
    let days: Vec<(f64, f64)> = days
        .values()
        .filter(|(_, squares)| *squares >= 0.02 * all)
        .map(|(both, squares)| (1000.0 * both / squares, *squares))
        .collect();
    let found = of_days(&days).ok_or("steps of current on one day only")?;
    let found = found.widened(GAIN_HALF * found.value);
    if found.value <= 0.0 || found.high - found.low > 1.5 * found.value {
        return Err("voltage and current do not step together clearly enough");
    }
    Ok((f64::from(pairs) * meter.every_s / 3600.0, found))
}
