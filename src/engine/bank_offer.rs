//! What a bank has at a step's beginning, what it can feed others and what it would take.
//!
//! One job: the bounds for sources. Who then gets how much is `sharing`; what happens is `bank_step`.

use super::bank_flow::{Flow, Tables, at_hand_floor_ah, sources_of, standby_a};
use super::lanes::{LANES, Lanes, greater, lesser, widest};
use super::state::BankState;
use crate::system::battery_temperature::lithium_charge_share;
use crate::system::charge_acceptance::TAPER_H;
use crate::system::open_circuit_voltage::VoltageTable;
use crate::system::terminal_voltage::terminal_v;
use crate::timeline::plant::BankPlant;

/// Voltage and capacity at the step's beginning.
#[inline(never)]
pub(crate) fn look_up(plant: &BankPlant, bank: &BankState, tables: &Tables, flow: &mut Flow) {
    widest(
        #[inline(always)]
        || look_up_lanes(plant, bank, tables, flow),
    );
}

#[inline(always)]
fn look_up_lanes(plant: &BankPlant, bank: &BankState, tables: &Tables, flow: &mut Flow) {
    let mut segments = [0; LANES];
    for lane in 0..LANES {
        segments[lane] = VoltageTable::segment(bank.soc[lane]);
    }
    for lane in 0..LANES {
        flow.open_v[lane] = plant.voltage.volts_in(bank.soc[lane], segments[lane]);
    }
    if plant.two_tank.is_some() {
        for lane in 0..LANES {
            flow.capacity_share[lane] = tables.capacity.share(bank.temp_middle[lane]);
        }
    }
}

/// Power that bank-fed chargers may draw without taking the bank below its reserve.
#[inline(never)]
pub(crate) fn feed_limit(plant: &BankPlant, bank: &BankState, flow: &mut Flow, step_h: f64) {
    let reserve_ah = plant.full_ah - (1.0 - plant.reserve_soc) * plant.capacity_ah;
    for lane in 0..LANES {
        let mut limit_a = (bank.total[lane] - reserve_ah) / step_h;
        if let Some(tanks) = &plant.two_tank {
            let floor_ah = at_hand_floor_ah(plant, tanks.share, flow.capacity_share[lane]);
            limit_a = lesser(
                limit_a,
                tanks.max_discharge_a(bank.at_hand[lane], bank.total[lane], floor_ah),
            );
        }
        limit_a = lesser(limit_a, plant.max_discharge_a);
        // What the bank's own sources brought in the step before need not come out of it.
        let (source_a, source_w) = sources_of(flow, lane);
        let loads_a =
            flow.load_a[lane] - source_a + (flow.load_w[lane] - source_w) / flow.open_v[lane];
        let spare_a = greater(limit_a - greater(loads_a, 0.0), 0.0) * bank.on[lane];
        flow.feed_w[lane] = spare_a * flow.open_v[lane];
    }
}

/// What the bank would take: charge limit, voltage and room for sources. `source_a` is the most
/// that chargers could bring over the step.
#[inline(never)]
pub(crate) fn offer(
    plant: &BankPlant,
    bank: &BankState,
    flow: &mut Flow,
    source_a: &Lanes,
    tables: &Tables,
    step_h: f64,
) {
    widest(
        #[inline(always)]
        || offer_lanes(plant, bank, flow, source_a, tables, step_h),
    );
}

#[inline(always)]
fn offer_lanes(
    plant: &BankPlant,
    bank: &BankState,
    flow: &mut Flow,
    source_a: &Lanes,
    tables: &Tables,
    step_h: f64,
) {
    let per_ohm = 1.0 / plant.ohm;
    let per_step = 1.0 / step_h;
    if let Some(tanks) = &plant.two_tank {
        let ceiling_ah = tanks.share * plant.full_ah;
        for lane in 0..LANES {
            let by_volts = (plant.absorption_v - flow.open_v[lane]) * per_ohm;
            let missing_ah = plant.full_ah - bank.total[lane];
            let taper = mean_taper_a(plant, tables, bank.soc[lane], missing_ah);
            let stored_a = tanks.max_charge_a(bank.at_hand[lane], bank.total[lane], ceiling_ah);
            let by_tank = entering_a(plant, tables, bank.soc[lane], stored_a);
            let limit = lesser(lesser(plant.max_charge_a, by_volts), lesser(taper, by_tank));
            flow.limit_a[lane] = greater(limit, 0.0);
        }
    } else {
        for lane in 0..LANES {
            let warm = lithium_charge_share(bank.temp_middle[lane]);
            let by_volts = (plant.absorption_v - flow.open_v[lane]) * per_ohm;
            let missing_ah = plant.full_ah - bank.total[lane];
            let by_missing = (missing_ah * per_step + plant.self_a) / plant.lithium_efficiency;
            let limit = lesser(lesser(plant.max_charge_a * warm, by_volts), by_missing);
            flow.limit_a[lane] = greater(limit, 0.0);
            flow.is_cold[lane] = if warm <= 0.0 { 1.0 } else { 0.0 };
        }
    }
    for lane in 0..LANES {
        let on = bank.on[lane];
        let load_w = flow.load_w[lane] * on + flow.draw_w[lane];
        let load_a = flow.load_a[lane] * on + standby_a(plant, bank, lane, step_h);
        let open_v = flow.open_v[lane];
        let fed_v = terminal_v(
            open_v,
            plant.ohm,
            source_a[lane] + flow.sun_a[lane] - load_a,
            flow.sun_w[lane] - load_w,
        );
        let full_v = lesser(fed_v, open_v + plant.ohm * flow.limit_a[lane]);
        flow.full_v[lane] = full_v;
        flow.room_a[lane] = flow.limit_a[lane] + load_w / full_v + load_a;
    }
}

/// Current at the terminals of which at most `stored_a` stays. The efficiency is that of the smaller
/// current, so a little less than allowed may stay, never more.
#[inline(always)]
fn entering_a(plant: &BankPlant, tables: &Tables, soc: f64, stored_a: f64) -> f64 {
    const LEAST_STAYS: f64 = 0.2;
    let rates = greater(stored_a, 0.0) / plant.tenth_hour_a;
    let stays = tables.loss.lead_acid_efficiency(soc, rates);
    stored_a / greater(stays, LEAST_STAYS)
}

/// Mean over the step of the current that lead-acid accepts. What is missing shrinks by what
/// stays of the charge, not by the current: the slower, the fuller the bank.
#[inline(always)]
fn mean_taper_a(plant: &BankPlant, tables: &Tables, soc: f64, missing_ah: f64) -> f64 {
    let first_a = missing_ah / TAPER_H;
    let stays = tables
        .loss
        .lead_acid_efficiency(soc, first_a / plant.tenth_hour_a);
    // Between the mean without any loss of charge and the first current: exact at both ends.
    first_a + stays * (missing_ah * plant.taper_a_per_ah - first_a)
}
