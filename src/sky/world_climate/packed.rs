//! The packed grid and how it is read.
//!
//! One job: `grid.bin` to the numbers of a cell. Interpolation is in `place`, the packing step in
//! `tests/pack_world_climate.rs`.
//!
//! The file is one raw deflate stream. Inside: a bit for each of 44 × 120 grid points, rows from
//! 57° S, columns from 180° W, least significant bit first, set where there is a cell; then planes
//! of one byte a cell: height, distance of the nearest station, and 12 months of each quantity of
//! [`Quantity`] in its order. A byte is the difference (modulo 256) from its forecast
//! `left + before - left_before`: the previous cell, the previous month, and both. The mean sun
//! has two bytes, since one in 0.04 kWh/m² would blur the polar winter; its spread and percentiles
//! are shares of that mean.

use crate::units::Whole;
use std::sync::OnceLock;

/// Rows of the grid.
pub(super) const ROWS: usize = 44;
/// Columns of the grid.
pub(super) const COLUMNS: usize = 120;
/// Distance of rows and columns.
pub(super) const CELL_DEG: f64 = 3.0;
/// Latitude of the first row.
pub(super) const SOUTH_DEG: f64 = -57.0;
/// Longitude of the first column.
pub(super) const WEST_DEG: f64 = -180.0;

/// One step of a packed height, m.
pub(super) const HEIGHT_STEP_M: f64 = 25.0;
/// One step of a packed station distance, km.
const STATION_STEP_KM: f64 = 10.0;
/// One step of the packed mean sun, kWh/m² a day.
const SUN_STEP_KWH_M2: f64 = 0.01;
/// One step of a packed spread or percentile, as a share of the mean.
const SHARE_STEP: f64 = 0.02;
/// One step of a packed temperature, K.
const TEMPERATURE_STEP_K: f64 = 0.4;
/// Temperature of packed zero, °C.
const TEMPERATURE_ZERO_C: f64 = -51.0;
/// One step of the packed day-to-day spread of temperature, K, and of the sunshine weight.
const TENTH_STEP: f64 = 0.1;
/// One step of the mean sun's own uncertainty, as a share of it.
const UNCERTAINTY_STEP: f64 = 0.01;

/// Monthly planes, in the order of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(usize)]
enum Quantity {
    SunHigh,
    SunLow,
    SunSd,
    SunP10,
    SunP25,
    SunP50,
    SunP75,
    SunP90,
    Tmin,
    Tmax,
    DayMeanSd,
    SunshineWeight,
    MeanRelSd,
}

const QUANTITIES: usize = 13;

/// One cell in one month, as the tables give it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellMonth {
    /// Mean daily sun on the flat, kWh/m².
    pub ghi_kwh_m2: f64,
    /// Standard deviation of the daily sun inside the month.
    pub ghi_sd_kwh_m2: f64,
    /// Standard deviation of the place's true mean sun about `ghi_kwh_m2`, as a share of it: the table's own
    /// error.
    pub mean_rel_sd: f64,
    /// 10th, 25th, 50th, 75th and 90th percentile of the daily sun.
    pub ghi_percentiles_kwh_m2: [f64; 5],
    /// Mean daily minimum, °C, at `height_m`.
    pub tmin_c: f64,
    /// Mean daily maximum, °C, at `height_m`.
    pub tmax_c: f64,
    /// Standard deviation of the daily mean temperature inside the month, K.
    pub day_mean_sd_c: f64,
    /// Height that the temperatures belong to, m.
    pub height_m: f64,
    /// Weight of the sunshine stations behind the sun: 0 none, above 1 well supported.
    pub sunshine_weight: f64,
    /// Nearest temperature station, km; a difference of height counts as distance.
    pub nearest_station_km: f64,
}

/// The unpacked grid: bytes, turned into numbers when asked.
#[derive(Debug)]
pub(super) struct Grid {
    cell_of_point: Vec<Option<u16>>,
    bytes: Vec<u8>,
    cells: usize,
}

/// The grid, unpacked at the first call.
pub(super) fn grid() -> &'static Grid {
    static GRID: OnceLock<Grid> = OnceLock::new();
    GRID.get_or_init(|| Grid::unpack(include_bytes!("grid.bin")))
}

/// The cell at a grid point (multiples of 3°), in a month from 1 to 12. `None`: open sea, not on
/// the grid, or no such month.
#[must_use]
pub fn cell_month(lat_deg: f64, lon_deg: f64, month: u32) -> Option<CellMonth> {
    let row = index((lat_deg - SOUTH_DEG) / CELL_DEG, ROWS)?;
    let column = index((lon_deg - WEST_DEG) / CELL_DEG, COLUMNS)?;
    let month = (1..=12).contains(&month).then(|| month as usize - 1)?;
    grid().at(row, column).map(|cell| grid().month(cell, month))
}

