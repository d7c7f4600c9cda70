//! What trials have behind them where a plan begins on the way.
//!
//! One job: the stretch up to there, run trial by trial for the state it leaves. Plans that go on from one moment
//! take it over from one another: it does not depend on what comes after.

use super::chance::Chances;
use super::draw::{Drawing, Seeds};
use super::parallel::each_of;
use crate::engine::{Carried, LANES, carry_batch};
use crate::timeline::{Past, Timeline};

/// Trials up to a moment.
#[derive(Debug)]
pub struct Behind<'a> {
    timeline: &'a Timeline,
    drawing: Drawing<'a>,
    /// Those worked out before, [`LANES`] each, by number.
    known: Vec<Carried>,
}

impl<'a> Behind<'a> {
    /// Those of what led up to the moment, under some seeds.
    #[must_use]
    pub fn new(past: &'a Past, seeds: Seeds, start_soc: &[Option<f64>]) -> Self {
        let Past {
            scenario, timeline, ..
        } = past;
        Self {
            timeline,
            drawing: Drawing::going_on(scenario, timeline, seeds, start_soc, None),
            known: Vec::new(),
        }
    }

    /// The same with the first `trials` run, so that any number of plans can go on from them.
    #[must_use]
    pub fn worked_out(mut self, trials: u64, threads: Option<usize>) -> Self {
        let batches = trials.div_ceil(LANES as u64);
        self.known = each_of(usize::try_from(batches).unwrap_or(0), threads, |batch| {
            let of = std::array::from_fn(|lane| (batch * LANES + lane) as u64);
            self.run(&Chances::Trials(of), LANES)
        });
        self
    }

    /// What a batch takes over.
    pub(super) fn carried(&self, chances: &Chances<LANES>, count: usize) -> Carried {
        if let Chances::Trials(of) = chances
            && let Some(known) = self.picked(of)
        {
            return known;
        }
        self.run(chances, count)
    }

    /// Of trials that are known, in any order.
    fn picked(&self, of: &[u64; LANES]) -> Option<Carried> {
        let place = |trial: u64| {
            let trial = usize::try_from(trial).ok()?;
            let batch = self.known.get(trial / LANES)?;
            Some((batch, trial % LANES))
        };
        let mut picked = place(of[0])?.0.clone();
        for (lane, &trial) in of.iter().enumerate() {
            let (batch, from) = place(trial)?;
            picked.take_lane(lane, batch, from);
        }
        Some(picked)
    }

    fn run(&self, chances: &Chances<LANES>, count: usize) -> Carried {
        let (draws, _) = self.drawing.draw(chances, count);
        carry_batch(self.timeline, &draws)
    }
}
