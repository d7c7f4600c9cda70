//! One step of one bank: voltage, current, charge and the ledger.
//!
//! One job: what happens once sources and loads are settled. What the bank would take is
//! `bank_offer`; who may feed it how much is `sharing`; a shortage is `drop_out`.
//!
//! Two passes over the trials: the voltage, in `bank_solve`, then `carry`, each written once for every
//! kind of step: lead-acid or lithium, with or without a source. Few passes over few numbers mean few
//! trips to memory, which is what costs here.

use super::bank_flow::{AT_CUTOFF, Bounds, Flow, NO_TANKS, Tables, Warmth, look_up_capacity};
use super::bank_solve::{fed, idle, unfed};
use super::drop_out::{shed, switch_lanes};
use super::lanes::{LANES, max, min, wide};
use super::state::BankState;
use super::track::Lows;
use crate::system::charge_acceptance::lead_acid_efficiency;
use crate::timeline::plant::BankPlant;

/// A bank with all that its step takes and moves.
pub(crate) struct BankStep<'a> {
    pub(crate) plant: &'a BankPlant,
    pub(crate) bank: &'a mut BankState,
    pub(crate) flow: &'a mut Flow,
    pub(crate) lows: &'a mut Lows,
    pub(crate) tables: &'a Tables,
    pub(crate) warmth: Warmth<'a>,
    pub(crate) step_h: f64,
    /// Whether energies and the lowest charge are booked, besides what a shortfall depends on.
    pub(crate) is_booked: bool,
}

impl BankStep<'_> {
    /// Lets the sources that were granted and the loads flow for one step and books it.
    pub(crate) fn settle(&mut self) {
        // The kinds are types, not branches within the pass: with a branch the compiler does one trial after the other.
        let is_fed = self.flow.feed.is_any();
        match (self.plant.two_tank.is_some(), is_fed, self.is_booked) {
            (true, true, true) => self.settle_kind::<true, true, true>(),
            (true, true, false) => self.settle_kind::<true, true, false>(),
            (true, false, true) => self.settle_kind::<true, false, true>(),
            (true, false, false) => self.settle_kind::<true, false, false>(),
            (false, true, true) => self.settle_kind::<false, true, true>(),
            (false, true, false) => self.settle_kind::<false, true, false>(),
            (false, false, true) => self.settle_kind::<false, false, true>(),
            (false, false, false) => self.settle_kind::<false, false, false>(),
        }
    }

    /// Whether there is nothing that could be dropped.
    fn is_idle(&self) -> bool {
        !self.flow.has_loads && self.bank.all_on
    }

    /// The voltage with everything served. Returns whether any trial may ask for more than the bank can
    /// give.
    fn solve<const LEAD: bool>(&mut self, bounds: Bounds) -> bool {
        let plant = self.plant;
        if self.flow.feed.is_any() {
            fed::<LEAD>(plant, self.bank, self.flow, bounds)
        } else if self.is_idle() {
            idle(plant, self.bank, self.flow);
            false
        } else {
            unfed::<LEAD>(plant, self.bank, self.flow, bounds)
        }
    }

    fn settle_kind<const LEAD: bool, const SOURCE: bool, const BOOKED: bool>(&mut self) {
        let bounds = Bounds::new(self.plant, self.tables, self.warmth.coldest_c);
        // At rest the only current is the self-discharge, and no voltage is asked for.
        let is_resting = !SOURCE && self.is_idle() && self.plant.standby.amps <= 0.0;
        let is_short = self.solve::<LEAD>(bounds);
        let is_full = self.bank.all_on && !is_short;
        // Written only where it changes: in most steps every load of every trial was served in the one before too.
        if is_full && !self.bank.all_served {
            self.bank.served = self.bank.on;
        }
        if !is_full {
            self.bank.served = self.bank.on;
            // Who is short has to know what cold makes useless; the others are spared the look.
            self.look_up_capacity();
        }
        self.bank.all_served = is_full;
        if is_short {
            shed(self.plant, self.bank, self.flow, self.step_h);
        }
        // Only lead-acid gasses: lithium's efficiency is one number.
        if LEAD && SOURCE {
            lead_acid_charge(self.plant, self.bank, self.flow, self.step_h);
        }
        let is_near = match (is_resting, is_full) {
            (true, _) => carry::<LEAD, false, true, false, BOOKED>(self, bounds),
            (false, true) => carry::<LEAD, SOURCE, true, true, BOOKED>(self, bounds),
            (false, false) => carry::<LEAD, SOURCE, false, true, BOOKED>(self, bounds),
        };
        // `carry` compares with the bounds of the coldest trial, which is cheap and errs towards looking: which trials
        // are at their own cut-off is found out here.
        if is_near || !self.bank.all_on {
            self.look_up_capacity();
            switch_lanes(self.plant, self.bank, self.flow);
        }
        if !self.bank.all_on {
            self.lows.without_loads(&self.bank.on);
        }
    }

    fn look_up_capacity(&mut self) {
        look_up_capacity(
            self.plant,
            self.warmth.battery_c,
            self.tables,
            &mut self.flow.capacity_share,
        );
    }
}

/// Books what came in, was drawn, lost and stored, and moves the charge. Accounts are sums of powers
/// and currents: the step's length comes in at the end. `FULL`: every load of every trial was
/// served; `LOADED`: something draws on the bank, if only its standby; `BOOKED`: all is booked, else
/// only what a shortfall depends on. Returns whether any trial may be at its cut-off.
#[inline(never)]
fn carry<
    const LEAD: bool,
    const SOURCE: bool,
    const FULL: bool,
    const LOADED: bool,
    const BOOKED: bool,
