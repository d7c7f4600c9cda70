//! How long a touring vehicle's batteries last: an energy budget and autonomy simulator.
//!
//! Data flows one way: [`scenario`] → [`timeline`] → [`engine`] → [`trials`] → [`study`] →
//! [`present`]. [`places`], [`sky`], [`system`] and [`wiring`] are shelves of functions that the stages take
//! from.

pub mod engine;
pub mod places;
pub mod present;
pub mod scenario;
pub mod sky;
pub mod study;
pub mod system;
pub mod timeline;
pub mod trials;
pub mod wiring;
