//! One step of one bank: what it would take, and what then happens.
//!
//! One job: limits, voltage, charge and the ledger of a single bank. Who may feed it how much is
//! settled between [`offer`] and [`settle`] in `run` and `sharing`.

use super::lanes::{LANES, Lanes, ZERO, greater, lesser, splat};
use super::state::BankState;
use crate::system::battery_temperature::{CapacityTable, lithium_charge_share};
use crate::system::charge_acceptance::{LossTable, TAPER_H};
use crate::system::terminal_voltage::terminal_v;
use crate::timeline::plant::{BankPlant, RETURN_SOC};

/// A bank counts as at its cut-off within this share of its capacity.
const AT_CUTOFF: f64 = 1e-9;

/// The tank at hand must be filled this far before dropped loads return.
const RETURN_AT_HAND: f64 = 0.05;

/// Tables that every bank uses.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tables {
    capacity: CapacityTable,
    loss: LossTable,
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

/// Voltage and capacity at the step's beginning.
pub(crate) fn look_up(plant: &BankPlant, bank: &BankState, tables: &Tables, flow: &mut Flow) {
    for lane in 0..LANES {
        flow.open_v[lane] = plant.voltage.volts(bank.soc[lane]);
    }
    if plant.two_tank.is_some() {
        for lane in 0..LANES {
            flow.capacity_share[lane] = tables.capacity.share(bank.temp_middle[lane]);
        }
    }
}

/// Power that bank-fed chargers may draw without taking the bank below its reserve.
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
        let loads_a = flow.load_a[lane] + flow.load_w[lane] / flow.open_v[lane];
        let spare_a = greater(limit_a - loads_a, 0.0) * bank.on[lane];
        flow.feed_w[lane] = spare_a * flow.open_v[lane];
    }
}

/// Charge that must stay in the tank at hand: the part that cold makes useless.
#[inline(always)]
fn at_hand_floor_ah(plant: &BankPlant, share: f64, capacity_share: f64) -> f64 {
    (1.0 - capacity_share) * share * plant.full_ah
}

/// Charge in Ah at which loads are dropped: cut-off, moved by what cold makes useless.
#[inline(always)]
fn cutoff_ah(plant: &BankPlant, capacity_share: f64) -> f64 {
    let usable = (1.0 - plant.cutoff_soc) * capacity_share;
    plant.full_ah - lesser(usable, 1.0) * plant.capacity_ah
}

