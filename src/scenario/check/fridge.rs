//! A fridge: its data-sheet point against its compressor.

use super::super::parts::{LoadFile, StartsWord};
use super::super::problem::{Fault, figure, short};
use super::findings::Findings;
use crate::scenario::Fridge;

/// Checks the keys of a fridge.
pub(in crate::scenario) fn check(
    file: &LoadFile,
    factor: f64,
    in_trailer: bool,
    path: &str,
    notes: &mut Findings<'_>,
) -> Fridge {
    let kept = file.kept(path, notes, in_trailer);
    let running_w = file.running_w(path, notes);
    let set_c = file.set_c(path, notes);
    let (rated_average_a, rated_ambient_c, rated_inside_c) = rated(file, factor, path, notes);
    let rated_w = rated_average_a * 12.0 * factor;
    let rated_path = format!("{path}/rated");
    let spoiled = notes.is_spoiled(&rated_path) || notes.is_spoiled(&format!("{path}/running_w"));
    if rated_w > running_w && !spoiled {
        let text = format!(
            "draws {} W on average, but `running_w` is {}: a compressor cannot run more than all the time",
            short(rated_w),
            figure(running_w)
        );
        let is_in_watts = rated_w > 3.0 * running_w;
        let hint = is_in_watts.then(|| "`average_a` is in amperes, not in watts".to_owned());
        notes.problem(&rated_path, Fault::new(text, hint));
    }
    if rated_ambient_c <= rated_inside_c && !spoiled {
        let text = format!(
            "has {rated_ambient_c} °C outside and {rated_inside_c} °C inside, but must be warmer outside"
        );
        notes.problem(&rated_path, text);
    }
    Fridge {
        kept,
        running_w,
        set_c,
        rated_average_a,
        rated_ambient_c,
        rated_inside_c,
        openings_per_day: file.openings_per_day(path, notes),
        warm_food_kg_per_day: file.warm_food_kg_per_day(path, notes),
        contents_wh_per_k: file.contents_wh_per_k(path, notes),
        starts_warm: file.starts(path, notes) == StartsWord::Warm,
    }
}

/// Mean current, surroundings and inside of the data-sheet point.
fn rated(file: &LoadFile, factor: f64, path: &str, notes: &mut Findings<'_>) -> (f64, f64, f64) {
    let (default_a, ambient_c, inside_c) = (1.3 / factor, 32.0, 4.0);
    if let Some(rated) = &file.rated {
        return (
            rated.average_a.unwrap_or(default_a),
            rated.at_ambient_c.unwrap_or(ambient_c),
            rated.at_inside_c.unwrap_or(inside_c),
        );
    }
    let value = format!("{default_a} A at ‹{ambient_c} °C› outside, ‹{inside_c} °C› inside");
    let reason =
        "a box of 40 to 50 L takes 0.6 to 1.3 A in mild weather, more in heat (common practice)";
    notes.assume(&format!("{path}/rated"), &value, reason);
    (default_a, ambient_c, inside_c)
}
