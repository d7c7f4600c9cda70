//! The options of commands that read a meter's log.

use std::path::{Path, PathBuf};

use clap::Args;
use tideover::command::Failure as Refused;
use tideover::log::{ColumnWords, Log, LogError, joined, read_log};
use tideover::scenario::Scenario;
use tideover::study::learning::{LearnError, LearnQuestion, drives_of};

use super::Failure;
use super::reading::{read_bytes, read_text};

/// Largest log that is read.
const LOG_LIMIT_MB: u64 = 512;

/// What a log must be, for the end of a command's help.
pub(super) const COLUMNS: &str = "\
The log: a header and rows in order of time, one a second to one an hour, with comma, semicolon or tab. Columns are known by these names, \
with or without a unit: time (RFC 3339; local in the scenario's zone; seconds), soc, volts, amps, watts, ah. Which sign charges is found from \
the figures and said.";

/// Whose logs they are and how to read them.
#[derive(Debug, Args)]
#[command(next_help_heading = "The log")]
pub(super) struct LogOptions {
    /// The bank of the log; or BANK=LOG, once for each bank [default: the only house bank]
    #[arg(long = "bank", value_name = "BANK[=LOG]")]
    banks: Vec<String>,
    /// Names of columns that the log calls otherwise, such as time=When,current=I
    #[arg(long, value_name = "QUANTITY=COLUMN,…", default_value = "")]
    columns: String,
    /// When it was driven: CSV with departure and arrival in each line [default: found in the log, else the plan]
    #[arg(long, value_name = "FILE")]
    drives: Option<PathBuf>,
}

impl LogOptions {
    /// Whether none of them was given.
    pub(super) fn is_empty(&self) -> bool {
        self.banks.is_empty() && self.columns.is_empty() && self.drives.is_none()
    }

    /// The words that give them again, each after a space.
    pub(super) fn as_written(&self, plain_logs: &[PathBuf]) -> String {
        let shown = |path: &PathBuf| path.display().to_string();
        let logs = plain_logs.iter().map(|log| ("--log", shown(log)));
        let banks = self.banks.iter().map(|bank| ("--bank", bank.clone()));
        let columns = Some(("--columns", self.columns.clone()));
        let columns = columns.filter(|_| !self.columns.is_empty());
        let drives = (self.drives.as_ref()).map(|path| ("--drives", shown(path)));
        let all = logs.chain(banks).chain(columns).chain(drives);
        all.fold(String::new(), |words, (option, value)| {
            words + " " + option + " '" + &value + "'"
        })
    }

    /// The question that they and logs without a bank's name ask.
    pub(super) fn question(
        &self,
        plain_logs: &[PathBuf],
        scenario: &Scenario,
    ) -> Result<LearnQuestion, Failure> {
        Ok(LearnQuestion {
            logs: logs(self, plain_logs, scenario)?,
            drives: match &self.drives {
                Some(path) => {
                    let (text, file) = (read_text(path)?, path.display().to_string());
                    Some(drives_of(&text, &file, scenario).map_err(refused)?)
                }
                None => None,
            },
        })
    }
}

fn refused(error: LearnError) -> Failure {
    Refused::from(error).into()
}

/// The logs by bank.
fn logs(
    options: &LogOptions,
    plain_logs: &[PathBuf],
    scenario: &Scenario,
) -> Result<Vec<(usize, Log)>, Failure> {
    let refuse = |found: &str, allowed: String| Refused::option("--bank", found, allowed);
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
    let words = ColumnWords::read(&options.columns).map_err(|fault| {
        refused(LearnError::Log(LogError {
            file: "--columns".to_owned(),
            line: None,
            fault,
        }))
    })?;
    let mut files: Vec<(usize, PathBuf)> = Vec::new();
    let mut plain = None;
    for given in &options.banks {
        match given.split_once('=') {
            Some((id, file)) => files.push((bank_of(id)?, PathBuf::from(file))),
            None if plain.is_some() => {
                let text = "one bank for the logs: for several banks give BANK=LOG each";
                return Err(refuse(given, text.to_owned()).into());
            }
            None => plain = Some(bank_of(given)?),
        }
    }
    let house = scenario.house_banks();
    if !plain_logs.is_empty() {
        let ((Some(bank), _) | (None, &[bank])) = (plain, house.as_slice()) else {
            let text = format!("say whose log it is: one of {all_ids}");
            return Err(refuse("", text).into());
        };
        files.extend(plain_logs.iter().map(|path| (bank, path.clone())));
    }
    if files.is_empty() {
        let id = ids[0];
        let text = format!("a log is needed, such as --bank {id}=LOG");
        return Err(refuse("", text).into());
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
