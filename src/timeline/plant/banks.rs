//! The constants of banks, and the order they are worked out in.
//!
//! One job: a bank of the scenario as numbers of one step length. What charges it is in `charging`;
//! the physics behind it in `system`.

use super::charging::by_priority;
use super::parts::{BankInverses, BankPlant, Standby};
use crate::scenario::{Bank, ChargerSource, Role, Scenario};
use crate::system::charge_acceptance::{LITHIUM_EFFICIENCY, taper_a_per_missing_ah};
use crate::system::terminal_voltage::most_a;
use crate::system::two_tank::{RATE_PER_H, SHARE_AT_HAND, TwoTankStep, full_over_rated};

/// A battery without resistance is counted as one of a thousandth of a milliohm: limits are worked out as
/// voltages over the resistance. Ours, far less than its terminals have.
const LEAST_OHM: f64 = 1e-6;

/// Hours of a month in which self-discharge is given.
const MONTH_H: f64 = 30.0 * 24.0;

pub(crate) fn bank_plant(scenario: &Scenario, index: usize, step_h: f64) -> BankPlant {
    let bank: &Bank = &scenario.banks[index];
    let lead = bank.chemistry.is_lead_acid();
    let full_ah = if lead {
        bank.capacity_ah * full_over_rated(SHARE_AT_HAND, RATE_PER_H, 20.0)
    } else {
        bank.capacity_ah
    };
    let chargers = (0..scenario.chargers.len()).filter(|&c| scenario.chargers[c].to == index);
    let two_tank = lead.then(|| TwoTankStep::new(SHARE_AT_HAND, RATE_PER_H, step_h));
    let ohm = (bank.resistance_mohm / 1000.0).max(LEAST_OHM);
    let voltage = bank.chemistry.voltage(scenario.voltage_factor());
    // No more than it can give, see `system::terminal_voltage`.
    let standby_a = (bank.standby_ma / 1000.0).min(most_a(voltage.least_volts(), ohm));
    let self_a = bank.self_discharge_per_month * bank.capacity_ah / MONTH_H;
    let tenth_hour_a = bank.capacity_ah / 10.0;
    BankPlant {
        is_house: bank.role == Role::House,
        capacity_ah: bank.capacity_ah,
        full_ah,
        two_tank,
        usable_v: voltage.mean_volts(bank.reserve_soc, 1.0),
        voltage,
        ohm,
        absorption_v: bank.absorption_v,
        max_charge_a: bank.max_charge_a,
        max_discharge_a: bank.max_discharge_a,
        reserve_soc: bank.reserve_soc,
        cutoff_soc: bank.cutoff_soc,
        standby: Standby {
            amps: standby_a,
            ends_soc: (standby_a + self_a) * step_h / bank.capacity_ah,
        },
        self_a,
        lithium_efficiency: LITHIUM_EFFICIENCY,
        tenth_hour_a,
        taper_a_per_ah: taper_a_per_missing_ah(step_h),
        over: BankInverses {
            ohm: 1.0 / ohm,
            step_h: 1.0 / step_h,
            capacity_ah: 1.0 / bank.capacity_ah,
            tenth_hour_a: 1.0 / tenth_hour_a,
            lithium_efficiency: 1.0 / LITHIUM_EFFICIENCY,
        },
        kept: bank.kept,
        trailer: bank.trailer,
        charger_groups: by_priority(scenario, chargers.collect()),
        panels: (0..scenario.solar.len())
            .filter(|&p| scenario.solar[p].to == index)
            .collect(),
        feeds: (0..scenario.chargers.len())
            .filter(|&c| scenario.chargers[c].from == ChargerSource::Bank(index))
            .collect(),
    }
}

/// Takers before givers, else in file order. The checker has refused cycles.
pub(crate) fn bank_order(scenario: &Scenario) -> Vec<usize> {
    let gives_to = |giver: usize, taker: usize| {
        scenario
            .chargers
            .iter()
            .any(|charger| charger.from == ChargerSource::Bank(giver) && charger.to == taker)
    };
    let count = scenario.banks.len();
    let mut order = Vec::with_capacity(count);
    while order.len() < count {
        let ready = (0..count).find(|&bank| {
            !order.contains(&bank)
                && (0..count).all(|taker| order.contains(&taker) || !gives_to(bank, taker))
        });
        // A ring cannot be: but if it were, file order would still end the loop.
        let next = ready.or_else(|| (0..count).find(|bank| !order.contains(bank)));
        order.extend(next);
    }
    order
}
