//! The step loop of a batch.
//!
//! One job: the order of things within a step, and what a step cut short by a trial's end keeps.
//! What loads ask is in `loads_step`, what sources give in `sources_step`, what the banks make of
//! both in `settling_step`.

use super::batch::Batch;
use super::demand::Gates;
use super::draws::Draws;
use super::lanes::{LANES, ZERO, splat};
use super::outcome::Outcome;
use super::state::State;
use super::view::{Observer, StepView};
use crate::timeline::Timeline;
use crate::timeline::load_schedule::Gate;
use crate::timeline::sun_steps::NO_SLOT;

/// Runs a batch through the timeline.
pub fn run_batch(timeline: &Timeline, draws: &Draws, observer: &mut impl Observer) -> Outcome {
    let mut batch = Batch::new(timeline, draws);
    for step in 0..timeline.steps {
        if step >= timeline.tail_step {
            batch.tail_step(step);
        } else {
            batch.step(step);
            batch.track(step);
        }
        observer.after_step(&StepView {
            step,
            batch: &batch,
        });
    }
    batch.finish()
}

impl Batch<'_> {
    fn tail_step(&mut self, step: usize) {
        let begin_s = self.timeline.begin_s(step);
        let end_s = self.timeline.begin_s(step + 1);
        let mut share = ZERO;
        for lane in 0..LANES {
            share[lane] = ((self.draws.end_s[lane] - begin_s) / (end_s - begin_s)).clamp(0.0, 1.0);
        }
        self.begin_demand(step);
        let before = self.state.clone();
        self.flow_step(step);
        self.state.keep_share(&before, &share);
        self.track_from(step, &before);
    }

    fn step(&mut self, step: usize) {
        self.begin_demand(step);
        self.flow_step(step);
    }

    #[inline(never)]
    fn track(&mut self, step: usize) {
        for (bank, track) in self.tracks.iter_mut().enumerate() {
            track.step(
                self.timeline,
                step,
                &self.flows[bank].begin_soc,
                &self.state.banks[bank].soc,
                &self.state.banks[bank].on,
            );
        }
    }

    fn track_from(&mut self, step: usize, before: &State) {
        for (bank, track) in self.tracks.iter_mut().enumerate() {
            track.step(
                self.timeline,
                step,
                &before.banks[bank].soc,
                &self.state.banks[bank].soc,
                &self.state.banks[bank].on,
            );
        }
    }

    fn flow_step(&mut self, step: usize) {
        let timeline = self.timeline;
        let plant = &timeline.plant;
        let begin_s = timeline.begin_s(step);
        let end_s = timeline.begin_s(step + 1);
        self.drives.step(begin_s, end_s);
        self.set_gates(begin_s, end_s);
        let slot = timeline.sun.slot[step];
        self.has_sun = slot != NO_SLOT;
        let light = self.has_sun.then(|| &self.draws.light[slot as usize]);
        self.air
            .step(timeline, self.draws, step, light, &self.drives, &self.camp);
        self.state.warm_batteries(timeline, &self.air);
        self.ask_fridges();
        self.find_events(begin_s, end_s);
        self.ask_loads();
        if let Some(light) = light {
            for (panel, offer) in self.offers.iter_mut().enumerate() {
                offer.set(timeline, panel, step, light, &self.air, &self.drives);
            }
        } else {
            self.sun.clear();
        }
        self.open_chargers(step);
        for position in 0..plant.bank_order.len() {
            self.offer_bank(plant.bank_order[position]);
        }
        if self.drives.any {
            self.run_alternator();
        }
        for position in 0..plant.bank_order.len() {
            self.settle_bank(plant.bank_order[position]);
        }
        self.cool_fridges();
        self.book_events();
    }

    #[inline(never)]
    fn set_gates(&mut self, begin_s: f64, end_s: f64) {
        let before_departure = begin_s < self.latest_departure_s;
        self.gates_new = self.drives.any || self.gates_moved || before_departure;
        if !self.gates_new {
            return;
        }
        let mut away = splat(1.0);
        if before_departure {
            for lane in 0..LANES {
                let since_s = end_s - self.draws.departure_s[lane];
                away[lane] = (since_s / (end_s - begin_s)).clamp(0.0, 1.0);
            }
        }
        self.vehicle.set(&self.drives.driving, &away);
        self.trailer.set(&self.drives.towing, &away);
        self.camp = *self.vehicle.share(Gate::Camp);
        // One more time after the last drive or the departure, for open gates everywhere.
        self.gates_moved = self.drives.any || before_departure;
    }

    pub(crate) fn gates(&self, bank: usize) -> &Gates {
        if self.timeline.plant.banks[bank].trailer {
            &self.trailer
        } else {
            &self.vehicle
        }
    }
}