fn index(position: f64, count: usize) -> Option<usize> {
    (0..count).find(|&k| (position - k.real()).abs() < 1e-6)
}

impl Grid {
    fn unpack(packed: &[u8]) -> Self {
        let mut bytes = inflate(packed);
        let planes = bytes.split_off(ROWS * COLUMNS / 8);
        let mut cells = 0;
        let cell_of_point = present(&bytes, ROWS * COLUMNS)
            .map(|here| {
                here.then(|| {
                    cells += 1;
                    cells - 1
                })
            })
            .collect();
        let cells = usize::from(cells);
        let mut grid = Self {
            cell_of_point,
            bytes: planes,
            cells,
        };
        grid.undo_forecast(0, 1);
        grid.undo_forecast(1, 1);
        for quantity in 0..QUANTITIES {
            grid.undo_forecast(2 + quantity * 12, 12);
        }
        grid
    }

    fn undo_forecast(&mut self, first_plane: usize, months: usize) {
        let n = self.cells;
        for month in 0..months {
            let start = (first_plane + month) * n;
            for cell in start..start + n {
                let left = if cell > start {
                    self.bytes[cell - 1]
                } else {
                    0
                };
                let before = if month > 0 { self.bytes[cell - n] } else { 0 };
                let left_before = if cell > start && month > 0 {
                    self.bytes[cell - n - 1]
                } else {
                    0
                };
                let forecast = left.wrapping_add(before).wrapping_sub(left_before);
                self.bytes[cell] = self.bytes[cell].wrapping_add(forecast);
            }
        }
    }

    /// The cell at a row and a column, counted from south-west.
    pub(super) fn at(&self, row: usize, column: usize) -> Option<usize> {
        self.cell_of_point[row * COLUMNS + column].map(usize::from)
    }

    /// Rows and columns of all cells.
    pub(super) fn points(&self) -> impl Iterator<Item = (usize, usize, usize)> {
        self.cell_of_point
            .iter()
            .enumerate()
            .filter_map(|(point, cell)| {
                cell.map(|cell| (point / COLUMNS, point % COLUMNS, usize::from(cell)))
            })
    }

    /// A cell's numbers in a month from 0 to 11.
    pub(super) fn month(&self, cell: usize, month: usize) -> CellMonth {
        let plane = |plane: usize| f64::from(self.bytes[plane * self.cells + cell]);
        let of = |quantity: Quantity| plane(2 + quantity as usize * 12 + month);
        let mean = (of(Quantity::SunHigh) * 256.0 + of(Quantity::SunLow)) * SUN_STEP_KWH_M2;
        let share = |quantity| of(quantity) * SHARE_STEP * mean;
        let celsius = |quantity| of(quantity) * TEMPERATURE_STEP_K + TEMPERATURE_ZERO_C;
        CellMonth {
            ghi_kwh_m2: mean,
            ghi_sd_kwh_m2: share(Quantity::SunSd),
            mean_rel_sd: of(Quantity::MeanRelSd) * UNCERTAINTY_STEP,
            ghi_percentiles_kwh_m2: [
                share(Quantity::SunP10),
                share(Quantity::SunP25),
                share(Quantity::SunP50),
                share(Quantity::SunP75),
                share(Quantity::SunP90),
            ],
            tmin_c: celsius(Quantity::Tmin),
            tmax_c: celsius(Quantity::Tmax),
            day_mean_sd_c: of(Quantity::DayMeanSd) * TENTH_STEP,
            height_m: plane(0) * HEIGHT_STEP_M,
            sunshine_weight: of(Quantity::SunshineWeight) * TENTH_STEP,
            nearest_station_km: plane(1) * STATION_STEP_KM,
        }
    }
}

/// Undoes the deflate of an embedded file.
pub(super) fn inflate(packed: &[u8]) -> Vec<u8> {
    miniz_oxide::inflate::decompress_to_vec(packed)
        .expect("the embedded file is compared with its source by a test")
}

/// The bits of a map of present points.
pub(super) fn present(bits: &[u8], points: usize) -> impl Iterator<Item = bool> {
    (0..points).map(|point| bits[point / 8] >> (point % 8) & 1 == 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unpacking_takes_under_ten_milliseconds() {
        let begin = std::time::Instant::now();
        let grid = Grid::unpack(include_bytes!("grid.bin"));
        let took = begin.elapsed();
        assert_eq!(grid.cells, 2448);
        // The bar is 10 ms in release; a debug build on a busy machine gets ten times that.
        assert!(took.as_millis() < 100, "{took:?}");
    }
}
