//! `tideover report`: every answer in one file to print or carry.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use chrono::DateTime;
use clap::Args;
use tideover::present::report::{Imprint, report_html};
use tideover::present::words::{Screen, trip_verdict};
use tideover::scenario::Scenario;
use tideover::study::choosing::ChoosingError;
use tideover::study::choosing::options::{Choice, choices};
use tideover::study::report::{ReportQuestion, report};

use super::choices::{chosen, prepare_choosing};
use super::here_options::HereOptions;
use super::prepared::{Bar, Prepared, Spoken, deliver, json, prepare};
use super::reading::shown_path;
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome};

/// All of it in one file to print or carry: trip, days, what to do if, budget, wiring, sources
#[derive(Debug, Args)]
#[command(after_help = EPOCH)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Compare values of a key with the scenario as it is, such as `banks.main.capacity_ah=100,200`;
    /// repeat it for the cross product
    #[arg(long, value_name = "KEY=V1,V2,…")]
    compare: Vec<String>,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

const EPOCH: &str = "The report bears today's date (UTC); where the variable SOURCE_DATE_EPOCH is set, \
    the date of those seconds since 1970, so that it can be made again to the byte.";

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let options = &arguments.options;
    let date = today()?;
    let prepared = if arguments.compare.is_empty() {
        prepare(&arguments.scenario, options)?
    } else {
        prepare_choosing(&arguments.scenario, options)?
    };
    let prepared = prepared.going_on(&arguments.here)?;
    let Prepared {
        scenario, settings, ..
    } = &prepared;
    let compared = compared(arguments, scenario)?;
    let bar = Bar::new(options, settings.run.trials);
    let question = ReportQuestion { options: compared };
    let answer = report(scenario, settings, question, &bar);
    bar.finish();
    let answer = answer?;
    let imprint = Imprint {
        file_name: file_name(&arguments.scenario),
        date,
        command: command(arguments, settings.seed),
    };
    let page = report_html(scenario, &answer, &imprint).map_err(Failure::Page)?;
    let result_json = json(&answer.result())?;
    let mut files = WholeFiles::into_folder(prepared.folder.clone());
    files.add("report.html", page);
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: answer.trip.result.heading.from.as_ref(),
            verdict: trip_verdict(&answer.trip),
            tables: String::new(),
            warnings: &answer.trip.result.warnings,
            scenario,
            screen: Screen::Trip,
        },
    )?;
    Ok(Outcome::Done)
}

/// The options of `--compare` with their scenarios.
fn compared(
    arguments: &Arguments,
    scenario: &Scenario,
) -> Result<Vec<(Choice, Scenario)>, Failure> {
    const OPTION: &str = "--compare";
    if arguments.compare.is_empty() {
        return Ok(Vec::new());
    }
    let choices = choices(&arguments.compare, &[]).map_err(|error| match error {
        ChoosingError::Word {
            found,
            problem,
            hint,
            ..
        } => ChoosingError::Word {
            option: OPTION,
            found,
            problem,
            hint,
        },
        other => other,
    })?;
    choices
        .into_iter()
        .map(|choice| {
            let scenario = chosen(scenario, OPTION, &choice, &arguments.scenario)?;
            Ok((choice, scenario))
        })
        .collect()
}

fn file_name(path: &Path) -> String {
    let shown = shown_path(path);
    let name = Path::new(shown.as_ref()).file_name();
    name.map_or(shown.to_string(), |name| {
        name.to_string_lossy().into_owned()
    })
}

/// The command that makes the report again, with whatever moves its figures.
fn command(arguments: &Arguments, seed: u64) -> String {
    let options = &arguments.options;
    let trials = match (options.typical, options.precision) {
        (true, _) => " --typical".to_owned(),
        (false, precision) => {
            let precision = precision.map_or_else(String::new, |x| format!(" --precision {x}"));
            let trials = options
                .trials
                .unwrap_or(super::trial_options::DEFAULT_TRIALS);
            format!(" --trials {trials}{precision}")
        }
    };
    let compare = arguments
        .compare
        .iter()
        .fold(String::new(), |words, given| {
            words + " --compare '" + given + "'"
        });
    let here = arguments.here.as_written();
    format!(
        "tideover report {}{compare}{here}{trials} --seed {seed} --step {}",
        file_name(&arguments.scenario),
        options.step
    )
}

/// Today in UTC, or the day of `SOURCE_DATE_EPOCH`.
fn today() -> Result<String, Failure> {
    const VARIABLE: &str = "SOURCE_DATE_EPOCH";
    let since_1970_s = match std::env::var_os(VARIABLE) {
        None => SystemTime::now()
            .duration_since(SystemTime::UNIX_EPOCH)
            .ok()
            .and_then(|past| i64::try_from(past.as_secs()).ok()),
        Some(text) => text.to_str().and_then(|text| text.parse().ok()),
    };
    since_1970_s
        .and_then(|seconds| DateTime::from_timestamp(seconds, 0))
        .map(|time| time.date_naive().to_string())
        .ok_or_else(|| Failure::Option {
            option: VARIABLE,
            found: std::env::var_os(VARIABLE)
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            allowed: "must be whole seconds since 1970".to_owned(),
        })
}
