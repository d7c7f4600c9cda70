//! `tideover completions`: what a shell needs to complete words.

use clap::{Args, CommandFactory as _};
use clap_complete::Shell;

use super::{CommandLine, Ending, Failure, screen};

/// Print the completions of a shell, to be put where it looks for them
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let mut script = Vec::new();
    let mut command = CommandLine::command();
    let name = command.get_name().to_owned();
    clap_complete::generate(arguments.shell, &mut command, name, &mut script);
    screen::data(&String::from_utf8_lossy(&script))
}
