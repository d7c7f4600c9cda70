//! What is wrong with a log.
//!
//! One job: one variant a fault, with what was found, and the one sentence that says what would do.
//! Lines count from 1, the header included.

use std::fmt;

/// Why a log is refused, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct LogError {
    /// The file.
    pub file: String,
    /// The line; `None`: the file as a whole.
    pub line: Option<u64>,
    /// What is wrong.
    pub fault: LogFault,
}

/// What is wrong with a log.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are said by the sentences of `Display`"
)]
pub enum LogFault {
    NotText,
    Empty,
    NoHeader {
        found: String,
    },
    NoTime {
        found: String,
        names: String,
    },
    NoFigures {
        found: String,
        names: String,
    },
    TwoColumns {
        wanted: &'static str,
        first: String,
        second: String,
    },
    NoSuchColumn {
        column: String,
        found: String,
    },
    BadWord {
        found: String,
        names: String,
    },
    BadTime {
        found: String,
    },
    Skipped {
        found: String,
        zone: String,
    },
    BadNumber {
        column: String,
        found: String,
    },
    OutOfRange {
        column: String,
        found: f64,
        low: f64,
        high: f64,
    },
    ShortRow {
        fields: usize,
        header: usize,
    },
    GoesBack {
        found: String,
        before: String,
    },
    Overlap {
        other: String,
    },
    TooManyRows {
        limit: usize,
    },
    OneRow {
        rows: usize,
    },
    NoNumbers {
        column: String,
    },
}

impl fmt::Display for LogError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}: {}", self.file, self.fault),
            None => write!(f, "{}: {}", self.file, self.fault),
        }
    }
}

impl std::error::Error for LogError {}

impl fmt::Display for LogFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotText => write!(f, "is not UTF-8 text, but a log is a table in CSV"),
            Self::Empty => write!(f, "is empty, but a log has a header and rows"),
            Self::NoHeader { found } => write!(
                f,
                "begins with `{found}`, but the first line must name the columns, such as time,soc,volts,amps"
            ),
            Self::NoTime { found, names } => write!(
                f,
                "has no column of the time among {found}: name it {names}, or say which it is with --columns time=NAME"
            ),
            Self::NoFigures { found, names } => write!(
                f,
                "has no column of charge, voltage, current, power or Ah among {found}: known are {names}; --columns says what another holds"
            ),
            Self::TwoColumns {
                wanted,
                first,
                second,
            } => write!(
                f,
                "`{first}` and `{second}` both hold {wanted}: say which one with --columns {wanted}=NAME"
            ),
            Self::NoSuchColumn { column, found } => {
                write!(f, "has no column `{column}`, but has {found}")
            }
            Self::BadWord { found, names } => write!(
                f,
                "`{found}` must be QUANTITY=COLUMN with one of {names}, such as current=amps"
            ),
            Self::BadTime { found } => write!(
                f,
                "the time `{found}` must be like 2027-07-03T07:30:00+02:00, 2027-07-03 07:30 (local) or a number of seconds"
            ),
            Self::Skipped { found, zone } => {
                write!(f, "the clocks of {zone} jump over the time `{found}`")
            }
            Self::BadNumber { column, found } => {
                write!(f, "`{column}` is `{found}`, but must be a number or empty")
            }
            Self::OutOfRange {
                column,
                found,
                low,
                high,
            } => write!(
                f,
                "`{column}` is {found}, but must be from {low} to {high}: is it another quantity?"
            ),
            Self::ShortRow { fields, header } => write!(
                f,
                "has {fields} values where the header names {header} columns"
            ),
            Self::GoesBack { found, before } => write!(
                f,
                "the clock goes back from {before} to {found}: put right the times or split the log there"
            ),
            Self::Overlap { other } => {
                write!(f, "covers the same time as {other}: give each hour once")
            }
            Self::TooManyRows { limit } => write!(
                f,
                "has more than {limit} rows: thin it out, one row a minute tells the same"
            ),
            Self::OneRow { rows } => write!(
                f,
                "has {}, but it takes a day of them at least to learn anything",
                match rows {
                    0 => "no row of figures".to_owned(),
                    1 => "one row".to_owned(),
                    rows => format!("{rows} rows"),
                }
            ),
            Self::NoNumbers { column } => write!(f, "has no number in `{column}`"),
        }
    }
}
