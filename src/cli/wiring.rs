//! `tideover wiring`: the cable and fuse schedule.

use std::path::PathBuf;

use clap::Args;
use tideover::present::diagram::wiring_svg;
use tideover::present::wiring_csv::wiring_csv;
use tideover::present::wiring_table::wiring_text;
use tideover::wiring::suggest::snippet;
use tideover::wiring::{schedule, suggest};

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
    /// Folder of the outputs [default: output/<name of the scenario file>/]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Put the result as JSON on stdout instead of the table
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let scenario = read_scenario(&arguments.scenario)?.scenario;
    if arguments.suggest {
        let runs = suggest(&scenario);
        screen::data(&snippet(&runs).map_err(Failure::Json)?)?;
        return Ok(Outcome::Done);
    }
    let schedule = schedule(&scenario, None);
    let result_json = json(&schedule)?;
    let folder = folder_for(arguments.out.as_ref(), &arguments.scenario);
    let mut files = WholeFiles::into_folder(folder);
    files.add("wiring.csv", wiring_csv(&schedule).map_err(Failure::Csv)?);
    files.add("wiring.svg", wiring_svg(&scenario, &schedule));
    files.add("wiring.json", result_json.as_str());
    let paths = files.write()?;
    if arguments.json {
        screen::data(&result_json)?;
    } else {
        let width = u16::try_from(screen::width()).unwrap_or(u16::MAX);
        screen::answer(&format!(
            "{}\n{}\n",
            wiring_text(&schedule, width),
            written(&paths)
        ))?;
    }
    let fails = schedule.runs.iter().any(|run| !run.pass);
    Ok(if arguments.strict && fails {
        Outcome::No
    } else {
        Outcome::Done
    })
}
