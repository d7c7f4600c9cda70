//! Studies: what is asked of an ensemble of trials, and the answers.

pub mod answer;
