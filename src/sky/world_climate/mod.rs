//! The climate of the world's land, built in: months of any place from 57° S to 72° N.
//!
//! One job: latitude, longitude and perhaps height in, twelve months of sun and temperature out,
//! with how well they are supported. Random days are drawn from them elsewhere.
//!
//! The grid has a cell every 3° over land and near it, with the daily sun's mean, spread and
//! percentiles (MERRA-2 reanalysis 2011-2015, corrected with sunshine hours) and temperatures
//! (station reports 2003-2021); heights come in boxes of 1°. Both are packed into
//! `grid.bin` and `heights.bin` by `tests/pack_world_climate.rs` from the tables in
//! `tests/reference/climate/`, and are unpacked on first use: the heights only when a height is
//! not given.
//!
//! Trust: annual sun within about 5 % (one standard deviation) of measurement; coasts, fog belts,
//! basins and mountains are blurred over some 330 km. There is no wind in it, no horizon, no snow.

mod day;
mod heights;
mod notices;
mod packed;
mod place;
mod support;

pub use day::{PlaceDay, PlaceYear};
pub use heights::land_height_m;
pub use notices::{
    NOT_A_FORECAST, SUN_PERIOD, TEMPERATURE_NOTICE, TEMPERATURE_PERIOD, WORLD_CLIMATE_NOTICES,
};
pub use packed::{CellMonth, cell_month};
pub use place::{LAPSE_K_PER_M, PlaceClimate, PlaceMonth, REACH_KM, place_climate};
pub use support::{HeightSource, OutsideWorldClimate, Support, SupportCell, SupportWarning};
