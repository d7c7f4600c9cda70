//! The twin's battery, one second at a time.
//!
//! One job: voltage, limits, charge and the energy account of one bank, with two tanks that flow
//! into each other by small Euler steps.

use tideover::scenario::{Bank, Chemistry};
use tideover::system::battery_temperature::{capacity_share, lithium_charge_share};
use tideover::system::charge_acceptance::lead_acid_efficiency;
use tideover::system::open_circuit_voltage::{Curve, VoltageTable};
use tideover::system::terminal_voltage::terminal_v;

/// Two-tank parameters, set B of the electrical reference.
const SHARE: f64 = 0.557_96;
const RATE_PER_H: f64 = 0.285_55;
/// Charge of a full battery over its 20 h capacity: 375.43 Ah in both tanks give 329.83 Ah at 20 h.
const FULL_OVER_RATED: f64 = 375.43 / 329.83;

const SECOND_H: f64 = 1.0 / 3600.0;

#[derive(Default, Clone)]
pub struct Account {
    pub in_wh: f64,
    pub out_wh: f64,
    pub loss_wh: f64,
    pub stored_wh: f64,
    pub standby_wh: f64,
    pub conversion_wh: f64,
    pub curtailed_wh: f64,
    pub unserved_wh: f64,
    pub alternator_wh: f64,
}

pub struct Cell<'a> {
    pub bank: &'a Bank,
    curve: VoltageTable,
    /// Mean voltage from full to reserve: what charge counts at that is asked for and not supplied.
    usable_v: f64,
    ohm: f64,
    full_ah: f64,
    total_ah: f64,
    at_hand_ah: f64,
    pub temp_c: f64,
    pub on: bool,
    pub had_outage: bool,
    pub soc: f64,
    pub volts: f64,
    pub served: f64,
    pub account: Account,
    /// Voltage and current of the seconds since the last sample.
    pub sums: (f64, f64),
}

/// What flows in a second.
#[derive(Default, Clone)]
pub struct Second {
    pub load_w: f64,
    pub load_a: f64,
    /// Power that would be asked if it had always been supplied.
    pub wanted_w: f64,
    pub draw_w: f64,
    pub source_a: f64,
    pub source_w: f64,
}

impl<'a> Cell<'a> {
    pub fn new(bank: &'a Bank, voltage_factor: f64, soc: f64, temp_c: f64) -> Self {
        let curve = match bank.chemistry {
            Chemistry::Lfp => Curve::Lfp,
            Chemistry::Flooded => Curve::Flooded,
            Chemistry::Agm | Chemistry::Gel => Curve::Sealed,
        };
        let curve = VoltageTable::new(curve, voltage_factor);
        let full_ah = if bank.chemistry == Chemistry::Lfp {
            bank.capacity_ah
        } else {
            bank.capacity_ah * FULL_OVER_RATED
        };
        let total_ah = full_ah - (1.0 - soc) * bank.capacity_ah;
        let off = soc <= bank.cutoff_soc;
        Self {
            bank,
            ohm: bank.resistance_mohm / 1000.0,
            volts: curve.volts(soc),
            usable_v: curve.mean_volts(bank.reserve_soc, 1.0),
            curve,
            full_ah,
            total_ah,
            at_hand_ah: SHARE * total_ah,
            temp_c,
            on: !off,
            had_outage: off,
            soc,
            served: 1.0,
            account: Account::default(),
            sums: (0.0, 0.0),
        }
    }

    fn is_lead(&self) -> bool {
        self.bank.chemistry != Chemistry::Lfp
    }

    fn self_a(&self) -> f64 {
        self.bank.self_discharge_per_month * self.bank.capacity_ah / 720.0
    }

    pub fn standby_a(&self) -> f64 {
        if self.soc > 1e-6 {
            self.bank.standby_ma / 1000.0
        } else {
            0.0
        }
    }

    pub fn warm(&mut self, around_c: f64) {
        self.temp_c += (around_c - self.temp_c) / (4.0 * 3600.0);
    }

    fn capacity_share(&self) -> f64 {
        if self.is_lead() {
            capacity_share(self.temp_c)
        } else {
            1.0
        }
    }

    /// Flow from the bound tank to the one at hand, A.
    fn refill_a(&self) -> f64 {
        let bound_ah = self.total_ah - self.at_hand_ah;
        let conductance = RATE_PER_H * SHARE * (1.0 - SHARE);
        conductance * (bound_ah / (1.0 - SHARE) - self.at_hand_ah / SHARE)
    }

    pub fn open_v(&self) -> f64 {
        self.curve.volts(self.soc)
    }

