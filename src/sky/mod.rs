//! The sky: sun, clearness, diffuse light and tilt, temperature; pure functions.

pub mod history;
pub mod monthly;
