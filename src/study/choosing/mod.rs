//! Choosing: what to buy, how far to drive, what to switch off, and what the answer hangs on.
//!
//! Every question here re-runs the trip with something changed. All runs of one question share a
//! seed, so that they meet the same weather, drives and habits (common random numbers), and
//! differences are taken trial by trial.
//! Left out: reading files. `options` turns words and the text of a scenario into new texts,
//! which the command line has checked like any other scenario.

pub mod compare;
mod compare_order;
mod idling;
mod inputs;
mod key;
pub mod options;
pub mod paired;
pub mod runs;
pub mod shed;
pub mod topup;
mod topup_driving;
pub mod topup_map;
pub mod why;
mod words;

pub use words::ChoosingError;
