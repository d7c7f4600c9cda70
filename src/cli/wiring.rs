//! `tideover wiring`: the cable and fuse schedule.

use std::path::PathBuf;

use clap::Args;
use tideover::command::{Failure as Refused, WiringQuestion, wiring};
use tideover::present::plain_text::json_text;
use tideover::units::Units;
use tideover::wiring::conductors::Series;
use tideover::wiring::suggest::{SuggestedRun, snippet, suggest};

use super::land::Land;
use super::reading::read_scenario;
use super::studied::deliver;
use super::trial_options::folder_for;
use super::{Ending, Failure, screen};

/// The cable and fuse schedule of every run, and a one-line diagram
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Print the runs that the system needs, ready to paste, and write nothing
    #[arg(long)]
    suggest: bool,
    /// Exit with 1 if any run fails
    #[arg(long, conflicts_with = "suggest")]
    strict: bool,
    /// Series of the conductors [default: mm2; awg with units us, in JSON mm2 all the same]
    #[arg(long, value_parser = ["mm2", "awg"])]
    cable: Option<String>,
    /// Unit of lengths on the screen [default: m; ft with units us]
    #[arg(long, value_parser = ["m", "ft"])]
    length: Option<String>,
    #[command(flatten)]
    land: Land,
    /// Folder of the outputs [default: output/<name of the scenario file>/]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Put the result as JSON on stdout instead of the table
    #[arg(long)]
    json: bool,
}

/// The suggested runs as JSON: an object whose `runs` can be pasted as a whole.
#[derive(serde::Serialize)]
struct Suggested<'a> {
    runs: &'a [SuggestedRun],
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let scenario = read_scenario(&arguments.scenario, &arguments.land)?.scenario;
    if arguments.suggest {
        let runs = suggest(&scenario);
        let text = if arguments.json {
            json_text(&Suggested { runs: &runs })
        } else {
            snippet(&runs)
        };
        return screen::data(&text.map_err(Refused::Json)?);
    }
    let series = arguments.cable.as_deref().map(|cable| match cable {
        "awg" => Series::Awg,
        _ => Series::Metric,
    });
    let length = arguments.length.as_deref().map(|length| match length {
        "ft" => Units::Us,
        _ => Units::Si,
    });
    let answered = wiring(&scenario, WiringQuestion { series, length }, true)?;
    let folder = folder_for(arguments.out.as_ref(), &arguments.scenario);
    deliver(
        &answered,
        &folder,
        (arguments.json, false),
        arguments.strict,
    )
}
