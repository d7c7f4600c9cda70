//! What is printed: answers on stdout, talk on stderr.
//!
//! One job: the two streams. A reader that closes its pipe ends the program quietly; text from
//! files is made harmless; colour is for terminals only.

use std::io::{self, Write};

use anstyle::{AnsiColor, Style};
use tideover::present::plain_text::{plain_line, plain_lines};

use super::Failure;

const ERROR: Style = AnsiColor::Red.on_default().bold();

/// Writes an answer for people to stdout.
pub(super) fn answer(text: &str) -> Result<(), Failure> {
    data(&plain_lines(text))
}

/// Writes an answer for programs to stdout, byte for byte.
pub(super) fn data(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(Failure::Stdout),
    }
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
