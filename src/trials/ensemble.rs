//! What many trials leave behind: just what percentiles, chances and means need.

use std::sync::Arc;

use super::order_statistic::{of_ranks, rank};
use super::sample_counts::SampleCounts;
use crate::engine::{BankOutcome, Lanes, Outcome, Totals};
use crate::timeline::Timeline;
use crate::timeline::whole_days::DAY_KINDS;
use crate::units::{Whole, narrow};

/// Trials with an outage whose numbers are kept. Trials are alike, so that the first are as good as any.
pub(crate) const OUTAGE_TRIALS: usize = 128;

/// Full scale of a state of charge kept in two bytes: steps of 1/60,000.
const DAWN_SCALE: f64 = 60_000.0;

/// A night of a bank over all trials.
#[derive(Debug, Clone, Default)]
pub struct NightEnsemble {
    dawn: Vec<u16>,
    /// Trials that are short in this night.
    pub short: u64,
    /// Trials that have been short by its end.
    pub short_by_end: u64,
}

impl NightEnsemble {
    /// Share of `trials` that have this night.
    #[must_use]
    pub fn under_way(&self, trials: u64) -> f64 {
        self.dawn.len().real() / trials.real()
    }

    /// Quantiles of the state of charge at dawn, to 1/60,000; `p` ascends. `None`: without trials.
    #[must_use]
    pub fn dawn_soc<const N: usize>(&self, p: [f64; N]) -> Option<[f64; N]> {
        if self.dawn.is_empty() {
            return None;
        }
        let ranks = p.map(|p| rank(p, self.dawn.len()));
        let levels = of_ranks(&mut self.dawn.clone(), ranks, u16::cmp);
        Some(levels.map(|level| f64::from(level) / DAWN_SCALE))
    }
}

/// A bank over all trials.
#[derive(Debug, Clone, Default)]
pub struct BankEnsemble {
    /// Lowest state of charge of each trial, in order of trials.
    pub lowest_soc: Vec<f32>,
    /// State of charge at the end of each trial.
    pub end_soc: Vec<f32>,
    /// Days from departure, or from now on, to the first shortfall of each trial; infinite: never.
    pub autonomy_days: Vec<f32>,
    /// State of charge of each trial at the end of the first and of the last of two like days; empty where
    /// there are none.
    pub like_soc: [Vec<f32>; 2],
    /// Trials in which the loads were dropped.
    pub outages: u64,
    /// The numbers of the first of them, at most 128.
    pub outage_trials: Vec<u64>,
    /// Nights.
    pub nights: Vec<NightEnsemble>,
    /// What did not close in the ledger, over the throughput: worst of all trials.
    pub worst_gap: f64,
}

/// An inverter over the trials in which it was asked for more than it gives.
#[derive(Debug, Clone, Default)]
pub struct OverloadEnsemble {
    /// When that first was, seconds since the start.
    pub first_s: Vec<f32>,
    /// Hours.
    pub hours: Vec<f32>,
    /// What it did not give, Wh.
    pub missed_wh: Vec<f32>,
}

/// All trials.
#[derive(Debug, Clone, Default)]
pub struct Ensemble {
    /// Number of trials.
    pub trials: u64,
    /// Whether it is one trip without chance instead of trials.
    pub is_typical: bool,
    /// Banks in file order.
    pub banks: Vec<BankEnsemble>,
    /// Days from departure to the first shortfall of any house bank, in each trial.
    pub house_autonomy_days: Vec<f32>,
    /// Days to the end of the last step in which any house bank was short, in each trial; below all: never.
    pub house_last_short_days: Vec<f32>,
    /// House banks together: trials short in each night, and by its end.
    pub house_nights: Vec<(u64, u64)>,
    /// Sums of loads, chargers, panels and banks.
    pub totals: Totals,
    /// Those of the whole days by their kind.
    pub by_kind: [Totals; DAY_KINDS],
    /// Hours of each fridge above its limit, in each trial.
    pub fridge_above_h: Vec<Vec<f32>>,
    /// Inverters that can be asked for more than they give, as in the plant.
    pub overloads: Vec<OverloadEnsemble>,
    /// Hours with the alternator oversubscribed, summed.
    pub oversubscribed_h: f64,
    /// Largest current asked of the alternator, in each trial.
    pub peak_a: Vec<f32>,
    /// When each trial ends, seconds since the start.
    pub end_s: Vec<f32>,
    /// Days by which the departures of each trial were put off in all; empty where none can be.
    pub delay_days: Vec<u32>,
    /// Legs that left late, summed.
    pub overruns: u64,
    /// Samples for pictures: counts by bank, sample and level.
    pub samples: SampleCounts,
}