>(
    of: &mut BankStep<'_>,
    bounds: Bounds,
) -> bool {
    let (plant, bank, flow) = (of.plant, &mut *of.bank, &*of.flow);
    let (lows, step_h) = (&mut *of.lows, of.step_h);
    wide!(|plant, bank, flow, lows, bounds, step_h| {
        let standby = plant.standby;
        let tanks = plant.two_tank.unwrap_or(NO_TANKS);
        let per_capacity = plant.over.capacity_ah;
        let slack_ah = AT_CUTOFF * plant.capacity_ah;
        let near_ah = bounds.cutoff_ah + slack_ah;
        let near_at_hand_ah = bounds.floor_ah + slack_ah;
        let reserve_soc = lows.reserve_soc;
        let (mut is_near, mut is_below) = (false, false);
        for lane in 0..LANES {
            let open_v = flow.open_v[lane];
            let soc = bank.soc[lane];
            let mut kept_a = 0.0;
            let mut lost_w = 0.0;
            if LOADED {
                let volts = bank.volts[lane];
                let served = if FULL { 1.0 } else { bank.served[lane] };
                let standby_a = standby.amps_at(soc);
                let constant_a = flow.load_a[lane] * served + standby_a;
                let drawn_w = flow.load_w[lane] * served + flow.draw_w[lane];
                bank.sums.out_wh[lane] += drawn_w + constant_a * volts;
                if BOOKED {
                    bank.sums.standby_wh[lane] += standby_a * volts;
                }
                // What goes in less what goes out: with hardly a resistance the voltage across it would say
                // little of the current.
                let per_volts = 1.0 / volts;
                let mut current = -drawn_w * per_volts - constant_a;
                if SOURCE {
                    let (source_a, source_w) = (flow.source_a[lane], flow.source_w[lane]);
                    let into_a = source_w * per_volts + source_a;
                    if BOOKED {
                        bank.sums.in_wh[lane] += source_w + source_a * volts;
                        bank.sums.in_ah[lane] += into_a;
                    }
                    current += into_a;
                }
                if BOOKED {
                    bank.sums.net_ah[lane] += current;
                }
                let stays = if LEAD {
                    flow.stays[lane]
                } else {
                    plant.lithium_efficiency
                };
                // What is lost of the charge is lost on its way in, so that a discharge takes what it takes.
                kept_a = if SOURCE && current > 0.0 {
                    current * stays
                } else {
                    current
                };
                lost_w = plant.ohm * current * current + open_v * (current - kept_a);
            }
            // An empty bank has nothing left to lose, and would go below nothing.
            let self_a = if soc > 2.0 * AT_CUTOFF {
                plant.self_a
            } else {
                0.0
            };
            let net = kept_a - self_a;
            if BOOKED {
                bank.sums.loss_wh[lane] += lost_w + open_v * self_a;
                bank.sums.stored_wh[lane] += open_v * net;
            }
            let before_ah = bank.total[lane];
            let total = before_ah + net * step_h;
            bank.total[lane] = total;
            // From what is missing, not from what is there: a full bank is full to the last bit.
            let after = 1.0 - (plant.full_ah - total) * per_capacity;
            let after = min(max(after, 0.0), 1.0);
            bank.soc[lane] = after;
            bank.begin_soc[lane] = soc;
            if BOOKED {
                lows.soc[lane] = min(lows.soc[lane], after);
            }
            // Flags of the whole batch: which trial it is, is looked for in the few steps in which it is any.
            is_below |= after < reserve_soc;
            is_near |= total <= near_ah;
            if LEAD {
                let available = tanks.available_ah(bank.available[lane], before_ah, net);
                bank.available[lane] = available;
                is_near |= available <= near_at_hand_ah;
            }
        }
        if !FULL {
            for lane in 0..LANES {
                let asked_w = flow.load_w[lane] + flow.load_a[lane] * plant.usable_v;
                bank.sums.unserved_wh[lane] += (1.0 - bank.served[lane]) * asked_w;
            }
        }
        // Only the start bank is on the alternator itself; house banks get their share through chargers.
        if BOOKED && SOURCE && !plant.is_house {
            for lane in 0..LANES {
                bank.sums.alternator_wh[lane] += flow.alternator_a[lane] * bank.volts[lane];
                bank.sums.alternator_ah[lane] += flow.alternator_a[lane];
            }
        }
        lows.is_below = is_below;
        is_near
    })
}

/// What stays of the current that goes in, by Copetti's efficiency at the middle of the step.
#[inline(never)]
fn lead_acid_charge(plant: &BankPlant, bank: &BankState, flow: &mut Flow, step_h: f64) {
    wide!(|plant, bank, flow, step_h| {
        let half_step_soc = 0.5 * step_h * plant.over.capacity_ah;
        let (per_ohm, per_rate) = (plant.over.ohm, plant.over.tenth_hour_a);
        for lane in 0..LANES {
            let current = (bank.volts[lane] - flow.open_v[lane]) * per_ohm;
            let into = max(current, 0.0);
            let soc = bank.soc[lane];
            let rates = into * per_rate;
            let first = lead_acid_efficiency(soc, rates);
            // Efficiency falls steeply towards full, so that at the step's beginning it would be too high: one look ahead
            // to the middle.
            let middle = min(soc + into * half_step_soc * first, 1.0);
            flow.stays[lane] = lead_acid_efficiency(middle, rates);
        }
    });
}
