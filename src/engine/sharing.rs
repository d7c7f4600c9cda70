//! Who gets how much: panels and chargers of a bank, and chargers on the alternator.
//!
//! One job: the shares. Limits of the bank itself come from `bank_offer`.

use super::bank_flow::{Flow, Warmth};
use super::bank_offer::Room;
use super::lanes::{LANES, Lanes, ZERO, greater, lesser, splat, widest};
use super::state::BankState;
use super::sun::Offer;
use crate::system::battery_temperature::LITHIUM_NO_CHARGE_C;
use crate::timeline::plant::{BankPlant, PanelPlant, Plant};

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

/// Takes the sun first: limits of controllers and shared boxes, then the bank's room. What is
/// left over is booked as curtailed; `room_w` becomes what chargers may bring.
#[inline(never)]
#[expect(clippy::too_many_arguments, reason = "lanes apart, see `bank_step`")]
pub(crate) fn share_sun(
    plant: &Plant,
    bank: usize,
    account: &mut BankState,
    flow: &mut Flow,
    offers: &[Offer],
    at: usize,
    scratch: &mut SunScratch,
    warmth: Warmth<'_>,
) {
    widest(
        #[inline(always)]
        || share_sun_lanes(plant, bank, account, flow, offers, at, scratch, warmth),
    );
}

#[inline(always)]
#[expect(clippy::too_many_arguments, reason = "as above")]
pub(super) fn share_sun_lanes(
    plant: &Plant,
    bank: usize,
    account: &mut BankState,
    flow: &mut Flow,
    offers: &[Offer],
    at: usize,
    scratch: &mut SunScratch,
    warmth: Warmth<'_>,
) {
    let constants = &plant.banks[bank];
    for (position, &panel) in constants.panels.iter().enumerate() {
        let of = &plant.panels[panel];
        let amount = offers[panel].amount(at);
        let kept = &mut scratch.kept[panel];
        if of.is_pwm {
            keep_pwm(of, amount, kept, &flow.full_v, &mut scratch.panel_w);
        } else {
            keep_tracking(of, amount, kept, &flow.full_v);
        }
        if let Some(charger) = of.shares {
            let box_a = &mut scratch.box_a[charger];
            for lane in 0..LANES {
                let volts = if of.is_pwm { 1.0 } else { flow.full_v[lane] };
                box_a[lane] += kept[lane] / volts;
            }
        }
        let offered_w = if of.is_pwm { &scratch.panel_w } else { amount };
        if position == 0 {
            scratch.offered_w = *offered_w;
        } else {
            for lane in 0..LANES {
                scratch.offered_w[lane] += offered_w[lane];
            }
        }
    }
    // Panels that share a box are cut back alike, whichever of them the file names first.
    for (position, &panel) in constants.panels.iter().enumerate() {
        let of = &plant.panels[panel];
        let kept = &mut scratch.kept[panel];
        if let Some(charger) = of.shares {
            let limit_a = plant.chargers[charger].output_a;
            let box_a = &scratch.box_a[charger];
            for lane in 0..LANES {
                let asked_a = box_a[lane];
                let share = limit_a / greater(asked_a, limit_a);
                kept[lane] *= share;
            }
        }
        let (sum, other) = if of.is_pwm {
            (&mut flow.sun_a, &mut flow.sun_w)
        } else {
            (&mut flow.sun_w, &mut flow.sun_a)
        };
        if position == 0 {
            *sum = *kept;
            *other = ZERO;
        } else {
            for lane in 0..LANES {
                sum[lane] += kept[lane];
            }
        }
    }
    for charger in constants
        .panels
        .iter()
        .filter_map(|&panel| plant.panels[panel].shares)
    {
        let limit_a = plant.chargers[charger].output_a;
        for box_a in &mut scratch.box_a[charger] {
            *box_a = lesser(*box_a, limit_a);
        }
    }
    for lane in 0..LANES {
        let sun_w = flow.sun_w[lane] + flow.sun_a[lane] * flow.full_v[lane];
        let room = Room {
            full_v: flow.full_v[lane],
            room_w: flow.room_w[lane],
        };
        let share = room.share_of(sun_w);
        flow.sun_share[lane] = share;
        flow.room_w[lane] = greater(room.room_w - sun_w, 0.0);
        account.curtailed_w[lane] += greater(scratch.offered_w[lane] - share * sun_w, 0.0);
    }
    book_cold(constants, account, &scratch.offered_w, warmth);
    for &panel in &constants.panels {
        let kept = &mut scratch.kept[panel];
        for lane in 0..LANES {
            kept[lane] *= flow.sun_share[lane];
        }
    }
}

