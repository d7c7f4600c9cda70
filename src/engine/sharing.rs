//! Who gets how much: the chargers of a bank.
//!
//! One job: the shares. Limits of the bank itself come from `bank_offer`.

use super::bank_flow::Flow;
use super::lanes::{LANES, Lanes, ZERO, greater, splat, widest};
use super::sun_share::SunScratch;
use crate::timeline::plant::Plant;

/// One charger in one step.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
pub(crate) struct ChargerFlow {
    /// Share of the step in which it can work.
    pub(crate) gate: Lanes,
    /// Output current while it works, before the alternator's say, A.
    pub(crate) wanted_a: Lanes,
    /// Current at its input for that, A.
    pub(crate) input_a: Lanes,
    /// Mean output current over the step, A.
    pub(crate) mean_a: Lanes,
    /// What the bank that feeds it gives per A of mean output, W.
    pub(crate) draw_w_per_a: Lanes,
    /// Whether it can work in any trial.
    pub(crate) is_open: bool,
    /// Whether it could in the step before.
    pub(crate) was_open: bool,
}

impl ChargerFlow {
    pub(crate) fn new() -> Self {
        Self {
            gate: ZERO,
            is_open: false,
            was_open: false,
            wanted_a: ZERO,
            input_a: ZERO,
            mean_a: ZERO,
            draw_w_per_a: ZERO,
        }
    }
}

/// What the chargers of a bank want in the room that the sun left, by priority and pro rata.
#[inline(never)]
pub(crate) fn want(
    plant: &Plant,
    bank: usize,
    flow: &mut Flow,
    chargers: &mut [ChargerFlow],
    scratch: &SunScratch,
) {
    widest(
        #[inline(always)]
        || want_lanes(plant, bank, flow, chargers, scratch),
    );
}

#[inline(always)]
fn want_lanes(
    plant: &Plant,
    bank: usize,
    flow: &mut Flow,
    chargers: &mut [ChargerFlow],
    scratch: &SunScratch,
) {
    for group in &plant.banks[bank].charger_groups {
        let mut asked_a = ZERO;
        for &index in group {
            let charger = &mut chargers[index];
            if !charger.is_open {
                continue;
            }
            let output_a = plant.chargers[index].output_a;
            let box_a = &scratch.box_a[index];
            for lane in 0..LANES {
                let free_a = greater(output_a - box_a[lane], 0.0);
                let wanted_a = if charger.gate[lane] > 0.0 {
                    free_a
                } else {
                    0.0
                };
                charger.wanted_a[lane] = wanted_a;
                asked_a[lane] += wanted_a;
            }
        }
        let mut share = splat(1.0);
        for lane in 0..LANES {
            let (asked_a, room_a) = (asked_a[lane], flow.room_a[lane]);
            share[lane] = if asked_a > room_a {
                room_a / asked_a
            } else {
                1.0
            };
        }
        let mut taken_a = ZERO;
        for &index in group {
            let charger = &mut chargers[index];
            if !charger.is_open {
                continue;
            }
            for lane in 0..LANES {
                let wanted_a = charger.wanted_a[lane] * share[lane];
                charger.wanted_a[lane] = wanted_a;
                taken_a[lane] += charger.gate[lane] * wanted_a;
            }
        }
        for lane in 0..LANES {
            flow.room_a[lane] = greater(flow.room_a[lane] - taken_a[lane], 0.0);
        }
    }
}
