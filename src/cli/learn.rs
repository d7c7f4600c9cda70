//! `tideover learn`: a battery's own log against the model, and the file put right.

use std::path::{Path, PathBuf};

use clap::Args;
use tideover::log::{ColumnWords, Log, LogError, joined, read_log};
use tideover::present::charts::learn_svg;
use tideover::present::tables::learn_tables;
use tideover::present::words::{Screen, learn_verdict};
use tideover::scenario::Scenario;
use tideover::study::learning::{LearnError, LearnQuestion, drives_of, learn};

use super::choices::{hide_refused, prepare_choosing};
use super::prepared::{Bar, Spoken, deliver, json};
use super::reading::{read_bytes, read_text};
use super::trial_options::TrialOptions;
use super::whole_files::{WholeFiles, write_new};
use super::{Failure, Outcome, screen};

/// Largest log that is read.
const LOG_LIMIT_MB: u64 = 512;

/// What a log of your own battery says of the file: how far it is off, put right
#[derive(Debug, Args)]
#[command(mut_args(hide_refused), after_help = COLUMNS)]
pub(super) struct Arguments {
    /// The scenario file of the trip that was driven
    scenario: PathBuf,
    /// The meter's log in CSV; several files of one bank in a row
    #[arg(value_name = "LOG")]
    logs: Vec<PathBuf>,
    /// The bank of the log; or BANK=LOG, once for each bank [default: the only house bank]
    #[arg(long = "bank", value_name = "BANK[=LOG]")]
    banks: Vec<String>,
    /// Names of columns that the log calls otherwise, such as time=When,current=I
    #[arg(long, value_name = "QUANTITY=COLUMN,…", default_value = "")]
    columns: String,
    /// When it was driven: CSV with departure and arrival in each line [default: found in the log, else the plan]
    #[arg(long, value_name = "FILE")]
    drives: Option<PathBuf>,
    /// Write the scenario with what was found; never overwrites
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,
    #[command(flatten)]
    options: TrialOptions,
}

const COLUMNS: &str = "\
The log: a header and rows in order of time, one a second to one an hour, with comma, semicolon or tab. Columns are known by these names, \
with or without a unit: time (RFC 3339; local in the scenario's zone; seconds), soc, volts, amps, watts, ah. Which sign charges is found from \
the figures and said.";

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let options = &arguments.options;
    let prepared = prepare_choosing(&arguments.scenario, options)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    if let Some(path) = arguments
        .write
        .as_ref()
        .filter(|path| path.symlink_metadata().is_ok())
    {
        return Err(Failure::Exists(path.clone()));
    }
    let question = LearnQuestion {
        logs: logs(arguments, scenario)?,
        drives: match &arguments.drives {
            Some(path) => {
                let text = read_text(path)?;
                Some(drives_of(&text, &path.display().to_string(), scenario)?)
            }
            None => None,
        },
    };
    let bar = Bar::new(options, settings.run.trials);
    let answer = learn(scenario, settings, &question, &bar);
    bar.finish();
    let (answer, right) = answer?;
    let result_json = json(&answer)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("learn.svg", learn_svg(&answer));
    files.add("learn.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: None,
            verdict: learn_verdict(&answer),
            tables: learn_tables(&answer, screen::width()),
            warnings: &answer.warnings,
            scenario,
            screen: Screen::Learn,
        },
    )?;
    if let Some(path) = &arguments.write {
        let text = json(right.as_json())?;
        write_new(path, text.as_bytes())?;
        if !options.json && !options.quiet {
            screen::note(&format!(
                "wrote {} with {} keys put right",
                path.display(),
                answer
                    .changes
                    .0
                    .iter()
                    .filter(|(key, _)| key.rsplit('.').next() != Some("note"))
                    .count()
            ));
        }
    }
    Ok(Outcome::Done)
}

/// The logs by bank.
fn logs(arguments: &Arguments, scenario: &Scenario) -> Result<Vec<(usize, Log)>, Failure> {
    let refuse = |found: &str, allowed: String| Failure::Option {
        option: "--bank",
        found: found.to_owned(),
        allowed,
    };
    let ids: Vec<&str> = scenario.banks.iter().map(|bank| bank.id.as_str()).collect();
    let bank_of = |id: &str| {
        let bank = ids.iter().position(|known| *known == id);
        bank.ok_or_else(|| {
            refuse(
                id,
                format!("there is no bank `{id}`: the banks are {}", ids.join(", ")),
            )
        })
    };
    let words = ColumnWords::read(&arguments.columns).map_err(|fault| {
        let error = LogError {
            file: "--columns".to_owned(),
            line: None,
            fault,
        };
        LearnError::from(error)
    })?;
    let mut files: Vec<(usize, PathBuf)> = Vec::new();
    let mut plain = None;
    for given in &arguments.banks {
        match given.split_once('=') {
            Some((id, file)) => files.push((bank_of(id)?, PathBuf::from(file))),
            None if plain.is_some() => {
                return Err(refuse(
                    given,
                    "one bank for the logs before it: for several banks give BANK=LOG each"
                        .to_owned(),
                ));
            }
            None => plain = Some(bank_of(given)?),
        }
    }
    let house: Vec<usize> = (0..scenario.banks.len())
        .filter(|&bank| scenario.banks[bank].role == tideover::scenario::Role::House)
        .collect();
    if !arguments.logs.is_empty() {
        let ((Some(bank), _) | (None, &[bank])) = (plain, house.as_slice()) else {
            return Err(refuse(
                "",
                format!("say whose log it is: --bank with one of {}", ids.join(", ")),
            ));
        };
        files.extend(arguments.logs.iter().map(|path| (bank, path.clone())));
    }
    if files.is_empty() {
        return Err(refuse(
            "",
            format!(
                "a log is needed: LOG --bank {}, or --bank {}=LOG",
                ids[0], ids[0]
            ),
        ));
    }
    files.sort_by_key(|(bank, _)| *bank);
    let start_s = scenario
        .itinerary
        .zone
        .first_utc_s(scenario.itinerary.start);
    let mut logs: Vec<(usize, Vec<Log>)> = Vec::new();
    for (bank, path) in files {
        let log = read(&path, &words, scenario, start_s)?;
        match logs.last_mut() {
            Some((known, all)) if *known == bank => all.push(log),
            _ => logs.push((bank, vec![log])),
        }
    }
    logs.into_iter()
        .map(|(bank, all)| Ok((bank, joined(all).map_err(LearnError::from)?)))
        .collect()
}

fn read(
    path: &Path,
    words: &ColumnWords,
    scenario: &Scenario,
    start_s: i64,
) -> Result<Log, Failure> {
    let bytes = read_bytes(path, LOG_LIMIT_MB)?;
    let zone = &scenario.itinerary.zone;
    let log = read_log(&bytes, &path.display().to_string(), words, zone, start_s);
    log.map_err(|error| LearnError::from(error).into())
}
