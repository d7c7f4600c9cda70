//! `tideover wiring`: the cable and fuse schedule.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use tideover::present::diagram::wiring_svg;
use tideover::present::wiring_csv::wiring_csv;
use tideover::present::wiring_sheet::wiring_sheet;
use tideover::present::wiring_table::{LengthUnit, wiring_text};
use tideover::wiring::conductors::Series;
use tideover::wiring::suggest::{SuggestedRun, snippet};
use tideover::wiring::{schedule_in, suggest};

use super::prepared::{json, written};
use super::reading::read_scenario;
use super::trial_options::folder_for;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

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
    /// Series of the conductors
    #[arg(long, value_enum, default_value_t = Cable::Mm2)]
    cable: Cable,
    /// Unit of lengths on the screen
    #[arg(long, value_enum, default_value_t = Length::M)]
    length: Length,
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
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let scenario = read_scenario(&arguments.scenario)?.scenario;
    if arguments.suggest {
        let runs = suggest(&scenario);
        if arguments.json {
            screen::data(&json(&Suggested { runs: &runs })?)?;
        } else {
            screen::data(&snippet(&runs).map_err(Failure::Json)?)?;
        }
        return Ok(Outcome::Done);
    }
    let series = match arguments.cable {
        Cable::Mm2 => Series::Metric,
        Cable::Awg => Series::Awg,
    };
    let length = match arguments.length {
        Length::M => LengthUnit::Metres,
        Length::Ft => LengthUnit::Feet,
    };
    let schedule = schedule_in(&scenario, series, None);
    let result_json = json(&schedule)?;
    let folder = folder_for(arguments.out.as_ref(), &arguments.scenario);
    let mut files = WholeFiles::into_folder(folder);
    files.add("wiring.csv", wiring_csv(&schedule).map_err(Failure::Csv)?);
    files.add("wiring.svg", wiring_svg(&scenario, &schedule));
    files.add("wiring.html", wiring_sheet(&scenario, &schedule, length));
    files.add("wiring.json", result_json.as_str());
    let paths = files.write()?;
    if arguments.json {
        screen::data(&result_json)?;
    } else {
        let width = u16::try_from(screen::width()).unwrap_or(u16::MAX);
        screen::answer(&format!(
            "{}\n{}\n",
            wiring_text(&schedule, width, length),
            written(&paths)
        ))?;
    }
    let fails = !schedule.pass;
    Ok(if arguments.strict && fails {
        Outcome::No
    } else {
        Outcome::Done
    })
}
