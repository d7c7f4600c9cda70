//! The command line: read, study, present.
//!
//! One job: words typed to calls of the library, and its answers to files, screens and exit
//! statuses. One file a command; only here are files written, text printed and clocks read.

mod check;
mod completions;
mod failure;
mod folder_writer;
mod here_options;
mod interruption;
mod land;
mod learn;
mod log_options;
mod man;
mod new;
mod page;
mod places;
mod progress;
mod reading;
mod report;
mod screen;
mod sky;
mod studied;
mod studies;
mod trial_options;
mod whole_files;
mod wiring;

use std::process::ExitCode;
use std::sync::LazyLock;

use clap::{Parser, Subcommand};

use tideover::command::Question;
use tideover::places::PLACES_NOTICE;
use tideover::sky::world_climate::{NOT_A_FORECAST, WORLD_CLIMATE_NOTICES};

use failure::Failure;

/// How long a touring vehicle's batteries last: energy budgets and autonomy with honest chances.
#[derive(Debug, Parser)]
#[command(
    version,
    long_version = LONG_VERSION.as_str(),
    subcommand_required = true,
    arg_required_else_help = true,
    after_help = LIMITS_AND_STATUSES
)]
struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

/// The version with the credits of the built-in data.
static LONG_VERSION: LazyLock<String> = LazyLock::new(|| {
    let credits = WORLD_CLIMATE_NOTICES.map(|notice| format!("- {notice}"));
    format!(
        "{}\n\nBuilt-in climate, {NOT_A_FORECAST}:\n{}\n\nBuilt-in places:\n- {PLACES_NOTICE}",
        env!("CARGO_PKG_VERSION"),
        credits.join("\n")
    )
});

const LIMITS_AND_STATUSES: &str = "\
A scenario of the name - is read from stdin, and weather files that it names from the folder you are in.

Limits: 1 to 10,000,000 trials; steps of 1 to 60 min that divide the hour; 1 to 1024 threads;
a scenario of up to 400 legs, 366 days in all, 200 each of banks, chargers, panels and loads.

Exit status: 0 done; 1 the answer is no (with --strict); \
    2 bad usage or bad input; 3 a file could not be read or written, or the run failed or was interrupted.";

#[derive(Debug, Subcommand)]
enum Command {
    New(new::Arguments),
    Places(places::Arguments),
    Check(check::Arguments),
    Sky(sky::Arguments),
    /// The energy budget: what each bank takes and gets on an average day of the trip
    Budget(studies::OnTheWay),
    Trip(studies::Trip),
    Stay(studies::Stay),
    Compare(studies::Compare),
    Topup(studies::Topup),
    /// What to switch off first, and what each load buys in days and chance
    #[command(mut_args(trial_options::hide_refused))]
    Shed(studies::OnTheWay),
    Mend(studies::Mend),
    Why(studies::Why),
    Learn(learn::Arguments),
    Wiring(wiring::Arguments),
    Report(report::Arguments),
    Page(page::Arguments),
    Completions(completions::Arguments),
    Man(man::Arguments),
}

/// What a command ended with when nothing failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ending {
    /// Done, or the answer is yes.
    Done,
    /// The answer is no, and `--strict` was given.
    No,
}

/// Runs the command line and returns its exit status.
pub(crate) fn run() -> ExitCode {
    interruption::watch();
    let outcome = match CommandLine::parse().command {
        Command::New(arguments) => new::run(&arguments),
        Command::Places(arguments) => places::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Sky(arguments) => sky::run(&arguments),
        Command::Budget(arguments) => arguments.ask(&Question::Budget, false),
        Command::Trip(arguments) => arguments.run(),
        Command::Stay(arguments) => arguments.run(),
        Command::Compare(arguments) => arguments.run(),
        Command::Topup(arguments) => arguments.run(),
        Command::Shed(arguments) => arguments.ask(&Question::Shed, false),
        Command::Mend(arguments) => arguments.run(),
        Command::Why(arguments) => arguments.run(),
        Command::Learn(arguments) => learn::run(&arguments),
        Command::Wiring(arguments) => wiring::run(&arguments),
        Command::Report(arguments) => report::run(&arguments),
        Command::Page(arguments) => page::run(&arguments),
        Command::Completions(arguments) => completions::run(&arguments),
        Command::Man(arguments) => man::run(&arguments),
    };
    match outcome {
        Ok(Ending::Done) => ExitCode::SUCCESS,
        Ok(Ending::No) => ExitCode::from(1),
        Err(failure) => {
            screen::complain(&failure);
            ExitCode::from(failure.status())
        }
    }
}
