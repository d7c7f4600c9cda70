//! The sky: sun, clearness, diffuse light and tilt, temperature; pure functions.

pub mod day_sun;
pub mod history;
pub mod monthly;
pub mod world_climate;
