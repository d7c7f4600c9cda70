//! A bank through several steps in which nothing can run short.
//!
//! One job: the steps of a calm stretch one after the other in one go, so that a bank's numbers are at
//! hand from one step to the next. Each does what `bank_step` does, without what only a bank near one
//! of its limits needs; whether it can come near is asked beforehand, of `clearance`.

use super::air::Air;
use super::bank_flow::{Bounds, Feed, Flow, OnePanel, Tables};
use super::bank_solve::{idle_lanes, sunlit_lanes, unfed_lanes};
use super::bank_step::{carry_lanes, lead_acid_charge_lanes};
use super::clearance::{Worst, stays_clear};
use super::cooling::{ask_lanes, cool_lanes};
use super::demand::Demand;
use super::gates::Gates;
use super::lanes::{lower, widest};
use super::loads_step::add_fridge_lanes;
use super::state::{BankState, FridgeState, PanelState};
use super::sun::Offer;
use super::track::Lows;
use crate::timeline::load_schedule::Gate;
use crate::timeline::plant::{BankPlant, Plant};

/// A bank with its fridges, and all that a stretch of theirs takes and moves.
pub(crate) struct BankStretch<'a> {
    pub(crate) plant: &'a Plant,
    pub(crate) index: usize,
    pub(crate) bank: &'a mut BankState,
    pub(crate) flow: &'a mut Flow,
    pub(crate) lows: &'a mut Lows,
    pub(crate) fridges: &'a mut [FridgeState],
    pub(crate) panels: &'a mut [PanelState],
    pub(crate) offers: &'a [Offer],
    pub(crate) tables: &'a Tables,
    pub(crate) air: &'a Air,
    pub(crate) demand: &'a Demand,
    pub(crate) gates: &'a Gates,
    /// Whether the sun is up.
    pub(crate) is_day: bool,
    pub(crate) steps: usize,
}

/// What feeds the bank and draws on it, in all steps alike.
#[derive(Clone, Copy)]
enum Kind {
    /// Nothing at all.
    Resting,
    /// Nothing but the standby current.
    Idle,
    Unfed,
    Sunlit(OnePanel),
}

