//! Studies: what is asked of an ensemble of trials, and the answers.

pub mod answer;
pub mod sky_table;
