//! Studies: what is asked of an ensemble of trials, and the answers.

pub mod answer;
pub mod assemble;
pub mod budget;
pub mod cause;
pub mod choosing;
pub mod climate_ground;
pub mod climate_notes;
pub mod cold_cutoff;
pub mod driving_gain;
pub mod figures;
pub mod from_here;
pub mod learning;
pub mod mending;
pub mod nights_left;
pub mod outages;
pub mod report;
pub mod rest_of_trip;
pub mod run_warnings;
pub mod settings;
pub mod simulation;
pub mod sky_table;
pub mod stay;
pub mod stop_days;
pub mod trip;
pub mod typical;
pub mod weak_point;
