//! The twelve months of one place.
//!
//! One job: to mix the cells around a place and to carry the temperature to its height. The days
//! between the months are in `day`.
//! Left out: hills and coasts inside a cell; the sun is not changed with height.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use super::heights::land_height_m;
use super::packed::{CELL_DEG, COLUMNS, CellMonth, ROWS, SOUTH_DEG, WEST_DEG, grid};
use super::support::{HeightSource, OutsideWorldClimate, Support, SupportCell, SupportWarning};
use crate::sky::day_sun::DaySun;
use crate::sky::distance::great_circle_km;
use crate::units::Whole;

/// Fall of temperature with height, K/m: the rate at which the grid itself was made
/// (`tests/reference/climate/README.md`).
pub const LAPSE_K_PER_M: f64 = 0.0055;

/// A place without a cell around it takes the nearest cell up to this distance. Ours: a little more
/// than one cell; beyond it another climate begins.
pub const REACH_KM: f64 = 400.0;

/// The sun's mean over a month below which a clearness index means nothing, kWh/m² a day. Ours.
const NIGHT_KWH_M2: f64 = 0.3;

const HEIGHT_RANGE_M: (f64, f64) = (-430.0, 6000.0);

/// One month of a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlaceMonth {
    /// Mean daily sun on the flat: sun hours, kWh/m².
    pub ghi_kwh_m2: f64,
    /// Standard deviation of the daily sun inside the month, its seasonal trend included.
    pub ghi_sd_kwh_m2: f64,
    /// Standard deviation of the true mean sun about `ghi_kwh_m2`, as a share of it: what is not known of the
    /// climate. The mean of the cells around, as if their errors went together.
    pub mean_rel_sd: f64,
    /// Share of days and the daily sun that they do not exceed.
    pub ghi_percentiles: [(f64, f64); 5],
    /// Mean daily sun outside the air, kWh/m².
    pub extraterrestrial_kwh_m2: f64,
    /// Standard deviation of that over the days of the month: the seasonal trend.
    pub extraterrestrial_sd_kwh_m2: f64,
    /// Clearness index: mean sun over mean extraterrestrial sun. `None` in polar night.
    pub kt: Option<f64>,
    /// Mean daily minimum temperature, °C.
    pub tmin_c: f64,
    /// Mean daily maximum temperature, °C.
    pub tmax_c: f64,
    /// Standard deviation of the daily mean temperature inside the month, K.
    pub day_mean_sd_c: f64,
}

/// The climate of a place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceClimate {
    /// The place.
    pub lat_deg: f64,
    /// The place.
    pub lon_deg: f64,
    /// January to December.
    pub months: [PlaceMonth; 12],
    /// What it rests on.
    pub support: Support,
}

/// The built-in climate of a place.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `lat_deg` | latitude, north positive | ° | -90 to 90 |
/// | `lon_deg` | longitude, east positive | ° | -180 to 180 |
/// | `height_m` | height above the sea; `None`: that of the land in the 1° box | m | a number; cut to -430 to 6000 with a warning |
///
/// Bilinear between the cells around it that have data, weights renormalised; without one, the
/// nearest cell within [`REACH_KM`], with a warning.
///
/// # Errors
/// [`OutsideWorldClimate`]: no such place, or too far from every cell.
pub fn place_climate(
    lat_deg: f64,
    lon_deg: f64,
    height_m: Option<f64>,
) -> Result<PlaceClimate, OutsideWorldClimate> {
    let is_place = (-90.0..=90.0).contains(&lat_deg)
        && (-180.0..=180.0).contains(&lon_deg)
        && height_m.is_none_or(f64::is_finite);
    if !is_place {
        return Err(OutsideWorldClimate::NotAPlace {
            lat_deg,
            lon_deg,
            height_m,
        });
    }
    let mut warnings = Vec::new();
    let (nearest, nearest_cell_km) = nearest_cell(lat_deg, lon_deg);
    let mut mix = surrounding(lat_deg, lon_deg);
    if mix.is_empty() {
        if nearest_cell_km > REACH_KM {
            return Err(OutsideWorldClimate::TooFar {
                lat_deg,
                lon_deg,
                nearest_cell_km,
            });
        }
        mix.push(CellShare {
            share: 1.0,
            ..nearest
        });
    }
    let (height_m, height_source) = height(lat_deg, lon_deg, height_m, &mut warnings);
    let cells_height_m = weighted(&mix, 0, |cell| cell.height_m);
    let support = Support {
        cells: mix.iter().map(CellShare::support).collect(),
        nearest_cell_km,
        sunshine_weight: sunshine_weight(&mix),
        nearest_station_km: weighted(&mix, 0, |cell| cell.nearest_station_km),
        height_m,
        height_source,
        cells_height_m,
        warnings: Vec::new(),
    };
    warnings.extend(weaknesses(&support));
    Ok(PlaceClimate {
        lat_deg,
        lon_deg,
        months: std::array::from_fn(|month| place_month(&mix, month, lat_deg, height_m)),
        support: Support {
            warnings,
            ..support
        },
    })
}

