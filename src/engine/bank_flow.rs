//! What flows in one bank in one step, and the bounds that several parts of the step ask for.
//!
//! One job: the shape and the shared bounds. What a bank would take is `bank_offer`, what then
//! happens `bank_step`, what is dropped `drop_out`.

use super::lanes::{Lanes, ZERO, lesser, splat};
use super::state::BankState;
use crate::system::battery_temperature::CapacityTable;
use crate::system::charge_acceptance::LossTable;
use crate::timeline::plant::BankPlant;

/// A bank counts as at its cut-off within this share of its capacity.
pub(super) const AT_CUTOFF: f64 = 1e-9;

/// Tables that every bank uses.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tables {
    pub(super) capacity: CapacityTable,
    pub(super) loss: LossTable,
}

/// What flows in one bank in one step.
#[derive(Debug, Clone)]
pub(crate) struct Flow {
    /// State of charge at the step's beginning.
    pub(crate) begin_soc: Lanes,
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
    /// Greatest net charge current that the bank takes, A.
    pub(crate) limit_a: Lanes,
    /// Terminal voltage if all sources gave what the bank takes, V.
    pub(crate) full_v: Lanes,
    /// Current that sources may bring at that voltage, A.
    pub(crate) room_a: Lanes,
    /// Whether cold alone closes the bank.
    pub(crate) is_cold: Lanes,
    /// Capacity share by temperature (lead-acid).
    pub(crate) capacity_share: Lanes,
    /// Whether any source may be at work.
    pub(crate) has_source: bool,
    /// Power left for bank-fed chargers, W.
    pub(crate) feed_w: Lanes,
}

impl Flow {
    pub(crate) fn new() -> Self {
        Self {
            begin_soc: ZERO,
            open_v: ZERO,
            load_w: ZERO,
            load_a: ZERO,
            draw_w: ZERO,
            sun_w: ZERO,
            sun_a: ZERO,
            sun_share: ZERO,
            charger_a: ZERO,
            alternator_a: ZERO,
            limit_a: ZERO,
            full_v: ZERO,
            room_a: ZERO,
            is_cold: ZERO,
            capacity_share: splat(1.0),
            has_source: false,
            feed_w: ZERO,
        }
    }
}

/// What the sources bring in a step: constant current and constant power.
#[inline(always)]
pub(super) fn sources_of(flow: &Flow, lane: usize) -> (f64, f64) {
    if !flow.has_source {
        return (0.0, 0.0);
    }
    let share = flow.sun_share[lane];
    (
        flow.charger_a[lane] + share * flow.sun_a[lane],
        share * flow.sun_w[lane],
    )
}

/// Charge that must stay in the tank at hand: the part that cold makes useless.
#[inline(always)]
pub(super) fn at_hand_floor_ah(plant: &BankPlant, share: f64, capacity_share: f64) -> f64 {
    (1.0 - capacity_share) * share * plant.full_ah
}

/// Charge in Ah at which loads are dropped: cut-off, moved by what cold makes useless.
#[inline(always)]
pub(super) fn cutoff_ah(plant: &BankPlant, capacity_share: f64) -> f64 {
    let usable = (1.0 - plant.cutoff_soc) * capacity_share;
    plant.full_ah - lesser(usable, 1.0) * plant.capacity_ah
}

/// Standby is drawn until the bank is empty.
#[inline(always)]
pub(super) fn standby_a(plant: &BankPlant, bank: &BankState, lane: usize, step_h: f64) -> f64 {
    let reach = (plant.standby_a + plant.self_a) * step_h / plant.capacity_ah;
    if bank.soc[lane] > reach {
        plant.standby_a
    } else {
        0.0
    }
}
