//! Watches the state of charge: shortfalls, nights, dawns, samples.

use super::lanes::{LANES, Lanes, ZERO, lesser, splat, widest};
use super::outcome::NightOutcome;
use crate::timeline::{NightMark, Timeline};

/// Watches one bank.
#[derive(Debug, Clone)]
pub(crate) struct Track {
    pub(crate) reserve_soc: f64,
    pub(crate) lowest: Lanes,
    night_low: Lanes,
    night_on: Lanes,
    pub(crate) shortfall_s: Lanes,
    pub(crate) nights: Vec<NightOutcome>,
    pub(crate) samples: Vec<Lanes>,
    open: usize,
    closed: usize,
    dawn: usize,
}

impl Track {
    pub(crate) fn new(timeline: &Timeline, bank: usize, soc: &Lanes, on: &Lanes) -> Self {
        let reserve_soc = timeline.plant.banks[bank].reserve_soc;
        let mut shortfall_s = splat(f64::INFINITY);
        for lane in 0..LANES {
            if soc[lane] < reserve_soc || on[lane] <= 0.0 {
                shortfall_s[lane] = 0.0;
            }
        }
        let night = NightOutcome {
            dawn_soc: ZERO,
            is_short: [false; LANES],
        };
        let mut samples = Vec::with_capacity(timeline.steps / timeline.sample_every + 2);
        samples.push(*soc);
        Self {
            reserve_soc,
            lowest: *soc,
            night_low: splat(f64::INFINITY),
            night_on: splat(1.0),
            shortfall_s,
            nights: vec![night; timeline.nights.len()],
            samples,
            open: 0,
            closed: 0,
            dawn: 0,
        }
    }

    /// Takes note of a step from `before` to `after`; `on`: whether the loads are on at its end. An
    /// outage above the reserve, of an empty tank or in the cold, is a shortfall too.
    pub(crate) fn step(
        &mut self,
        timeline: &Timeline,
        step: usize,
        before: &Lanes,
        after: &Lanes,
        on: &Lanes,
    ) {
        let nights: &[NightMark] = &timeline.nights;
        if nights
            .get(self.open)
            .is_some_and(|night| night.first_step == step)
        {
            self.fold_night();
            self.night_low = *before;
            self.open += 1;
        }
        let is_below = self.lower(after, on);
        if is_below {
            self.note_shortfalls(timeline, step, before, after, on);
        }
        while let Some(night) = nights
            .get(self.dawn)
            .filter(|night| night.dawn_step == step)
        {
            let dawn = &mut self.nights[self.dawn].dawn_soc;
            for lane in 0..LANES {
                dawn[lane] = before[lane] + night.dawn_share * (after[lane] - before[lane]);
            }
            self.dawn += 1;
        }
        if nights
            .get(self.closed)
            .is_some_and(|night| night.end_step == step + 1)
        {
            self.nights[self.closed].is_short = std::array::from_fn(|lane| {
                self.night_low[lane] < self.reserve_soc || self.night_on[lane] <= 0.0
            });
            self.fold_night();
            self.closed += 1;
        }
        if (step + 1).is_multiple_of(timeline.sample_every) || step + 1 == timeline.steps {
            self.samples.push(*after);
        }
    }

    /// Keeps the night's lowest figures. Returns whether any trial is below its reserve or without
    /// its loads.
    fn lower(&mut self, after: &Lanes, on: &Lanes) -> bool {
        widest(
            #[inline(always)]
            || {
                let mut is_below = false;
                for lane in 0..LANES {
                    self.night_low[lane] = lesser(self.night_low[lane], after[lane]);
                    self.night_on[lane] = lesser(self.night_on[lane], on[lane]);
                    is_below |= (after[lane] < self.reserve_soc) | (on[lane] <= 0.0);
                }
                is_below
            },
        )
    }

    fn note_shortfalls(
        &mut self,
        timeline: &Timeline,
        step: usize,
        before: &Lanes,
        after: &Lanes,
        on: &Lanes,
    ) {
        let begin_s = timeline.begin_s(step);
        #[expect(clippy::cast_precision_loss, reason = "seconds of a step")]
        let step_s = timeline.step_s as f64;
        for lane in 0..LANES {
            if self.shortfall_s[lane] < f64::INFINITY {
                continue;
            }
            if after[lane] < self.reserve_soc {
                let fallen = before[lane] - after[lane];
                let share = (before[lane] - self.reserve_soc) / fallen;
                self.shortfall_s[lane] = begin_s + share.clamp(0.0, 1.0) * step_s;
            } else if on[lane] <= 0.0 {
                self.shortfall_s[lane] = begin_s + step_s;
            }
        }
    }

    fn fold_night(&mut self) {
        for lane in 0..LANES {
            self.lowest[lane] = lesser(self.lowest[lane], self.night_low[lane]);
        }
        self.night_low = splat(f64::INFINITY);
        self.night_on = splat(1.0);
    }

    /// Closes the last night.
    pub(crate) fn finish(&mut self) {
        self.fold_night();
    }
}
