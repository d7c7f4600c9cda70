//! The step loop of a batch.
//!
//! One job: the order of things within a step, and what a step cut short by a trial's end keeps.
//! What loads ask is in `loads_step`, what sources give in `sources_step`, what the banks make of
//! both in `settling_step`.

use super::availabilities::Availabilities;
use super::batch::Batch;
use super::carried::{Carried, CarriedBank};
use super::draws::Draws;
use super::lanes::{LANES, Lanes, NEVER, ONE, ZERO, min, splat};
use super::outcome::Outcome;
use super::track::{Lows, Track};
use super::view::{Observer, StepView, Unobserved};
use crate::timeline::Timeline;
use crate::timeline::load_schedule::Availability;
use crate::timeline::sun_steps::NO_SLOT;

/// A state of charge that was measured at the beginning of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredSoc {
    /// The step.
    pub step: usize,
    /// The bank.
    pub bank: usize,
    /// State of charge.
    pub soc: f64,
}

/// Runs a batch through the timeline.
pub fn run_batch<O: Observer>(timeline: &Timeline, draws: &Draws, observer: &mut O) -> Outcome {
    through(timeline, draws, &[], observer).finish()
}

/// What of a batch is worked out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Figures {
    /// All.
    #[default]
    All,
    /// Shortfalls and samples of the charge: neither energies nor the lowest charge, nor what nights come to.
    Charge,
}

impl Figures {
    /// Runs a batch for these: what else an outcome has is nothing.
    #[must_use]
    pub fn run(self, timeline: &Timeline, draws: &Draws) -> Outcome {
        match self {
            Self::All => run_batch(timeline, draws, &mut Unobserved),
            Self::Charge => unbooked(timeline, draws, |_, _| false).finish(),
        }
    }
}

/// Runs a batch for the first shortfall of any house bank alone, seconds from the start; infinite: none. Nothing is
/// booked that this does not ask for, and once it is known of every trial in use the rest is not run.
#[must_use]
pub fn first_shortfall_s(timeline: &Timeline, draws: &Draws) -> Lanes {
    let is_decided =
        |batch: &Batch<'_>, step: usize| timeline.marked[step] && batch.is_decided(step);
    let batch = unbooked(timeline, draws, is_decided);
    let banks = timeline.plant.banks.iter();
    let house = banks
        .zip(batch.finish().banks)
        .filter(|(of, _)| of.is_house);
    house.fold(NEVER, |first_s, (_, bank)| {
        Lanes::from_fn(|lane| min(first_s[lane], bank.shortfall_s[lane]))
    })
}

/// Runs a batch for its observer alone, each trial put at the charge that was measured where one was:
/// `measured` in order of the steps. Lead-acid is put there at rest.
pub fn follow_batch<O: Observer>(
    timeline: &Timeline,
    draws: &Draws,
    measured: &[MeasuredSoc],
    observer: &mut O,
) {
    through(timeline, draws, measured, observer);
}

/// Runs a batch through the timeline for what it leaves to trials that go on from its end.
#[must_use]
pub fn carry_batch(timeline: &Timeline, draws: &Draws) -> Carried {
    let batch = unbooked(timeline, draws, |_, _| false);
    let state = &batch.state;
    Carried {
        banks: state
            .banks
            .iter()
            .map(|bank| Some(CarriedBank::of(bank)))
            .collect(),
        inside_c: state.fridges.iter().map(|fridge| fridge.inside).collect(),
        air: batch.air.ends,
    }
}

/// A batch run without any account but those that shortfalls depend on, to the end or to the step after which that is
/// enough.
fn unbooked<'a>(
    timeline: &'a Timeline,
    draws: &'a Draws,
    is_enough: impl Fn(&Batch<'_>, usize) -> bool,
) -> Batch<'a> {
    let mut batch = Batch::new(timeline, draws);
    batch.demand.is_booked = false;
    for step in 0..timeline.steps {
        batch.any_step(step);
        if is_enough(&batch, step) {
            break;
        }
    }
    batch
}

