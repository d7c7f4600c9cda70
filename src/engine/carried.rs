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
    /// Available charge, Ah (lead-acid only).
    pub available: Lanes,
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

impl Carried {
    /// Puts a trial of another batch in the place of one of these; both have the same vehicle, and all of its
    /// banks.
    pub(crate) fn take_lane(&mut self, lane: usize, other: &Self, from: usize) {
        for (bank, other) in self.banks.iter_mut().zip(&other.banks) {
            if let (Some(bank), Some(other)) = (bank, other) {
                bank.take_lane(lane, other, from);
            }
        }
        for (inside_c, other) in self.inside_c.iter_mut().zip(&other.inside_c) {
            inside_c[lane] = other[from];
        }
        self.air.take_lane(lane, &other.air, from);
    }
}

impl CarriedBank {
    fn take_lane(&mut self, lane: usize, other: &Self, from: usize) {
        self.soc[lane] = other.soc[from];
        self.total[lane] = other.total[from];
        self.available[lane] = other.available[from];
        self.on[lane] = other.on[from];
        self.volts[lane] = other.volts[from];
    }

    pub(crate) fn of(bank: &BankState) -> Self {
        Self {
            soc: bank.soc,
            total: bank.total,
            available: bank.available,
            on: bank.on,
            volts: bank.volts,
        }
    }
}
