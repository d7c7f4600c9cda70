//! The terminal voltage of a bank in a step, with everything served.
//!
//! One job: one pass over the trials for a bank that is fed and one for a bank that is not. Both are written in the same terms, so that a
//! trial's figures do not depend on what its neighbours in the batch do.

use super::bank_flow::{Bounds, Flow, NO_TANKS, look_up_voltage};
use super::lanes::{LANES, min, wide};
use super::state::BankState;
use crate::system::terminal_voltage::{most_load_w, terminal_v};
use crate::system::two_tank::TwoTankStep;
use crate::timeline::plant::{BankPlant, Standby};

/// What does not differ from trial to trial.
#[derive(Debug, Clone, Copy)]
struct Fixed {
    ohm: f64,
    per_ohm: f64,
    per_step: f64,
    standby: Standby,
    self_a: f64,
    max_discharge_a: f64,
    bounds: Bounds,
    tanks: TwoTankStep,
}

impl Fixed {
    #[inline(always)]
    fn new(plant: &BankPlant, bounds: Bounds) -> Self {
        Self {
            ohm: plant.ohm,
            per_ohm: plant.over.ohm,
            per_step: plant.over.step_h,
            standby: plant.standby,
            self_a: plant.self_a,
            max_discharge_a: plant.max_discharge_a,
            bounds,
            tanks: plant.two_tank.unwrap_or(NO_TANKS),
        }
    }

    /// Current that loads of constant current ask, standby counted, and power of the others.
    #[inline(always)]
    fn asked(&self, bank: &BankState, flow: &Flow, lane: usize) -> (f64, f64) {
        let on = bank.on[lane];
        let standby_a = self.standby.amps_at(bank.soc[lane]);
        (
            flow.load_a[lane] * on + standby_a,
            flow.load_w[lane] * on + flow.draw_w[lane],
        )
    }

    /// Terminal voltage with all that is asked and fed; and whether the bank may not be able to give it.
    #[inline(always)]
    fn terminal<const LEAD: bool>(
        &self,
        bank: &BankState,
        open_v: f64,
        current_a: f64,
        power_w: f64,
        lane: usize,
    ) -> (f64, bool) {
        let total = bank.total[lane];
        // No further down than the cut-off within this step: the charge never jumps over it.
        let mut limit = (total - self.bounds.cutoff_ah) * self.per_step;
        if LEAD {
            let floor_ah = self.bounds.floor_ah;
            let by_tank = self
                .tanks
                .max_discharge_a(bank.available[lane], total, floor_ah);
            limit = min(limit, by_tank);
        }
        let limit = min(limit - self.self_a, self.max_discharge_a);
        // See `terminal_voltage::most_a`.
        let limit = min(limit, 0.5 * open_v * self.per_ohm);
        let volts = terminal_v(open_v, self.ohm, current_a, power_w);
        let drawn_a = (open_v - volts) * self.per_ohm;
        let driven_v = open_v + self.ohm * current_a;
        // A load of constant power asks for more current the lower the voltage; beyond a quarter of the open-circuit
        // voltage squared over the resistance there is none that gives it.
        let is_beyond = driven_v * driven_v + 4.0 * self.ohm * power_w < 0.0;
        let is_short = ((drawn_a > limit) | is_beyond) & (bank.on[lane] > 0.0);
        (volts, is_short)
    }
}

/// The voltage of a bank that nothing feeds and nothing draws on but its standby current: no root is
/// needed.
#[inline(never)]
pub(super) fn idle(plant: &BankPlant, bank: &mut BankState, flow: &mut Flow) {
    wide!(|plant, bank, flow| {
        look_up_voltage(plant, bank, &mut flow.open_v);
        for lane in 0..LANES {
            let standby_a = plant.standby.amps_at(bank.soc[lane]);
            bank.volts[lane] = flow.open_v[lane] - plant.ohm * standby_a;
        }
    });
}

/// The voltage of a bank that nothing feeds. Returns whether any trial may ask for more than it can
/// give.
#[inline(never)]
pub(super) fn unfed<const LEAD: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &mut Flow,
    bounds: Bounds,
) -> bool {
    wide!(|plant, bank, flow, bounds| {
        look_up_voltage(plant, bank, &mut flow.open_v);
        let fixed = Fixed::new(plant, bounds);
        let mut any_short = false;
        for lane in 0..LANES {
            let (load_a, load_w) = fixed.asked(bank, flow, lane);
            let open_v = flow.open_v[lane];
            let (volts, is_short) = fixed.terminal::<LEAD>(bank, open_v, -load_a, -load_w, lane);
            bank.volts[lane] = volts;
            any_short |= is_short;
        }
        any_short
    })
}

/// The voltage of a bank with the sources that were granted, which are summed up here.
#[inline(never)]
pub(super) fn fed<const LEAD: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &mut Flow,
    bounds: Bounds,
) -> bool {
    wide!(|plant, bank, flow, bounds| {
        let fixed = Fixed::new(plant, bounds);
        let mut any_short = false;
        for lane in 0..LANES {
            let share = flow.sun_share[lane];
            let source_a = flow.charger_a[lane] + share * flow.sun_a[lane];
            let source_w = share * flow.sun_w[lane];
            flow.source_a[lane] = source_a;
            flow.source_w[lane] = source_w;
            let (load_a, load_w) = fixed.asked(bank, flow, lane);
            let open_v = flow.open_v[lane];
            let (current_a, power_w) = (source_a - load_a, source_w - load_w);
            let (volts, is_short) = fixed.terminal::<LEAD>(bank, open_v, current_a, power_w, lane);
            bank.volts[lane] = volts;
            // Sources may hold up a bank whose loads it could not carry alone: that is looked at closely too.
            let held_w = most_load_w(open_v, fixed.per_ohm);
            any_short |= is_short | (flow.load_w[lane] * bank.on[lane] > held_w);
        }
        any_short
    })
}
