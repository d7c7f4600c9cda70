//! `tideover why`: which assumption does the answer depend on?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::why_svg;
use tideover::present::csv::write_why;
use tideover::present::tables::why_tables;
use tideover::present::words::{Screen, why_verdict};
use tideover::study::choosing::why::{DEFAULT_TRIALS, Of, why};

use super::choices::{hide_refused, prepare_choosing};
use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, deliver, json};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// Which assumption the answer depends on most; 500 trials where none are given
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// What to look at: chance (of no shortfall) or soc (the lowest state of charge) [default: chance,
    /// or soc where the chance stands at 0 or 100 %]
    #[arg(long, value_name = "WHAT", value_parser = ["chance", "soc"])]
    of: Option<String>,
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
    let mut settings = settings.clone();
    if options.trials.is_none() {
        settings.run.trials = DEFAULT_TRIALS;
    }
    let of = arguments.of.as_deref().map(|of| match of {
        "soc" => Of::LowestSoc,
        _ => Of::Chance,
    });
    let bar = Bar::new(options, settings.run.trials);
    let result = why(scenario, of, &settings, &bar);
    bar.finish();
    let result = result?;
    let result_json = json(&result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("why.svg", why_svg(&result));
    files.add_table("why.csv", |table| write_why(table, &result))?;
    files.add("why.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: result.heading.from.as_ref(),
            verdict: why_verdict(&result),
            tables: why_tables(&result, screen::width()),
            warnings: &result.warnings,
            scenario,
            screen: Screen::Trip,
        },
    )?;
    Ok(Outcome::Done)
}
