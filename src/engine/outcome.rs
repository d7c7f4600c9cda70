//! What happened in a batch.

use super::lanes::{LANES, Lanes, wide};
use super::totals::Totals;
use crate::system::open_circuit_voltage::nearest_below;
use crate::timeline::whole_days::DAY_KINDS;

/// Levels of state of charge that the samples for pictures tell apart: half a per cent each.
pub const SAMPLE_LEVELS: usize = 201;

/// States of charge at one sample, as levels: 0 is empty, 200 is full.
pub type SampleLevels = [u8; LANES];

/// The level nearest to each state of charge from 0 to 1.
#[must_use]
#[inline(never)]
pub(crate) fn sample_levels(soc: &Lanes) -> SampleLevels {
    let mut levels = [0; LANES];
    let into = &mut levels;
    wide!(|into, soc| for lane in 0..LANES {
        // `nearest_below` half above is what is nearest.
        #[expect(clippy::cast_possible_truncation, reason = "0 to 200")]
        let level = nearest_below(soc[lane] * 200.0 + 0.5) as u8;
        into[lane] = level;
    });
    levels
}

/// One bank in every trial of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct BankOutcome {
    /// The bank's reserve.
    pub reserve_soc: f64,
    /// Lowest state of charge.
    pub lowest_soc: Lanes,
    /// State of charge at the end.
    pub end_soc: Lanes,
    /// Seconds from the start to the first shortfall; infinite: never.
    pub shortfall_s: Lanes,
    /// Seconds from the start to the end of the last step with a shortfall; below all: never.
    pub last_short_s: Lanes,
    /// Whether the loads were ever dropped.
    pub had_outage: [bool; LANES],
    /// What did not close in the ledger over the throughput: worst of the batch.
    pub worst_gap: f64,
    /// Nights, in order.
    pub nights: Vec<NightOutcome>,
    /// State of charge at each sample, in order.
    pub samples: Vec<SampleLevels>,
}

/// One night of a bank.
#[derive(Debug, Clone, PartialEq)]
pub struct NightOutcome {
    /// State of charge at dawn.
    pub dawn_soc: Lanes,
    /// Whether the bank was below its reserve or had an outage in the night.
    pub is_short: [bool; LANES],
}

/// An inverter that was asked for more than it gives, in every trial of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Overload {
    /// Seconds from the start to the first time; infinite: never.
    pub first_s: Lanes,
    /// Hours.
    pub hours: Lanes,
    /// What it did not give, at the bank, Wh.
    pub missed_wh: Lanes,
}

/// Everything a batch leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Trials in use.
    pub count: usize,
    /// Banks in file order.
    pub banks: Vec<BankOutcome>,
    /// Sums over the whole plan.
    pub totals: Totals,
    /// Those of its whole days by their kind.
    pub by_kind: [Totals; DAY_KINDS],
    /// State of charge at the end of the first and of the last of two like days, by bank; empty where
    /// there are none.
    pub like_soc: [Vec<Lanes>; 2],
    /// Hours of each fridge above its limit.
    pub fridge_above_h: Vec<Lanes>,
    /// Inverters that can be asked for more than they give, as in the plant.
    pub overloads: Vec<Overload>,
    /// Hours with the alternator oversubscribed.
    pub oversubscribed_h: Lanes,
    /// Largest current asked of the alternator.
    pub peak_a: Lanes,
}
