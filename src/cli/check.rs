//! `tideover check`: is the file sound, and what will be assumed.

use std::path::PathBuf;

use clap::Args;
use tideover::command::{Failure as Refused, checked, refused_json};
use tideover::scenario::json_schema;

use super::land::Land;
use super::reading::{read_scenario, shown_path};
use super::studied::print;
use super::{Ending, Failure, screen};

/// Check a scenario file: problems, doubts, and what is assumed where it says nothing
#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "switches of the command line"
)]
pub(super) struct Arguments {
    /// The scenario file
    #[arg(required_unless_present = "schema")]
    scenario: Option<PathBuf>,
    #[command(flatten)]
    land: Land,
    /// Put the findings as JSON on stdout
    #[arg(long)]
    json: bool,
    /// Print the JSON Schema (2020-12) of scenario files and check nothing
    #[arg(long, conflicts_with_all = ["scenario", "json", "quiet", "strict"])]
    schema: bool,
    /// Print the verdict alone
    #[arg(long, conflicts_with = "json")]
    quiet: bool,
    /// Exit with 1 if there is any warning
    #[arg(long)]
    strict: bool,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let Some(path) = arguments.scenario.as_ref().filter(|_| !arguments.schema) else {
        return screen::data(&format!("{:#}\n", json_schema()));
    };
    let reading = match read_scenario(path, &arguments.land) {
        Ok(reading) => reading,
        Err(failure) => {
            if let (true, Failure::Refused(Refused::Refused { refusal, .. })) =
                (arguments.json, &failure)
            {
                screen::data(&refused_json(refusal)?)?;
            }
            return Err(failure);
        }
    };
    let answered = checked(&reading, &shown_path(path))?;
    print(
        &answered,
        &[],
        (arguments.json, arguments.quiet),
        arguments.strict,
    )
}
