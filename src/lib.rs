//! How long a touring vehicle's batteries last: an energy budget and autonomy simulator.
//!
//! Data flows one way: [`scenario`] → timeline → engine → trials → [`study`] → [`present`].

pub mod present;
pub mod scenario;
pub mod sky;
pub mod study;
