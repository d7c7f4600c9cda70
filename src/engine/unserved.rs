//! What was asked of a bank and not supplied, trial by trial: whether a trip went well for all that.
//!
//! One job: from when on, in which nights, and whether it was so much that it counts. It looks at the
//! banks that left something open in a step; where all is served there is nothing to do.

use super::batch::Batch;
use super::lanes::{LANES, Lanes, lesser, splat};
use super::outcome::NightOutcome;

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
            first_s: splat(f64::INFINITY),
            keep: [false; LANES],
            nights: vec![[false; LANES]; nights],
        }
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
            shortfall_s[lane] = lesser(shortfall_s[lane], self.first_s[lane]);
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
        let is_open: [bool; LANES] = std::array::from_fn(|lane| {
            let asks = flow.load_w[lane] + flow.load_a[lane] > 0.0;
            asks && account.served[lane] < 1.0 && self.draws.end_s[lane] > begin_s
        });
        if !is_open.contains(&true) {
            return;
        }
        let mut keep_asks = [false; LANES];
        for load in 0..self.timeline.plant.loads.len() {
            let constants = &self.timeline.plant.loads[load];
            if constants.keep && constants.bank == bank {
                self.add_asking(load, &mut keep_asks);
            }
        }
        let track = &mut self.tracks[bank];
        let running = track.running_nights();
        let unserved = &mut track.unserved;
        for lane in 0..LANES {
            if is_open[lane] {
                unserved.first_s[lane] = lesser(unserved.first_s[lane], end_s);
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
        let gates = self.gates(constants.bank);
        if let Some(gate) = constants.gate
            && self.demand.is_asking(load, constants)
        {
            let share = gates.share(gate);
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
