//! Scenario and calendar turned into arrays per step: all that no trial changes, computed once.
//!
//! Steps go on UTC; the time of step `k` is `start + k · step`. Windows and drives that cover part
//! of a step count for that part.

pub mod calendar;
mod clock;
mod compile;
pub mod daily_windows;
pub mod expected_sun;
pub mod here;
pub mod load_schedule;
mod past;
pub mod plant;
pub mod position;
mod steps;
pub mod sun_steps;
pub mod weather_days;
pub mod whole_days;

pub use compile::{NightMark, Timeline};
pub use past::Past;