#[derive(Debug, Clone, Copy)]
struct CellShare {
    row: usize,
    column: usize,
    cell: usize,
    share: f64,
}

impl CellShare {
    fn support(&self) -> SupportCell {
        let (lat_deg, lon_deg) = centre(self.row, self.column);
        SupportCell {
            lat_deg,
            lon_deg,
            share: self.share,
        }
    }
}

fn centre(row: usize, column: usize) -> (f64, f64) {
    (
        row.real() * CELL_DEG + SOUTH_DEG,
        column.real() * CELL_DEG + WEST_DEG,
    )
}

/// The up to four cells around a place, largest share first.
fn surrounding(lat_deg: f64, lon_deg: f64) -> Vec<CellShare> {
    let north = (lat_deg - SOUTH_DEG) / CELL_DEG;
    let east = (lon_deg - WEST_DEG) / CELL_DEG;
    let mut parts = Vec::with_capacity(4);
    for (row, row_share) in [
        (north.floor(), 1.0 - (north - north.floor())),
        (north.floor() + 1.0, north - north.floor()),
    ] {
        if row < 0.0 || row >= ROWS.real() {
            continue;
        }
        for (column, column_share) in [
            (east.floor(), 1.0 - (east - east.floor())),
            (east.floor() + 1.0, east - east.floor()),
        ] {
            let column = usize::cut(column.rem_euclid(COLUMNS.real()));
            let share = row_share * column_share;
            if share > 1e-9
                && let Some(cell) = grid().at(usize::cut(row), column)
            {
                parts.push(CellShare {
                    row: usize::cut(row),
                    column,
                    cell,
                    share,
                });
            }
        }
    }
    let total: f64 = parts.iter().map(|part| part.share).sum();
    for part in &mut parts {
        part.share /= total;
    }
    parts.sort_by(|a, b| b.share.total_cmp(&a.share));
    parts
}