/// What the bank would take: charge limit, voltage and room for sources. `source_a` is the most
/// that chargers could bring over the step.
pub(crate) fn offer(
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
            let by_tank = tanks.max_charge_a(bank.at_hand[lane], bank.total[lane], ceiling_ah);
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

/// Standby is drawn until the bank is empty.
#[inline(always)]
fn standby_a(plant: &BankPlant, bank: &BankState, lane: usize, step_h: f64) -> f64 {
    let reach = (plant.standby_a + plant.self_a) * step_h / plant.capacity_ah;
    if bank.soc[lane] > reach {
        plant.standby_a
    } else {
        0.0
    }
}

/// Lets the sources that were granted and the loads flow for one step and books it.
pub(crate) fn settle(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    tables: &Tables,
    step_h: f64,
) {
    let per_ohm = 1.0 / plant.ohm;
    let mut max_discharge = ZERO;
    for lane in 0..LANES {
        let cutoff = cutoff_ah(plant, flow.capacity_share[lane]);
        let by_charge = (bank.total[lane] - cutoff) / step_h - plant.self_a;
        max_discharge[lane] = lesser(plant.max_discharge_a, by_charge);
    }
    if let Some(tanks) = &plant.two_tank {
        for lane in 0..LANES {
            let floor_ah = at_hand_floor_ah(plant, tanks.share, flow.capacity_share[lane]);
            let by_tank = tanks.max_discharge_a(bank.at_hand[lane], bank.total[lane], floor_ah)
                - plant.self_a;
            max_discharge[lane] = lesser(max_discharge[lane], by_tank);
        }
    }
    let mut worst = f64::NEG_INFINITY;
    for lane in 0..LANES {
        let on = bank.on[lane];
        let load_w = flow.load_w[lane] * on + flow.draw_w[lane];
        let load_a = flow.load_a[lane] * on + standby_a(plant, bank, lane, step_h);
        let source_a = flow.charger_a[lane] + flow.sun_share[lane] * flow.sun_a[lane];
        let source_w = flow.sun_share[lane] * flow.sun_w[lane];
        let volts = terminal_v(
            flow.open_v[lane],
            plant.ohm,
            source_a - load_a,
            source_w - load_w,
        );
        bank.volts[lane] = volts;
        bank.served[lane] = on;
        let current = (volts - flow.open_v[lane]) * per_ohm;
        bank.current[lane] = current;
        worst = greater(worst, (-current - max_discharge[lane]) * on);
    }
    if worst > 0.0 {
        shed(plant, bank, flow, &max_discharge, step_h);
    }
    book(plant, bank, flow, tables, step_h);
    switch(plant, bank, flow);
}

/// Serves only the share of the loads that the bank can give, in the trials where it is short.
fn shed(plant: &BankPlant, bank: &mut BankState, flow: &Flow, max_discharge: &Lanes, step_h: f64) {
    for lane in 0..LANES {
        let on = bank.on[lane];
        let limit_a = max_discharge[lane];
        if on <= 0.0 || -bank.current[lane] <= limit_a {
            continue;
        }
        let open_v = flow.open_v[lane];
        let standby = standby_a(plant, bank, lane, step_h);
        let limit_v = open_v - plant.ohm * greater(limit_a, 0.0);
        let source_w = flow.sun_share[lane] * flow.sun_w[lane];
        let source_a = flow.charger_a[lane] + flow.sun_share[lane] * flow.sun_a[lane];
        let free_a =
            greater(limit_a, 0.0) + source_a + (source_w - flow.draw_w[lane]) / limit_v - standby;
        let asked_a = flow.load_a[lane] + flow.load_w[lane] / limit_v;
        let share = if asked_a > 0.0 {
            (free_a / asked_a).clamp(0.0, 1.0)
        } else {
            0.0
        };
        bank.served[lane] = share;
        if limit_a >= plant.max_discharge_a {
            let asked_w = flow.load_w[lane] + flow.load_a[lane] * limit_v;
            bank.over_limit_wh[lane] += (1.0 - share) * asked_w * step_h;
        }
        let load_w = flow.load_w[lane] * share + flow.draw_w[lane];
        let load_a = flow.load_a[lane] * share + standby;
        let volts = terminal_v(open_v, plant.ohm, source_a - load_a, source_w - load_w);
        bank.volts[lane] = volts;
        bank.current[lane] = (volts - open_v) / plant.ohm;
    }
}

/// Moves the charge and books every watt-hour.
fn book(plant: &BankPlant, bank: &mut BankState, flow: &Flow, tables: &Tables, step_h: f64) {
    let mut efficiency = ZERO;
    if plant.two_tank.is_some() {
        lead_acid_efficiency(plant, bank, tables, step_h, &mut efficiency);
    } else {
        for lane in 0..LANES {
            efficiency[lane] = if bank.current[lane] > 0.0 {
                plant.lithium_efficiency
            } else {
                1.0
            };
        }
    }
    let per_capacity = 1.0 / plant.capacity_ah;
    for lane in 0..LANES {
        let (volts, current) = (bank.volts[lane], bank.current[lane]);
        let open_v = flow.open_v[lane];
        let served = bank.served[lane];
        let load_w = flow.load_w[lane] * served;
        let load_a = flow.load_a[lane] * served;
        let standby = standby_a(plant, bank, lane, step_h);
        let sun_w = flow.sun_share[lane] * flow.sun_w[lane];
        let sun_a = flow.sun_share[lane] * flow.sun_a[lane];
        let per_volt = 1.0 / volts;
        bank.per_volt[lane] = per_volt;
        let source_a = flow.charger_a[lane] + sun_a;
        bank.in_wh[lane] += (sun_w + source_a * volts) * step_h;
        bank.in_ah[lane] += (sun_w * per_volt + source_a) * step_h;
        bank.alternator_wh[lane] += flow.alternator_a[lane] * volts * step_h;
        bank.alternator_ah[lane] += flow.alternator_a[lane] * step_h;
        bank.standby_wh[lane] += standby * volts * step_h;
        let out_w = load_w + flow.draw_w[lane] + (load_a + standby) * volts;
        bank.out_wh[lane] += out_w * step_h;
        bank.out_ah[lane] += out_w * per_volt * step_h;
        let unserved = 1.0 - served;
        bank.unserved_wh[lane] +=
            unserved * (flow.load_w[lane] + flow.load_a[lane] * volts) * step_h;
        let self_a = if bank.soc[lane] > 2.0 * AT_CUTOFF {
            plant.self_a
        } else {
            0.0
        };
        let chemical = current * efficiency[lane];
        let net = chemical - self_a;
        bank.loss_wh[lane] +=
            (plant.ohm * current * current + open_v * (current - chemical) + open_v * self_a)
                * step_h;
        bank.stored_wh[lane] += open_v * net * step_h;
        if let Some(tanks) = &plant.two_tank {
            bank.at_hand[lane] = tanks.at_hand_ah(bank.at_hand[lane], bank.total[lane], net);
        }
        bank.total[lane] += net * step_h;
        let soc = 1.0 - (plant.full_ah - bank.total[lane]) * per_capacity;
        bank.soc[lane] = lesser(greater(soc, 0.0), 1.0);
    }
}

/// Copetti's charge efficiency at the middle of the step; 1 while discharging.
fn lead_acid_efficiency(
    plant: &BankPlant,
    bank: &BankState,
    tables: &Tables,
    step_h: f64,
    efficiency: &mut Lanes,
) {
    for lane in 0..LANES {
        let current = bank.current[lane];
        efficiency[lane] = if current > 0.0 {
            let soc = bank.soc[lane];
            let rates = current / plant.tenth_hour_a;
            let half_soc = 0.5 * current * step_h / plant.capacity_ah;
            let first = tables.loss.lead_acid_efficiency(soc, rates);
            let second = tables
                .loss
                .lead_acid_efficiency(lesser(soc + half_soc * first, 1.0), rates);
            tables
                .loss
                .lead_acid_efficiency(lesser(soc + half_soc * second, 1.0), rates)
        } else {
            1.0
        };
    }
}

/// Drops the loads at cut-off or with an empty tank, and lets them return.
fn switch(plant: &BankPlant, bank: &mut BankState, flow: &Flow) {
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
                    bank.at_hand[lane] - at_hand_floor_ah(plant, tanks.share, capacity_share);
                (left_ah <= slack_ah, left_ah >= RETURN_AT_HAND * size_ah)
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
}
