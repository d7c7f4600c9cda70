//! Who gets how much: panels and chargers of a bank, and chargers on the alternator.
//!
//! One job: the shares. Limits of the bank itself come from `bank_step`.

use super::bank_flow::Flow;
use super::lanes::{LANES, Lanes, ZERO, greater, lesser, widest};
use super::state::State;
use super::sun::Offer;
use crate::timeline::plant::Plant;

/// One charger in one step.
#[derive(Debug, Clone)]
pub(crate) struct ChargerFlow {
    /// Share of the step in which it can work.
    pub(crate) gate: Lanes,
    /// Whether it can work in any trial.
    pub(crate) is_open: bool,
    /// Output current while it works, before the alternator's say, A.
    pub(crate) wanted_a: Lanes,
    /// Current at its input for that, A.
    pub(crate) input_a: Lanes,
    /// Mean output current over the step, A.
    pub(crate) mean_a: Lanes,
    /// What the bank that feeds it gives per A of mean output, W.
    pub(crate) draw_w_per_a: Lanes,
}

impl ChargerFlow {
    pub(crate) fn new() -> Self {
        Self {
            gate: ZERO,
            is_open: false,
            wanted_a: ZERO,
            input_a: ZERO,
            mean_a: ZERO,
            draw_w_per_a: ZERO,
        }
    }
}

/// Takes the sun first: limits of controllers and shared boxes, then the bank's room. What is
/// left over is booked as curtailed; `room_a` becomes what chargers may bring.
#[inline(never)]
pub(crate) fn share_sun(
    plant: &Plant,
    bank: usize,
    state: &mut State,
    flow: &mut Flow,
    offers: &[Offer],
    scratch: &mut SunScratch,
) {
    widest(
        #[inline(always)]
        || share_sun_lanes(plant, bank, state, flow, offers, scratch),
    );
}

#[inline(always)]
fn share_sun_lanes(
    plant: &Plant,
    bank: usize,
    state: &mut State,
    flow: &mut Flow,
    offers: &[Offer],
    scratch: &mut SunScratch,
) {
    let panels = &plant.banks[bank].panels;
    flow.sun_w = ZERO;
    flow.sun_a = ZERO;
    scratch.offered_w = ZERO;
    scratch.box_a.iter_mut().for_each(|box_a| *box_a = ZERO);
    for &panel in panels {
        let constants = &plant.panels[panel];
        let amount = &offers[panel].amount;
        let kept = &mut scratch.kept[panel];
        for lane in 0..LANES {
            let full_v = flow.full_v[lane];
            let cap = if constants.is_pwm {
                constants.max_a
            } else {
                constants.max_a * full_v
            };
            kept[lane] = lesser(amount[lane], cap);
            scratch.offered_w[lane] += if constants.is_pwm {
                amount[lane] * full_v
            } else {
                amount[lane]
            };
        }
        if let Some(charger) = constants.shares {
            let limit_a = plant.chargers[charger].output_a;
            let box_a = &mut scratch.box_a[charger];
            for lane in 0..LANES {
                let full_v = flow.full_v[lane];
                let wanted_a = if constants.is_pwm {
                    kept[lane]
                } else {
                    kept[lane] / full_v
                };
                let given_a = lesser(wanted_a, limit_a - box_a[lane]);
                box_a[lane] += given_a;
                kept[lane] = if constants.is_pwm {
                    given_a
                } else {
                    given_a * full_v
                };
            }
        }
        for lane in 0..LANES {
            if constants.is_pwm {
                flow.sun_a[lane] += kept[lane];
            } else {
                flow.sun_w[lane] += kept[lane];
            }
        }
    }
    for lane in 0..LANES {
        let sun_a = flow.sun_w[lane] / flow.full_v[lane] + flow.sun_a[lane];
        let room_a = flow.room_a[lane];
        let share = if sun_a > room_a { room_a / sun_a } else { 1.0 };
        flow.sun_share[lane] = share;
        flow.room_a[lane] = greater(room_a - sun_a, 0.0);
    }
    for lane in 0..LANES {
        let taken_w =
            flow.sun_share[lane] * (flow.sun_w[lane] + flow.sun_a[lane] * flow.full_v[lane]);
        let left_w = greater(scratch.offered_w[lane] - taken_w, 0.0);
        state.banks[bank].curtailed_w[lane] += left_w;
        let is_shut = flow.is_cold[lane]
            * if scratch.offered_w[lane] > 0.0 {
                1.0
            } else {
                0.0
            };
        state.banks[bank].cold[lane] += is_shut;
    }
    for &panel in panels {
        let share = &flow.sun_share;
        let kept = &mut scratch.kept[panel];
        for lane in 0..LANES {
            kept[lane] *= share[lane];
        }
    }
}

/// Room for the working of [`share_sun`], kept from step to step.
#[derive(Debug, Clone)]
pub(crate) struct SunScratch {
    /// What each panel delivers: W (tracking) or A (PWM).
    pub(crate) kept: Vec<Lanes>,
    /// Output of each charger's box that the sun takes, A.
    box_a: Vec<Lanes>,
    offered_w: Lanes,
}

impl SunScratch {
    pub(crate) fn new(plant: &Plant) -> Self {
        Self {
            kept: vec![ZERO; plant.panels.len()],
            box_a: vec![ZERO; plant.chargers.len()],
            offered_w: ZERO,
        }
    }

    /// Forgets the boxes in a step without sun.
    pub(crate) fn clear(&mut self) {
        self.box_a.iter_mut().for_each(|box_a| *box_a = ZERO);
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
            for lane in 0..LANES {
                let free_a = greater(output_a - scratch.box_a[index][lane], 0.0);
                charger.wanted_a[lane] = if charger.gate[lane] > 0.0 {
                    free_a
                } else {
                    0.0
                };
                asked_a[lane] += charger.wanted_a[lane];
            }
        }
        let mut taken_a = ZERO;
        for &index in group {
            let charger = &mut chargers[index];
            if !charger.is_open {
                continue;
            }
            for lane in 0..LANES {
                let room_a = flow.room_a[lane];
                let fits = asked_a[lane] <= room_a;
                let share = if fits { 1.0 } else { room_a / asked_a[lane] };
                charger.wanted_a[lane] *= share;
                taken_a[lane] += charger.gate[lane] * charger.wanted_a[lane];
            }
        }
        for lane in 0..LANES {
            flow.room_a[lane] = greater(flow.room_a[lane] - taken_a[lane], 0.0);
        }
    }
}
