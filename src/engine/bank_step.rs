//! One step of one bank: voltage, current, charge and the ledger.
//!
//! One job: what happens once sources and loads are settled. What the bank would take is
//! `bank_offer`; who may feed it how much is `sharing`; a shortage is `drop_out`.

use super::bank_flow::{AT_CUTOFF, Flow, Tables, at_hand_floor_ah, cutoff_ah, standby_a};
use super::drop_out::{shed, switch_lanes};
use super::lanes::{LANES, Lanes, ZERO, greater, lesser, widest};
use super::state::BankState;
use crate::system::terminal_voltage::terminal_v;
use crate::system::two_tank::TwoTankStep;
use crate::timeline::plant::BankPlant;

/// Stands in for the tanks of lithium, which has none.
const NO_TANKS: TwoTankStep = TwoTankStep {
    keep: 1.0,
    refill: 0.0,
    gain_h: 1.0,
    step_h: 1.0,
    share: 1.0,
};

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

/// Books what sources brought. Accounts are sums of powers and currents: the step's length comes
/// in at the end.
#[inline(never)]
fn book_sources(plant: &BankPlant, bank: &mut BankState, flow: &Flow) {
    widest(
        #[inline(always)]
        || book_sources_lanes(plant, bank, flow),
    );
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
