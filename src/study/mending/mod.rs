//! Mending: the cheapest change that makes the trip work, found by trying.
//!
//! One job: every kind of change that a person could make, each as a row of sizes from small to large
//! (`families`), the least of each row that meets the aim (`search`), and of these the cheapest
//! (`mend`); or one size alone (`solve`). All runs share their trials, and every change goes through its key and the checker, as
//! in `choosing`. Left out: what a person cannot change, the weather and the way.

mod answer;
mod decide;
mod families;
mod map;
mod mend;
mod search;
mod solve;
mod way_families;

pub use answer::{Bought, Change, LeastSize, Mend, MendMap, MendResult, SolveResult, Useless};
pub use mend::{is_mended_in_passing, mend, mend_hint, mend_of};
pub use solve::solve;
