//! Watches the state of charge: shortfalls, nights, dawns, samples.

use super::lanes::{LANES, Lanes, NEVER, ONE, ZERO, max, min, splat};
use super::outcome::{NightOutcome, SampleLevels, sample_levels};
use super::state::BankState;
use super::unserved::Unserved;
use crate::timeline::Timeline;
use crate::units::Whole;

/// Lowest figures of a bank since the last night began or ended.
#[derive(Debug, Clone)]
pub(crate) struct Lows {
    /// State of charge.
    pub(crate) soc: Lanes,
    /// 0 where the loads were dropped.
    on: Lanes,
    pub(crate) reserve_soc: f64,
    /// Whether any trial is below its reserve or without its loads at the step's end.
    pub(crate) is_below: bool,
}

impl Lows {
    fn new(reserve_soc: f64) -> Self {
        Self {
            reserve_soc,
            soc: NEVER,
            on: ONE,
            is_below: false,
        }
    }

    /// Takes note of trials without their loads.
    pub(crate) fn without_loads(&mut self, on: &Lanes) {
        for lane in 0..LANES {
            self.on[lane] = min(self.on[lane], on[lane]);
        }
        self.is_below = true;
    }

    /// Takes note of a step that was cut short.
    fn lower(&mut self, after: &Lanes, on: &Lanes) {
        self.is_below = false;
        for lane in 0..LANES {
            self.soc[lane] = min(self.soc[lane], after[lane]);
            self.on[lane] = min(self.on[lane], on[lane]);
            self.is_below |= (after[lane] < self.reserve_soc) | (on[lane] <= 0.0);
        }
    }
}

/// Watches one bank.
#[derive(Debug, Clone)]
pub(crate) struct Track {
    pub(crate) lowest: Lanes,
    pub(crate) lows: Lows,
    pub(crate) shortfall_s: Lanes,
    pub(crate) last_short_s: Lanes,
    pub(crate) nights: Vec<NightOutcome>,
    pub(crate) samples: Vec<SampleLevels>,
    pub(crate) unserved: Unserved,
    open: usize,
    closed: usize,
    dawn: usize,
}

impl Track {
    pub(crate) fn new(timeline: &Timeline, bank: usize, soc: &Lanes, on: &Lanes) -> Self {
        let reserve_soc = timeline.plant.banks[bank].reserve_soc;
        let mut shortfall_s = NEVER;
        let mut last_short_s = splat(f64::NEG_INFINITY);
        for lane in 0..LANES {
            if soc[lane] < reserve_soc || on[lane] <= 0.0 {
                shortfall_s[lane] = 0.0;
                last_short_s[lane] = 0.0;
            }
        }
        let night = NightOutcome {
            dawn_soc: ZERO,
            is_short: [false; LANES],
        };
        // All of it at once: the step loop never allocates.
        let mut samples = Vec::with_capacity(timeline.steps / timeline.sample_every + 2);
        samples.push(sample_levels(soc));
        Self {
            lowest: *soc,
            lows: Lows::new(reserve_soc),
            shortfall_s,
            last_short_s,
            nights: vec![night; timeline.nights.len()],
            samples,
            unserved: Unserved::new(timeline.nights.len()),
            open: 0,
            closed: 0,
            dawn: 0,
        }
    }

    /// Opens a night that begins with this step, at the state of charge `soc`.
    pub(crate) fn begin_step(&mut self, timeline: &Timeline, step: usize, soc: &Lanes) {
        let next = timeline.nights.get(self.open);
        if next.is_some_and(|night| night.first_step == step) {
            self.fold_night();
            self.lows.soc = *soc;
            self.open += 1;
        }
    }

    /// Takes note of a step of the bank, which began at the charge `before`. An outage above the reserve, of an
    /// empty tank or in the cold, is a shortfall too. The lows are the step's already.
    pub(crate) fn end_step(
        &mut self,
        timeline: &Timeline,
        step: usize,
        before: &Lanes,
        bank: &BankState,
    ) {
        let after = &bank.soc;
        if self.lows.is_below {
            self.note_shortfalls(timeline, step, before, bank);
        }
        let marks = &timeline.nights;
        while let Some(night) = marks.get(self.dawn).filter(|of| of.dawn_step == step) {
            let dawn = &mut self.nights[self.dawn].dawn_soc;
            for lane in 0..LANES {
                dawn[lane] = before[lane] + night.dawn_share * (after[lane] - before[lane]);
            }
            self.dawn += 1;
        }
        if (marks.get(self.closed)).is_some_and(|night| night.end_step == step + 1) {
            let lows = &self.lows;
            self.nights[self.closed].is_short = std::array::from_fn(|lane| {
                lows.soc[lane] < lows.reserve_soc || lows.on[lane] <= 0.0
            });
            self.fold_night();
            self.closed += 1;
        }
        if (step + 1).is_multiple_of(timeline.sample_every) || step + 1 == timeline.steps {
            self.samples.push(sample_levels(after));
        }
    }

    /// The end of a step that was cut short: `lows` are those before it.
    pub(crate) fn end_part_step(
        &mut self,
        timeline: &Timeline,
        step: usize,
        lows: Lows,
        before: &Lanes,
        bank: &BankState,
    ) {
        self.lows = lows;
        self.lows.lower(&bank.soc, &bank.on);
        self.end_step(timeline, step, before, bank);
    }

    fn note_shortfalls(
        &mut self,
        timeline: &Timeline,
        step: usize,
        before: &Lanes,
        bank: &BankState,
    ) {
        let (begin_s, end_s) = (timeline.begin_s(step), timeline.begin_s(step + 1));
        let step_s = timeline.step_s.real();
        for lane in 0..LANES {
            let (before, after) = (before[lane], bank.soc[lane]);
            // Charge moves in a straight line within a step: the moment it crosses the reserve is told, not the step's end.
            let share = (before - self.lows.reserve_soc) / (before - after);
            let is_below = after < self.lows.reserve_soc;
            let moment_s = if is_below {
                begin_s + max(min(share, 1.0), 0.0) * step_s
            } else {
                end_s
            };
            if is_below | (bank.on[lane] <= 0.0) {
                self.shortfall_s[lane] = min(self.shortfall_s[lane], moment_s);
                self.last_short_s[lane] = end_s;
            }
        }
    }

    fn fold_night(&mut self) {
        for lane in 0..LANES {
            self.lowest[lane] = min(self.lowest[lane], self.lows.soc[lane]);
        }
        (self.lows.soc, self.lows.on) = (NEVER, ONE);
    }

    /// Nights that have begun and not ended: two in a step that noon cuts.
    pub(crate) fn running_nights(&self) -> std::ops::Range<usize> {
        self.closed..self.open
    }

    /// Closes the last night; `open` is the share of what was asked of the bank that was not supplied.
    pub(crate) fn finish(&mut self, open: impl Fn(usize) -> f64) {
        self.fold_night();
        self.unserved
            .conclude(open, &mut self.shortfall_s, &mut self.nights);
    }
}
