//! What is wrong with a weather file.
//!
//! One job: one variant a fault, with what was found and where, and the sentence that says what is
//! allowed. Lines count from 1, the header included.

use std::fmt;

/// Why a weather file is refused.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are said by the sentences of `Display`"
)]
pub enum HistoryError {
    /// Nothing in it.
    Empty,
    /// Text of two bytes a character.
    Utf16,
    /// A quotation mark without its partner in the line.
    OpenQuote { line: u64 },
    /// A row with more values than the header has columns.
    LongRow {
        line: u64,
        fields: usize,
        header: usize,
    },
    /// More rows than are read.
    TooManyRows { limit: usize },
    /// The station's place is not on Earth.
    BadStation { lat_deg: f64, lon_deg: f64 },
    /// The stated zone is no zone.
    BadOffset { found_h: f64 },
    /// A head line of an open format lacks something.
    BadHead {
        line: u64,
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
    BadNumber {
        line: u64,
        column: String,
        found: String,
    },
    /// A field is no date or time.
    BadDate {
        line: u64,
        column: String,
        found: String,
        allowed: &'static str,
    },
    /// A time without a zone, and none stated.
    NoOffset { line: u64, found: String },
    /// A number outside its range.
    OutOfRange {
        line: u64,
        column: String,
        found: f64,
        low: f64,
        high: f64,
    },
    /// More sun than there is outside the air.
    TooMuchSun {
        line: u64,
        column: String,
        found_wh_m2: f64,
        limit_wh_m2: f64,
        span: &'static str,
    },
    /// The day's minimum above its maximum.
    MinAboveMax { line: u64, min_c: f64, max_c: f64 },
    /// The same date or hour twice.
    Twice { line: u64, found: String },
    /// A date or hour before the one above it.
    NotAscending {
        line: u64,
        found: String,
        before: String,
    },
    /// Hours that are not an hour apart.
    NotHourly { line: u64, minutes: i64 },
    /// Not one whole day.
    NoWholeDay,
}

impl HistoryError {
    /// The same fault with what the file says left out, for a file that is none of the reader's business.
    #[must_use]
    pub fn without_content(mut self) -> Self {
        match &mut self {
            Self::MissingColumn { found, .. }
            | Self::NoSuchColumn { found, .. }
            | Self::BadNumber { found, .. }
            | Self::BadDate { found, .. }
            | Self::NoOffset { found, .. } => "…".clone_into(found),
            _ => {}
        }
        self
    }

    /// Line of the fault, from 1; `None` where the whole file or the options are at fault.
    #[must_use]
    pub fn line(&self) -> Option<u64> {
        match self {
            Self::Empty
            | Self::Utf16
            | Self::TooManyRows { .. }
            | Self::BadStation { .. }
            | Self::BadOffset { .. }
            | Self::UnknownName { .. }
            | Self::NoSuchColumn { .. }
            | Self::NoWholeDay => None,
            Self::MissingColumn { .. } | Self::TwoColumns { .. } => Some(1),
            Self::OpenQuote { line }
            | Self::LongRow { line, .. }
            | Self::BadHead { line, .. }
            | Self::BadNumber { line, .. }
            | Self::BadDate { line, .. }
            | Self::NoOffset { line, .. }
            | Self::OutOfRange { line, .. }
            | Self::TooMuchSun { line, .. }
            | Self::MinAboveMax { line, .. }
            | Self::Twice { line, .. }
            | Self::NotAscending { line, .. }
            | Self::NotHourly { line, .. } => Some(*line),
        }
    }
}

impl fmt::Display for HistoryError {
    #[expect(clippy::too_many_lines, reason = "one sentence a fault, nothing else")]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str(
                "the file is empty, but must hold a header and a row for each day or hour",
            ),
            Self::Utf16 => {
                f.write_str("the file is UTF-16 text, but must be UTF-8: save it as that")
            }
            Self::OpenQuote { line } => write!(
                f,
                "line {line}: a quotation mark opens and does not close in this line, but must do both"
            ),
            Self::LongRow {
                line,
                fields,
                header,
            } => write!(
                f,
                "line {line}: the row has {fields} fields, but must have at most the {header} of the header; \
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
            Self::BadHead {
                line,
                format,
                wanted,
            } => {
                write!(f, "line {line}: as {format} it must have {wanted}")
            }
            Self::MissingColumn {
                wanted,
                names,
                found,
            } => write!(
                f,
                "line 1: there is no column of {wanted}: it is called {names}, or named in `columns`; \
                 the file has {found}"
            ),
            Self::TwoColumns {
                wanted,
                first,
                second,
            } => write!(
                f,
                "line 1: both `{first}` and `{second}` give {wanted}; choose one in `columns`"
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
            Self::BadNumber {
                line,
                column,
                found,
            } => {
                write!(
                    f,
                    "line {line}: `{column}` is `{found}`, but must be a number"
                )
            }
            Self::BadDate {
                line,
                column,
                found,
                allowed,
            } => {
                write!(
                    f,
                    "line {line}: `{column}` is `{found}`, but must be {allowed}"
                )
            }
            Self::NoOffset { line, found } => write!(
                f,
                "line {line}: `{found}` has no zone: write it as in `2027-07-05T18:00+02:00`, or state \
                 `utc_offset_hours` for the file"
            ),
            Self::OutOfRange {
                line,
                column,
                found,
                low,
                high,
            } => {
                write!(
                    f,
                    "line {line}: `{column}` is {found}, but must be from {low} to {high}"
                )
            }
            Self::TooMuchSun {
                line,
                column,
                found_wh_m2,
                limit_wh_m2,
                span,
            } => write!(
                f,
                "line {line}: `{column}` is {found_wh_m2:.0} Wh/m², but the sun outside the air allows at most \
                 {limit_wh_m2:.0} {span}: check the unit, the station's place and the zone of the times"
            ),
            Self::MinAboveMax { line, min_c, max_c } => write!(
                f,
                "line {line}: the minimum of {min_c} °C is above the maximum of {max_c} °C"
            ),
            Self::Twice { line, found } => {
                write!(
                    f,
                    "line {line}: {found} stands there a second time, but must stand there once"
                )
            }
            Self::NotAscending {
                line,
                found,
                before,
            } => {
                write!(
                    f,
                    "line {line}: {found} comes after {before}, but the rows must ascend in time"
                )
            }
            Self::NotHourly { line, minutes } => write!(
                f,
                "line {line}: {minutes} min after the row above it, but hours must be whole hours apart"
            ),
            Self::NoWholeDay => {
                f.write_str("the file holds not one whole day; a day may lack 3 hours in a row")
            }
        }
    }
}

impl std::error::Error for HistoryError {}
