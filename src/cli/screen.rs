//! What is printed: answers on stdout, talk on stderr.
//!
//! One job: the two streams. A reader that closes its pipe ends the program quietly; text from
//! files is made harmless; colour is for terminals only.

use std::io::{self, Write};

use anstyle::{AnsiColor, Style};
use tideover::present::plain_text::{plain_line, plain_lines};

use super::{Ending, Failure};

const ERROR: Style = AnsiColor::Red.on_default().bold();
const QUIET: Style = AnsiColor::BrightBlack.on_default();

/// Writes an answer for people to stdout.
pub(super) fn answer(text: &str) -> Result<Ending, Failure> {
    let text = plain_lines(text);
    let mut out = anstream::stdout().lock();
    let written = text
        .split_inclusive('\n')
        .try_for_each(|line| match pointer_at(line) {
            Some(at) => {
                let (told, pointer) = line.split_at(at);
                let (pointer, end) = pointer.split_at(pointer.trim_end_matches('\n').len());
                write!(out, "{told}{QUIET}{pointer}{QUIET:#}{end}")
            }
            None => out.write_all(line.as_bytes()),
        });
    ended(written.and_then(|()| out.flush()))
}

/// Where the pointer into the scenario file begins that a warning ends with, or the line that has nothing else.
fn pointer_at(line: &str) -> Option<usize> {
    let bare = line.trim_end_matches('\n');
    if bare.starts_with("warning: ") || bare.starts_with("note: ") {
        return bare
            .rfind(" (/")
            .filter(|_| bare.ends_with(')'))
            .map(|at| at + 1);
    }
    let (place, path) = bare.strip_prefix("    ")?.rsplit_once("  ")?;
    let mut numbers = place.rsplit(':');
    let is_number = |text: Option<&str>| text.is_some_and(|text| text.parse::<usize>().is_ok());
    let is_place = is_number(numbers.next()) && is_number(numbers.next()) && path.starts_with('/');
    is_place.then_some(0)
}

fn ended(written: io::Result<()>) -> Result<Ending, Failure> {
    match written {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Failure::Stdout(error)),
        _ => Ok(Ending::Done),
    }
}

/// Writes an answer for programs to stdout, byte for byte.
pub(super) fn data(text: &str) -> Result<Ending, Failure> {
    let mut out = io::stdout().lock();
    ended(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// Writes a failure to stderr; a stderr that nobody reads changes nothing.
pub(super) fn complain(failure: &Failure) {
    let text = plain_lines(&failure.to_string());
    let mut err = anstream::stderr().lock();
    let _ = match text.strip_prefix("error:") {
        Some(rest) => write!(err, "{ERROR}error:{ERROR:#}{rest}"),
        None => write!(err, "{text}"),
    };
}

/// Writes a note to stderr; nobody need read it.
pub(super) fn note(text: &str) {
    let _ = writeln!(anstream::stderr().lock(), "note: {}", plain_line(text));
}

/// Columns of the screen; where stdout is no terminal, as many as a printed page takes.
pub(super) fn width() -> usize {
    const NARROWEST: usize = 60;
    const WIDEST: usize = 140;
    const PAGE: usize = 100;
    terminal_size::terminal_size()
        .map_or(PAGE, |(width, _)| usize::from(width.0))
        .clamp(NARROWEST, WIDEST)
}
