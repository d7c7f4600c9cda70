//! Charge that cold keeps out of lithium.
//!
//! One job: its account. The limit itself is in `bank_offer`, its temperatures in
//! `system::battery_temperature`.

use super::bank_flow::{Flow, Warmth};
use super::bank_offer::{Offered, lithium_room_a};
use super::lanes::{LANES, max, min};
use super::state::BankState;
use crate::system::battery_temperature::LITHIUM_FULL_CHARGE_C;
use crate::timeline::plant::BankPlant;

/// Refused current per Ah of capacity from which a step counts, 1/h: more than self-discharge. Ours.
const NOTABLE_C: f64 = 1e-3;

/// Books what sources offered beyond the loads and a warm bank would have taken. What it would hold by
/// then had it taken all before is no longer missing.
#[inline(always)]
pub(super) fn book_cold(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    offered: Offered<'_>,
    warmth: Warmth<'_>,
) {
    if plant.two_tank.is_some() || warmth.coldest_c >= LITHIUM_FULL_CHARGE_C {
        return;
    }
    let step_h = 1.0 / plant.over.step_h;
    let notable_a = NOTABLE_C * plant.capacity_ah;
    for lane in 0..LANES {
        let volts = flow.open_v[lane];
        let loads_a = flow.load_a[lane] + flow.load_w[lane] / volts;
        let loads_a = bank.on[lane] * loads_a + flow.draw_w[lane] / volts;
        let sources_a = offered.source_a[lane] + offered.sun_a[lane] + offered.sun_w[lane] / volts;
        let spare_a = sources_a - loads_a;
        let missing_ah = plant.full_ah - bank.total[lane];
        let held_ah = min(bank.cold_held_ah[lane], missing_ah);
        let room_a = lithium_room_a(plant, missing_ah - held_ah, volts);
        let warm_a = min(plant.max_charge_a, room_a);
        let refused_a = max(min(spare_a, warm_a) - min(spare_a, flow.limit_a[lane]), 0.0);
        bank.sums.cold_ah[lane] += refused_a;
        bank.sums.cold_h[lane] += if refused_a > notable_a { 1.0 } else { 0.0 };
        bank.cold_held_ah[lane] = held_ah + refused_a * step_h;
    }
}
