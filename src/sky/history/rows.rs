//! Rows of a comma-separated file with their line numbers.
//!
//! One job: bytes to fields to numbers, one row in memory at a time. Semicolons and tabs are taken
//! too where the first line has more of them than commas. Bytes that are no UTF-8 become `�`, and
//! so a clear refusal where a number is wanted.

use super::error::{HistoryError, HistoryFault};

/// Most rows read: a hundred years of hours and a little.
pub(super) const MOST_ROWS: usize = 900_000;

/// A reader of rows.
pub(super) struct Rows<'a> {
    reader: csv::Reader<&'a [u8]>,
    record: csv::ByteRecord,
    bytes: &'a [u8],
    quotes: Quotes,
    read: usize,
    /// Fields of the header, once it is known.
    header: Option<usize>,
}

/// How quotation marks are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quotes {
    /// As in RFC 4180.
    Enclose,
    /// They mean nothing.
    Plain,
}

/// Drops a byte-order mark.
pub(super) fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

/// Whether bytes are UTF-16 text: by its mark, or because every other byte of its beginning is zero.
#[must_use]
pub fn is_utf16(bytes: &[u8]) -> bool {
    let begin = bytes.get(..16.min(bytes.len())).unwrap_or_default();
    let all_zero = |from: usize| begin.iter().skip(from).step_by(2).all(|&byte| byte == 0);
    let is_marked = begin.starts_with(b"\xff\xfe") || begin.starts_with(b"\xfe\xff");
    is_marked || (begin.len() >= 8 && (all_zero(0) != all_zero(1)))
}

impl<'a> Rows<'a> {
    pub(super) fn new(bytes: &'a [u8], quotes: Quotes) -> Self {
        let first = bytes
            .split(|&byte| byte == b'\n')
            .next()
            .unwrap_or_default();
        let count = |wanted: u8| first.split(|&byte| byte == wanted).count();
        let delimiter = [b',', b';', b'\t']
            .into_iter()
            .rev()
            .max_by_key(|&delimiter| count(delimiter))
            .unwrap_or(b',');
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .quoting(quotes == Quotes::Enclose)
            .from_reader(bytes);
        Self {
            reader,
            record: csv::ByteRecord::new(),
            bytes,
            quotes,
            read: 0,
            header: None,
        }
    }

    /// Takes the current row for the header: no later one may have more fields.
    pub(super) fn take_as_header(&mut self) {
        self.header = Some(self.record.len());
    }

    /// Goes to the next row that is not blank; `false` at the end.
    pub(super) fn advance(&mut self) -> Result<bool, HistoryError> {
        loop {
            let more = self
                .reader
                .read_byte_record(&mut self.record)
                .unwrap_or(false);
            if !more {
                return Ok(false);
            }
            self.read += 1;
            if self.read > MOST_ROWS {
                return Err(HistoryFault::TooManyRows { limit: MOST_ROWS }.of_file());
            }
            self.check_quotes()?;
            self.check_length()?;
            if self
                .record
                .iter()
                .any(|field| !field.trim_ascii().is_empty())
            {
                return Ok(true);
            }
        }
    }

    /// A quotation mark that nothing closes would take the rows after it into its field.
    fn check_quotes(&self) -> Result<(), HistoryError> {
        if self.quotes == Quotes::Plain {
            return Ok(());
        }
        let holds_break = |field: &[u8]| field.contains(&b'\n');
        let from = self.record.position().map_or(0, csv::Position::byte);
        let to = self.reader.position().byte();
        let raw = usize::try_from(from)
            .ok()
            .zip(usize::try_from(to).ok())
            .and_then(|(from, to)| self.bytes.get(from..to))
            .unwrap_or_default();
        // An even number of parts has an odd number of marks between them.
        let is_odd = raw.split(|&byte| byte == b'"').count() % 2 == 0;
        if is_odd || self.record.iter().any(holds_break) {
            return Err(HistoryFault::OpenQuote.at(self.line()));
        }
        Ok(())
    }

    /// A row may end in empty fields beyond the header, but not in values that belong to no column.
    fn check_length(&self) -> Result<(), HistoryError> {
        let Some(header) = self.header else {
            return Ok(());
        };
        let is_empty = |field: &[u8]| field.trim_ascii().is_empty();
        if self.record.iter().skip(header).all(is_empty) {
            return Ok(());
        }
        let fields = self.record.len();
        Err(HistoryFault::LongRow { fields, header }.at(self.line()))
    }

    /// Line of the current row, from 1.
    pub(super) fn line(&self) -> u64 {
        self.record.position().map_or(0, csv::Position::line)
    }

    /// All fields as text.
    pub(super) fn texts(&self) -> Vec<String> {
        self.record
            .iter()
            .map(|field| String::from_utf8_lossy(field).trim().to_owned())
            .collect()
    }

    /// A field without outer blanks; empty where the row is too short.
    pub(super) fn field(&self, index: usize) -> &[u8] {
        self.record.get(index).unwrap_or_default().trim_ascii()
    }

    /// A field as shown in a refusal.
    pub(super) fn shown(&self, index: usize) -> String {
        shown(self.field(index))
    }

    /// A number; `None` where the field is empty or says that there is none.
    pub(super) fn number(&self, index: usize, column: &str) -> Result<Option<f64>, HistoryError> {
        let field = self.field(index);
        if field.is_empty()
            || [&b"NA"[..], b"N/A", b"NaN", b"null", b"-"]
                .iter()
                .any(|none| field.eq_ignore_ascii_case(none))
        {
            return Ok(None);
        }
        std::str::from_utf8(field)
            .ok()
            .and_then(|text| text.parse::<f64>().ok())
            .filter(|number| number.is_finite())
            .map(Some)
            .ok_or_else(|| self.bad_number(index, column))
    }

    /// The refusal of what is no number there.
    pub(super) fn bad_number(&self, index: usize, column: &str) -> HistoryError {
        let fault = HistoryFault::BadNumber {
            column: column.to_owned(),
            found: self.shown(index),
        };
        fault.at(self.line())
    }

    /// A number inside a range; `None` where there is none or it is the format's mark for none.
    pub(super) fn ranged(
        &self,
        index: usize,
        column: &str,
        (low, high): (f64, f64),
        is_none: impl Fn(f64) -> bool,
    ) -> Result<Option<f64>, HistoryError> {
        match self.number(index, column)? {
            Some(found) if is_none(found) => Ok(None),
            Some(found) if !(low..=high).contains(&found) => {
                let fault = HistoryFault::OutOfRange {
                    column: column.to_owned(),
                    found,
                    low,
                    high,
                };
                Err(fault.at(self.line()))
            }
            number => Ok(number),
        }
    }
}

/// Text for a refusal: the first forty characters.
pub(super) fn shown(field: &[u8]) -> String {
    let text = String::from_utf8_lossy(&field[..field.len().min(160)]);
    let mut short: String = text.chars().take(40).filter(|c| !c.is_control()).collect();
    if text.chars().count() > 40 {
        short.push('…');
    }
    short
}

/// Air temperatures taken, °C: a little beyond the records of the Earth.
pub(super) const AIR_RANGE_C: (f64, f64) = (-95.0, 65.0);
/// Irradiation of a row is at least nothing; the sun sets the top.
pub(super) const SUN_RANGE: (f64, f64) = (0.0, 1e6);
