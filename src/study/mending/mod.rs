//! Mending: the cheapest change that makes the trip work, found by trying.
//!
//! One job: every kind of change that a person could make, each as a row of sizes from small to large
//! (`families`), the least of each row that meets the aim (`search`), and of these the cheapest
//! (`mend`). All runs share their trials, and every change goes through its key and the checker, as
//! in `choosing`. Left out: what a person cannot change, the weather and the way.

mod answer;
mod families;
mod map;
mod mend;
mod search;
mod way_families;

pub use answer::{Change, Mend, MendMap, MendResult, Useless};
pub use mend::mend;
