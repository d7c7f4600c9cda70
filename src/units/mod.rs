//! Units that people write, and what they come to in those of the program.
//!
//! One job: names, factors and wire gauges. Which keys of a scenario file have which unit is told by
//! their last word. How a figure, a sentence and a date are written for a reader of a land is in `land`.

mod bisection;
mod gauge;
mod land;
mod marked;
mod measure;
mod sentence;
mod sister;
mod whole;

pub use bisection::{bisected, least_that_does};
pub use gauge::{Awg, cmil};
pub use land::{Amount, DateForm, Units};
pub use marked::filled;
pub use measure::{Measured, Quantity, Unit, tidy, trimmed};
pub use sentence::{Sentence, joined};
pub use sister::{SISTERS, Sister, sister_of, sister_to};
pub use whole::{Whole, narrow};
