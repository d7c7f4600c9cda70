//! Who gets how much of the sun: the panels of a bank, behind their controllers and boxes.
//!
//! One job: the sun's shares. What it leaves of the bank's room is shared out in `sharing`.

use super::bank_flow::Flow;
use super::lanes::{LANES, Lanes, ZERO, max, min, share_of};
use super::state::BankState;
use super::sun::Offer;
use crate::timeline::plant::{PanelPlant, Plant};

/// Takes the sun first: limits of controllers and shared boxes, then the bank's room. What is
/// left over is booked as curtailed, where `panel_w` is to be booked; `room_w` becomes what chargers may bring.
#[inline(always)]
pub(super) fn share_sun(
    plant: &Plant,
    bank: usize,
    account: &mut BankState,
    flow: &mut Flow,
    offers: &[Offer],
    scratch: &mut SunScratch,
    panel_w: Option<&mut [Lanes]>,
) {
    let constants = &plant.banks[bank];
    for (position, &panel) in constants.panels.iter().enumerate() {
        let of = &plant.panels[panel];
        let amount = &offers[panel].amount;
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
        if panel_w.is_none() {
            continue;
        }
        let offered_w = if of.is_pwm { &scratch.panel_w } else { amount };
        if position == 0 {
            scratch.offered_w = *offered_w;
        } else {
            scratch.offered_w += offered_w;
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
                let share = limit_a / max(asked_a, limit_a);
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
            *sum += kept;
        }
    }
    for charger in constants
        .panels
        .iter()
        .filter_map(|&panel| plant.panels[panel].shares)
    {
        let limit_a = plant.chargers[charger].output_a;
        for box_a in scratch.box_a[charger].iter_mut() {
            *box_a = min(*box_a, limit_a);
        }
    }
    let is_booked = panel_w.is_some();
    for lane in 0..LANES {
        let sun_w = flow.sun_w[lane] + flow.sun_a[lane] * flow.full_v[lane];
        let room_w = flow.room_w[lane];
        let share = share_of(sun_w, room_w);
        flow.sun_share[lane] = share;
        flow.room_w[lane] = max(room_w - sun_w, 0.0);
        if is_booked {
            account.sums.curtailed_wh[lane] += max(scratch.offered_w[lane] - share * sun_w, 0.0);
        }
    }
    let Some(panel_w) = panel_w else { return };
    for &panel in &constants.panels {
        let kept = &mut scratch.kept[panel];
        if plant.panels[panel].is_pwm {
            // What it brings depends on the voltage, which is not known yet.
            for lane in 0..LANES {
                kept[lane] *= flow.sun_share[lane];
            }
        } else {
            take(kept, &mut panel_w[panel], &flow.sun_share);
        }
    }
}

/// What the bank takes of a tracking controller's power, and its account.
#[inline(always)]
fn take(kept: &mut Lanes, account: &mut Lanes, share: &Lanes) {
    for lane in 0..LANES {
        kept[lane] *= share[lane];
        account[lane] += kept[lane];
    }
}

/// What a tracking controller passes on, W.
#[inline(always)]
fn keep_tracking(of: &PanelPlant, amount: &Lanes, kept: &mut Lanes, full_v: &Lanes) {
    for lane in 0..LANES {
        kept[lane] = min(amount[lane], of.max_a * full_v[lane]);
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
        kept[lane] = min(amount[lane], of.max_a);
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
    pub(super) box_a: Vec<Lanes>,
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
    ) -> (&'a Lanes, &'a Lanes) {
        if let &[panel] = panels {
            let amount = &offers[panel].amount;
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
            *sum += &offers[panel].amount;
        }
        (&self.sum_w, &self.sum_a)
    }
}
