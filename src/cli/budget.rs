//! `tideover budget`: what each bank takes and gets on an average day of the trip.

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::budget_svg;
use tideover::present::csv::write_budget;
use tideover::present::tables::budget_tables;
use tideover::present::words::{Screen, budget_verdict};
use tideover::study::budget::budget;

use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, deliver, json, prepare};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// The energy budget: what each bank takes and gets on an average day of the trip
#[derive(Debug, Args)]
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
    let prepared = prepare(&arguments.scenario, options)?.going_on(&arguments.here)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    let bar = Bar::new(options, settings.run.trials);
    let result = budget(scenario, settings, &bar);
    bar.finish();
    let result = result?;
    let result_json = json(&result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("budget.svg", budget_svg(&result));
    files.add_table("budget.csv", |table| write_budget(table, &result))?;
    files.add("budget.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: result.heading.from.as_ref(),
            verdict: budget_verdict(&result),
            tables: budget_tables(&result, screen::width()),
            warnings: &result.warnings,
            scenario,
            screen: Screen::Budget,
        },
    )?;
    Ok(Outcome::Done)
}
