//! What flows in one bank in one step, and the bounds that several parts of the step ask for.
//!
//! One job: the shape and the shared bounds. What a bank would take is `bank_offer`, what then
//! happens `bank_step`, what is dropped `drop_out`.

use super::curve_lines;
use super::lanes::{LANES, Lanes, ONE, ZERO, min, wide};
use super::state::BankState;
use crate::system::battery_temperature::CapacityTable;
use crate::system::two_tank::TwoTankStep;
use crate::timeline::plant::{BankPlant, Plant};

/// A bank counts as at its cut-off within this share of its capacity.
pub(super) const AT_CUTOFF: f64 = 1e-9;

/// Stands in for the tanks of lithium, which has none.
pub(super) const NO_TANKS: TwoTankStep = TwoTankStep {
    keep: 1.0,
    refill: 0.0,
    gain_h: 1.0,
    per_gain_h: 1.0,
    step_h: 1.0,
    share: 1.0,
};

/// Tables that every bank uses.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tables {
    pub(super) capacity: CapacityTable,
}

impl Tables {
    /// State of charge at which a bank's loads are dropped: its cut-off, moved by what cold makes useless.
    pub(crate) fn cutoff_soc(&self, plant: &BankPlant, battery_c: f64) -> f64 {
        if plant.two_tank.is_none() {
            return plant.cutoff_soc;
        }
        let cutoff_ah = cutoff_ah(plant, self.capacity.share(battery_c));
        1.0 - (plant.full_ah - cutoff_ah) / plant.capacity_ah
    }
}

/// Temperature of a bank's battery at the middle of the step.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Warmth<'a> {
    /// In each trial.
    pub(crate) battery_c: &'a Lanes,
    /// The lowest of them.
    pub(crate) coldest_c: f64,
}

/// What flows in one bank in one step.
#[derive(Debug, Clone, Default)]
pub(crate) struct Flow {
    /// Open-circuit voltage at the step's beginning.
    pub(crate) open_v: Lanes,
    /// Loads of constant power that are asked for, W.
    pub(crate) load_w: Lanes,
    /// Loads of constant current that are asked for, A.
    pub(crate) load_a: Lanes,
    /// Drawn by bank-fed chargers, W: already limited to what the bank can give.
    pub(crate) draw_w: Lanes,
    /// Sun of tracking controllers, after every limit but the bank's, W.
    pub(crate) sun_w: Lanes,
    /// Sun of PWM controllers, A.
    pub(crate) sun_a: Lanes,
    /// Share of that sun that the bank takes.
    pub(crate) sun_share: Lanes,
    /// Mean current of the chargers over the step, A.
    pub(crate) charger_a: Lanes,
    /// Of that, straight from the alternator.
    pub(crate) alternator_a: Lanes,
    /// Share that stays of the current into lead-acid.
    pub(super) stays: Lanes,
    /// What all sources bring: constant current, A, and constant power, W.
    pub(crate) source_a: Lanes,
    pub(crate) source_w: Lanes,
    /// Greatest net charge current that the bank takes, A.
    pub(crate) limit_a: Lanes,
    /// Terminal voltage if all sources gave what the bank takes, V.
    pub(crate) full_v: Lanes,
    /// Power that sources may bring at that voltage, W.
    pub(crate) room_w: Lanes,
    /// Current that chargers may bring at that voltage once the sun is in, A; in a step driven in part
    /// while the engine runs.
    pub(crate) room_a: Lanes,
    /// The same for mains, which are there in the other part.
    pub(crate) parked_room_a: Lanes,
    /// Capacity share by temperature (lead-acid), where it was looked up in this step.
    pub(crate) capacity_share: Lanes,
    /// Power left for bank-fed chargers, W.
    pub(crate) feed_w: Lanes,
    /// Whether any load or bank-fed charger ever draws on the bank.
    pub(super) has_loads: bool,
    /// Whether an event has added to these: they are laid anew in the next step.
    pub(crate) has_event: bool,
    /// What may feed the bank in the step.
    pub(crate) feed: Feed,
}

