//! One step of one bank: what it would take, and what then happens.
//!
//! One job: limits, voltage, charge and the ledger of a single bank. Who may feed it how much is
//! settled between [`offer`] and [`settle`] in `run` and `sharing`.

use super::lanes::{LANES, Lanes, ZERO, greater, lesser, splat, widest};
use super::state::BankState;
use crate::system::battery_temperature::{CapacityTable, lithium_charge_share};
use crate::system::charge_acceptance::{LossTable, TAPER_H};
use crate::system::open_circuit_voltage::VoltageTable;
use crate::system::terminal_voltage::terminal_v;
use crate::system::two_tank::TwoTankStep;
use crate::timeline::plant::{BankPlant, RETURN_SOC};

/// A bank counts as at its cut-off within this share of its capacity.
const AT_CUTOFF: f64 = 1e-9;

/// The tank at hand must be filled this far before dropped loads return.
const RETURN_AT_HAND: f64 = 0.05;

/// Stands in for the tanks of lithium, which has none.
const NO_TANKS: TwoTankStep = TwoTankStep {
    keep: 1.0,
    refill: 0.0,
    gain_h: 1.0,
    step_h: 1.0,
    share: 1.0,
};

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
#[inline(never)]
pub(crate) fn look_up(plant: &BankPlant, bank: &BankState, tables: &Tables, flow: &mut Flow) {
    widest(
        #[inline(always)]
        || look_up_lanes(plant, bank, tables, flow),
    )
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

/// What the sources bring in a step: constant current and constant power.
#[inline(always)]
fn sources_of(flow: &Flow, lane: usize) -> (f64, f64) {
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
    )
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
///
/// Two passes over the trials, each written once for the four kinds of step (lead-acid or lithium,
/// with or without a source): fewer passes mean fewer trips to memory, which is what costs here.
pub(crate) fn settle(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    tables: &Tables,
    step_h: f64,
) {
    match (plant.two_tank.is_some(), flow.has_source) {
        (true, true) => settle_kind::<true, true>(plant, bank, flow, tables, step_h),
        (true, false) => settle_kind::<true, false>(plant, bank, flow, tables, step_h),
        (false, true) => settle_kind::<false, true>(plant, bank, flow, tables, step_h),
        (false, false) => settle_kind::<false, false>(plant, bank, flow, tables, step_h),
    }
}

fn settle_kind<const LEAD: bool, const SOURCE: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    tables: &Tables,
    step_h: f64,
) {
    let mut limit_a = ZERO;
    let is_short = solve::<LEAD, SOURCE>(plant, bank, flow, step_h, &mut limit_a);
    if is_short {
        shed(plant, bank, flow, &limit_a, step_h);
    }
    if SOURCE {
        book_sources(plant, bank, flow);
    }
    let mut chemical = ZERO;
    if LEAD && SOURCE {
        lead_acid_charge(plant, bank, tables, step_h, &mut chemical);
    }
    let is_near = carry::<LEAD, SOURCE>(plant, bank, flow, &chemical, step_h);
    if is_near {
        switch_lanes(plant, bank, flow);
    }
}

/// Voltage and current with everything served, and the greatest discharge current. Returns whether
/// any trial asks for more than that.
#[inline(never)]
fn solve<const LEAD: bool, const SOURCE: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    step_h: f64,
    limit_a: &mut Lanes,
) -> bool {
    widest(
        #[inline(always)]
        || solve_lanes::<LEAD, SOURCE>(plant, bank, flow, step_h, limit_a),
    )
}

