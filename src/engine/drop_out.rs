//! Loads that a bank cannot serve: the share of a step, and dropping them until it has recovered.
//!
//! One job: shortage. The step of a bank that has enough is `bank_step`.

use super::bank_flow::{AT_CUTOFF, Flow, available_floor_ah, cutoff_ah, down_to_a};
use super::lanes::{LANES, max, min};
use super::state::BankState;
use crate::system::terminal_voltage::{most_a, most_load_w, terminal_v};
use crate::timeline::plant::{BankPlant, RETURN_SOC};

/// The tank of available charge must be filled this far before dropped loads return.
const RETURN_AVAILABLE: f64 = 0.05;

/// Greatest discharge current of one trial: down to the cut-off over the step, by the tank of available charge and
/// by the bank's own limit, and no more than its resistance lets through.
fn discharge_limit_a(
    plant: &BankPlant,
    bank: &BankState,
    flow: &Flow,
    lane: usize,
    step_h: f64,
) -> f64 {
    let capacity_share = flow.capacity_share[lane];
    let charges_ah = (bank.total[lane], bank.available[lane]);
    let to_ah = cutoff_ah(plant, capacity_share);
    let limit_a = down_to_a(plant, charges_ah, to_ah, capacity_share, step_h);
    let limit_a = min(limit_a - plant.self_a, plant.max_discharge_a);
    min(limit_a, most_a(flow.open_v[lane], plant.ohm))
}

/// Serves only the share of the loads that the bank can give, in the trials where it is short.
/// `flow.capacity_share` is that of the step.
#[inline(never)]
pub(super) fn shed(plant: &BankPlant, bank: &mut BankState, flow: &Flow, step_h: f64) {
    let per_ohm = plant.over.ohm;
    for lane in 0..LANES {
        if bank.on[lane] <= 0.0 {
            continue;
        }
        let limit_a = discharge_limit_a(plant, bank, flow, lane, step_h);
        let open_v = flow.open_v[lane];
        let standby_a = plant.standby.amps_at(bank.soc[lane]);
        let (source_a, source_w) = (flow.source_a[lane], flow.source_w[lane]);
        let asked_w = source_w - flow.load_w[lane] - flow.draw_w[lane];
        let driven_v = open_v + plant.ohm * (source_a - flow.load_a[lane] - standby_a);
        // No voltage carries more power than that, whatever the limits.
        let is_beyond = driven_v * driven_v + 4.0 * plant.ohm * asked_w < 0.0;
        let drawn_a = (open_v - bank.volts[lane]) * per_ohm;
        let held_w = most_load_w(open_v, per_ohm);
        let is_over = flow.load_w[lane] > held_w;
        if drawn_a <= limit_a && !is_beyond && !is_over {
            continue;
        }
        let bank_a = max(limit_a, 0.0);
        let limit_v = open_v - plant.ohm * bank_a;
        let free_a = bank_a + source_a + (source_w - flow.draw_w[lane]) / limit_v - standby_a;
        let asked_a = flow.load_a[lane] + flow.load_w[lane] / limit_v;
        let share = if asked_a > 0.0 {
            (free_a / asked_a).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let share = if is_over {
            min(share, held_w / flow.load_w[lane])
        } else {
            share
        };
        bank.served[lane] = share;
        let by_bank_a = min(plant.max_discharge_a, most_a(open_v, plant.ohm));
        if limit_a >= by_bank_a {
            let asked_w = flow.load_w[lane] + flow.load_a[lane] * plant.usable_v;
            bank.sums.over_limit_wh[lane] += (1.0 - share) * asked_w;
        }
        let load_w = flow.load_w[lane] * share + flow.draw_w[lane];
        let load_a = flow.load_a[lane] * share + standby_a;
        bank.volts[lane] = terminal_v(open_v, plant.ohm, source_a - load_a, source_w - load_w);
    }
}

/// Drops the loads at cut-off or with an empty tank, and lets them return. `flow.capacity_share` is
/// that of the step.
#[inline(never)]
pub(super) fn switch_lanes(plant: &BankPlant, bank: &mut BankState, flow: &Flow) {
    for lane in 0..LANES {
        let capacity_share = flow.capacity_share[lane];
        let cutoff_ah = cutoff_ah(plant, capacity_share);
        let slack_ah = AT_CUTOFF * plant.capacity_ah;
        let at_cutoff = bank.total[lane] <= cutoff_ah + slack_ah;
        let (is_empty, is_filled) = match &plant.two_tank {
            None => (false, true),
            Some(tanks) => {
                let size_ah = tanks.share * plant.full_ah * capacity_share;
                let left_ah =
                    bank.available[lane] - available_floor_ah(plant, tanks.share, capacity_share);
                (left_ah <= slack_ah, left_ah >= RETURN_AVAILABLE * size_ah)
            }
        };
        let drops = at_cutoff || is_empty;
        let returns = bank.total[lane] >= cutoff_ah + RETURN_SOC * plant.capacity_ah && is_filled;
        if drops {
            bank.on[lane] = 0.0;
            bank.had_outage[lane] = 1.0;
        } else if returns {
            bank.on[lane] = 1.0;
        }
    }
    bank.look_if_on();
}
