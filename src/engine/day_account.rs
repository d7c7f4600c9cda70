//! What the days of one kind come to.
//!
//! One job: the sums of a batch read at the end of a day, and what a stretch of days adds to them. Which
//! days there are is in `timeline::whole_days`.

use super::batch::Batch;
use super::lanes::{Lanes, sum_of_first};
use crate::timeline::plant::{LoadPlant, Plant};
use crate::timeline::whole_days::DAY_KINDS;

/// Sums over the trials in use, of all days of one kind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayAccount {
    /// Hours.
    pub hours: f64,
    /// Hours driven.
    pub driven_h: f64,
    /// What each load asked for, supplied or not, Wh.
    pub asked_wh: Vec<f64>,
    /// The same as charge, Ah.
    pub asked_ah: Vec<f64>,
    /// Of `asked_wh`, what is asked as power.
    pub(crate) power_wh: Vec<f64>,
    /// Into its bank by each charger, Wh.
    pub charger_wh: Vec<f64>,
    /// The same as charge, Ah.
    pub charger_ah: Vec<f64>,
    /// Out of its giver by each bank-fed charger, Wh.
    pub charger_in_wh: Vec<f64>,
    /// Into its bank by each panel, Wh.
    pub panel_wh: Vec<f64>,
    /// The same as charge, Ah.
    pub panel_ah: Vec<f64>,
    /// Into each bank straight from the alternator, Wh.
    pub alternator_wh: Vec<f64>,
    /// The same as charge, Ah.
    pub alternator_ah: Vec<f64>,
    /// Drawn by each bank's monitor and protection, Wh.
    pub standby_wh: Vec<f64>,
    /// Lost inside each bank, Wh.
    pub loss_wh: Vec<f64>,
}

impl DayAccount {
    fn lists(&mut self) -> [&mut Vec<f64>; 12] {
        [
            &mut self.asked_wh,
            &mut self.asked_ah,
            &mut self.power_wh,
            &mut self.charger_wh,
            &mut self.charger_ah,
            &mut self.charger_in_wh,
            &mut self.panel_wh,
            &mut self.panel_ah,
            &mut self.alternator_wh,
            &mut self.alternator_ah,
            &mut self.standby_wh,
            &mut self.loss_wh,
        ]
    }

    /// Turns energy into charge where it was not booked as such, at the mean voltages at which banks gave
    /// and took over the whole plan.
    pub(crate) fn close(&mut self, plant: &Plant, out_v: &[f64], in_v: &[f64]) {
        let loads = plant.loads.iter().zip(&mut self.asked_ah);
        for ((load, ah), power_wh) in loads.zip(&self.power_wh) {
            *ah += power_wh / out_v[load.bank];
        }
        let panels = plant.panels.iter().zip(&self.panel_wh);
        self.panel_ah = panels.map(|(panel, wh)| wh / in_v[panel.to]).collect();
    }

    /// Adds `factor` times another; of the two, one may be of nothing yet.
    pub(crate) fn add(&mut self, other: &Self, factor: f64) {
        let mut other = other.clone();
        self.hours += factor * other.hours;
        self.driven_h += factor * other.driven_h;
        for (sums, parts) in self.lists().into_iter().zip(other.lists()) {
            sums.resize(sums.len().max(parts.len()), 0.0);
            for (sum, part) in sums.iter_mut().zip(parts) {
                *sum += factor * *part;
            }
        }
    }
}

/// The days of a batch so far.
#[derive(Debug, Clone, Default)]
pub(crate) struct DayBook {
    pub(crate) by_kind: [DayAccount; DAY_KINDS],
    /// State of charge at the end of the first and of the last of the like days, by bank.
    pub(crate) like_soc: [Vec<Lanes>; 2],
    /// The sums when the kind last changed.
    before: DayAccount,
    /// Days that are over.
    over: usize,
}

impl Batch<'_> {
    /// Closes the day that ends where this step begins, if one does.
    pub(crate) fn close_day(&mut self, step: usize) {
        let days = &self.timeline.whole_days;
        let over = self.days.over;
        let Some(day) = days.get(over).filter(|day| day.end_step == step) else {
            return;
        };
        self.days.over += 1;
        let likes = self.timeline.like_days.iter().flatten();
        for (kept, like) in self.days.like_soc.iter_mut().zip(likes) {
            if like.end_step == step {
                *kept = self.state.banks.iter().map(|bank| bank.soc).collect();
            }
        }
        // Days of one kind that follow each other are read together.
        if days.get(over + 1).is_some_and(|next| next.kind == day.kind) {
            return;
        }
        let now = self.reading(step);
        let sums = &mut self.days.by_kind[day.kind.index()];
        sums.add(&now, 1.0);
        sums.add(&self.days.before, -1.0);
        self.days.before = now;
    }

    /// The sums from the start to a step's beginning, but for what `DayAccount::close` adds.
    pub(crate) fn reading(&mut self, step: usize) -> DayAccount {
        let plant = &self.timeline.plant;
        self.demand
            .settle_all(plant, self.draws, &mut self.availabilities, &mut self.state);
        let count = self.draws.count;
        let sum_h = |lanes: &Lanes| plant.step_h * sum_of_first(lanes, count);
        let (state, demand) = (&self.state, &self.demand);
        let banks = |of: fn(&super::state::BankState) -> &Lanes| -> Vec<f64> {
            state.banks.iter().map(|bank| sum_h(of(bank))).collect()
        };
        let loads = || plant.loads.iter().enumerate();
        let usable_v = |bank: usize| plant.banks[bank].usable_v;
        let missed_power_wh = |(load, of): (usize, &LoadPlant)| {
            demand.missed_wh[load] - demand.missed_ah[load] * usable_v(of.bank)
        };
        let mut power_wh: Vec<f64> = loads()
            .map(|load| demand.power_wh[load.0] + missed_power_wh(load))
            .collect();
        for (fridge, constants) in state.fridges.iter().zip(&plant.fridges) {
            power_wh[constants.load] +=
                constants.running_w * (sum_h(&fridge.run) + sum_h(&fridge.missed));
        }
        let events = state.event_w.iter().zip(&state.event_missed_w);
        for ((got_w, missed_w), event) in events.zip(&plant.events) {
            power_wh[event.load] += sum_h(got_w) + sum_h(missed_w);
        }
        let current_wh = loads()
            .map(|(load, of)| demand.current_wh[load] + demand.missed_ah[load] * usable_v(of.bank));
        #[expect(
            clippy::cast_precision_loss,
            reason = "trials of a batch, steps of a plan"
        )]
        let hours = (count * step) as f64 * plant.step_h;
        DayAccount {
            hours,
            driven_h: sum_h(&state.driven),
            asked_wh: current_wh.zip(&power_wh).map(|(a, b)| a + b).collect(),
            asked_ah: loads()
                .map(|(load, _)| demand.current_ah[load] + demand.missed_ah[load])
                .collect(),
            power_wh,
            charger_wh: state.chargers.iter().map(|c| sum_h(&c.out_w)).collect(),
            charger_ah: state.chargers.iter().map(|c| sum_h(&c.out_a)).collect(),
            charger_in_wh: state.chargers.iter().map(|c| sum_h(&c.in_w)).collect(),
            panel_wh: state
                .panels
                .iter()
                .map(|panel| sum_h(&panel.out_w))
                .collect(),
            panel_ah: Vec::new(),
            alternator_wh: banks(|bank| &bank.alternator_w),
            alternator_ah: banks(|bank| &bank.alternator_a),
            standby_wh: banks(|bank| &bank.standby_w),
            loss_wh: banks(|bank| &bank.loss_w),
        }
    }
}
