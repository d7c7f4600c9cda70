//! Choosing: what to buy, how far to drive, what to switch off, and what the answer depends on.
//!
//! Every question here re-runs the trip with something changed, and every change goes through its
//! key and the checker ([`Scenario::with`](crate::scenario::Scenario::with)): two questions that set
//! one key alike run the same scenario. All runs of one question share a seed, so that they meet the
//! same weather, drives and habits (common random numbers), and differences are taken trial by
//! trial. So a new question is: run the scenario as it is with
//! [`Simulation::trip`](crate::study::simulation::Simulation::trip); for each change
//! [`Scenario::with`](crate::scenario::Scenario::with) and
//! [`Simulation::changed`](crate::study::simulation::Simulation::changed); then the differences of
//! [`paired`] over what each trial came to.

pub mod compare;
mod compare_order;
pub(in crate::study) mod costs;
mod idling;
mod inputs;
pub(in crate::study) mod least_of_row;
pub mod options;
pub mod paired;
mod resampled;
mod shares;
pub mod shed;
mod shed_stays;
pub mod topup;
mod topup_banks;
mod topup_driving;
mod topup_limits;
pub mod topup_map;
mod topup_search;
pub mod why;
mod words;

pub use words::ChoosingError;
