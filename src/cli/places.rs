//! `tideover places`: places of the world by name.

use clap::Args;
use tideover::command::{places, places_text};
use tideover::present::tables::{laid_out, places_tables};

use super::{Ending, Failure, screen};

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
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let found = places(&arguments.name)?;
    if arguments.json {
        screen::data(&places_text(&found)?)
    } else {
        let text = laid_out(&places_tables(&found), screen::width());
        screen::answer(&(text + "\n"))
    }
}
