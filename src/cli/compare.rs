//! `tideover compare`: what does each option buy?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::compare_svg;
use tideover::present::csv::write_compare;
use tideover::present::tables::compare_tables;
use tideover::present::words::{Screen, compare_verdict};
use tideover::study::choosing::compare::compare;
use tideover::study::choosing::options::choices;

use super::choices::{chosen, hide_refused, prepare_choosing};
use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, deliver, json};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// What each option buys: batteries, panels, chargers, nights, all on the same trial trips
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Values of a key, such as `banks.main.capacity_ah=100,200`; repeat it for the cross product, 64
    /// options at most
    #[arg(long, value_name = "KEY=V1,V2,…")]
    vary: Vec<String>,
    /// One option that sets several keys, such as
    /// `big:banks.main.capacity_ah=200,banks.main.price=1600`
    #[arg(long, value_name = "NAME:KEY=V,KEY=V")]
    option: Vec<String>,
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
    let choices = choices(&arguments.vary, &arguments.option)?;
    let word = if arguments.vary.is_empty() {
        "--option"
    } else {
        "--vary"
    };
    let scenarios = choices
        .iter()
        .map(|choice| chosen(scenario, word, choice, &arguments.scenario))
        .collect::<Result<Vec<_>, _>>()?;
    let bar = Bar::new(options, settings.run.trials);
    let result = compare(&choices, &scenarios, settings, &bar);
    bar.finish();
    let result = result?;
    let result_json = json(&result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("compare.svg", compare_svg(&result));
    files.add_table("compare.csv", |table| write_compare(table, &result))?;
    files.add("compare.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: result.heading.from.as_ref(),
            verdict: compare_verdict(&result),
            tables: compare_tables(&result, screen::width()),
            warnings: &result.warnings,
            scenario,
            screen: Screen::Trip,
        },
    )?;
    Ok(Outcome::Done)
}
