//! Why a command failed, its words and its exit status: what the library refuses, and files.

use std::fmt;
use std::io;
use std::path::PathBuf;

use tideover::command::Failure as Refused;

/// Why a command did not come to its end.
#[derive(Debug)]
pub(super) enum Failure {
    /// The library has no answer.
    Refused(Refused),
    /// `new` found something at its path.
    Exists(PathBuf),
    /// A file is text of two bytes a character.
    Utf16(PathBuf),
    /// A file is not text.
    NotUtf8 { path: PathBuf, byte: usize },
    /// A file is larger than the program reads.
    TooLarge { path: PathBuf, limit_mb: u64 },
    /// An act on a file failed.
    File {
        act: &'static str,
        path: PathBuf,
        error: io::Error,
    },
    /// stdout could not be written.
    Stdout(io::Error),
    /// The user or the system ended the run.
    Interrupted,
}

impl From<Refused> for Failure {
    fn from(refused: Refused) -> Self {
        Self::Refused(refused)
    }
}

impl Failure {
    /// 2 for bad input, 3 for files that cannot be read or written and for interruptions.
    pub(super) fn status(&self) -> u8 {
        match self {
            Self::Refused(refused) => refused.status(),
            Self::Exists(_) | Self::Utf16(_) | Self::NotUtf8 { .. } | Self::TooLarge { .. } => 2,
            Self::File { .. } | Self::Stdout(_) | Self::Interrupted => 3,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Refused(refused) => write!(f, "{refused}"),
            Self::Exists(path) => writeln!(
                f,
                "error: `{}` exists already\n\n    hint: choose another name; `new` never overwrites",
                path.display()
            ),
            Self::Utf16(path) => writeln!(
                f,
                "error: `{}` is UTF-16 text, but must be UTF-8\n\n    hint: save it as UTF-8",
                path.display()
            ),
            Self::NotUtf8 { path, byte } => writeln!(
                f,
                "error: `{}` is not UTF-8 text: byte {byte} belongs to no character",
                path.display()
            ),
            Self::TooLarge { path, limit_mb } => writeln!(
                f,
                "error: `{}` is larger than {limit_mb} MB",
                path.display()
            ),
            Self::File { act, path, error } => {
                writeln!(f, "error: cannot {act} `{}`: {error}", path.display())
            }
            Self::Stdout(error) => writeln!(f, "error: cannot write the answer: {error}"),
            Self::Interrupted => writeln!(f, "error: interrupted, and nothing written"),
        }
    }
}
