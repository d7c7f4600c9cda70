//! The packing step of the built-in climate, and the proof that what is embedded is the tables.
//!
//! One job: `tests/reference/climate/*.csv.gz` to `src/sky/world_climate/grid.bin` and
//! `heights.bin`. The tests compare; to write the files anew after a change of the tables or of the
//! layout (described in `src/sky/world_climate/packed.rs`):
//!
//! ```text
//! PACK_WORLD_CLIMATE=1 cargo test --test pack_world_climate
//! ```

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec;
use tideover::sky::world_climate::{cell_month, land_height_m};

const ROWS: usize = 44;
const COLUMNS: usize = 120;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// The rows of a gzipped table, by column name.
fn table(name: &str) -> Vec<BTreeMap<String, f64>> {
    let path = root().join("tests/reference/climate").join(name);
    let bytes = std::fs::read(&path).unwrap();
    // RFC 1952: ten bytes of header (no name: `gzip -n`), deflate, eight bytes of trailer.
    assert_eq!(bytes[..4], [0x1f, 0x8b, 8, 0], "gzip header of {name}");
    let text = decompress_to_vec(&bytes[10..bytes.len() - 8]).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_slice());
    let header = reader.headers().unwrap().clone();
    reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            let value = |field: &str| field.parse().unwrap_or(f64::NAN);
            header
                .iter()
                .zip(row.iter())
                .map(|(key, field)| (key.to_owned(), value(field)))
                .collect()
        })
        .collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked to fit"
)]
fn steps(value: f64, zero: f64, step: f64) -> u8 {
    let steps = ((value - zero) / step).round();
    assert!(
        (0.0..=255.0).contains(&steps),
        "{value} does not fit a byte"
    );
    steps as u8
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "whole and positive"
)]
fn whole(value: f64) -> usize {
    value.round() as usize
}

fn bitmap(points: &[usize], count: usize) -> Vec<u8> {
    let mut bits = vec![0_u8; count / 8];
    for point in points {
        bits[point / 8] |= 1 << (point % 8);
    }
    bits
}

/// Differences of planes from their forecast `left + before - left_before`.
fn differences(planes: &[Vec<u8>]) -> Vec<u8> {
    let mut out = Vec::new();
    for (month, plane) in planes.iter().enumerate() {
        for (cell, value) in plane.iter().enumerate() {
            let left = if cell > 0 { plane[cell - 1] } else { 0 };
            let before = if month > 0 {
                planes[month - 1][cell]
            } else {
                0
            };
            let both = if cell > 0 && month > 0 {
                planes[month - 1][cell - 1]
            } else {
                0
            };
            out.push(value.wrapping_sub(left.wrapping_add(before).wrapping_sub(both)));
        }
    }
    out
}

fn pack_grid() -> Vec<u8> {
    let mut rows = table("climate_grid_3deg.csv.gz");
    let point = |row: &BTreeMap<String, f64>| {
        whole((row["lat_deg"] + 57.0) / 3.0) * COLUMNS + whole((row["lon_deg"] + 180.0) / 3.0)
    };
    rows.sort_by_key(|row| point(row) * 12 + whole(row["month"]));
    let cells: Vec<_> = rows.chunks(12).collect();
    let points: Vec<usize> = cells.iter().map(|months| point(&months[0])).collect();
    let mut out = bitmap(&points, ROWS * COLUMNS);
    let constant = |key: &str, step: f64| {
        vec![
            cells
                .iter()
                .map(|months| steps(months[0][key], 0.0, step))
                .collect::<Vec<u8>>(),
        ]
    };
    out.extend(differences(&constant("elev_m", 25.0)));
    out.extend(differences(&constant("nearest_station_km", 10.0)));
    let mut monthly = |of: &dyn Fn(&BTreeMap<String, f64>) -> u8| {
        let planes: Vec<Vec<u8>> = (0..12)
            .map(|month| cells.iter().map(|months| of(&months[month])).collect())
            .collect();
        out.extend(differences(&planes));
    };
    let mean = "ghi_mean_kwh_m2_day";
    let share = |row: &BTreeMap<String, f64>, key: &str| {
        if row[mean] > 0.0 {
            // At the edge of polar night a percentile may be more than 5.1 times a mean of 0.01.
            steps((row[key] / row[mean]).min(5.1), 0.0, 0.02)
        } else {
            0
        }
    };
    monthly(&|row| u8::try_from(whole(row[mean] * 100.0) / 256).unwrap());
    monthly(&|row| u8::try_from(whole(row[mean] * 100.0) % 256).unwrap());
    for key in ["sd", "p10", "p25", "p50", "p75", "p90"] {
        monthly(&|row| share(row, &format!("ghi_{key}_kwh_m2_day")));
    }
    monthly(&|row| steps(row["tmin_c"], -51.0, 0.4));
    monthly(&|row| steps(row["tmax_c"], -51.0, 0.4));
    monthly(&|row| steps(row["tmean_day_sd_c"], 0.0, 0.1));
    monthly(&|row| steps(row["sunshine_station_weight"], 0.0, 0.1));
    monthly(&|row| steps(row["kt_mean_rel_sd"], 0.0, 0.01));
    out
}

