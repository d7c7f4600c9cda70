//! Fridges in a batch: what the compressor is asked, and what the cabinet does.

use super::lanes::{LANES, Lanes, ZERO, max, min, wide};
use super::state::FridgeState;
use crate::system::fridge::inside_after_c;
use crate::timeline::plant::FridgePlant;

/// Share of the step that the compressor has to run to be at the set point at its end.
#[inline(never)]
pub(crate) fn ask(fridge: &FridgePlant, around: &Lanes, state: &mut FridgeState) {
    wide!(|fridge, around, state| {
        let (set_c, store_w_per_k) = (fridge.set_c, fridge.store_w_per_k);
        let compressor = fridge.compressor;
        for lane in 0..LANES {
            let (inside_c, heat_w_per_k) = (state.inside[lane], state.heat_w_per_k[lane]);
            (state.duty[lane], state.capacity_w[lane]) =
                compressor.duty(inside_c, around[lane], set_c, heat_w_per_k, store_w_per_k);
        }
    });
}

/// The cabinet after the step, with the share of its duty that the bank served. `BOOKED`: its hours are booked.
#[inline(never)]
pub(crate) fn cool<const BOOKED: bool>(
    fridge: &FridgePlant,
    around: &Lanes,
    served: &Lanes,
    state: &mut FridgeState,
) {
    wide!(|fridge, around, served, state| for lane in 0..LANES {
        // A bank that serves half of what is asked lets the compressor run half of its duty: the cabinet warms, and asks
        // for more in the next step.
        let ran = state.duty[lane] * served[lane];
        let before_c = state.inside[lane];
        let after_c = inside_after_c(
            before_c,
            around[lane],
            state.heat_w_per_k[lane],
            fridge.store_w_per_k,
            ran * state.capacity_w[lane],
            state.k_per_w[lane],
        );
        state.inside[lane] = after_c;
        if BOOKED {
            state.run[lane] += ran;
            let is_above = 0.5 * (before_c + after_c) > fridge.limit_c;
            state.above[lane] += if is_above { 1.0 } else { 0.0 };
        }
    });
}

/// Nearer than this to the cabinet that was always supplied, K, one counts as that.
const SAME_K: f64 = 1e-6;

/// Books what the compressor would have run more, had its bank always supplied it. A second cabinet is
/// kept for that, from the first moment without supply until the real one has caught up: what a
/// fridge asks for is then the same behind a small bank and a large one, and neither a compressor that
/// would run all the time in a warm cabinet nor the hours in which it cools down again.
///
/// `before` is the cabinet before the step; `live` the share of the step in which its circuit is live,
/// `None` for all of it.
#[inline(never)]
pub(crate) fn book_missed(
    fridge: &FridgePlant,
    around: &Lanes,
    served: &Lanes,
    live: Option<&Lanes>,
    before: &Lanes,
    state: &mut FridgeState,
) -> Lanes {
    let mut missed = ZERO;
    if !state.is_behind {
        state.supplied = *before;
    }
    let mut is_behind = false;
    for lane in 0..LANES {
        let (around_c, heat_w_per_k) = (around[lane], state.heat_w_per_k[lane]);
        let supplied_c = state.supplied[lane];
        if served[lane] >= 1.0 && (supplied_c - before[lane]).abs() <= SAME_K {
            state.supplied[lane] = state.inside[lane];
            continue;
        }
        let store_w_per_k = fridge.store_w_per_k;
        let (wanted, capacity_w) = fridge.compressor.duty(
            supplied_c,
            around_c,
            fridge.set_c,
            heat_w_per_k,
            store_w_per_k,
        );
        let ran = min(wanted, live.map_or(1.0, |live| live[lane]));
        state.supplied[lane] = inside_after_c(
            supplied_c,
            around_c,
            heat_w_per_k,
            store_w_per_k,
            ran * capacity_w,
            state.k_per_w[lane],
        );
        // A cabinet that catches up in the heat of the day may take more than it left out by night: that
        // it asked for and got, so in sum never less than nothing is missing.
        let more = ran - state.duty[lane] * served[lane];
        missed[lane] = max(more, -state.missed[lane]);
        state.missed[lane] += missed[lane];
        is_behind = true;
    }
    state.is_behind = is_behind;
    missed
}
