//! Fridges in a batch: what the compressor is asked, and what the cabinet does.

use super::lanes::{LANES, Lanes, greater, lesser, widest};
use super::state::FridgeState;
use crate::system::fridge::{SHARE_OF_CARNOT, evaporator_and_lift_k};
use crate::timeline::plant::FridgePlant;

/// Share of the step that the compressor has to run to be at the set point at its end: see
/// `system::fridge::duty`.
#[inline(never)]
pub(crate) fn ask(fridge: &FridgePlant, around: &Lanes, state: &mut FridgeState) {
    widest(
        #[inline(always)]
        || ask_lanes(fridge, around, state),
    );
}

#[inline(always)]
fn ask_lanes(fridge: &FridgePlant, around: &Lanes, state: &mut FridgeState) {
    let ideal_w = fridge.compressor_w * SHARE_OF_CARNOT;
    let per_ideal_w = 1.0 / ideal_w;
    for lane in 0..LANES {
        let (inside_c, around_c) = (state.inside[lane], around[lane]);
        // `system::fridge::performance` and its inverse, for one division.
        let (evaporator_k, lift_k) = evaporator_and_lift_k(inside_c, around_c);
        let over_both = 1.0 / (evaporator_k * lift_k);
        let capacity_w = ideal_w * evaporator_k * evaporator_k * over_both;
        let per_capacity_w = per_ideal_w * lift_k * lift_k * over_both;
        let heat_w = fridge.store_w_per_k * (inside_c - fridge.set_c)
            + state.heat_w_per_k[lane] * (around_c - fridge.set_c);
        state.capacity_w[lane] = capacity_w;
        state.duty[lane] = lesser(greater(heat_w * per_capacity_w, 0.0), 1.0);
    }
}

/// The cabinet after the step, with the share of its duty that the bank served: see
/// `system::fridge::inside_after_c`.
#[inline(never)]
pub(crate) fn cool(fridge: &FridgePlant, around: &Lanes, served: &Lanes, state: &mut FridgeState) {
    widest(
        #[inline(always)]
        || cool_lanes(fridge, around, served, state),
    );
}

#[inline(always)]
fn cool_lanes(fridge: &FridgePlant, around: &Lanes, served: &Lanes, state: &mut FridgeState) {
    for lane in 0..LANES {
        let ran = state.duty[lane] * served[lane];
        let before_c = state.inside[lane];
        let heat_w = fridge.store_w_per_k * before_c + state.heat_w_per_k[lane] * around[lane]
            - ran * state.capacity_w[lane];
        let after_c = heat_w * state.k_per_w[lane];
        state.inside[lane] = after_c;
        state.run[lane] += ran;
        let is_above = 0.5 * (before_c + after_c) > fridge.limit_c;
        state.above[lane] += if is_above { 1.0 } else { 0.0 };
    }
}
