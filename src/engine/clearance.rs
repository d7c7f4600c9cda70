//! Whether a bank stays clear of all its limits for some steps, whatever happens in them.
//!
//! One job: a bound from below. The loads draw at most what they ask; sources only add. So a bank that
//! is fed by nothing, at the lowest voltage of its curve, ends no higher than the true one in any step.

use super::bank_flow::{AT_CUTOFF, Bounds, NO_TANKS};
use super::lanes::{LANES, Lanes, greater, times, widest};
use super::state::BankState;
use crate::timeline::plant::BankPlant;

/// Room for rounding, as a share of the capacity: far more than any sum here can lose.
const ROUNDING: f64 = 1e-6 + AT_CUTOFF;

/// The terminal voltage under load is at least this share of that behind the resistance, or the bank does
/// not count as clear.
const LEAST_SHARE: f64 = 0.75;

/// The worst that may come to a bank.
#[derive(Debug, Clone, Copy)]
pub(super) struct Worst {
    /// Power of all its compressors running.
    pub(super) fridges_w: f64,
    pub(super) bounds: Bounds,
    pub(super) reserve_soc: f64,
    pub(super) steps: usize,
    pub(super) step_h: f64,
}

/// Whether in no trial and no step the bank comes near its cut-off, its reserve, the charge at hand or
/// its greatest discharge current. `asked_w`, `asked_a`: what its loads ask besides its fridges.
#[inline(never)]
pub(super) fn stays_clear(
    plant: &BankPlant,
    bank: &BankState,
    asked_w: &Lanes,
    asked_a: &Lanes,
    worst: Worst,
) -> bool {
    widest(
        #[inline(always)]
        || {
            if plant.two_tank.is_some() {
                stays_clear_lanes::<true>(plant, bank, asked_w, asked_a, worst)
            } else {
                stays_clear_lanes::<false>(plant, bank, asked_w, asked_a, worst)
            }
        },
    )
}

#[inline(always)]
fn stays_clear_lanes<const LEAD: bool>(
    plant: &BankPlant,
    bank: &BankState,
    asked_w: &Lanes,
    asked_a: &Lanes,
    worst: Worst,
) -> bool {
    let tanks = plant.two_tank.unwrap_or(NO_TANKS);
    let (ohm, step_h) = (plant.ohm, worst.step_h);
    let reserve_ah = plant.full_ah - (1.0 - worst.reserve_soc) * plant.capacity_ah;
    let slack_ah = ROUNDING * plant.capacity_ah;
    let floor_ah = greater(reserve_ah, worst.bounds.cutoff_ah) + slack_ah;
    let at_hand_floor_ah = worst.bounds.floor_ah + slack_ah;
    let most_a = plant.max_discharge_a * (1.0 - ROUNDING);
    // The upper root of V = E - R·P / V lies above E·(1 - 2·R·P / E²), so above this share of E as long as
    // P is below `most_w`: see `system::terminal_voltage`.
    let driven_v = greater(plant.voltage.least_volts() - ohm * most_a, 0.0);
    let per_v = 1.0 / (LEAST_SHARE * driven_v);
    let most_w = (1.0 - LEAST_SHARE) * driven_v * driven_v / (2.0 * ohm);
    let (standby_a, self_a, fridges_w) = (plant.standby_a, plant.self_a, worst.fridges_w);
    let all_h = step_h * times(worst.steps);
    // The tank at hand follows a geometric sequence while current and total stay as they are: it is
    // nowhere lower than at one of its ends.
    let kept = (0..worst.steps).fold(1.0, |kept, _| kept * tanks.keep);
    let gained = (1.0 - kept) / (1.0 - tanks.keep);
    let mut is_close = false;
    for lane in 0..LANES {
        let load_w = asked_w[lane] + fridges_w;
        let drawn_a = asked_a[lane] + standby_a + load_w * per_v;
        is_close |= (load_w >= most_w) | (drawn_a >= most_a);
        let net_a = drawn_a + self_a;
        let total_ah = bank.total[lane] - net_a * all_h;
        is_close |= total_ah <= floor_ah;
        if LEAD {
            let at_hand_ah = bank.at_hand[lane];
            let gain_ah = total_ah * tanks.refill - net_a * tanks.gain_h;
            let last_ah = at_hand_ah * kept + gained * gain_ah;
            is_close |= (at_hand_ah <= at_hand_floor_ah) | (last_ah <= at_hand_floor_ah);
        }
    }
    !is_close
}