fn pack_heights() -> Vec<u8> {
    let mut boxes: Vec<(usize, u8)> = table("elevation_1deg.csv.gz")
        .iter()
        .map(|row| {
            let point = whole(row["lat_deg"] + 55.5) * 360 + whole(row["lon_deg"] + 179.5);
            (point, steps(row["elev_m"], 0.0, 25.0))
        })
        .collect();
    boxes.sort_unstable();
    let points: Vec<usize> = boxes.iter().map(|(point, _)| *point).collect();
    let mut out = bitmap(&points, 140 * 360);
    out.extend(differences(&[boxes
        .iter()
        .map(|(_, value)| *value)
        .collect()]));
    out
}

/// The step itself: compares, or writes when asked to.
#[test]
fn law_the_embedded_files_are_the_packed_tables() {
    let mut total = 0;
    for (name, plain) in [("grid.bin", pack_grid()), ("heights.bin", pack_heights())] {
        let path = root().join("src/sky/world_climate").join(name);
        if std::env::var_os("PACK_WORLD_CLIMATE").is_some() {
            std::fs::write(&path, compress_to_vec(&plain, 10)).unwrap();
        }
        let packed = std::fs::read(&path).unwrap();
        total += packed.len();
        // The content is compared, since another version of the compressor may choose other codes.
        assert!(
            decompress_to_vec(&packed).unwrap() == plain,
            "{name} is not the packed table"
        );
    }
    assert!(total < 180_000, "{total} bytes embedded");
}

/// Outside figures: every number of the grid, within half a step of the packing.
#[test]
fn outside_every_cell_is_the_table_within_the_quantum() {
    let rows = table("climate_grid_3deg.csv.gz");
    assert_eq!(rows.len(), 29_376);
    for row in &rows {
        #[expect(clippy::cast_possible_truncation, reason = "1 to 12")]
        let month = whole(row["month"]) as u32;
        let cell = cell_month(row["lat_deg"], row["lon_deg"], month).unwrap();
        let near = |what: &str, found: f64, half_step: f64| {
            let given = row[what];
            assert!(
                (found - given).abs() <= half_step + 1e-9,
                "{what} {found} {given} in {row:?}"
            );
        };
        near("ghi_mean_kwh_m2_day", cell.ghi_kwh_m2, 0.005);
        // A mean that the table rounds to zero has no shares, one of 0.01 only up to 5.1: all but night.
        let half_share = if cell.ghi_kwh_m2 > 0.015 {
            0.01 * cell.ghi_kwh_m2
        } else {
            0.06
        };
        near("ghi_sd_kwh_m2_day", cell.ghi_sd_kwh_m2, half_share);
        for (key, found) in [10, 25, 50, 75, 90].iter().zip(cell.ghi_percentiles_kwh_m2) {
            near(&format!("ghi_p{key}_kwh_m2_day"), found, half_share);
        }
        near("kt_mean_rel_sd", cell.mean_rel_sd, 0.005);
        near("tmin_c", cell.tmin_c, 0.2);
        near("tmax_c", cell.tmax_c, 0.2);
        near("tmean_day_sd_c", cell.day_mean_sd_c, 0.05);
        near("elev_m", cell.height_m, 12.5);
        near("sunshine_station_weight", cell.sunshine_weight, 0.05);
        near("nearest_station_km", cell.nearest_station_km, 5.0);
    }
    let cells = (-90..=90).flat_map(|row| (-60..60).map(move |column| (row, column)));
    let present = cells
        .filter(|&(row, column)| {
            cell_month(f64::from(row) * 3.0, f64::from(column) * 3.0, 6).is_some()
        })
        .count();
    assert_eq!(present, 2448, "no cell beyond the table's");
}

/// Outside figures: every height, within half a step.
#[test]
fn outside_every_height_is_the_table_within_the_quantum() {
    let rows = table("elevation_1deg.csv.gz");
    let mut boxes = 0;
    for row in &rows {
        let found = land_height_m(row["lat_deg"], row["lon_deg"]).unwrap();
        assert!((found - row["elev_m"]).abs() <= 12.5, "{found} in {row:?}");
    }
    for row in -90..90 {
        for column in -180..180 {
            let place = (f64::from(row) + 0.5, f64::from(column) + 0.5);
            boxes += usize::from(land_height_m(place.0, place.1).is_some());
        }
    }
    assert_eq!(boxes, rows.len());
}
