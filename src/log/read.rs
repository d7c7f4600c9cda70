//! A log's bytes to rows.
//!
//! One job: separator, header, rows, and every fault with its line. Comma, semicolon or tab; decimal
//! comma where the separator is another; a figure that is missing is NaN, one that is no number is
//! refused.

use super::clock::Clock;
use super::error::{LogError, LogFault};
use super::names::{ColumnWords, Columns, Quantity, find_columns};
use crate::scenario::Zone;

/// Rows at most: eight weeks of seconds.
const MOST_ROWS: usize = 5_000_000;

/// A shorter log says nothing, rows.
const LEAST_ROWS: usize = 12;

/// What meters write where they have no figure.
const MISSING: [&str; 8] = ["", "-", "--", "nan", "null", "none", "n/a", "na"];

/// A log: rows in order of time. A quantity that the file has not is empty; a figure that is missing
/// is NaN.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Log {
    /// The file, or the first of several.
    pub file: String,
    /// UTC seconds.
    pub time_s: Vec<i64>,
    /// State of charge as a share.
    pub soc: Vec<f32>,
    /// Terminal voltage.
    pub volts: Vec<f32>,
    /// Current, A, by the meter's own sign.
    pub amps: Vec<f32>,
    /// Power, W, by the meter's own sign.
    pub watts: Vec<f32>,
    /// Charge counted, Ah.
    pub ah: Vec<f32>,
}

impl Log {
    fn columns(&mut self) -> [&mut Vec<f32>; 5] {
        [
            &mut self.soc,
            &mut self.volts,
            &mut self.amps,
            &mut self.watts,
            &mut self.ah,
        ]
    }

    /// First and last time, UTC seconds.
    #[must_use]
    pub fn ends_s(&self) -> (i64, i64) {
        let end = |time: Option<&i64>| time.copied().unwrap_or(0);
        (end(self.time_s.first()), end(self.time_s.last()))
    }
}

/// Reads a log. Local times are of `zone`; seconds below 10⁸ count from `start_s`.
///
/// # Errors
/// [`LogError`] with the line and one sentence.
pub fn read_log(
    bytes: &[u8],
    file: &str,
    words: &ColumnWords,
    zone: &Zone,
    start_s: i64,
) -> Result<Log, LogError> {
    let refuse = |line: Option<u64>, fault: LogFault| LogError {
        file: file.to_owned(),
        line,
        fault,
    };
    let text = std::str::from_utf8(bytes).map_err(|_| refuse(None, LogFault::NotText))?;
    let text = text.trim_start_matches('\u{feff}');
    // Some tables begin with a line that only names the separator.
    let (text, skipped) = match text.split_once('\n') {
        Some((first, rest)) if first.trim().starts_with("sep=") => (rest, 1),
        _ => (text, 0),
    };
    let first = text.lines().find(|line| !line.trim().is_empty());
    let first = first.ok_or_else(|| refuse(None, LogFault::Empty))?;
    let separator = separator(first);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut next = |record: &mut csv::StringRecord| -> Result<Option<u64>, LogError> {
        let has_more = reader
            .read_record(record)
            .map_err(|_| refuse(None, LogFault::NotText))?;
        let line = record.position().map_or(0, csv::Position::line) + skipped;
        Ok(has_more.then_some(line))
    };
    let Some(head_line) = next(&mut record)? else {
        return Err(refuse(None, LogFault::Empty));
    };
    let header: Vec<String> = record.iter().map(str::to_owned).collect();
    if header
        .iter()
        .all(|name| !name.chars().any(char::is_alphabetic))
    {
        let found = first.trim().chars().take(60).collect();
        return Err(refuse(Some(head_line), LogFault::NoHeader { found }));
    }
    let columns = find_columns(&header, words).map_err(|fault| refuse(Some(head_line), fault))?;
    let mut rows = Rows {
        header: &header,
        columns: &columns,
        has_decimal_comma: separator != b',',
        clock: Clock::new(zone, start_s),
        zone,
        log: Log {
            file: file.to_owned(),
            ..Log::default()
        },
        joined: String::new(),
    };
    while let Some(line) = next(&mut record)? {
        rows.row(&record)
            .map_err(|fault| refuse(Some(line), fault))?;
    }
    let mut log = rows.log;
    if log.time_s.len() < LEAST_ROWS {
        let rows = log.time_s.len();
        return Err(refuse(None, LogFault::OneRow { rows }));
    }
    // A charge above 1.5 anywhere says that it is in per cent.
    if log.soc.iter().any(|soc| *soc > 1.5) {
        log.soc.iter_mut().for_each(|soc| *soc /= 100.0);
    }
    log.soc
        .iter_mut()
        .for_each(|soc| *soc = soc.clamp(0.0, 1.0));
    let mut empty = None;
    for (place, column) in log.columns().into_iter().enumerate() {
        if !column.is_empty() && column.iter().all(|figure| figure.is_nan()) {
            column.clear();
            empty = columns.of[place + 1].map(|column| header[column.index].trim().to_owned());
        }
    }
    if let (Some(column), true) = (empty, log.columns().iter().all(|column| column.is_empty())) {
        return Err(refuse(None, LogFault::NoNumbers { column }));
    }
    Ok(log)
}