impl BankStretch<'_> {
    /// Goes through the steps. Returns false, and has done nothing, where that has to be step by step.
    pub(crate) fn run(&mut self) -> bool {
        let plant = &self.plant.banks[self.index];
        let feed = match self.flow.one_panel {
            _ if !self.is_day || plant.panels.is_empty() => Feed::Nothing,
            Some(panel) => Feed::OnePanel(panel),
            None => return false,
        };
        let kind = match feed {
            Feed::OnePanel(panel) => Kind::Sunlit(panel),
            _ if self.flow.has_loads => Kind::Unfed,
            _ if plant.standby_a > 0.0 => Kind::Idle,
            _ => Kind::Resting,
        };
        if !self.fridges_are_open() {
            return false;
        }
        let coldest_c = (0..self.steps).map(|at| self.air.warmth(plant.kept, at).coldest_c);
        let coldest_c = coldest_c.fold(f64::INFINITY, f64::min);
        let bounds = Bounds::new(plant, self.tables, coldest_c);
        if !self.stays_clear(plant, bounds) {
            return false;
        }
        self.flow.set_feed(feed);
        if plant.two_tank.is_some() {
            self.go::<true>(plant, kind, bounds);
        } else {
            self.go::<false>(plant, kind, bounds);
        }
        true
    }

    /// Whether the bank's fridges may run as they like.
    fn fridges_are_open(&self) -> bool {
        let mut fridges = self.plant.fridges.iter();
        fridges.all(|fridge| {
            let gate = self.plant.loads[fridge.load].gate;
            let (live, _) = self.demand.live_of(fridge.load);
            fridge.bank != self.index || (gate == Some(Gate::Open) && live >= 1.0)
        })
    }

    fn stays_clear(&self, plant: &BankPlant, bounds: Bounds) -> bool {
        let is_served = self.bank.all_on && self.bank.all_served && !self.lows.is_below;
        let fridges = self.plant.fridges.iter();
        let fridges = fridges.filter(|fridge| fridge.bank == self.index);
        let worst = Worst {
            fridges_w: fridges.map(|fridge| fridge.running_w).sum(),
            bounds,
            reserve_soc: self.lows.reserve_soc,
            steps: self.steps,
            step_h: self.plant.step_h,
        };
        let (asked_w, asked_a) = self.demand.asked(self.index);
        is_served && stays_clear(plant, self.bank, asked_w, asked_a, worst)
    }

    fn go<const LEAD: bool>(&mut self, plant: &BankPlant, kind: Kind, bounds: Bounds) {
        match kind {
            Kind::Resting => self.each(
                #[inline(always)]
                |now, _| {
                    idle_lanes(plant, now.bank, now.flow);
                    now.carry::<LEAD, false, false>(plant, bounds);
                },
            ),
            Kind::Idle => self.each(
                #[inline(always)]
                |now, _| {
                    idle_lanes(plant, now.bank, now.flow);
                    now.carry::<LEAD, false, true>(plant, bounds);
                },
            ),
            Kind::Unfed => self.each(
                #[inline(always)]
                |now, _| {
                    unfed_lanes::<LEAD>(plant, now.bank, now.flow, bounds);
                    now.carry::<LEAD, false, true>(plant, bounds);
                },
            ),
            Kind::Sunlit(panel) => self.each(
                #[inline(always)]
                |now, at| {
                    let warmth = now.air.warmth(plant.kept, at);
                    let amount = now.offers[panel.panel].amount(at);
                    let brought_w = &mut now.panels[panel.panel].out_w;
                    sunlit_lanes::<LEAD>(
                        plant, now.bank, now.flow, panel, amount, brought_w, warmth, bounds,
                    );
                    if LEAD {
                        let step_h = now.plant.step_h;
                        lead_acid_charge_lanes(plant, now.bank, now.flow, step_h);
                    }
                    now.carry::<LEAD, true, true>(plant, bounds);
                },
            ),
        }
    }

    /// Every step, with what the fridges ask before it and make of it after.
    #[inline(always)]
    fn each(&mut self, step: impl Fn(&mut Self, usize)) {
        let has_volts = self.demand.has_volts(self.index, self.gates);
        widest(
            #[inline(always)]
            || {
                for at in 0..self.steps {
                    if at + 1 == self.steps {
                        self.bank.begin_soc = self.bank.soc;
                    }
                    self.ask_fridges(at);
                    step(self, at);
                    self.cool_fridges(at);
                    if has_volts {
                        self.demand.book(self.bank, self.index, self.gates);
                    }
                }
                // Without a source nothing rises, with one the lows are kept step by step.
                lower(&mut self.lows.soc, &self.bank.soc);
            },
        );
    }

    #[inline(always)]
    fn carry<const LEAD: bool, const SOURCE: bool, const LOADED: bool>(
        &mut self,
        plant: &BankPlant,
        bounds: Bounds,
    ) {
        let step_h = self.plant.step_h;
        let (bank, flow, lows) = (&mut *self.bank, &*self.flow, &mut *self.lows);
        carry_lanes::<LEAD, SOURCE, true, LOADED, true>(plant, bank, flow, lows, bounds, step_h);
    }

    #[inline(always)]
    fn ask_fridges(&mut self, at: usize) {
        let mut others = Some(self.demand.asked(self.index).0);
        let fridges = self.plant.fridges.iter().zip(&mut *self.fridges);
        for (fridge, state) in fridges.filter(|(fridge, _)| fridge.bank == self.index) {
            ask_lanes(fridge, self.air.around(fridge.kept, at), state);
            add_fridge_lanes(
                &mut self.flow.load_w,
                others.take(),
                fridge.running_w,
                &state.duty,
            );
        }
    }

    #[inline(always)]
    fn cool_fridges(&mut self, at: usize) {
        let fridges = self.plant.fridges.iter().zip(&mut *self.fridges);
        for (fridge, state) in fridges.filter(|(fridge, _)| fridge.bank == self.index) {
            let around = self.air.around(fridge.kept, at);
            cool_lanes(fridge, around, &self.bank.served, state);
        }
    }
}