/// Books the trials in which the cold alone shuts the sun out.
#[inline(always)]
pub(super) fn book_cold(
    plant: &BankPlant,
    account: &mut BankState,
    offered_w: &Lanes,
    warmth: Warmth<'_>,
) {
    if plant.two_tank.is_none() && warmth.coldest_c <= LITHIUM_NO_CHARGE_C {
        for lane in 0..LANES {
            let is_shut = (warmth.battery_c[lane] <= LITHIUM_NO_CHARGE_C) & (offered_w[lane] > 0.0);
            account.cold[lane] += if is_shut { 1.0 } else { 0.0 };
        }
    }
}

/// What a tracking controller passes on, W.
#[inline(always)]
fn keep_tracking(of: &PanelPlant, amount: &Lanes, kept: &mut Lanes, full_v: &Lanes) {
    for lane in 0..LANES {
        kept[lane] = lesser(amount[lane], of.max_a * full_v[lane]);
    }
}

/// What a PWM controller passes on, A, and what there was, W.
#[inline(always)]
fn keep_pwm(
    of: &PanelPlant,
    amount: &Lanes,
    kept: &mut Lanes,
    full_v: &Lanes,
    offered_w: &mut Lanes,
) {
    for lane in 0..LANES {
        kept[lane] = lesser(amount[lane], of.max_a);
        offered_w[lane] = amount[lane] * full_v[lane];
    }
}

/// Room for the working of [`share_sun`], kept from step to step.
#[derive(Debug, Clone)]
pub(crate) struct SunScratch {
    /// Whether the sun is up in this step.
    pub(crate) is_up: bool,
    /// What each panel delivers: W (tracking) or A (PWM).
    pub(crate) kept: Vec<Lanes>,
    /// Output of each charger's box that the sun takes, A.
    box_a: Vec<Lanes>,
    /// What the panels of a bank offer together, and one of them, W.
    offered_w: Lanes,
    panel_w: Lanes,
    /// The same sums, tracking in W and PWM in A.
    sum_w: Lanes,
    sum_a: Lanes,
    /// Whether any panel sits in a charger's box.
    has_boxes: bool,
}

impl SunScratch {
    pub(crate) fn new(plant: &Plant) -> Self {
        Self {
            is_up: false,
            kept: vec![ZERO; plant.panels.len()],
            box_a: vec![ZERO; plant.chargers.len()],
            offered_w: ZERO,
            panel_w: ZERO,
            sum_w: ZERO,
            sum_a: ZERO,
            has_boxes: plant.panels.iter().any(|panel| panel.shares.is_some()),
        }
    }

    /// Empties the boxes before a step.
    pub(crate) fn clear(&mut self) {
        if self.has_boxes {
            self.box_a.iter_mut().for_each(|box_a| *box_a = ZERO);
        }
    }

    /// What panels offer together: W (tracking) and A (PWM).
    pub(crate) fn offered<'a>(
        &'a mut self,
        plant: &Plant,
        panels: &[usize],
        offers: &'a [Offer],
        at: usize,
    ) -> (&'a Lanes, &'a Lanes) {
        if let &[panel] = panels {
            let amount = offers[panel].amount(at);
            return if plant.panels[panel].is_pwm {
                (&ZERO, amount)
            } else {
                (amount, &ZERO)
            };
        }
        (self.sum_w, self.sum_a) = (ZERO, ZERO);
        for &panel in panels {
            let sum = if plant.panels[panel].is_pwm {
                &mut self.sum_a
            } else {
                &mut self.sum_w
            };
            for lane in 0..LANES {
                sum[lane] += offers[panel].amount(at)[lane];
            }
        }
        (&self.sum_w, &self.sum_a)
    }
}

/// Adds what loads ask more to the room for sources.
#[inline(never)]
pub(crate) fn add_room(room_w: &mut Lanes, full_v: &Lanes, on: &Lanes, [watts, amps]: &[Lanes; 2]) {
    widest(
        #[inline(always)]
        || add_room_lanes(room_w, full_v, on, watts, amps),
    );
}

#[inline(always)]
pub(super) fn add_room_lanes(
    room_w: &mut Lanes,
    full_v: &Lanes,
    on: &Lanes,
    watts: &Lanes,
    amps: &Lanes,
) {
    for lane in 0..LANES {
        let more_w = on[lane] * (watts[lane] + amps[lane] * full_v[lane]);
        room_w[lane] = greater(room_w[lane] + more_w, 0.0);
    }
}

/// Current that chargers may bring, once the sun is in.
#[inline(never)]
pub(crate) fn leave_room(flow: &mut Flow) {
    widest(
        #[inline(always)]
        || leave_room_lanes(&mut flow.room_a, &flow.room_w, &flow.full_v),
    );
}

#[inline(always)]
pub(super) fn leave_room_lanes(room_a: &mut Lanes, room_w: &Lanes, full_v: &Lanes) {
    for lane in 0..LANES {
        room_a[lane] = room_w[lane] / full_v[lane];
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
