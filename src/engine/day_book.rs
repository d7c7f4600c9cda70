//! The sums of a batch, read at the end of its days.
//!
//! One job: what has been booked so far as [`Totals`], and what a stretch of days adds to them. Which days
//! there are is in `timeline::whole_days`.

use super::batch::Batch;
use super::lanes::Lanes;
use super::totals::{LoadTotals, PanelTotals, Totals};
use crate::timeline::whole_days::DAY_KINDS;
use crate::units::Whole;

/// The days of a batch so far.
#[derive(Debug, Clone, Default)]
pub(crate) struct DayBook {
    pub(crate) by_kind: [Totals; DAY_KINDS],
    /// State of charge at the end of the first and of the last of the like days, by bank.
    pub(crate) like_soc: [Vec<Lanes>; 2],
    /// The sums when the kind last changed.
    before: Totals,
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

    /// The sums from the start to a step's beginning, but for what [`Totals::close`] adds.
    pub(crate) fn reading(&mut self, step: usize) -> Totals {
        let plant = &self.timeline.plant;
        self.demand
            .settle_all(plant, self.draws, &mut self.availabilities, &mut self.state);
        let count = self.draws.count;
        let sum_h = |lanes: &Lanes| plant.step_h * lanes.sum_of_first(count);
        let state = &self.state;
        let books = self.demand.books.iter().zip(&plant.loads);
        let mut loads: Vec<LoadTotals> = books
            .map(|(book, of)| {
                // What an empty bank left open counts at the voltage of what it can use.
                let missed_wh = book.missed_ah * plant.banks[of.bank].usable_v;
                LoadTotals {
                    wh: book.current_wh,
                    ah: book.current_ah,
                    asked_wh: book.current_wh + missed_wh,
                    asked_ah: book.current_ah + book.missed_ah,
                    power_wh: book.power_wh,
                    asked_power_wh: book.power_wh + (book.missed_wh - missed_wh),
                    live_h: book.live_h,
                    run_h: 0.0,
                }
            })
            .collect();
        for (fridge, of) in state.fridges.iter().zip(&plant.fridges) {
            let (run_h, missed_h) = (sum_h(&fridge.run), sum_h(&fridge.missed));
            let load = &mut loads[of.load];
            load.run_h = run_h;
            load.power_wh += of.running_w * run_h;
            load.asked_power_wh += of.running_w * (run_h + missed_h);
        }
        let events = state.event_w.iter().zip(&state.event_missed_w);
        for ((got_w, missed_w), event) in events.zip(&plant.events) {
            let load = &mut loads[event.load];
            load.power_wh += sum_h(got_w);
            load.asked_power_wh += sum_h(got_w) + sum_h(missed_w);
        }
        for load in &mut loads {
            load.wh += load.power_wh;
            load.asked_wh += load.asked_power_wh;
        }
        let panels = state.panel_w.iter().map(|out_w| PanelTotals {
            wh: sum_h(out_w),
            ah: 0.0,
        });
        let hours = (count * step).real() * plant.step_h;
        let mut totals = Totals {
            hours,
            driven_h: sum_h(&state.driven),
            loads,
            chargers: state.chargers.iter().map(|of| of.read(sum_h)).collect(),
            panels: panels.collect(),
            banks: state
                .banks
                .iter()
                .map(|bank| bank.sums.read(sum_h))
                .collect(),
        };
        for bank in &mut totals.banks {
            bank.out_ah = bank.in_ah - bank.net_ah;
        }
        // What tracking controllers and chargers lose is a fixed share of what they bring.
        for (panel, of) in totals.panels.iter().zip(&plant.panels) {
            if !of.is_pwm {
                totals.banks[of.to].conversion_wh += panel.wh * (1.0 / of.keep - 1.0);
            }
        }
        for (charger, of) in totals.chargers.iter().zip(&plant.chargers) {
            totals.banks[of.to].conversion_wh += charger.wh * (1.0 / of.efficiency - 1.0);
        }
        totals
    }
}
