//! `tideover trip`: does this itinerary work?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::{autonomy_svg, trip_svg};
use tideover::present::csv::{write_rows, write_trip};
use tideover::present::tables::trip_tables;
use tideover::present::trip_document::TripDocument;
use tideover::present::words::{Screen, trip_verdict};
use tideover::study::answer::TripAnswer;
use tideover::study::trip::trip;
use tideover::study::typical::{TypicalTable, typical};

use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, deliver, json, prepare};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// Test an itinerary: the chance that it works, night by night, and its weak point
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Exit with 1 if the chance of no shortfall is below the aim
    #[arg(long)]
    strict: bool,
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
    let (answer, steps) = if settings.typical {
        let (answer, steps) = typical(scenario, settings)?;
        (answer, Some(steps))
    } else {
        let bar = Bar::new(options, settings.run.trials);
        let answer = trip(scenario, settings, &bar);
        bar.finish();
        (answer?, None)
    };
    let result_json = json(&TripDocument::from(&answer))?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    add_outputs(&answer, steps.as_ref(), &result_json, &mut files)?;
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: answer.result.heading.from.as_ref(),
            verdict: trip_verdict(&answer),
            tables: trip_tables(&answer, screen::width()),
            warnings: &answer.result.warnings,
            scenario,
            screen: Screen::Trip,
        },
    )?;
    let is_no = answer.result.chance_no_shortfall.value < answer.aim_chance;
    Ok(if arguments.strict && is_no {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn add_outputs(
    answer: &TripAnswer,
    steps: Option<&TypicalTable>,
    result_json: &str,
    files: &mut WholeFiles,
) -> Result<(), Failure> {
    files.add("trip.svg", trip_svg(answer));
    files.add("autonomy.svg", autonomy_svg(answer));
    files.add_table("trip.csv", |table| write_trip(table, &answer.result))?;
    files.add("trip.json", result_json);
    if let Some(steps) = steps {
        files.add_table("typical.csv", |table| {
            write_rows(table, &steps.header, steps.rows.iter().cloned())
        })?;
    }
    Ok(())
}