fn through<'a, O: Observer>(
    timeline: &'a Timeline,
    draws: &'a Draws,
    measured: &[MeasuredSoc],
    observer: &mut O,
) -> Batch<'a> {
    let mut batch = Batch::new(timeline, draws);
    let mut next = 0;
    for step in 0..timeline.steps {
        while let Some(reading) = measured.get(next).filter(|reading| reading.step <= step) {
            let plant = &timeline.plant.banks[reading.bank];
            batch.state.banks[reading.bank].rest_at(plant, &splat(reading.soc));
            next += 1;
        }
        batch.close_day(step);
        batch.any_step(step);
        observer.after_step(&StepView {
            step,
            batch: &batch,
        });
    }
    batch
}

impl Batch<'_> {
    fn any_step(&mut self, step: usize) {
        if step >= self.timeline.tail_step {
            self.tail_step(step);
        } else {
            self.step(step);
        }
    }

    /// Whether no step after this one can move the first shortfall of any trial in use.
    fn is_decided(&self, step: usize) -> bool {
        let end_s = self.timeline.begin_s(step + 1);
        let house = || {
            let tracks = self.tracks.iter().zip(&self.timeline.plant.banks);
            tracks.filter(|(_, bank)| bank.is_house)
        };
        (0..self.draws.count).all(|lane| {
            let first_s = house().fold(f64::INFINITY, |first_s, (track, _)| {
                min(first_s, track.shortfall_s[lane])
            });
            let is_settled = |(track, _): (&Track, _)| track.unserved.is_settled(lane, first_s);
            self.draws.end_s[lane] <= end_s || first_s.is_finite() && house().all(is_settled)
        })
    }

    /// A step in which trials may end.
    fn tail_step(&mut self, step: usize) {
        let begin_s = self.timeline.begin_s(step);
        let end_s = self.timeline.begin_s(step + 1);
        let mut share = ZERO;
        for lane in 0..LANES {
            share[lane] = ((self.draws.end_s[lane] - begin_s) / (end_s - begin_s)).clamp(0.0, 1.0);
        }
        if share.iter().all(|share| *share >= 1.0) {
            self.step(step);
            return;
        }
        self.begin_demand(step);
        self.open_nights(step);
        // The whole step is worked out, then each trial keeps the part of it that it lived through. Charge moves in a
        // straight line within a step, so the part is exact.
        let mut before = self.state.clone();
        let air_before = self.air.ends.clone();
        let lows: Vec<Lows> = self.tracks.iter().map(|track| track.lows.clone()).collect();
        // Where every trial is over nothing flows, and whoever looks on sees no sun.
        self.sun.is_up = false;
        if share.iter().any(|share| *share > 0.0) {
            self.flow_step(step);
            self.state.keep_share(&mut before, &share);
            self.air.ends.keep_ended(&air_before, &share);
            for availabilities in &mut self.availabilities {
                availabilities.count_part(&share);
            }
        }
        let banks = self.state.banks.iter().zip(&before.banks).zip(lows);
        for (track, ((bank, before), lows)) in self.tracks.iter_mut().zip(banks) {
            track.end_part_step(self.timeline, step, lows, &before.soc, bank);
        }
    }

    fn step(&mut self, step: usize) {
        let is_marked = self.timeline.marked[step];
        self.begin_demand(step);
        if is_marked {
            self.open_nights(step);
        }
        self.flow_step(step);
        if self.demand.is_booked {
            for availabilities in &mut self.availabilities {
                availabilities.count_step();
            }
        }
        for bank in 0..self.tracks.len() {
            self.end_step(bank, step);
        }
    }

    fn end_step(&mut self, bank: usize, step: usize) {
        let track = &mut self.tracks[bank];
        // Most steps of most banks end here: nothing is marked and nobody is low.
        if self.timeline.marked[step] || track.lows.is_below {
            let bank = &self.state.banks[bank];
            track.end_step(self.timeline, step, &bank.begin_soc, bank);
        }
    }

    /// Air and sun of a step.
    fn weather(&mut self, step: usize) {
        let timeline = self.timeline;
        let slot = timeline.sun.slot[step];
        self.sun.is_up = slot != NO_SLOT;
        let light = self.sun.is_up.then(|| &self.draws.light[slot as usize]);
        let camps = self
            .availabilities
            .each_ref()
            .map(|availabilities| availabilities.share(Availability::Camp));
        self.air
            .step(timeline, self.draws, step, light, &self.drives, camps);
        if let Some(light) = light {
            for (panel, offer) in self.offers.iter_mut().enumerate() {
                offer.set(timeline, panel, step, light, &self.air, &self.drives);
            }
        }
    }

    fn open_nights(&mut self, step: usize) {
        for (track, bank) in self.tracks.iter_mut().zip(&self.state.banks) {
            track.begin_step(self.timeline, step, &bank.soc);
        }
    }

    fn flow_step(&mut self, step: usize) {
        let timeline = self.timeline;
        let plant = &timeline.plant;
        let begin_s = timeline.begin_s(step);
        let end_s = timeline.begin_s(step + 1);
        // The order is that of who has to know what. Where the vehicle is comes first: availabilities, air and
        // panels rest on the share of the step that each trial drives.
        self.drives.step(begin_s, end_s);
        self.set_gates(begin_s, end_s);
        self.find_events(begin_s, end_s);
        if !(plant.inverters.is_empty() || self.active_events.is_empty()) {
            self.hold_inverters(begin_s);
        }
        // Before any load is asked: a fridge asks by the air around it.
        self.weather(step);
        for bank in 0..plant.banks.len() {
            self.ask_scheduled(bank);
            self.ask_loads(bank);
        }
        // Every load is asked before any source is: what a bank can give to others, and what room it has, depends
        // on its own loads.
        self.ask_besides();
        self.sun.clear();
        self.open_chargers(step);
        // Takers before givers: what a bank-fed charger draws is one of its giver's loads.
        for position in 0..plant.bank_order.len() {
            self.offer_bank(plant.bank_order[position]);
        }
        // Only now: the alternator is shared among all that ask for it, over all banks.
        if self.drives.any {
            self.run_alternator();
        }
        for position in 0..plant.bank_order.len() {
            self.settle_bank(plant.bank_order[position]);
        }
        // Last what the banks could serve: a cabinet cools by the share of its duty that was.
        for bank in 0..plant.banks.len() {
            self.cool_fridges(bank);
        }
        self.book_events();
        self.note_unserved(begin_s, end_s);
    }

    #[inline(never)]
    fn set_gates(&mut self, begin_s: f64, end_s: f64) {
        let before_departure = begin_s < self.latest_departure_s;
        self.availabilities_new = self.drives.any || self.availabilities_moved || before_departure;
        if !self.availabilities_new {
            return;
        }
        // Before the first departure nobody is in camp yet: loads that are on in camp wait for it.
        let mut away = ONE;
        if before_departure {
            for lane in 0..LANES {
                let since_s = end_s - self.draws.departure_s[lane];
                away[lane] = (since_s / (end_s - begin_s)).clamp(0.0, 1.0);
            }
        }
        let [vehicle, trailer] = &mut self.availabilities;
        vehicle.set(self.drives.driving(), &away);
        trailer.set(self.drives.towing(), &away);
        // One more time after the last drive or the departure, for open availabilities everywhere.
        self.availabilities_moved = self.drives.any || before_departure;
    }

    /// Availabilities of what depends on a bank.
    pub(crate) fn availabilities(&self, bank: usize) -> &Availabilities {
        &self.availabilities[usize::from(self.timeline.plant.banks[bank].trailer)]
    }
}
