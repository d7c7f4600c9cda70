//! What happened in a batch.

use super::day_account::DayAccount;
use super::lanes::{LANES, Lanes, widest};
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
    widest(
        #[inline(always)]
        || {
            for lane in 0..LANES {
                // `nearest_below` half above is what is nearest.
                #[expect(clippy::cast_possible_truncation, reason = "0 to 200")]
                let level = nearest_below(soc[lane] * 200.0 + 0.5) as u8;
                levels[lane] = level;
            }
        },
    );
    levels
}

/// Energy of one bank summed over the trials in use, Wh and Ah over the whole trial.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// Into the bank at its terminals.
    pub in_wh: f64,
    /// Out of it.
    pub out_wh: f64,
    /// Lost inside.
    pub loss_wh: f64,
    /// Change of stored energy.
    pub stored_wh: f64,
    /// Drawn by monitor and protection.
    pub standby_wh: f64,
    /// Lost on the way in.
    pub conversion_wh: f64,
    /// Sun left over.
    pub curtailed_wh: f64,
    /// Load not served.
    pub unserved_wh: f64,
    /// Load not served because of the discharge limit.
    pub over_limit_wh: f64,
    /// From the alternator straight into a start bank.
    pub alternator_wh: f64,
    /// The same as charge.
    pub alternator_ah: f64,
    /// Charge into the bank.
    pub in_ah: f64,
    /// Charge out of it.
    pub out_ah: f64,
    /// Hours in which cold kept charge out of lithium.
    pub cold_h: f64,
    /// That charge.
    pub cold_ah: f64,
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
    /// Energies.
    pub ledger: Ledger,
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
    /// Energy of each load, Wh, summed over trials.
    pub load_wh: Vec<f64>,
    /// Charge of each load, Ah.
    pub load_ah: Vec<f64>,
    /// What each load asked for, supplied or not, Wh.
    pub asked_wh: Vec<f64>,
    /// The same as charge, Ah.
    pub asked_ah: Vec<f64>,
    /// The whole days by their kind.
    pub by_kind: [DayAccount; DAY_KINDS],
    /// State of charge at the end of the first and of the last of two like days, by bank; empty where
    /// there are none.
    pub like_soc: [Vec<Lanes>; 2],
    /// Hours each load was live; events apart.
    pub load_live_h: Vec<f64>,
    /// Energy of each charger into its bank, Wh.
    pub charger_wh: Vec<f64>,
    /// Charge of each charger, Ah.
    pub charger_ah: Vec<f64>,
    /// Energy each bank-fed charger took from its giver, Wh.
    pub charger_in_wh: Vec<f64>,
    /// Hours each charger could work.
    pub charger_gate_h: Vec<f64>,
    /// Hours each charger gave all it can.
    pub charger_full_h: Vec<f64>,
    /// Hours each charger had too low an input voltage.
    pub charger_starved_h: Vec<f64>,
    /// Charge that the alternator could not give each charger, Ah.
    pub charger_denied_ah: Vec<f64>,
    /// Energy of each panel, Wh.
    pub panel_wh: Vec<f64>,
    /// Charge of each panel, Ah.
    pub panel_ah: Vec<f64>,
    /// Hours of each fridge above its limit.
    pub fridge_above_h: Vec<Lanes>,
    /// Hours each fridge's compressor ran, summed over trials.
    pub fridge_run_h: Vec<f64>,
    /// Inverters that can be asked for more than they give, as in the plant.
    pub overloads: Vec<Overload>,
    /// Hours with the alternator oversubscribed.
    pub oversubscribed_h: Lanes,
    /// Largest current asked of the alternator.
    pub peak_a: Lanes,
    /// Hours driven, summed over trials.
    pub driven_h: f64,
    /// Hours simulated, summed over trials.
    pub hours: f64,
}
