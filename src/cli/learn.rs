//! `tideover learn`: a battery's own log against the model, and the file put right.

use std::path::PathBuf;

use clap::Args;
use tideover::command::{Question, check_options};

use super::log_options::{COLUMNS, LogOptions};
use super::reading::read_scenario;
use super::studied::{answered, deliver};
use super::trial_options::{TrialOptions, hide_refused};
use super::whole_files::write_new;
use super::{Ending, Failure, screen};

/// What your own meter's log says of the file, and the file put right
#[derive(Debug, Args)]
#[command(mut_args(hide_refused), after_help = COLUMNS)]
pub(super) struct Arguments {
    /// The scenario file of the trip that was driven
    scenario: PathBuf,
    /// The meter's log in CSV; several files of one bank in a row
    #[arg(value_name = "LOG")]
    logs: Vec<PathBuf>,
    #[command(flatten)]
    log: LogOptions,
    /// Write the scenario with what was found; never overwrites
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let options = &arguments.options;
    let asked_for = options.options(None)?;
    check_options(&Question::Learn(Box::default()), &asked_for)?;
    let taken = arguments.write.as_ref();
    if let Some(path) = taken.filter(|path| path.symlink_metadata().is_ok()) {
        return Err(Failure::Exists(path.clone()));
    }
    let scenario = read_scenario(&arguments.scenario, &options.land)?.scenario;
    let learned = arguments.log.question(&arguments.logs, &scenario)?;
    let question = Question::Learn(Box::new(learned));
    let path = &arguments.scenario;
    let (answer, folder) = answered(path, &scenario, options, &asked_for, &question)?;
    let outcome = deliver(&answer, &folder, (options.json, options.quiet), false)?;
    if let (Some(path), Some(text)) = (&arguments.write, &answer.put_right) {
        write_new(path, text.as_bytes())?;
        if !options.json && !options.quiet {
            screen::note(&format!("wrote {}", path.display()));
        }
    }
    Ok(outcome)
}