impl Ensemble {
    /// Bytes that so many trials take, which is what a long run needs.
    #[must_use]
    pub fn bytes_of(trials: u64, banks: u64, fridges: u64, nights: u64) -> u64 {
        let (of_bank, of_house) = (3 * size_of::<f32>(), 4 * size_of::<f32>());
        let of_night = size_of::<u16>() as u64;
        let of_fridge = size_of::<f32>() as u64;
        let of_trial = banks.saturating_mul(of_bank as u64 + of_night * nights)
            + of_fridge * fridges
            + of_house as u64;
        trials.saturating_mul(of_trial)
    }

    /// Trials in which every house bank kept above its reserve.
    #[must_use]
    pub fn kept(&self) -> u64 {
        let days = self.house_autonomy_days.iter();
        days.filter(|days| days.is_infinite()).count() as u64
    }

    pub(crate) fn new(timeline: &Timeline) -> Self {
        let plant = &timeline.plant;
        let nights = timeline.nights.len();
        Self {
            banks: vec![
                BankEnsemble {
                    nights: vec![NightEnsemble::default(); nights],
                    ..BankEnsemble::default()
                };
                plant.banks.len()
            ],
            house_nights: vec![(0, 0); nights],
            fridge_above_h: vec![Vec::new(); plant.fridges.len()],
            overloads: vec![OverloadEnsemble::default(); plant.inverters.len()],
            ..Self::default()
        }
    }

    /// Makes room for `more` trials, just so much: doubling would hold twice of what is kept. Where there
    /// is no such room, it is made as trials come.
    pub(crate) fn reserve(&mut self, more: u64) {
        let more = usize::try_from(more).unwrap_or(0);
        for night in self.banks.iter_mut().flat_map(|bank| &mut bank.nights) {
            let _ = night.dawn.try_reserve_exact(more);
        }
        for kept in self.of_each_trial() {
            let _ = kept.try_reserve_exact(more);
        }
    }

    /// What is kept of every trial, in their order.
    pub(super) fn of_each_trial(&mut self) -> impl Iterator<Item = &mut Vec<f32>> {
        let banks = self.banks.iter_mut().flat_map(|bank| {
            [
                &mut bank.lowest_soc,
                &mut bank.end_soc,
                &mut bank.autonomy_days,
            ]
        });
        let others = [
            &mut self.house_autonomy_days,
            &mut self.house_last_short_days,
            &mut self.peak_a,
            &mut self.end_s,
        ];
        banks.chain(others).chain(&mut self.fridge_above_h)
    }

    /// Adds a batch, counted on the nights of `timeline`. Sums are made in the order in which batches come.
    pub(crate) fn add(&mut self, timeline: &Timeline, batch: &BatchResult) {
        let outcome = &batch.outcome;
        let count = outcome.count;
        // Trials that come in another order than that of their numbers are all wanted first.
        let most = if timeline.calendar.room_days > 0 {
            usize::MAX
        } else {
            OUTAGE_TRIALS
        };
        for (number, sum) in self.banks.iter_mut().enumerate() {
            let bank = &outcome.banks[number];
            let trials = (self.trials..).zip(&bank.had_outage[..count]);
            let with = trials.filter(|(_, had)| **had).map(|(trial, _)| trial);
            let room = most - sum.outage_trials.len();
            sum.outage_trials.extend(with.take(room));
            add_bank(sum, bank, timeline, batch, count);
            for (kept, soc) in sum.like_soc.iter_mut().zip(&outcome.like_soc) {
                let soc = soc.get(number).into_iter();
                kept.extend(soc.flat_map(|soc| narrowed(soc, count)));
            }
        }
        self.trials += count as u64;
        self.overruns += u64::from(batch.overruns);
        self.add_house(timeline, batch, count);
        self.end_s.extend(narrowed(&batch.end_s, count));
        self.totals.add(&outcome.totals, 1.0);
        for (sum, totals) in self.by_kind.iter_mut().zip(&outcome.by_kind) {
            sum.add(totals, 1.0);
        }
        for (sum, hours) in self.fridge_above_h.iter_mut().zip(&outcome.fridge_above_h) {
            sum.extend(narrowed(hours, count));
        }
        self.peak_a.extend(narrowed(&outcome.peak_a, count));
        for (sum, of) in self.overloads.iter_mut().zip(&outcome.overloads) {
            for lane in (0..count).filter(|&lane| of.first_s[lane].is_finite()) {
                sum.first_s.push(narrow(of.first_s[lane]));
                sum.hours.push(narrow(of.hours[lane]));
                sum.missed_wh.push(narrow(of.missed_wh[lane]));
            }
        }
        self.oversubscribed_h += outcome.oversubscribed_h[..count].iter().sum::<f64>();
    }

