//! The end of a batch.
//!
//! One job: the accounts of all steps as an `Outcome`. They are kept in `state`, `demand` and `track`, and
//! read in `day_book`.

use super::batch::Batch;
use super::lanes::{Lanes, ZERO};
use super::outcome::{BankOutcome, Outcome, Overload};
use super::state::{BankState, State};
use super::track::Track;
use crate::timeline::plant::{BankPlant, Plant};

impl Batch<'_> {
    pub(crate) fn finish(mut self) -> Outcome {
        self.close_day(self.timeline.steps);
        let mut totals = self.reading(self.timeline.steps);
        let plant = &self.timeline.plant;
        let count = self.draws.count;
        totals.hours = self.draws.end_s.sum_of_first(count) / 3600.0;
        let state = &self.state;
        let (out_v, in_v) = mean_volts(state, plant, count);
        let mut by_kind = self.days.by_kind;
        for totals in by_kind.iter_mut().chain([&mut totals]) {
            totals.close(plant, &out_v, &in_v);
        }
        let step_h = plant.step_h;
        let hours = |steps: &Lanes| steps.map(|steps| steps * step_h);
        let overloads = || state.overloads.iter().zip(&plant.inverters);
        let banks = state.banks.iter().zip(self.tracks).enumerate();
        let banks = banks.map(|(index, (bank, track))| {
            let mut by_inverters_w = ZERO;
            for (over, _) in overloads().filter(|(_, of)| of.bank == index) {
                by_inverters_w += &over.missed_w;
            }
            bank_outcome((bank, &by_inverters_w), track, count, step_h)
        });
        Outcome {
            count,
            banks: banks.collect(),
            totals,
            by_kind,
            like_soc: self.days.like_soc,
            fridge_above_h: (state.fridges.iter())
                .map(|fridge| hours(&fridge.above))
                .collect(),
            overloads: overloads()
                .map(|(of, _)| Overload {
                    first_s: of.first_s,
                    hours: hours(&of.steps),
                    missed_wh: hours(&of.missed_w),
                })
                .collect(),
            oversubscribed_h: hours(&state.oversubscribed),
            peak_a: state.peak_a,
        }
    }
}

/// Mean voltage at which each bank gave and took. What never flowed counts at that of what was asked for
/// and not supplied.
fn mean_volts(state: &State, plant: &Plant, count: usize) -> (Vec<f64>, Vec<f64>) {
    let sum = |lanes: &Lanes| lanes.sum_of_first(count);
    let volts_of = |of: &BankPlant, wh: f64, ah: f64| if ah > 0.0 { wh / ah } else { of.usable_v };
    let banks = state.banks.iter().zip(&plant.banks);
    banks
        .map(|(bank, of)| {
            let sums = &bank.sums;
            let in_ah = sum(&sums.in_ah);
            let out_v = volts_of(of, sum(&sums.out_wh), in_ah - sum(&sums.net_ah));
            (out_v, volts_of(of, sum(&sums.in_wh), in_ah))
        })
        .unzip()
}

/// What became of one bank; `count` trials are in use, steps are `step_h` hours long. What inverters did
/// not give is no shortfall of the bank.
fn bank_outcome(
    (bank, by_inverters_w): (&BankState, &Lanes),
    mut track: Track,
    count: usize,
    step_h: f64,
) -> BankOutcome {
    let sums = &bank.sums;
    track.finish(|lane| {
        let open_w = sums.unserved_wh[lane] - by_inverters_w[lane];
        open_w / (sums.out_wh[lane] + open_w).max(f64::MIN_POSITIVE)
    });
    let mut worst_gap: f64 = 0.0;
    for lane in 0..count {
        let (into, out) = (sums.in_wh[lane], sums.out_wh[lane]);
        let gap = into - out - sums.loss_wh[lane] - sums.stored_wh[lane];
        worst_gap = worst_gap.max(step_h * gap.abs() / (step_h * (into + out)).max(1.0));
    }
    BankOutcome {
        reserve_soc: track.lows.reserve_soc,
        lowest_soc: track.lowest,
        end_soc: bank.soc,
        shortfall_s: track.shortfall_s,
        last_short_s: track.last_short_s,
        had_outage: std::array::from_fn(|lane| bank.had_outage[lane] > 0.0),
        worst_gap,
        nights: track.nights,
        samples: track.samples,
    }
}
