//! A fridge: its data-sheet point against its compressor.

use super::super::defaults;
use super::super::file::{LoadFile, StartsWord};
use super::super::problem::{Fault, figure, short};
use super::findings::Findings;
use crate::scenario::{Fridge, Kept};

/// Checks the keys of a fridge.
pub(super) fn check(
    file: &LoadFile,
    factor: f64,
    in_trailer: bool,
    path: &str,
    notes: &mut Findings<'_>,
) -> Fridge {
    let key = |name: &str| format!("{path}/{name}");
    let kept = defaults::fridge_kept(in_trailer);
    let kept = notes.word_or_assumed(&key("kept"), file.kept, kept, Kept::word);
    let running_w = notes.or_assumed(
        &key("running_w"),
        file.running_w,
        defaults::FRIDGE_RUNNING_W,
    );
    let set_c = notes.or_assumed(&key("set_c"), file.set_c, defaults::FRIDGE_SET_C);
    let (rated_average_a, rated_ambient_c, rated_inside_c) = rated(file, factor, path, notes);
    let rated_w = rated_average_a * 12.0 * factor;
    let rated_path = key("rated");
    let spoiled = notes.is_spoiled(&rated_path) || notes.is_spoiled(&key("running_w"));
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
    let openings = defaults::FRIDGE_OPENINGS;
    let food = defaults::FRIDGE_FOOD_KG;
    let contents = defaults::FRIDGE_CONTENTS_WH_PER_K;
    Fridge {
        kept,
        running_w,
        set_c,
        rated_average_a,
        rated_ambient_c,
        rated_inside_c,
        openings_per_day: notes.or_assumed(
            &key("openings_per_day"),
            file.openings_per_day,
            openings,
        ),
        warm_food_kg_per_day: notes.or_assumed(
            &key("warm_food_kg_per_day"),
            file.warm_food_kg_per_day,
            food,
        ),
        contents_wh_per_k: notes.or_assumed(
            &key("contents_wh_per_k"),
            file.contents_wh_per_k,
            contents,
        ),
        starts_warm: if let Some(starts) = file.starts {
            starts == StartsWord::Warm
        } else {
            let default = defaults::FRIDGE_STARTS_WARM;
            notes.assume(&key("starts"), &"cold", default.reason);
            default.value
        },
    }
}

/// Mean current, surroundings and inside of the data-sheet point.
fn rated(file: &LoadFile, factor: f64, path: &str, notes: &mut Findings<'_>) -> (f64, f64, f64) {
    let average = defaults::FRIDGE_RATED_A;
    let default_a = average.value / factor;
    let ambient_c = defaults::FRIDGE_RATED_AMBIENT_C;
    let inside_c = defaults::FRIDGE_RATED_INSIDE_C;
    if let Some(rated) = &file.rated {
        return (
            rated.average_a.unwrap_or(default_a),
            rated.at_ambient_c.unwrap_or(ambient_c),
            rated.at_inside_c.unwrap_or(inside_c),
        );
    }
    let value = format!("{default_a} A at ‹{ambient_c} °C› outside, ‹{inside_c} °C› inside");
    notes.assume(&format!("{path}/rated"), &value, average.reason);
    (default_a, ambient_c, inside_c)
}
