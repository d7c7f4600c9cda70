//! What a bank can feed others and what it would take.
//!
//! One job: the bounds for sources. Who then gets how much is `sharing`; what happens is `bank_step`.

use super::bank_flow::{Flow, Warmth, down_to_a, look_up_voltage};
use super::lanes::{LANES, Lanes, max, min, splat, wide};
use super::state::BankState;
use crate::system::battery_temperature::{LITHIUM_FULL_CHARGE_C, lithium_charge_share};
use crate::system::charge_acceptance::{TAPER_H, lead_acid_efficiency};
use crate::system::terminal_voltage::{most_a, most_load_w, terminal_v};
use crate::timeline::plant::BankPlant;

/// Voltage at the step's beginning, of a bank that a source or a bank-fed charger asks.
#[inline(never)]
pub(crate) fn look_up(plant: &BankPlant, bank: &BankState, flow: &mut Flow) {
    let open_v = &mut flow.open_v;
    wide!(|plant, bank, open_v| look_up_voltage(plant, bank, open_v));
}

/// Power that bank-fed chargers may draw without taking the bank below its reserve.
/// `flow.capacity_share` is that of the step, the sources are those of the step before.
#[inline(never)]
pub(crate) fn feed_limit(plant: &BankPlant, bank: &BankState, flow: &mut Flow, step_h: f64) {
    let reserve_ah = plant.full_ah - (1.0 - plant.reserve_soc) * plant.capacity_ah;
    for lane in 0..LANES {
        let charges_ah = (bank.total[lane], bank.available[lane]);
        let capacity_share = flow.capacity_share[lane];
        let limit_a = down_to_a(plant, charges_ah, reserve_ah, capacity_share, step_h);
        let open_v = flow.open_v[lane];
        let limit_a = min(limit_a, plant.max_discharge_a);
        // Half the open-circuit voltage is the most power that a resistance lets through: more current is less of it.
        let limit_a = max(min(limit_a, most_a(open_v, plant.ohm)), 0.0);
        let limit_v = open_v - plant.ohm * limit_a;
        // What the bank's own sources brought in the step before need not come out of it.
        let (source_a, source_w) = (flow.source_a[lane], flow.source_w[lane]);
        let loads_a = flow.load_a[lane] + plant.standby.amps - source_a
            + (flow.load_w[lane] - source_w) / limit_v;
        let spare_a = max(limit_a - max(loads_a, 0.0), 0.0) * bank.on[lane];
        // Those sources may be gone: alone the bank gives this much, loads or not.
        let half_v = 0.5 * open_v;
        let alone_w = (most_a(open_v, plant.ohm) - plant.standby.amps) * half_v;
        flow.feed_w[lane] = min(spare_a * limit_v, alone_w);
    }
}

/// What could come in: `source_a` is the most that chargers could bring over the step, `sun_w` and
/// `sun_a` what panels could.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Offered<'a> {
    pub(crate) source_a: &'a Lanes,
    pub(crate) sun_w: &'a Lanes,
    pub(crate) sun_a: &'a Lanes,
}

/// Greatest charge current.
#[inline(always)]
pub(super) fn charge_limits(
    plant: &BankPlant,
    bank: &BankState,
    flow: &mut Flow,
    warmth: Warmth<'_>,
) {
    if plant.two_tank.is_some() {
        limit_lead_acid(plant, bank, flow);
    } else {
        limit_lithium(plant, bank, flow, warmth);
    }
}

