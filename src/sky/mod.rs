//! The sky: sun, clearness, diffuse light and tilt, temperature; pure functions.
//!
//! Signs: latitude north positive, longitude east positive, azimuth clockwise from true north, tilt
//! from the horizontal. Instants are seconds since 1970-01-01 UTC. Angles are in degrees in names
//! that end so. `KT` is the clearness index of a day, `kt` that of a moment or an hour.
//! Transcendental functions come from `libm`, so that figures are the same on every platform.

mod beta_line;
pub mod cell_temperature;
pub mod clear_sky;
pub mod clearness;
pub mod day_climate;
pub mod day_persistence;
pub mod day_sun;
pub mod day_temperature;
pub(crate) mod decay;
pub(crate) mod deviate_grid;
pub mod diffuse;
pub mod distance;
pub mod extraterrestrial;
pub mod history;
pub mod hollands_huget;
mod hour_table;
mod hour_trend;
pub mod hours;
pub(crate) mod memo;
mod monotone_cubic;
mod month_course;
pub mod monthly;
pub mod normal;
mod percentile_curve;
pub mod sky_light;
pub mod sun_day;
pub mod sun_position;
pub mod tilt;
pub mod world_climate;
