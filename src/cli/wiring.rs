//! `tideover wiring`: the cable and fuse schedule.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use tideover::command::{Failure as Refused, WiringQuestion, wiring};
use tideover::present::plain_text::json_text;
use tideover::units::Units;
use tideover::wiring::conductors::Series;
use tideover::wiring::suggest;
use tideover::wiring::suggest::{SuggestedRun, snippet};

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
    #[arg(long, value_enum)]
    cable: Option<Cable>,
    /// Unit of lengths on the screen [default: m; ft with units us]
    #[arg(long, value_enum)]
    length: Option<Length>,
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

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Cable {
    Mm2,
    Awg,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Length {
    M,
    Ft,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let scenario = read_scenario(&arguments.scenario, &arguments.land)?.scenario;
    if arguments.suggest {
        let runs = suggest(&scenario);
        if arguments.json {
            let text = json_text(&Suggested { runs: &runs }).map_err(Refused::Json)?;
            screen::data(&text)?;
        } else {
            screen::data(&snippet(&runs).map_err(Refused::Json)?)?;
        }
        return Ok(Ending::Done);
    }
    let series = arguments.cable.map(|cable| match cable {
        Cable::Mm2 => Series::Metric,
        Cable::Awg => Series::Awg,
    });
    let length = arguments.length.map(|length| match length {
        Length::M => Units::Si,
        Length::Ft => Units::Us,
    });
    let answered = wiring(&scenario, WiringQuestion { series, length }, true)?;
    let folder = folder_for(arguments.out.as_ref(), &arguments.scenario);
    deliver(answered, folder, (arguments.json, false), arguments.strict)
}
