//! `tideover man`: the manual pages.

use std::io;

use clap::{Args, Command, CommandFactory as _};
use clap_mangen::Man;
use tideover::command::Failure as Refused;

use super::{CommandLine, Ending, Failure, screen};

/// Print the manual page of the program or of one command, as roff
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The command; without it the page of the whole program
    #[arg(value_name = "COMMAND")]
    command: Option<String>,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let mut whole = CommandLine::command();
    whole.build();
    let found = match &arguments.command {
        None => Some(whole.clone()),
        Some(name) => whole.find_subcommand(name).cloned(),
    };
    let page = found.map(roff).ok_or_else(|| {
        let names = whole.get_subcommands().map(Command::get_name);
        let allowed = format!("must be one of {}", names.collect::<Vec<_>>().join(", "));
        Refused::option("man", arguments.command.as_deref().unwrap_or(""), allowed)
    })?;
    screen::data(&page.map_err(Failure::Stdout)?)
}

fn roff(command: Command) -> io::Result<String> {
    let mut page = Vec::new();
    Man::new(command).render(&mut page)?;
    Ok(String::from_utf8_lossy(&page).into_owned())
}