#[inline(always)]
fn solve_lanes<const LEAD: bool, const SOURCE: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    step_h: f64,
    limit_a: &mut Lanes,
) -> bool {
    let (per_step, per_ohm) = (1.0 / step_h, 1.0 / plant.ohm);
    let tanks = plant.two_tank.unwrap_or(NO_TANKS);
    let per_gain = 1.0 / tanks.gain_h;
    let mut is_short = false;
    for lane in 0..LANES {
        let on = bank.on[lane];
        let share = if LEAD { flow.capacity_share[lane] } else { 1.0 };
        let mut limit = (bank.total[lane] - cutoff_ah(plant, share)) * per_step;
        if LEAD {
            let at_hand = bank.at_hand[lane] * tanks.keep + bank.total[lane] * tanks.refill;
            let floor_ah = at_hand_floor_ah(plant, tanks.share, share);
            limit = lesser(limit, (at_hand - floor_ah) * per_gain);
        }
        let limit = lesser(limit - plant.self_a, plant.max_discharge_a);
        limit_a[lane] = limit;
        let mut current_a = -(flow.load_a[lane] * on + standby_a(plant, bank, lane, step_h));
        let mut power_w = -(flow.load_w[lane] * on + flow.draw_w[lane]);
        if SOURCE {
            let share = flow.sun_share[lane];
            current_a += flow.charger_a[lane] + share * flow.sun_a[lane];
            power_w += share * flow.sun_w[lane];
        }
        let open_v = flow.open_v[lane];
        let volts = terminal_v(open_v, plant.ohm, current_a, power_w);
        let current = (volts - open_v) * per_ohm;
        bank.volts[lane] = volts;
        bank.current[lane] = current;
        bank.served[lane] = on;
        let driven_v = open_v + plant.ohm * current_a;
        let is_beyond = driven_v * driven_v + 4.0 * plant.ohm * power_w < 0.0;
        is_short |= ((-current > limit) | is_beyond) & (on > 0.0);
    }
    is_short
}

/// Serves only the share of the loads that the bank can give, in the trials where it is short.
#[inline(never)]
fn shed(plant: &BankPlant, bank: &mut BankState, flow: &Flow, max_discharge: &Lanes, step_h: f64) {
    for lane in 0..LANES {
        let on = bank.on[lane];
        let limit_a = max_discharge[lane];
        let open_v = flow.open_v[lane];
        let standby = standby_a(plant, bank, lane, step_h);
        if on <= 0.0 {
            continue;
        }
        let (source_a, source_w) = sources_of(flow, lane);
        let asked_w = source_w - flow.load_w[lane] - flow.draw_w[lane];
        let driven_v = open_v + plant.ohm * (source_a - flow.load_a[lane] - standby);
        // No voltage carries more power than that, whatever the limits.
        let is_beyond = driven_v * driven_v + 4.0 * plant.ohm * asked_w < 0.0;
        if -bank.current[lane] <= limit_a && !is_beyond {
            continue;
        }
        let limit_v = open_v - plant.ohm * greater(limit_a, 0.0);
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
            bank.over_limit_w[lane] += (1.0 - share) * asked_w;
        }
        let load_w = flow.load_w[lane] * share + flow.draw_w[lane];
        let load_a = flow.load_a[lane] * share + standby;
        let volts = terminal_v(open_v, plant.ohm, source_a - load_a, source_w - load_w);
        bank.volts[lane] = volts;
        bank.current[lane] = (volts - open_v) / plant.ohm;
    }
}

/// Books what sources brought. Accounts are sums of powers and currents: the step's length comes
/// in at the end.
#[inline(never)]
fn book_sources(plant: &BankPlant, bank: &mut BankState, flow: &Flow) {
    widest(
        #[inline(always)]
        || book_sources_lanes(plant, bank, flow),
    )
}

#[inline(always)]
fn book_sources_lanes(plant: &BankPlant, bank: &mut BankState, flow: &Flow) {
    for lane in 0..LANES {
        let volts = bank.volts[lane];
        let share = flow.sun_share[lane];
        let source_a = flow.charger_a[lane] + share * flow.sun_a[lane];
        let sun_w = share * flow.sun_w[lane];
        bank.in_w[lane] += sun_w + source_a * volts;
        bank.in_a[lane] += sun_w / volts + source_a;
    }
    if !plant.is_house {
        for lane in 0..LANES {
            bank.alternator_w[lane] += flow.alternator_a[lane] * bank.volts[lane];
            bank.alternator_a[lane] += flow.alternator_a[lane];
        }
    }
}

