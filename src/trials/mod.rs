//! Chance: random streams, draws, the parallel run and the statistics.
//!
//! A trial draws from streams keyed by seed, trial and what is drawn, so that a result depends
//! neither on threads nor on batches, and two scenarios with one seed meet the same weather.

mod behind;
mod chance;
mod climate_truth;
mod day_draws;
mod delayed_run;
mod delays;
mod draw;
mod drive_draws;
mod ensemble;
pub mod intervals;
mod kept_draws;
mod order_statistic;
mod parallel;
mod pert;
mod random;
mod said_sky;
mod sample_counts;
mod sun_runs;
mod trial_order;
mod weather_draws;
mod weather_sequence;

pub use behind::Behind;
pub use chance::Chance;
pub use delayed_run::DelayedPlan;
pub use delays::DelayDraws;
pub use draw::{Drawing, Seeds};
pub use ensemble::{BankEnsemble, Ensemble, NightEnsemble, OverloadEnsemble};
pub use kept_draws::{DrawnBatches, KeptDraws};
pub use order_statistic::{of_ranks, rank, rank_interval};
pub use parallel::{
    Progress, RunSettings, Silent, days_of, each_of, run_trials, run_trials_for, run_typical,
    useful_threads,
};
pub use pert::PertQuantile;
pub use random::{Stream, StreamKey};
pub use sun_runs::{PlaceDate, low_sun_of_runs};
pub use weather_sequence::{WeatherDay, weather_days};
