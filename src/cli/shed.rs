//! `tideover shed`: what to switch off first, and what each buys?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::shed_svg;
use tideover::present::csv::write_shed;
use tideover::present::tables::shed_tables;
use tideover::present::words::{Screen, shed_verdict};
use tideover::study::choosing::shed::shed;

use super::choices::{hide_refused, prepare_choosing};
use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, deliver, json};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// What to switch off first, and what each load buys in days and chance
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let options = &arguments.options;
    let prepared = prepare_choosing(&arguments.scenario, options)?.going_on(&arguments.here)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    let bar = Bar::new(options, settings.run.trials);
    let result = shed(scenario, settings, &bar);
    bar.finish();
    let result = result?;
    let result_json = json(&result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("shed.svg", shed_svg(&result));
    files.add_table("shed.csv", |table| write_shed(table, &result))?;
    files.add("shed.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: result.heading.from.as_ref(),
            verdict: shed_verdict(&result),
            tables: shed_tables(&result, screen::width()),
            warnings: &result.warnings,
            scenario,
            screen: Screen::Trip,
        },
    )?;
    Ok(Outcome::Done)
}
