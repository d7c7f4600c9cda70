//! Commands: a question about a scenario to a whole answer.
//!
//! One job: for a command and its options, everything that is shown of it: verdict, tables, warnings,
//! cautions, JSON and files. The command line parses words, prints and writes; the page draws; neither
//! works anything out, so they cannot differ.

mod answered;
mod check;
mod choosing;
mod failure;
mod learn;
mod options;
mod question;
mod report;
mod sky;
mod studies;
mod wiring;
mod without_scripts;

pub use answered::Answered;
pub use check::{checked, refused_json};
pub use failure::{Beside, Failure, read_scenario};
pub use options::{
    MOST_SEED, MOST_TRIALS, Options, horizon_days, precision, seed, step_minutes, trials,
};
pub use question::Question;
pub use sky::{SkyQuestion, height_m, month, place, sky};
pub use studies::{Asked, answer, check_options, quick_chance};
pub use wiring::{WiringQuestion, wiring};
pub use without_scripts::without_scripts;

use crate::places::{KnownPlace, alike, find};
use crate::present::plain_text::json_text;
use crate::present::tables::places_json;

/// The places of a name, at least one.
///
/// # Errors
/// [`Failure::NoSuchPlace`] with names that are alike.
pub fn places(name: &str) -> Result<Vec<&'static KnownPlace>, Failure> {
    let found = find(name);
    if found.is_empty() {
        let nearly = alike(name, 5);
        return Err(Failure::NoSuchPlace {
            found: name.to_owned(),
            alike: nearly.into_iter().map(KnownPlace::full_name).collect(),
        });
    }
    Ok(found)
}

/// Places as JSON text.
///
/// # Errors
/// [`Failure::Json`], in practice none.
pub fn places_text(places: &[&KnownPlace]) -> Result<String, Failure> {
    json_text(&places_json(places)).map_err(Failure::Json)
}
