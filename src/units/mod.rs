//! Units that people write, and what they come to in those of the program.
//!
//! One job: names, factors and wire gauges. Which keys of a scenario file have which unit is told by
//! their last word. Left out: how a figure is rounded and shown (`present`).

mod gauge;
mod measure;
mod sister;

pub use gauge::Awg;
pub use measure::{Measured, Quantity, Unit, tidy, trimmed};
pub use sister::{SISTERS, Sister, sister_of, sister_to};
