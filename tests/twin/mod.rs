//! A slow twin of the engine: one trial, second by second, with nothing worked out beforehand but
//! where the sun stands.
//!
//! One job: live through a trial as the design tells it, so that the fast engine can be held
//! against it. It shares with the engine what was drawn and the closed forms of `sky` and `system`;
//! not the timeline's steps, the tables, the averaging or the batches. The fridge has a thermostat,
//! the alternator idles for a part of every 100 s.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    clippy::similar_names,
    clippy::struct_field_names,
    reason = "seconds, hours and indices of a trip"
)]

pub mod bank;
pub mod calendar;
mod life;
pub mod load;
mod sharing;
pub mod sky;

use tideover::engine::Draws;
use tideover::scenario::Scenario;
use tideover::timeline::Timeline;

use bank::Account;
use calendar::Calendar;
use life::Life;
pub use load::Cooling;
use sky::Look;

const SECOND_H: f64 = 1.0 / 3600.0;

/// What can be prepared for all trials of a scenario.
pub struct World<'a> {
    scenario: &'a Scenario,
    timeline: &'a Timeline,
    calendar: Calendar<'a>,
    looks: Vec<Look>,
    hours: Vec<[usize; 24]>,
}

/// A lived trial.
pub struct Lived {
    /// State of charge of each bank at the end of each sampled span.
    pub soc: Vec<Vec<f64>>,
    /// Mean terminal voltage of each bank over each sampled span.
    pub volts: Vec<Vec<f64>>,
    /// Mean current into each bank over it.
    pub amps: Vec<Vec<f64>>,
    /// Cabinet temperature of each fridge then.
    pub fridge_c: Vec<Vec<f64>>,
    pub end_soc: Vec<f64>,
    pub accounts: Vec<Account>,
    pub load_wh: Vec<f64>,
    pub charger_wh: Vec<f64>,
    pub panel_wh: Vec<f64>,
    /// Seconds to the first shortfall of each bank.
    pub shortfall_s: Vec<Option<f64>>,
    pub had_outage: Vec<bool>,
    pub oversubscribed_h: f64,
    pub driven_h: f64,
    pub fridge_run_h: Vec<f64>,
}

impl<'a> World<'a> {
    pub fn new(scenario: &'a Scenario, timeline: &'a Timeline, days: usize) -> Self {
        let calendar = Calendar::new(scenario, days);
        let length_s = timeline.steps as i64 * timeline.step_s;
        Self {
            looks: sky::looks(scenario, &calendar, length_s),
            hours: sky::hour_index(timeline, days),
            scenario,
            timeline,
            calendar,
        }
    }

    /// Lives through the trial in a lane of the draws.
    pub fn live(&self, draws: &Draws, lane: usize, sample_s: i64, cooling: Cooling) -> Lived {
        let mut life = Life::new(self, draws, lane, cooling);
        let end_s = draws.end_s[lane].round() as i64;
        for second in 0..end_s {
            life.second(second);
            if (second + 1) % sample_s == 0 {
                for (bank, cell) in life.cells.iter_mut().enumerate() {
                    let (volts, amps) = std::mem::take(&mut cell.sums);
                    life.lived.soc[bank].push(cell.soc);
                    life.lived.volts[bank].push(volts / sample_s as f64);
                    life.lived.amps[bank].push(amps / sample_s as f64);
                }
                for (samples, fridge) in life.lived.fridge_c.iter_mut().zip(&life.fridges) {
                    samples.push(life.appliances[*fridge].inside_c());
                }
            }
        }
        life.finish()
    }
}
