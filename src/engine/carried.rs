//! What trials take over that go on from where others stopped.
//!
//! One job: the physical state of banks, fridges and air at a moment. Counts, ledgers and lows are not in
//! it: they begin anew.

use super::air::AirEnds;
use super::lanes::Lanes;
use super::state::BankState;

/// One bank.
#[derive(Debug, Clone, PartialEq)]
pub struct CarriedBank {
    /// State of charge.
    pub soc: Lanes,
    /// Charge in both tanks, Ah.
    pub total: Lanes,
    /// Charge at hand, Ah (lead-acid only).
    pub at_hand: Lanes,
    /// 1: loads on, 0: dropped.
    pub on: Lanes,
    /// Terminal voltage.
    pub volts: Lanes,
}

/// The state of a batch at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// Banks in file order; `None`: it begins at its drawn charge, both tanks at rest.
    pub banks: Vec<Option<CarriedBank>>,
    /// Cabinet temperature of each fridge.
    pub inside_c: Vec<Lanes>,
    /// The air in and around the vehicle.
    pub(crate) air: AirEnds,
}

impl CarriedBank {
    pub(crate) fn of(bank: &BankState) -> Self {
        Self {
            soc: bank.soc,
            total: bank.total,
            at_hand: bank.at_hand,
            on: bank.on,
            volts: bank.volts,
        }
    }
}
