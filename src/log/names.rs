//! Which column of a log holds what.
//!
//! One job: the documented names of columns, the unit that a name may end in, and what `--columns`
//! says instead.

use super::error::LogFault;

/// What a column of a log can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// The time of the row.
    Time,
    /// State of charge, in per cent or as a share.
    Soc,
    /// Voltage at the terminals.
    Volts,
    /// Current.
    Current,
    /// Power.
    Power,
    /// Charge counted, Ah.
    Ah,
}

impl Quantity {
    /// All of them, in the order of a row.
    pub const ALL: [Self; 6] = [
        Self::Time,
        Self::Soc,
        Self::Volts,
        Self::Current,
        Self::Power,
        Self::Ah,
    ];

    /// The word that `--columns` knows it by.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Time => "time",
            Self::Soc => "soc",
            Self::Volts => "voltage",
            Self::Current => "current",
            Self::Power => "power",
            Self::Ah => "ah",
        }
    }

    /// Column names that are known without a word, in lower case with `_` for what is no letter.
    #[must_use]
    pub fn names(self) -> &'static [&'static str] {
        match self {
            Self::Time => &[
                "time",
                "datetime",
                "date_time",
                "date_and_time",
                "timestamp",
                "local_time",
                "utc",
                "seconds",
                "elapsed",
            ],
            Self::Soc => &["soc", "state_of_charge", "charge", "charge_level"],
            Self::Volts => &["volts", "voltage", "battery_voltage", "bank_voltage"],
            Self::Current => &["amps", "current", "battery_current", "bank_current"],
            Self::Power => &["watts", "power", "battery_power", "bank_power"],
            Self::Ah => &[
                "ah",
                "amp_hours",
                "consumed",
                "drawn",
                "counted",
                "charge_counted",
            ],
        }
    }

    /// Least and greatest that is believed.
    pub(super) fn range(self) -> (f64, f64) {
        match self {
            Self::Time => (f64::MIN, f64::MAX),
            Self::Soc => (-5.0, 110.0),
            Self::Volts => (0.0, 100.0),
            Self::Current => (-5000.0, 5000.0),
            Self::Power => (-250_000.0, 250_000.0),
            Self::Ah => (-1e6, 1e6),
        }
    }

    /// Units that may end a name, and what they multiply by.
    fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Time => &[("_s", 1.0)],
            Self::Soc => &[("_percent", 1.0), ("_pct", 1.0)],
            Self::Volts => &[("_mv", 0.001), ("_v", 1.0)],
            Self::Current => &[("_ma", 0.001), ("_a", 1.0)],
            Self::Power => &[("_kw", 1000.0), ("_w", 1.0)],
            Self::Ah => &[("_ah", 1.0)],
        }
    }

    /// What a header's name multiplies by, if it is a known name of this quantity.
    fn known(self, name: &str) -> Option<f64> {
        if self.names().contains(&name) {
            return Some(1.0);
        }
        let with_unit = self.units().iter().find_map(|(unit, factor)| {
            let bare = name.strip_suffix(unit)?;
            self.names().contains(&bare).then_some(*factor)
        });
        with_unit.or_else(|| {
            let bare = self.units().iter().find(|(unit, _)| unit[1..] == *name)?;
            (self != Self::Time).then_some(bare.1)
        })
    }
}

/// What `--columns` says: quantity and the file's own name of its column.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ColumnWords(Vec<(Quantity, String)>);

impl ColumnWords {
    /// Reads `time=When,current=I bat`.
    ///
    /// # Errors
    /// [`LogFault::BadWord`] for a quantity that is not there.
    pub fn read(text: &str) -> Result<Self, LogFault> {
        let quantity = |word: &str| {
            Quantity::ALL
                .into_iter()
                .find(|quantity| quantity.word() == word.trim())
        };
        let words = text.split(',').filter(|word| !word.trim().is_empty());
        words
            .map(|word| {
                let pair = word.split_once('=');
                pair.and_then(|(name, column)| Some((quantity(name)?, column.trim().to_owned())))
                    .ok_or_else(|| LogFault::BadWord {
                        found: word.trim().chars().take(60).collect(),
                        names: Quantity::ALL.map(Quantity::word).join(", "),
                    })
            })
            .collect::<Result<_, _>>()
            .map(Self)
    }

    fn of(&self, quantity: Quantity) -> Option<&str> {
        let words = self.0.iter();
        words
            .filter(|(known, _)| *known == quantity)
            .map(|(_, column)| column.as_str())
            .next()
    }
}

