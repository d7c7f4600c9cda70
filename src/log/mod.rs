//! Logs of battery meters: a file's text to rows of time and figures.
//!
//! One job: reading. Nothing is judged here: which sign charges, what was driven and what the figures
//! say of a vehicle is in `study::learning`.

mod clock;
mod error;
mod names;
mod read;

pub use clock::instant_s;
pub use error::{LogError, LogFault};
pub use names::{ColumnWords, Quantity};
pub use read::{Log, joined, read_log};