    /// Greatest current into the battery now.
    pub fn charge_limit_a(&self) -> f64 {
        let by_volts = (self.bank.absorption_v - self.open_v()) / self.ohm;
        let missing_ah = self.full_ah - self.total_ah;
        let limit = if self.is_lead() {
            let by_tank = (SHARE * self.full_ah - self.at_hand_ah) / SECOND_H - self.refill_a();
            self.bank.max_charge_a.min(missing_ah / 1.5).min(by_tank)
        } else {
            let warm = lithium_charge_share(self.temp_c);
            let by_missing = (missing_ah / SECOND_H + self.self_a()) / 0.99;
            (self.bank.max_charge_a * warm).min(by_missing)
        };
        limit.min(by_volts).max(0.0)
    }

    /// Current that loads ask for at the present voltage.
    pub fn asked_a(&self, second: &Second) -> f64 {
        let on = if self.on { 1.0 } else { 0.0 };
        on * (second.load_a + second.load_w / self.volts)
            + second.draw_w / self.volts
            + self.standby_a()
    }

    fn cutoff_ah(&self) -> f64 {
        let usable = ((1.0 - self.bank.cutoff_soc) * self.capacity_share()).min(1.0);
        self.full_ah - usable * self.bank.capacity_ah
    }

    fn useless_ah(&self) -> f64 {
        (1.0 - self.capacity_share()) * SHARE * self.full_ah
    }

    pub fn settle(&mut self, second: &Second) {
        let mut served = if self.on { 1.0 } else { 0.0 };
        let open_v = self.open_v();
        let flow = |served: f64| {
            terminal_v(
                open_v,
                self.ohm,
                second.source_a - served * second.load_a - self.standby_a(),
                second.source_w - served * second.load_w - second.draw_w,
            )
        };
        let mut volts = flow(served);
        let mut current = (volts - open_v) / self.ohm;
        if current < -self.bank.max_discharge_a && served > 0.0 {
            // The share of the loads that keeps to the limit, by halving.
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..40 {
                served = 0.5 * (low + high);
                volts = flow(served);
                current = (volts - open_v) / self.ohm;
                if current < -self.bank.max_discharge_a {
                    high = served;
                } else {
                    low = served;
                }
            }
        }
        self.served = served;
        self.volts = volts;
        self.sums.0 += volts;
        self.sums.1 += current;
        self.book(second, open_v, current);
        self.switch();
    }

    fn book(&mut self, second: &Second, open_v: f64, current: f64) {
        let (volts, served) = (self.volts, self.served);
        let standby_a = self.standby_a();
        let efficiency = if current <= 0.0 {
            1.0
        } else if self.is_lead() {
            lead_acid_efficiency(self.soc, current / (self.bank.capacity_ah / 10.0))
        } else {
            0.99
        };
        let self_a = if self.soc > 1e-6 { self.self_a() } else { 0.0 };
        let chemical = current * efficiency;
        let net = chemical - self_a;
        let out_w =
            served * (second.load_w + second.load_a * volts) + second.draw_w + standby_a * volts;
        let account = &mut self.account;
        account.in_wh += (second.source_w + second.source_a * volts) * SECOND_H;
        account.out_wh += out_w * SECOND_H;
        account.standby_wh += standby_a * volts * SECOND_H;
        let missed_w = second.wanted_w - served * second.load_w;
        let missed_a = (1.0 - served) * second.load_a;
        account.unserved_wh += (missed_w + missed_a * self.usable_v) * SECOND_H;
        account.loss_wh += self.ohm * current * current * SECOND_H;
        account.loss_wh += open_v * (current - chemical + self_a) * SECOND_H;
        account.stored_wh += open_v * net * SECOND_H;
        self.at_hand_ah += (net + self.refill_a()) * SECOND_H;
        self.total_ah += net * SECOND_H;
        let soc = 1.0 - (self.full_ah - self.total_ah) / self.bank.capacity_ah;
        self.soc = soc.clamp(0.0, 1.0);
    }

    fn switch(&mut self) {
        let cutoff_ah = self.cutoff_ah();
        let left_ah = self.at_hand_ah - self.useless_ah();
        let is_empty = self.is_lead() && left_ah <= 0.0;
        let is_filled =
            !self.is_lead() || left_ah >= 0.05 * SHARE * self.full_ah * self.capacity_share();
        if self.total_ah <= cutoff_ah || is_empty {
            self.on = false;
            self.had_outage = true;
        } else if self.total_ah >= cutoff_ah + 0.05 * self.bank.capacity_ah && is_filled {
            self.on = true;
        }
    }
}