fn nearest_cell(lat_deg: f64, lon_deg: f64) -> (CellShare, f64) {
    grid()
        .points()
        .map(|(row, column, cell)| {
            let (cell_lat_deg, cell_lon_deg) = centre(row, column);
            let km = great_circle_km((lat_deg, lon_deg), (cell_lat_deg, cell_lon_deg));
            (
                CellShare {
                    row,
                    column,
                    cell,
                    share: 1.0,
                },
                km,
            )
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .expect("the grid has cells")
}

fn weighted(mix: &[CellShare], month: usize, of: impl Fn(&CellMonth) -> f64) -> f64 {
    mix.iter()
        .map(|part| part.share * of(&grid().month(part.cell, month)))
        .sum()
}

/// Mean over the year, each month by its sun: no station is needed in polar night.
fn sunshine_weight(mix: &[CellShare]) -> f64 {
    let (mut weighed, mut sun) = (0.0, 0.0);
    for month in 0..12 {
        let month_sun = weighted(mix, month, |cell| cell.ghi_kwh_m2);
        weighed += month_sun * weighted(mix, month, |cell| cell.sunshine_weight);
        sun += month_sun;
    }
    if sun > 0.0 { weighed / sun } else { 0.0 }
}

fn height(
    lat_deg: f64,
    lon_deg: f64,
    given_m: Option<f64>,
    warnings: &mut Vec<SupportWarning>,
) -> (f64, HeightSource) {
    if let Some(given_m) = given_m {
        let used_m = given_m.clamp(HEIGHT_RANGE_M.0, HEIGHT_RANGE_M.1);
        if (used_m - given_m).abs() > 0.0 {
            warnings.push(SupportWarning::HeightCut { given_m, used_m });
        }
        return (used_m, HeightSource::Given);
    }
    land_height_m(lat_deg, lon_deg).map_or((0.0, HeightSource::SeaLevel), |height_m| {
        (height_m, HeightSource::LandBox)
    })
}

/// Ours: the marks at which a user should be told. Inside the grid no place is more than 236 km from a
/// corner of its square.
fn weaknesses(support: &Support) -> Vec<SupportWarning> {
    let mut found = Vec::new();
    if support.nearest_cell_km > 240.0 {
        found.push(SupportWarning::FarCells {
            km: support.nearest_cell_km,
        });
    }
    if support.sunshine_weight < 0.3 {
        found.push(SupportWarning::NoSunshineStation {
            weight: support.sunshine_weight,
        });
    }
    if support.nearest_station_km > 400.0 {
        found.push(SupportWarning::FarStation {
            km: support.nearest_station_km,
        });
    }
    let difference_m = support.height_m - support.cells_height_m;
    if difference_m.abs() > 800.0 {
        found.push(SupportWarning::FarInHeight { difference_m });
    }
    found
}

fn place_month(mix: &[CellShare], month: usize, lat_deg: f64, height_m: f64) -> PlaceMonth {
    let mean = |of: &dyn Fn(&CellMonth) -> f64| weighted(mix, month, of);
    let at_height = |of: &dyn Fn(&CellMonth) -> f64| {
        mean(&|cell| of(cell) + LAPSE_K_PER_M * cell.height_m) - LAPSE_K_PER_M * height_m
    };
    let ghi_kwh_m2 = mean(&|cell| cell.ghi_kwh_m2);
    let (extraterrestrial_kwh_m2, extraterrestrial_sd_kwh_m2) = extraterrestrial(month, lat_deg);
    PlaceMonth {
        ghi_kwh_m2,
        ghi_sd_kwh_m2: mean(&|cell| cell.ghi_sd_kwh_m2),
        mean_rel_sd: mean(&|cell| cell.mean_rel_sd),
        ghi_percentiles: std::array::from_fn(|k| {
            (SHARES[k], mean(&|cell| cell.ghi_percentiles_kwh_m2[k]))
        }),
        extraterrestrial_kwh_m2,
        extraterrestrial_sd_kwh_m2,
        kt: (extraterrestrial_kwh_m2 >= NIGHT_KWH_M2)
            .then(|| (ghi_kwh_m2 / extraterrestrial_kwh_m2).min(1.0)),
        tmin_c: at_height(&|cell| cell.tmin_c),
        tmax_c: at_height(&|cell| cell.tmax_c),
        day_mean_sd_c: mean(&|cell| cell.day_mean_sd_c),
    }
}

const SHARES: [f64; 5] = [0.10, 0.25, 0.50, 0.75, 0.90];

/// Mean and standard deviation over the days of a month (0 to 11) of the year 2026.
fn extraterrestrial(month: usize, lat_deg: f64) -> (f64, f64) {
    let days: Vec<f64> = NaiveDate::from_ymd_opt(2026, 1, 1)
        .into_iter()
        .flat_map(|first| first.iter_days().take(365))
        .filter(|date| date.month0() as usize == month)
        .map(|date| sun_of(date).horizontal_day_wh_m2(lat_deg) / 1000.0)
        .collect();
    let count = days.len().real();
    let mean = days.iter().sum::<f64>() / count;
    let variance = days.iter().map(|day| (day - mean).powi(2)).sum::<f64>() / count;
    (mean, libm::sqrt(variance))
}

/// The sun at noon UTC of a date.
fn sun_of(date: NaiveDate) -> DaySun {
    DaySun::at(f64::from(date.num_days_from_ce() - UNIX_DAY_FROM_CE) * 86_400.0 + 43_200.0)
}

/// chrono's day number of 1 January 1970.
const UNIX_DAY_FROM_CE: i32 = 719_163;
