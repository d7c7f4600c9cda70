//! `tideover report`: every answer in one file to print or carry.

use std::path::PathBuf;
use std::time::SystemTime;

use chrono::DateTime;
use clap::Args;
use clap::builder::PossibleValuesParser;
use tideover::command::{Failure as Refused, Question, check_options};
use tideover::study::report::ReportPart;

use super::here_options::HereOptions;
use super::log_options::LogOptions;
use super::reading::{file_name, read_scenario};
use super::studied::{answered, deliver};
use super::trial_options::TrialOptions;
use super::{Ending, Failure};

/// All of it in one file to print or carry: trip, days, what to do if, budget, wiring, your own log, sources
#[derive(Debug, Args)]
#[command(after_help = EPOCH)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// Compare values of a key with the scenario as it is, such as `banks.main.capacity_ah=100,200`;
    /// repeat it for the cross product
    #[arg(long, value_name = "KEY=V1,V2,…")]
    compare: Vec<String>,
    /// One part alone, with its cautions
    #[arg(long, value_name = "PART", value_parser = PossibleValuesParser::new(ReportPart::ALL.map(ReportPart::id)))]
    only: Option<String>,
    /// A meter's log of the trip, which gets a page: see `tideover learn --help`; several files in a row
    #[arg(long = "log", value_name = "LOG", help_heading = "The log")]
    logs: Vec<PathBuf>,
    #[command(flatten)]
    log: LogOptions,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

const EPOCH: &str = "The report bears today's date (UTC); where the variable SOURCE_DATE_EPOCH is set, \
    the date of those seconds since 1970, so that it can be made again to the byte.";

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let (path, options) = (&arguments.scenario, &arguments.options);
    let (logs, log) = (&arguments.logs, &arguments.log);
    let asked_for = options.options(Some(&arguments.here))?;
    let scenario = read_scenario(path, &options.land)?.scenario;
    let log = if logs.is_empty() && log.is_empty() {
        None
    } else {
        let learned = log.question(logs, &scenario)?;
        Some((Box::new(learned), log.as_written(logs)))
    };
    let question = Question::Report {
        compare: arguments.compare.clone(),
        only: arguments.only.as_deref().and_then(ReportPart::of_id),
        log,
        file_name: file_name(path),
        date: today()?,
    };
    check_options(&question, &asked_for)?;
    let (answer, folder) = answered(path, &scenario, options, &asked_for, &question)?;
    deliver(&answer, &folder, (options.json, options.quiet), false)
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
        .ok_or_else(|| {
            let found = std::env::var_os(VARIABLE).unwrap_or_default();
            let allowed = "must be whole seconds since 1970";
            Refused::option(VARIABLE, &found.to_string_lossy(), allowed).into()
        })
}