#[inline(always)]
fn limit_lead_acid(plant: &BankPlant, bank: &BankState, flow: &mut Flow) {
    let Some(tanks) = &plant.two_tank else { return };
    let ceiling_ah = tanks.share * plant.full_ah;
    let (per_ohm, per_rate) = (plant.over.ohm, plant.over.tenth_hour_a);
    let per_taper = 1.0 / TAPER_H;
    for lane in 0..LANES {
        // A charger holds the terminals at the absorption voltage; the resistance then says what flows.
        let by_volts = (plant.absorption_v - flow.open_v[lane]) * per_ohm;
        let (total, soc) = (bank.total[lane], bank.soc[lane]);
        let missing_ah = plant.full_ah - total;
        // Mean over the step of the current that lead-acid accepts. What is missing shrinks by what
        // stays of the charge, not by the current: the slower, the fuller the bank. Between the mean
        // without any loss of charge and the first current: exact at both ends.
        let first_a = missing_ah * per_taper;
        let stays = lead_acid_efficiency(soc, first_a * per_rate);
        let taper = first_a + stays * (missing_ah * plant.taper_a_per_ah - first_a);
        let stored_a = tanks.max_charge_a(bank.available[lane], total, ceiling_ah);
        // The efficiency is that of the smaller current, so a little less than allowed may stay,
        // never more.
        let stays = lead_acid_efficiency(soc, max(stored_a, 0.0) * per_rate);
        let by_tank = stored_a / max(stays, LEAST_STAYS);
        let limit = min(min(plant.max_charge_a, by_volts), min(taper, by_tank));
        flow.limit_a[lane] = max(limit, 0.0);
    }
}

/// The tank takes at most what it has room for over this efficiency.
const LEAST_STAYS: f64 = 0.2;

/// What fits into lithium of any temperature: by its absorption voltage and by what is missing, A.
#[inline(always)]
pub(super) fn lithium_room_a(plant: &BankPlant, missing_ah: f64, open_v: f64) -> f64 {
    let by_volts = (plant.absorption_v - open_v) * plant.over.ohm;
    let by_missing =
        (missing_ah * plant.over.step_h + plant.self_a) * plant.over.lithium_efficiency;
    min(by_volts, by_missing)
}

#[inline(always)]
fn limit_lithium(plant: &BankPlant, bank: &BankState, flow: &mut Flow, warmth: Warmth<'_>) {
    let mut most_a = splat(plant.max_charge_a);
    // Most steps are warm enough for every trial: one comparison instead of a batch of them.
    if warmth.coldest_c < LITHIUM_FULL_CHARGE_C {
        for lane in 0..LANES {
            most_a[lane] *= lithium_charge_share(warmth.battery_c[lane]);
        }
    }
    for lane in 0..LANES {
        let missing_ah = plant.full_ah - bank.total[lane];
        let room_a = lithium_room_a(plant, missing_ah, flow.open_v[lane]);
        flow.limit_a[lane] = max(min(most_a[lane], room_a), 0.0);
    }
}

/// Room of a bank for sources, at the voltage that it has if all of them give what it takes; the loads take
/// part of it.
#[inline(always)]
pub(super) fn make_offer(
    plant: &BankPlant,
    bank: &BankState,
    flow: &mut Flow,
    offered: Offered<'_>,
) {
    let (standby, per_ohm) = (plant.standby, plant.over.ohm);
    for lane in 0..LANES {
        let on = bank.on[lane];
        let standby_a = standby.amps_at(bank.soc[lane]);
        let open_v = flow.open_v[lane];
        let held_w = min(flow.load_w[lane] * on, most_load_w(open_v, per_ohm));
        let load_w = held_w + flow.draw_w[lane];
        let load_a = flow.load_a[lane] * on + standby_a;
        // The room depends on the voltage and the voltage on what fills the room. It is taken as if all that is offered
        // flowed, held to what the bank takes: then the sum can be shared out without a search.
        let fed_v = terminal_v(
            open_v,
            plant.ohm,
            offered.source_a[lane] + offered.sun_a[lane] - load_a,
            offered.sun_w[lane] - load_w,
        );
        let limit_a = flow.limit_a[lane];
        // What the bank cannot give is not served, so it does not fall below half its voltage.
        let full_v = min(max(fed_v, 0.5 * open_v), open_v + plant.ohm * limit_a);
        flow.full_v[lane] = full_v;
        flow.room_w[lane] = (limit_a + load_a) * full_v + load_w;
    }
}
