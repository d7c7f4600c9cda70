//! Mean heights of the land in boxes of 1°.
//!
//! One job: a place in, the height of its box out. Packed like the grid (see `packed`): a bit for
//! each of 140 × 360 boxes, rows from 56° S, columns from 180° W, then one byte a box in steps of
//! [`HEIGHT_STEP_M`], as the difference from the box before.

use std::sync::OnceLock;

use super::packed::{HEIGHT_STEP_M, inflate, present};
use crate::units::Whole;

const ROWS: usize = 140;
const COLUMNS: usize = 360;
const SOUTH_EDGE_DEG: f64 = -56.0;

/// Mean height of the land in the 1° box of a place, m, within 13 m of the table. `None`: no land
/// to speak of in the box (under 8 % of it), or south of 56° S or north of 84° N.
#[must_use]
pub fn land_height_m(lat_deg: f64, lon_deg: f64) -> Option<f64> {
    let row = (lat_deg - SOUTH_EDGE_DEG).floor();
    let column = (lon_deg + 180.0).rem_euclid(360.0).floor();
    (row >= 0.0 && row < ROWS.real())
        .then(|| boxes()[usize::cut(row) * COLUMNS + usize::cut(column).min(COLUMNS - 1)])?
        .map(|steps| f64::from(steps) * HEIGHT_STEP_M)
}

fn boxes() -> &'static [Option<u8>] {
    static BOXES: OnceLock<Vec<Option<u8>>> = OnceLock::new();
    BOXES.get_or_init(|| {
        let bytes = inflate(include_bytes!("heights.bin"));
        let (bits, steps) = bytes.split_at(ROWS * COLUMNS / 8);
        let mut steps = steps.iter();
        let mut height = 0_u8;
        present(bits, ROWS * COLUMNS)
            .map(|here| {
                here.then(|| {
                    height = height.wrapping_add(steps.next().copied().unwrap_or(0));
                    height
                })
            })
            .collect()
    })
}