impl Flow {
    pub(crate) fn new(plant: &Plant, bank: usize) -> Self {
        let mut loads = plant.loads.iter().filter(|load| load.bank == bank);
        let constants = &plant.banks[bank];
        Self {
            has_loads: loads.next().is_some() || !constants.feeds.is_empty(),
            capacity_share: ONE,
            ..Self::default()
        }
    }

    /// Says what may feed the bank in this step; what others brought before is forgotten.
    pub(crate) fn set_feed(&mut self, feed: Feed) {
        if feed != self.feed {
            (self.sun_w, self.sun_a) = (ZERO, ZERO);
            (self.charger_a, self.alternator_a) = (ZERO, ZERO);
            (self.source_w, self.source_a) = (ZERO, ZERO);
            self.feed = feed;
        }
    }
}

/// What may feed a bank in a step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Feed {
    pub(crate) has_sun: bool,
    /// A charger or the alternator itself.
    pub(crate) has_charger: bool,
}

impl Feed {
    pub(crate) fn is_any(self) -> bool {
        self.has_sun || self.has_charger
    }
}

/// Open-circuit voltage at the step's beginning.
#[inline(always)]
pub(super) fn look_up_voltage(plant: &BankPlant, bank: &BankState, open_v: &mut Lanes) {
    curve_lines::volts(&plant.voltage, &bank.soc, open_v);
}

/// Capacity share by temperature, of lead-acid.
#[inline(never)]
pub(super) fn look_up_capacity(
    plant: &BankPlant,
    battery_c: &Lanes,
    tables: &Tables,
    capacity_share: &mut Lanes,
) {
    if plant.two_tank.is_some() {
        let table = &tables.capacity;
        wide!(|table, battery_c, capacity_share| for lane in 0..LANES {
            capacity_share[lane] = table.share(battery_c[lane]);
        });
    }
}

/// Charges below which a bank has to be looked at closely: those of the coldest trial, which are the
/// highest. Above them no trial is short of charge or at its cut-off.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    pub(super) cutoff_ah: f64,
    pub(super) floor_ah: f64,
}

impl Bounds {
    pub(super) fn new(plant: &BankPlant, tables: &Tables, coldest_c: f64) -> Self {
        match &plant.two_tank {
            None => Self {
                cutoff_ah: cutoff_ah(plant, 1.0),
                floor_ah: 0.0,
            },
            Some(tanks) => {
                let least_share = tables.capacity.share(coldest_c);
                Self {
                    cutoff_ah: cutoff_ah(plant, least_share),
                    floor_ah: available_floor_ah(plant, tanks.share, least_share),
                }
            }
        }
    }
}

/// Charge that must stay in the tank of available charge: the part that cold makes useless.
#[inline(always)]
pub(super) fn available_floor_ah(plant: &BankPlant, share: f64, capacity_share: f64) -> f64 {
    (1.0 - capacity_share) * share * plant.full_ah
}

/// Greatest discharge current of a trial over the step: down to a charge, and by the tank of available charge, A.
///
/// The charges are its total and its available charge, Ah.
#[inline(always)]
pub(super) fn down_to_a(
    plant: &BankPlant,
    (total_ah, available_ah): (f64, f64),
    to_ah: f64,
    capacity_share: f64,
    step_h: f64,
) -> f64 {
    let by_charge_a = (total_ah - to_ah) / step_h;
    let Some(tanks) = &plant.two_tank else {
        return by_charge_a;
    };
    let floor_ah = available_floor_ah(plant, tanks.share, capacity_share);
    min(
        by_charge_a,
        tanks.max_discharge_a(available_ah, total_ah, floor_ah),
    )
}

/// Charge in Ah at which loads are dropped: cut-off, moved by what cold makes useless.
#[inline(always)]
pub(super) fn cutoff_ah(plant: &BankPlant, capacity_share: f64) -> f64 {
    let usable = (1.0 - plant.cutoff_soc) * capacity_share;
    plant.full_ah - min(usable, 1.0) * plant.capacity_ah
}
