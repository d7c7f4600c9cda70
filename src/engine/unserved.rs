//! What was asked of a bank and not supplied, trial by trial: whether a trip went well for all that.
//!
//! One job: from when on, in which nights, and whether it was so much that it counts. It looks at the
//! banks that left something open in a step; where all is served there is nothing to do.

use super::batch::Batch;
use super::lanes::{LANES, Lanes, NEVER, ZERO, min};
use super::outcome::NightOutcome;
use super::view::StepView;

/// Share of what a bank is asked for that it may leave open over a trip, short peaks above its limit.
/// Ours. Of a load marked `keep` nothing may be left open.
const MAY_BE_OPEN: f64 = 0.01;

/// What one bank left open.
#[derive(Debug, Clone)]
pub(crate) struct Unserved {
    /// End of the first step that left something open, s from the start; infinite: none.
    first_s: Lanes,
    /// Whether any of that was a load marked `keep`.
    keep: [bool; LANES],
    nights: Vec<[bool; LANES]>,
}

impl Unserved {
    pub(crate) fn new(nights: usize) -> Self {
        Self {
            first_s: NEVER,
            keep: [false; LANES],
            nights: vec![[false; LANES]; nights],
        }
    }

    /// Whether how much is left open in the end does not matter to a trial that falls short at `first_s`.
    pub(crate) fn is_settled(&self, lane: usize, first_s: f64) -> bool {
        self.keep[lane] || self.first_s[lane] >= first_s
    }

    /// Makes a shortfall of it where it counts; `open` is the share of what was asked.
    pub(crate) fn conclude(
        &self,
        open: impl Fn(usize) -> f64,
        shortfall_s: &mut Lanes,
        nights: &mut [NightOutcome],
    ) {
        for lane in 0..LANES {
            if !self.keep[lane] && open(lane) <= MAY_BE_OPEN {
                continue;
            }
            shortfall_s[lane] = min(shortfall_s[lane], self.first_s[lane]);
            for (night, is_open) in nights.iter_mut().zip(&self.nights) {
                night.is_short[lane] |= is_open[lane];
            }
        }
    }
}

impl Batch<'_> {
    /// Takes note of what the banks left open in a step.
    #[inline(never)]
    pub(crate) fn note_unserved(&mut self, begin_s: f64, end_s: f64) {
        for bank in 0..self.tracks.len() {
            if !self.state.banks[bank].all_served {
                self.note_unserved_of(bank, begin_s, end_s);
            }
        }
    }

    fn note_unserved_of(&mut self, bank: usize, begin_s: f64, end_s: f64) {
        let (account, flow) = (&self.state.banks[bank], &self.flows[bank]);
        let trial_end_s = &self.draws.end_s;
        let mut is_open = [false; LANES];
        let mut is_any = false;
        for lane in 0..LANES {
            let asks = flow.load_w[lane] + flow.load_a[lane] > 0.0;
            is_open[lane] = asks & (account.served[lane] < 1.0) & (trial_end_s[lane] > begin_s);
            is_any |= is_open[lane];
        }
        if !is_any {
            return;
        }
        let mut keep_asks = [false; LANES];
        for load in 0..self.timeline.plant.loads.len() {
            let constants = &self.timeline.plant.loads[load];
            if constants.keep && constants.bank == bank {
                self.add_asking(load, &mut keep_asks);
            }
        }
        // The loads marked `keep` are asked for only here, in steps that left something open: they are few.
        let track = &mut self.tracks[bank];
        let running = track.running_nights();
        let unserved = &mut track.unserved;
        for lane in 0..LANES {
            if is_open[lane] {
                unserved.first_s[lane] = min(unserved.first_s[lane], end_s);
                unserved.keep[lane] |= keep_asks[lane];
                for night in running.clone() {
                    unserved.nights[night][lane] = true;
                }
            }
        }
    }

    /// Adds the trials in which a load asks for something in this step.
    fn add_asking(&self, load: usize, asks: &mut [bool; LANES]) {
        let plant = &self.timeline.plant;
        let constants = &plant.loads[load];
        let availabilities = self.availabilities(constants.bank);
        if let Some(availability) = constants.availability
            && self.demand.is_asking(load, constants)
        {
            let share = availabilities.share(availability);
            (0..LANES).for_each(|lane| asks[lane] |= share[lane] > 0.0);
        }
        let fridges = plant.fridges.iter().zip(&self.state.fridges);
        for (_, state) in fridges.filter(|(fridge, _)| fridge.load == load) {
            (0..LANES).for_each(|lane| asks[lane] |= state.duty[lane] > 0.0);
        }
        for (event, watts, amps) in &self.active_events {
            if plant.events[*event].load == load {
                (0..LANES).for_each(|lane| asks[lane] |= watts[lane] + amps[lane] > 0.0);
            }
        }
    }
}

impl StepView<'_> {
    /// Share of a bank's loads that was served in the step just done.
    pub(crate) fn served(&self, bank: usize) -> &Lanes {
        &self.batch.state.banks[bank].served
    }

    /// State of charge at which a bank's loads are dropped in a trial.
    pub(crate) fn cutoff_soc(&self, bank: usize, lane: usize) -> f64 {
        let plant = &self.batch.timeline.plant.banks[bank];
        let battery_c = self.battery_c(bank)[lane];
        self.batch.tables.cutoff_soc(plant, battery_c)
    }

    /// End of each trial, s from the start.
    pub(crate) fn end_s(&self) -> &Lanes {
        &self.batch.draws.end_s
    }

    /// What a load asked for and did not get in the step just done, Wh; of a fridge without its compressor.
    pub(crate) fn missed_wh(&self, load: usize) -> Lanes {
        let batch = self.batch;
        let plant = &batch.timeline.plant;
        let constants = &plant.loads[load];
        let usable_v = plant.banks[constants.bank].usable_v;
        let mut missed_wh = ZERO;
        if let Some(availability) = constants.availability {
            let share = batch.availabilities(constants.bank).share(availability);
            for lane in 0..LANES {
                let (watts, amps) = batch.demand.asked_of(load, constants, batch.draws, lane);
                missed_wh[lane] = share[lane] * (watts + amps * usable_v);
            }
        }
        for (event, watts, amps) in &batch.active_events {
            if plant.events[*event].load == load {
                (0..LANES).for_each(|lane| missed_wh[lane] += watts[lane] + amps[lane] * usable_v);
            }
        }
        let served = self.served(constants.bank);
        for lane in 0..LANES {
            missed_wh[lane] *= plant.step_h * (1.0 - served[lane]);
        }
        missed_wh
    }

    /// What the compressor of a load would have used more so far, had it always been supplied, Wh; nothing
    /// where the load is no fridge.
    pub(crate) fn compressor_missed_wh(&self, load: usize) -> Lanes {
        let plant = &self.batch.timeline.plant;
        let fridges = plant.fridges.iter().zip(&self.batch.state.fridges);
        let mut fridges = fridges.filter(|(fridge, _)| fridge.load == load);
        fridges.next().map_or(ZERO, |(fridge, state)| {
            let of_steps = |steps: f64| steps * plant.step_h * fridge.running_w;
            state.missed.map(of_steps)
        })
    }
}