/// Books what was drawn, lost and stored, and moves the charge. Returns whether any trial is at its
/// cut-off or has its loads dropped.
#[inline(never)]
fn carry<const LEAD: bool, const SOURCE: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    chemical: &Lanes,
    step_h: f64,
) -> bool {
    widest(
        #[inline(always)]
        || carry_lanes::<LEAD, SOURCE>(plant, bank, flow, chemical, step_h),
    )
}

#[inline(always)]
fn carry_lanes<const LEAD: bool, const SOURCE: bool>(
    plant: &BankPlant,
    bank: &mut BankState,
    flow: &Flow,
    chemical: &Lanes,
    step_h: f64,
) -> bool {
    let tanks = plant.two_tank.unwrap_or(NO_TANKS);
    let per_capacity = 1.0 / plant.capacity_ah;
    let slack_ah = AT_CUTOFF * plant.capacity_ah;
    let mut is_lost = false;
    let mut is_near = false;
    for lane in 0..LANES {
        let (volts, current) = (bank.volts[lane], bank.current[lane]);
        let (open_v, served) = (flow.open_v[lane], bank.served[lane]);
        let standby = standby_a(plant, bank, lane, step_h);
        let constant_a = flow.load_a[lane] * served + standby;
        bank.out_w[lane] += flow.load_w[lane] * served + flow.draw_w[lane] + constant_a * volts;
        bank.standby_w[lane] += standby * volts;
        bank.net_a[lane] += current;
        is_lost |= served < 1.0;
        let kept_a = if !SOURCE {
            current
        } else if LEAD {
            chemical[lane]
        } else if current > 0.0 {
            current * plant.lithium_efficiency
        } else {
            current
        };
        let self_a = if bank.soc[lane] > 2.0 * AT_CUTOFF {
            plant.self_a
        } else {
            0.0
        };
        let net = kept_a - self_a;
        bank.loss_w[lane] += plant.ohm * current * current + open_v * (current - kept_a + self_a);
        bank.stored_w[lane] += open_v * net;
        let before_ah = bank.total[lane];
        let total = before_ah + net * step_h;
        bank.total[lane] = total;
        let soc = 1.0 - (plant.full_ah - total) * per_capacity;
        bank.soc[lane] = lesser(greater(soc, 0.0), 1.0);
        let share = if LEAD { flow.capacity_share[lane] } else { 1.0 };
        is_near |= (total <= cutoff_ah(plant, share) + slack_ah) | (bank.on[lane] <= 0.0);
        if LEAD {
            let at_hand = tanks.at_hand_ah(bank.at_hand[lane], before_ah, net);
            bank.at_hand[lane] = at_hand;
            is_near |= at_hand <= at_hand_floor_ah(plant, tanks.share, share) + slack_ah;
        }
    }
    if is_lost {
        for lane in 0..LANES {
            let asked_w = flow.load_w[lane] + flow.load_a[lane] * bank.volts[lane];
            bank.unserved_w[lane] += (1.0 - bank.served[lane]) * asked_w;
        }
    }
    is_near
}

/// What stays of the current that goes in, by Copetti's efficiency at the middle of the step.
#[inline(never)]
fn lead_acid_charge(
    plant: &BankPlant,
    bank: &BankState,
    tables: &Tables,
    step_h: f64,
    chemical: &mut Lanes,
) {
    let half_step_soc = 0.5 * step_h / plant.capacity_ah;
    for lane in 0..LANES {
        let current = bank.current[lane];
        chemical[lane] = current;
        if current > 0.0 {
            let soc = bank.soc[lane];
            let rates = current / plant.tenth_hour_a;
            let half_soc = current * half_step_soc;
            let first = tables.loss.lead_acid_efficiency(soc, rates);
            let middle = lesser(soc + half_soc * first, 1.0);
            chemical[lane] = current * tables.loss.lead_acid_efficiency(middle, rates);
        }
    }
}

/// Drops the loads at cut-off or with an empty tank, and lets them return.
#[inline(never)]
fn switch_lanes(plant: &BankPlant, bank: &mut BankState, flow: &Flow) {
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