/// The one of the separators that a header has most of.
fn separator(header: &str) -> u8 {
    let count = |separator: u8| header.bytes().filter(|byte| *byte == separator).count();
    let most = [b',', b';', b'\t']
        .into_iter()
        .max_by_key(|s| (count(*s), *s == b','));
    most.unwrap_or(b',')
}

/// Rows as they come.
struct Rows<'a> {
    header: &'a [String],
    columns: &'a Columns,
    has_decimal_comma: bool,
    clock: Clock<'a>,
    zone: &'a Zone,
    log: Log,
    joined: String,
}

impl Rows<'_> {
    fn row(&mut self, record: &csv::StringRecord) -> Result<(), LogFault> {
        if record.iter().all(|field| field.trim().is_empty()) {
            return Ok(());
        }
        if self.log.time_s.len() >= MOST_ROWS {
            return Err(LogFault::TooManyRows { limit: MOST_ROWS });
        }
        let field = |index: usize| {
            record.get(index).ok_or(LogFault::ShortRow {
                fields: record.len(),
                header: self.header.len(),
            })
        };
        let time = self.columns.of[0].map_or(0, |column| column.index);
        let time = match self.columns.date {
            Some(date) => {
                self.joined.clear();
                self.joined.push_str(field(date)?.trim());
                self.joined.push(' ');
                self.joined.push_str(field(time)?.trim());
                self.joined.as_str()
            }
            None => field(time)?,
        };
        let time_s = self.clock.read(time)?;
        let mut figures = [None; 5];
        for (place, figure) in figures.iter_mut().enumerate() {
            let Some(column) = self.columns.of[place + 1] else {
                continue;
            };
            let value = self.figure(field(column.index)?, column.index)? * column.factor;
            let (low, high) = Quantity::ALL[place + 1].range();
            if value < low || value > high {
                return Err(LogFault::OutOfRange {
                    column: self.header[column.index].trim().to_owned(),
                    found: value,
                    low,
                    high,
                });
            }
            #[expect(clippy::cast_possible_truncation, reason = "a meter has few digits")]
            let value = value as f32;
            *figure = Some(value);
        }
        let last_s = self.log.time_s.last().copied();
        if last_s.is_some_and(|last_s| time_s < last_s) {
            let at = |utc_s: i64| {
                self.zone
                    .local(utc_s)
                    .format("%Y-%m-%d %H:%M:%S")
                    .to_string()
            };
            return Err(LogFault::GoesBack {
                found: at(time_s),
                before: at(last_s.unwrap_or(0)),
            });
        }
        // Of rows in one second the last counts.
        let is_same = last_s == Some(time_s);
        if !is_same {
            self.log.time_s.push(time_s);
        }
        for (column, figure) in self.log.columns().into_iter().zip(figures) {
            if is_same {
                column.pop();
            }
            column.extend(figure);
        }
        Ok(())
    }

    fn figure(&self, field: &str, column: usize) -> Result<f64, LogFault> {
        let text = field.trim().trim_end_matches('%').trim_end();
        let parsed = if self.has_decimal_comma && text.contains(',') {
            text.replace(',', ".").parse::<f64>()
        } else {
            text.parse::<f64>()
        };
        match parsed {
            Ok(value) if value.is_finite() => Ok(value),
            _ if MISSING.contains(&text.to_lowercase().as_str()) => Ok(f64::NAN),
            _ => Err(LogFault::BadNumber {
                column: self.header[column].trim().to_owned(),
                found: text.chars().take(40).collect(),
            }),
        }
    }
}

/// Several logs of one bank in a row, in order of time.
///
/// # Errors
/// [`LogError`] where two cover the same time.
pub fn joined(mut logs: Vec<Log>) -> Result<Log, LogError> {
    logs.sort_by_key(|log| log.ends_s().0);
    let mut logs = logs.into_iter();
    let mut whole = logs.next().unwrap_or_default();
    for mut log in logs {
        if log.ends_s().0 < whole.ends_s().1 {
            return Err(LogError {
                file: log.file,
                line: None,
                fault: LogFault::Overlap { other: whole.file },
            });
        }
        let (before, more) = (whole.time_s.len(), log.time_s.len());
        whole.time_s.append(&mut log.time_s);
        for (column, added) in whole.columns().into_iter().zip(log.columns()) {
            // What one file has and another has not is missing there.
            if column.is_empty() && !added.is_empty() {
                column.resize(before, f32::NAN);
            }
            if added.is_empty() && !column.is_empty() {
                added.resize(more, f32::NAN);
            }
            column.append(added);
        }
    }
    Ok(whole)
}
