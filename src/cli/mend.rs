//! `tideover mend`: which change makes the trip work, and which does not help?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::mend_svg;
use tideover::present::tables::mend_tables;
use tideover::present::words::{Screen, mend_verdict};
use tideover::study::mending::mend;

use super::choices::{hide_refused, prepare_choosing};
use super::prepared::{Bar, Spoken, deliver, json};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// The cheapest change that makes the trip work, found by trying, and what does not help
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Exit with 1 if no change that was tried reaches the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let options = &arguments.options;
    let prepared = prepare_choosing(&arguments.scenario, options)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    let bar = Bar::new(options, settings.run.trials);
    let result = mend(scenario, settings, &bar);
    bar.finish();
    let result = result?;
    let result_json = json(&result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    if let Some(svg) = mend_svg(&result) {
        files.add("mend.svg", svg);
    }
    files.add("mend.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            verdict: mend_verdict(&result),
            tables: mend_tables(&result, screen::width()),
            warnings: &result.warnings,
            scenario,
            from: result.heading.from.as_ref(),
            screen: Screen::Trip,
        },
    )?;
    let is_reached = result.meets_aim || result.mends.iter().any(|mend| mend.meets_aim);
    Ok(if arguments.strict && !is_reached {
        Outcome::No
    } else {
        Outcome::Done
    })
}