/// Where a quantity stands in a row, and what it multiplies by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    pub(super) index: usize,
    pub(super) factor: f64,
}

/// The columns of a header.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    /// By the order of [`Quantity::ALL`].
    pub(super) of: [Option<Column>; 6],
    /// A column of the date apart, where the time's has the clock only.
    pub(super) date: Option<usize>,
}

/// Lower case, `_` for what is neither letter nor digit, none at the ends; `%` is a unit.
fn plain(name: &str) -> String {
    let name = name.replace('%', " percent ").to_lowercase();
    let words = name.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("_")
}

/// Finds the columns of a header.
pub(super) fn find_columns(header: &[String], words: &ColumnWords) -> Result<Columns, LogFault> {
    let listed = || {
        let names: Vec<String> = header
            .iter()
            .map(|name| format!("`{}`", name.trim()))
            .collect();
        names.join(", ").chars().take(200).collect::<String>()
    };
    let plain_names: Vec<String> = header.iter().map(|name| plain(name)).collect();
    let mut of = [None; 6];
    for (place, quantity) in Quantity::ALL.into_iter().enumerate() {
        if let Some(wanted) = words.of(quantity) {
            let index = header.iter().position(|name| name.trim() == wanted);
            let index =
                index.or_else(|| plain_names.iter().position(|name| *name == plain(wanted)));
            let index = index.ok_or_else(|| LogFault::NoSuchColumn {
                column: wanted.to_owned(),
                found: listed(),
            })?;
            let unit = quantity.units().iter();
            let unit = unit
                .filter(|(unit, _)| plain_names[index].ends_with(unit))
                .map(|(_, factor)| *factor)
                .next();
            of[place] = Some(Column {
                index,
                factor: unit.unwrap_or(1.0),
            });
            continue;
        }
        let known: Vec<Column> = plain_names
            .iter()
            .enumerate()
            .filter_map(|(index, name)| {
                let factor = quantity.known(name)?;
                Some(Column { index, factor })
            })
            .collect();
        if let [first, second, ..] = known.as_slice() {
            return Err(LogFault::TwoColumns {
                wanted: quantity.word(),
                first: header[first.index].trim().to_owned(),
                second: header[second.index].trim().to_owned(),
            });
        }
        of[place] = known.first().copied();
    }
    let date = plain_names.iter().position(|name| name == "date");
    if of[0].is_none() {
        // A date alone may hold the clock as well.
        of[0] = date.map(|index| Column { index, factor: 1.0 });
    }
    let Some(time) = of[0] else {
        return Err(LogFault::NoTime {
            found: listed(),
            names: Quantity::Time.names().join(", "),
        });
    };
    if of[1..].iter().all(Option::is_none) {
        let names: Vec<&str> = (Quantity::ALL[1..].iter())
            .flat_map(|quantity| quantity.names())
            .copied()
            .collect();
        return Err(LogFault::NoFigures {
            found: listed(),
            names: names.join(", "),
        });
    }
    Ok(Columns {
        of,
        date: date.filter(|date| *date != time.index),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns(header: &str, words: &str) -> Result<[Option<usize>; 6], LogFault> {
        let header: Vec<String> = header.split(',').map(str::to_owned).collect();
        let found = find_columns(&header, &ColumnWords::read(words)?)?;
        Ok(found.of.map(|column| column.map(|column| column.index)))
    }

    #[test]
    fn columns_are_found_by_plain_names_and_by_word() {
        let found = columns("Time,Battery voltage [V],Current (mA),SOC %", "").unwrap();
        assert_eq!(found, [Some(0), Some(3), Some(1), Some(2), None, None]);
        let found = columns("when,I bat,SoC", "time=when,current=I bat").unwrap();
        assert_eq!(found, [Some(0), Some(2), None, Some(1), None, None]);
    }

    #[test]
    fn refuses_headers_without_what_is_needed() {
        let text = |header: &str, words: &str| columns(header, words).unwrap_err().to_string();
        assert!(text("when,soc", "").starts_with("has no column of the time among `when`, `soc`"));
        assert!(text("time,x", "").contains("has no column of charge"));
        assert_eq!(
            text("time,amps,current", ""),
            "`amps` and `current` both hold current: say which one with --columns current=NAME"
        );
        assert_eq!(
            text("time,amps", "current=I"),
            "has no column `I`, but has `time`, `amps`"
        );
        assert!(text("time,amps", "curent=I").starts_with("`curent=I` must be QUANTITY=COLUMN"));
    }
}
