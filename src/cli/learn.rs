//! `tideover learn`: a battery's own log against the model, and the file put right.

use std::path::{Path, PathBuf};

use clap::Args;
use tideover::command::{Question, check_options};
use tideover::log::{ColumnWords, Log, LogError, joined, read_log};
use tideover::scenario::{Role, Scenario};
use tideover::study::learning::{LearnError, LearnQuestion, drives_of};

use super::reading::{read_bytes, read_scenario, read_text};
use super::studied::{answered, deliver};
use super::trial_options::{TrialOptions, hide_refused};
use super::whole_files::write_new;
use super::{Failure, Outcome, screen};

/// Largest log that is read.
const LOG_LIMIT_MB: u64 = 512;

/// What your own meter's log says of the file, and the file put right
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
    let asked_for = options.options(None)?;
    check_options(&Question::Learn(Box::default()), &asked_for)?;
    let taken = arguments.write.as_ref();
    if let Some(path) = taken.filter(|path| path.symlink_metadata().is_ok()) {
        return Err(Failure::Exists(path.clone()));
    }
    let scenario = read_scenario(&arguments.scenario, &options.land)?.scenario;
    let question = Question::Learn(Box::new(LearnQuestion {
        logs: logs(arguments, &scenario)?,
        drives: match &arguments.drives {
            Some(path) => {
                let text = read_text(path)?;
                Some(drives_of(&text, &path.display().to_string(), &scenario).map_err(refused)?)
            }
            None => None,
        },
    }));
    let (mut answer, folder) = answered(
        &arguments.scenario,
        &scenario,
        options,
        &asked_for,
        &question,
    )?;
    let right = answer.put_right.take();
    let outcome = deliver(answer, folder, (options.json, options.quiet), false)?;
    if let (Some(path), Some(text)) = (&arguments.write, right) {
        write_new(path, text.as_bytes())?;
        if !options.json && !options.quiet {
            screen::note(&format!("wrote {}", path.display()));
        }
    }
    Ok(outcome)
}

fn refused(error: LearnError) -> Failure {
    Failure::Refused(error.into())
}

/// The logs by bank.
fn logs(arguments: &Arguments, scenario: &Scenario) -> Result<Vec<(usize, Log)>, Failure> {
    let refuse = |found: &str, allowed: String| {
        Failure::Refused(tideover::command::Failure::Option {
            option: "--bank".to_owned(),
            found: found.to_owned(),
            allowed,
        })
    };
    let ids: Vec<&str> = scenario.banks.iter().map(|bank| bank.id.as_str()).collect();
    let all_ids = ids.join(", ");
    let bank_of = |id: &str| {
        let bank = ids.iter().position(|known| *known == id);
        bank.ok_or_else(|| {
            refuse(
                id,
                format!("there is no bank `{id}`: the banks are {all_ids}"),
            )
        })
    };
    let words = ColumnWords::read(&arguments.columns).map_err(|fault| {
        refused(LearnError::Log(LogError {
            file: "--columns".to_owned(),
            line: None,
            fault,
        }))
    })?;
    let mut files: Vec<(usize, PathBuf)> = Vec::new();
    let mut plain = None;
    for given in &arguments.banks {
        match given.split_once('=') {
            Some((id, file)) => files.push((bank_of(id)?, PathBuf::from(file))),
            None if plain.is_some() => {
                let text = "one bank for the logs: for several banks give BANK=LOG each";
                return Err(refuse(given, text.to_owned()));
            }
            None => plain = Some(bank_of(given)?),
        }
    }
    let house: Vec<usize> = (0..scenario.banks.len())
        .filter(|&bank| scenario.banks[bank].role == Role::House)
        .collect();
    if !arguments.logs.is_empty() {
        let ((Some(bank), _) | (None, &[bank])) = (plain, house.as_slice()) else {
            let text = format!("say whose log it is: one of {all_ids}");
            return Err(refuse("", text));
        };
        files.extend(arguments.logs.iter().map(|path| (bank, path.clone())));
    }
    if files.is_empty() {
        let id = ids[0];
        let text = format!("a log is needed: LOG --bank {id}, or --bank {id}=LOG");
        return Err(refuse("", text));
    }
    files.sort_by_key(|(bank, _)| *bank);
    let mut logs: Vec<(usize, Vec<Log>)> = Vec::new();
    for (bank, path) in files {
        let log = read(&path, &words, scenario)?;
        match logs.last_mut() {
            Some((known, all)) if *known == bank => all.push(log),
            _ => logs.push((bank, vec![log])),
        }
    }
    let joined = |all| joined(all).map_err(|error| refused(LearnError::Log(error)));
    logs.into_iter()
        .map(|(bank, all)| Ok((bank, joined(all)?)))
        .collect()
}

fn read(path: &Path, words: &ColumnWords, scenario: &Scenario) -> Result<Log, Failure> {
    let bytes = read_bytes(path, LOG_LIMIT_MB)?;
    let zone = &scenario.itinerary.zone;
    let start_s = zone.first_utc_s(scenario.itinerary.start);
    let log = read_log(&bytes, &path.display().to_string(), words, zone, start_s);
    log.map_err(|error| refused(LearnError::Log(error)))
}
