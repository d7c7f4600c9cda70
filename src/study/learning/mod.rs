//! A battery's own log against the model: how far off it is, what can be put right, what cannot be told.
//!
//! The engine is the model, on the very times, with the drives that were driven and put at the measured
//! charge; no second model is fitted. What a log identifies by itself is read from it directly (a level
//! at night, a step of current, a plateau), as a multiple of what the engine has there.
//!
//! Currents into a bank are positive.

pub mod answer;
mod battery;
mod capacity;
mod compressors;
mod discharges;
mod drives;
mod estimate;
mod findings;
mod ground;
mod held;
mod idling;
mod learn;
mod least_squares;
mod meter;
mod model;
mod nights;
mod put_right;
mod question;
mod right_bank;
mod source_findings;
mod sources;
mod spans;
mod told_apart;

pub use answer::LearnAnswer;
pub use learn::learn;
pub use question::{LearnError, LearnQuestion, drives_of};
