//! `tideover places`: places of the world by name.

use clap::Args;
use tideover::places::{KnownPlace, alike, find};
use tideover::present::tables::{places_json, places_text};

use super::prepared::json;
use super::{Failure, Outcome, screen};

/// Look places up by name, as the itinerary's `to` and `near` do
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// A name, with region or country after commas if you like: "Maun", "Tok, AK, US"
    #[arg(value_name = "NAME")]
    name: String,
    /// Put the result as JSON on stdout instead of the table
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let found = find(&arguments.name);
    if found.is_empty() {
        let nearly = alike(&arguments.name, 5);
        return Err(Failure::NoSuchPlace {
            found: arguments.name.clone(),
            alike: nearly.into_iter().map(KnownPlace::full_name).collect(),
        });
    }
    if arguments.json {
        screen::data(&json(&places_json(&found))?)?;
    } else {
        screen::answer(&places_text(&found, screen::width()))?;
    }
    Ok(Outcome::Done)
}
