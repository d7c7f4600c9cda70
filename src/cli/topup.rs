//! `tideover topup`: how many hours of driving a day keep the banks topped up?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::topup_svg;
use tideover::present::csv::write_topup;
use tideover::present::tables::topup_tables;
use tideover::present::words::{Screen, topup_verdict};
use tideover::scenario::Scenario;
use tideover::study::choosing::ChoosingError;
use tideover::study::choosing::topup::{DrivingBy, TopupResult, topup};
use tideover::study::choosing::topup_map::{Rows, size_rows, topup_map};

use super::choices::{hide_refused, prepare_choosing};
use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, deliver, json};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// The least driving a day that keeps the banks topped up at the aim
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
#[expect(
    clippy::doc_markdown,
    reason = "the words of --help, shown without backticks"
)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// The size across the picture, such as solar.roof.panel_w [default: the capacity of the bank
    /// that binds]
    #[arg(long, value_name = "KEY")]
    against: Option<String>,
    /// Exit with 1 if no number of hours does
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
    let prepared = prepare_choosing(&arguments.scenario, options)?.going_on(&arguments.here)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    let asked = arguments
        .against
        .as_deref()
        .map(|key| size_rows(scenario, key))
        .transpose()?;
    let bar = Bar::new(options, settings.run.trials);
    let mut result = topup(scenario, settings, &bar)?;
    let (against, rows) = match (asked, &arguments.against) {
        (Some(rows), Some(key)) => (key.clone(), rows),
        _ => capacity_rows(scenario, &result)?,
    };
    let way = result
        .driving_by
        .ok_or(ChoosingError::Nothing("there is nothing to drive"))?;
    let in_camp = result
        .hours_per_camp_day
        .filter(|_| way == DrivingBy::LocalDrives);
    let about = result.hours_per_day.map(|hours| {
        let middle = in_camp.unwrap_or(hours.value);
        (middle.max(0.3), result.now.per_day)
    });
    result.map = Some(topup_map(&against, &rows, way, about, settings, &bar)?);
    bar.finish();
    let result_json = json(&result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("topup.svg", topup_svg(&result));
    files.add_table("topup.csv", |table| write_topup(table, &result))?;
    files.add("topup.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: result.heading.from.as_ref(),
            verdict: topup_verdict(&result),
            tables: topup_tables(&result, screen::width()),
            warnings: &result.warnings,
            scenario,
            screen: Screen::Trip,
        },
    )?;
    Ok(if arguments.strict && result.hours_per_day.is_none() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

/// The capacity of the bank that binds, else of the first house bank.
fn capacity_rows(scenario: &Scenario, result: &TopupResult) -> Result<(String, Rows), Failure> {
    let binding = result.binds.as_ref().map(|binds| binds.bank.clone());
    let first = result.banks.first().map(|bank| bank.id.clone());
    let bank = binding.or(first).unwrap_or_default();
    let key = format!("banks.{bank}.capacity_ah");
    match size_rows(scenario, &key) {
        Ok(rows) => Ok((key, rows)),
        // Limits given beside the capacity may forbid other sizes: then the map has one row.
        Err(ChoosingError::Broken { .. }) => {
            let capacity = scenario.banks.iter().find(|known| known.id == bank);
            let size = capacity.map_or(0.0, |bank| bank.capacity_ah);
            Ok((key, vec![(size, scenario.clone())]))
        }
        Err(other) => Err(other.into()),
    }
}