    fn add_house(&mut self, timeline: &Timeline, batch: &BatchResult, count: usize) {
        let outcome: &Outcome = &batch.outcome;
        let counted_from_s = &batch.counted_from_s[..count];
        let house: Vec<usize> = (0..outcome.banks.len())
            .filter(|&bank| timeline.plant.banks[bank].is_house)
            .collect();
        for (lane, from_s) in counted_from_s.iter().enumerate() {
            let first_s = house
                .iter()
                .map(|&bank| outcome.banks[bank].shortfall_s[lane])
                .fold(f64::INFINITY, f64::min);
            self.house_autonomy_days
                .push(days_between(*from_s, first_s));
            let last_s = house
                .iter()
                .map(|&bank| outcome.banks[bank].last_short_s[lane])
                .fold(f64::NEG_INFINITY, f64::max);
            self.house_last_short_days
                .push(narrow((last_s - from_s) / 86_400.0));
            for (night, mark) in timeline.nights.iter().enumerate() {
                let own = batch.seats.own_number(night);
                let is_short = own.is_some_and(|own| {
                    let mut house = house.iter();
                    house.any(|&bank| outcome.banks[bank].nights[own].is_short[lane])
                });
                self.house_nights[night].0 += u64::from(is_short);
                self.house_nights[night].1 += u64::from(first_s <= timeline.begin_s(mark.end_step));
            }
        }
    }
}

/// A batch with what the ensemble needs of its draws.
#[derive(Debug)]
pub(crate) struct BatchResult {
    pub(crate) outcome: Outcome,
    pub(crate) counted_from_s: Lanes,
    pub(crate) end_s: Lanes,
    pub(crate) overruns: u32,
    pub(crate) seats: NightSeats,
}

/// Which night of a batch's own timeline is which of those that are counted: the one of its date.
#[derive(Debug, Clone)]
pub(crate) struct NightSeats(Arc<[Option<usize>]>);

impl NightSeats {
    /// Counted on its own.
    pub(crate) fn own(timeline: &Timeline) -> Self {
        Self((0..timeline.nights.len()).map(Some).collect())
    }

    /// Counted on those of `room`.
    pub(crate) fn of(room: &Timeline, timeline: &Timeline) -> Self {
        let own = &timeline.calendar.nights;
        let counted = room.calendar.nights.iter();
        Self(
            counted
                .map(|night| own.iter().position(|own| own.date == night.date))
                .collect(),
        )
    }

    /// The number that a counted night has on the own timeline; `None` where that has no such night.
    fn own_number(&self, night: usize) -> Option<usize> {
        self.0.get(night).copied().flatten()
    }
}

fn add_bank(
    sum: &mut BankEnsemble,
    bank: &BankOutcome,
    timeline: &Timeline,
    batch: &BatchResult,
    count: usize,
) {
    let counted_from_s = &batch.counted_from_s[..count];
    sum.lowest_soc.extend(narrowed(&bank.lowest_soc, count));
    sum.end_soc.extend(narrowed(&bank.end_soc, count));
    let times = counted_from_s.iter().zip(&bank.shortfall_s[..count]);
    sum.autonomy_days
        .extend(times.map(|(from_s, to_s)| days_between(*from_s, *to_s)));
    sum.outages += number_of(&bank.had_outage[..count]);
    sum.worst_gap = sum.worst_gap.max(bank.worst_gap);
    for (number, (night, mark)) in sum.nights.iter_mut().zip(&timeline.nights).enumerate() {
        // A night is short by its last step's end, which noon may cut in two.
        let end_s = timeline.begin_s(mark.end_step);
        let by_end = bank.shortfall_s[..count].iter();
        night.short_by_end += by_end.filter(|&&short_s| short_s <= end_s).count() as u64;
        let Some(own) = batch.seats.own_number(number) else {
            continue;
        };
        let outcome = &bank.nights[own];
        let levels = outcome.dawn_soc[..count]
            .iter()
            .map(|soc| u16::cut(soc * DAWN_SCALE + 0.5));
        night.dawn.extend(levels);
        night.short += number_of(&outcome.is_short[..count]);
    }
}

/// How many are true.
fn number_of(trials: &[bool]) -> u64 {
    trials.iter().filter(|&&is_one| is_one).count() as u64
}

/// Days from departure to a moment, not below 0.
pub(super) fn days_between(from_s: f64, to_s: f64) -> f32 {
    narrow(((to_s - from_s) / 86_400.0).max(0.0))
}

/// The first `count` trials.
fn narrowed(lanes: &Lanes, count: usize) -> impl Iterator<Item = f32> {
    lanes[..count].iter().map(|&value| narrow(value))
}
