//! Wiring: conductors, fuses, the schedule of runs.
//!
//! A shelf of pure functions. [`conductors`], [`ampacity`], [`voltage_drop`], [`fuses`],
//! [`short_circuit`] and [`sizing`] take plain numbers. [`design_current`], [`run_demand`],
//! [`mod@schedule`] and [`mod@suggest`] read the checked types of [`crate::scenario`], which never imports
//! this folder; so the engine can ask for a run's resistance without a ring of imports.
//! Currents are positive from source to consumer; lengths are one way; drops are both ways.

pub mod ampacity;
pub mod assess;
pub mod cautions;
pub mod conductors;
pub mod design_current;
pub mod distribution;
pub mod faults;
pub mod fuse_places;
pub mod fuse_times;
pub mod fuses;
pub mod inverter_output;
pub mod relays;
pub mod run_demand;
pub mod run_parts;
pub mod run_warnings;
pub mod schedule;
pub mod shopping;
pub mod short_circuit;
pub mod sizing;
pub mod suggest;
pub mod trip_hours;
pub mod voltage_drop;

pub use run_demand::run_resistance_ohm;
pub use schedule::{Schedule, ScheduledRun, schedule, schedule_in, schedule_shown};
pub use suggest::suggest;
