//! What is wrong with a weather file.
//!
//! One job: one variant a fault, with what was found and where, and the sentence that says what is
//! allowed. Lines count from 1, the header included.

use std::fmt;

/// Why a weather file is refused.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryError {
    /// Line of the fault, from 1; `None` where the whole file or the options are at fault.
    pub line: Option<u64>,
    /// The fault.
    pub fault: HistoryFault,
}

impl HistoryError {
    /// The same fault with what the file says left out, for a file that is none of the reader's business.
    #[must_use]
    pub fn without_content(mut self) -> Self {
        match &mut self.fault {
            HistoryFault::MissingColumn { found, .. }
            | HistoryFault::NoSuchColumn { found, .. }
            | HistoryFault::BadNumber { found, .. }
            | HistoryFault::BadDate { found, .. }
            | HistoryFault::NoOffset { found, .. } => "…".clone_into(found),
            _ => {}
        }
        self
    }
}

impl HistoryFault {
    /// The fault in this line, from 1.
    pub(super) fn at(self, line: u64) -> HistoryError {
        HistoryError {
            line: Some(line),
            fault: self,
        }
    }

    /// The fault of the whole file or of the options.
    pub(super) fn of_file(self) -> HistoryError {
        HistoryError {
            line: None,
            fault: self,
        }
    }
}

impl fmt::Display for HistoryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        self.fault.fmt(f)
    }
}

impl std::error::Error for HistoryError {}

/// What is wrong there.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are said by the sentences of `Display`"
)]
pub enum HistoryFault {
    /// Nothing in it.
    Empty,
    /// Text of two bytes a character.
    Utf16,
    /// A quotation mark without its partner in the line.
    OpenQuote,
    /// A row with more values than the header has columns.
    LongRow { fields: usize, header: usize },
    /// More rows than are read.
    TooManyRows { limit: usize },
    /// The station's place is not on Earth.
    BadStation { lat_deg: f64, lon_deg: f64 },
    /// The stated zone is no zone.
    BadOffset { found_h: f64 },
    /// A head line of an open format lacks something.
    BadHead {
        format: &'static str,
        wanted: &'static str,
    },
    /// A quantity has no column.
    MissingColumn {
        wanted: &'static str,
        names: String,
        found: String,
    },
    /// Two columns give one quantity.
    TwoColumns {
        wanted: &'static str,
        first: String,
        second: String,
    },
    /// The `columns` map names something that is not a documented name.
    UnknownName { found: String, names: String },
    /// The `columns` map points at a column that the file has not.
    NoSuchColumn {
        name: String,
        column: String,
        found: String,
    },
    /// A field is no number.
    BadNumber { column: String, found: String },
    /// A field is no date or time.
    BadDate {
        column: String,
        found: String,
        allowed: &'static str,
    },
    /// A time without a zone, and none stated.
    NoOffset { found: String },
    /// A number outside its range.
    OutOfRange {
        column: String,
        found: f64,
        low: f64,
        high: f64,
    },
    /// More sun than there is outside the air.
    TooMuchSun {
        column: String,
        found_wh_m2: f64,
        limit_wh_m2: f64,
        span: &'static str,
    },
    /// The day's minimum above its maximum.
    MinAboveMax { min_c: f64, max_c: f64 },
    /// The same date or hour twice.
    Twice { found: String },
    /// A date or hour before the one above it.
    NotAscending { found: String, before: String },
    /// Hours that are not an hour apart.
    NotHourly { minutes: i64 },
    /// Not one whole day.
    NoWholeDay,
}

impl fmt::Display for HistoryFault {
    #[expect(clippy::too_many_lines, reason = "one sentence a fault, nothing else")]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str(
                "the file is empty, but must hold a header and a row for each day or hour",
            ),
            Self::Utf16 => {
                f.write_str("the file is UTF-16 text, but must be UTF-8: save it as that")
            }
            Self::OpenQuote => write!(
                f,
                "a quotation mark opens and does not close in this line, but must do both"
            ),
            Self::LongRow { fields, header } => write!(
                f,
                "the row has {fields} fields, but must have at most the {header} of the header; \
                 a number's decimal sign is a point"
            ),
            Self::TooManyRows { limit } => {
                write!(
                    f,
                    "the file has more than {limit} rows; give at most a hundred years of hours"
                )
            }
            Self::BadStation { lat_deg, lon_deg } => write!(
                f,
                "the station stands at {lat_deg}, {lon_deg}, but the latitude must be from -90 to 90 \
                 and the longitude from -180 to 180"
            ),
            Self::BadOffset { found_h } => {
                write!(
                    f,
                    "the times are stated to be {found_h} h from UTC, but must be from -14 to 14"
                )
            }
            Self::BadHead { format, wanted } => {
                write!(f, "as {format} it must have {wanted}")
            }
            Self::MissingColumn {
                wanted,
                names,
                found,
            } => write!(
                f,
                "there is no column of {wanted}: it is called {names}, or named in `columns`; \
                 the file has {found}"
            ),
            Self::TwoColumns {
                wanted,
                first,
                second,
            } => write!(
                f,
                "both `{first}` and `{second}` give {wanted}; choose one in `columns`"
            ),
            Self::UnknownName { found, names } => {
                write!(f, "`columns` names `{found}`, but must name one of {names}")
            }
            Self::NoSuchColumn {
                name,
                column,
                found,
            } => write!(
                f,
                "`columns` takes `{name}` from `{column}`, but the file has {found}"
            ),
            Self::BadNumber { column, found } => {
                write!(f, "`{column}` is `{found}`, but must be a number")
            }
            Self::BadDate {
                column,
                found,
                allowed,
            } => {
                write!(f, "`{column}` is `{found}`, but must be {allowed}")
            }
            Self::NoOffset { found } => write!(
                f,
                "`{found}` has no zone: write it as in `2027-07-05T18:00+02:00`, or state \
                 `utc_offset_hours` for the file"
            ),
            Self::OutOfRange {
                column,
                found,
                low,
                high,
            } => {
                write!(f, "`{column}` is {found}, but must be from {low} to {high}")
            }
            Self::TooMuchSun {
                column,
                found_wh_m2,
                limit_wh_m2,
                span,
            } => write!(
                f,
                "`{column}` is {found_wh_m2:.0} Wh/m², but the sun outside the air allows at most \
                 {limit_wh_m2:.0} {span}: check the unit, the station's place and the zone of the times"
            ),
            Self::MinAboveMax { min_c, max_c } => write!(
                f,
                "the minimum of {min_c} °C is above the maximum of {max_c} °C"
            ),
            Self::Twice { found } => {
                write!(
                    f,
                    "{found} stands there a second time, but must stand there once"
                )
            }
            Self::NotAscending { found, before } => {
                write!(
                    f,
                    "{found} comes after {before}, but the rows must ascend in time"
                )
            }
            Self::NotHourly { minutes } => write!(
                f,
                "{minutes} min after the row above it, but hours must be whole hours apart"
            ),
            Self::NoWholeDay => {
                f.write_str("the file holds not one whole day; a day may lack 3 hours in a row")
            }
        }
    }
}
