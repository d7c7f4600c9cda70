//! A table: columns and rows, printed on a screen, in a file and on a page.
//!
//! One job: the one form that all figures below a verdict take. A column has a name in files, a heading for
//! people, or both, so that no two outputs can differ. What stands in them is said in `tables`; `frame` lays
//! out for a terminal, `csv` writes files, `html` pages.

use super::csv::{number_cell, safe_cell};
use super::plain_text::{neutral, shortened};
use super::words::chance::{compact, percent, soc};
use super::words::duration::short_date;
use super::words::figure::rounded;
use crate::study::answer::Chance;
use crate::units::Units;

/// Longest name of a user's on a screen; pages have them whole.
pub const NAME_LIMIT: usize = 24;

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A name.
    Text(String),
    /// An ISO date.
    Date(String),
    /// A chance, 0 to 1.
    Chance(f64),
    /// A state of charge, 0 to 1.
    Soc(f64),
    /// Any other figure, in the unit of its column.
    Number(f64),
    /// A figure in words of ours for people, as it is in files; the words may have lines.
    Told(String, Option<f64>),
    /// A figure that is written already, in the unit of its column.
    Written(String),
    /// Nothing.
    Empty,
}

impl Value {
    /// A figure, if there is one.
    #[must_use]
    pub fn of(value: Option<f64>) -> Self {
        value.map_or(Self::Empty, Self::Number)
    }

    /// Whether something is so: 1 or 0 in a file.
    #[must_use]
    pub fn flag(is_so: bool) -> Self {
        Self::Number(f64::from(u8::from(is_so)))
    }

    /// As a file has it: shares from 0 to 1, ISO dates, safe text, units of the land.
    #[must_use]
    pub fn in_file(&self, key: &str, units: Units) -> String {
        match self {
            Self::Text(text) | Self::Date(text) => safe_cell(text).into_owned(),
            Self::Written(text) => safe_cell(&units.as_written(key, text, 6).1).into_owned(),
            Self::Chance(value) | Self::Soc(value) => number_cell(*value),
            Self::Number(value) | Self::Told(_, Some(value)) => {
                number_cell(units.keyed(key, *value).1)
            }
            Self::Told(_, None) | Self::Empty => String::new(),
        }
    }

    /// As people see it: per cent, short dates.
    #[must_use]
    pub fn shown(&self, units: Units) -> String {
        match self {
            Self::Text(text) => neutral(text).into_owned(),
            Self::Written(text) | Self::Told(text, _) => text.clone(),
            Self::Date(date) => short_date(date, units),
            Self::Chance(value) => percent(*value),
            Self::Soc(value) => soc(*value),
            Self::Number(value) => rounded(*value),
            Self::Empty => String::new(),
        }
    }
}

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Names.
    Left,
    /// Figures.
    Right,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Name in files, in units of the land; empty: for people alone.
    pub key: String,
    /// Heading for people; empty: in files alone.
    pub heading: String,
    /// How it stands.
    pub align: Align,
    /// So many characters of a cell stand on a screen.
    limit: usize,
}

/// A cell, as files and as people have it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cell {
    /// In a file.
    pub filed: String,
    /// For people.
    pub shown: String,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    /// What it shows: stands above it on a page; may be empty.
    pub title: String,
    /// How to read it; may be empty.
    pub says: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<Cell>>,
    /// Where there is no room for all columns, so many at the left stand in every piece …
    names: usize,
    /// … and of the others those stay together; empty: the table is never taken apart.
    blocks: Vec<usize>,
}

impl Table {
    /// A table of these rows, column by column.
    pub(super) fn of<R>(rows: &[R], units: Units) -> Columns<'_, R> {
        let table = Self {
            rows: vec![Vec::new(); rows.len()],
            ..Self::default()
        };
        Columns { rows, units, table }
    }

    /// A table for people alone, the first `left` columns of words.
    pub(super) fn shown<N: AsRef<str>>(
        names: &[N],
        left: usize,
        rows: impl IntoIterator<Item = Vec<String>>,
    ) -> Self {
        let rows: Vec<Vec<String>> = rows.into_iter().collect();
        let mut columns = Self::of(&rows, Units::Si);
        for (index, name) in names.iter().enumerate() {
            let align = if index < left {
                Align::Left
            } else {
                Align::Right
            };
            columns = columns.column("", name.as_ref(), align, |row: &Vec<String>| {
                Value::Text(row[index].clone())
            });
        }
        columns.done()
    }

    /// With what it shows and how to read it.
    pub(super) fn titled(mut self, title: &str, says: &str) -> Self {
        self.title = neutral(title).into_owned();
        self.says = neutral(says).into_owned();
        self
    }

    /// Taken apart where there is no room: the first `names` columns in every piece, those of a block together.
    pub(super) fn in_blocks(mut self, names: usize, blocks: Vec<usize>) -> Self {
        (self.names, self.blocks) = (names, blocks);
        self
    }

    /// The columns for people as pieces that have room, by their places in the table.
    #[must_use]
    pub fn pieces(&self, has_room: impl Fn(&[usize]) -> bool) -> Vec<Vec<usize>> {
        let columns = self.columns.iter().enumerate();
        let shown: Vec<usize> = columns
            .filter(|(_, column)| !column.heading.is_empty())
            .map(|(at, _)| at)
            .collect();
        let (names, mut rest) = shown.split_at(self.names.min(shown.len()));
        let mut pieces = vec![names.to_vec()];
        let whole = [rest.len()];
        let blocks = if self.blocks.is_empty() {
            &whole[..]
        } else {
            &self.blocks
        };
        for &length in blocks {
            let (block, others) = rest.split_at(length.min(rest.len()));
            rest = others;
            let last = pieces.len() - 1;
            let longer = [&pieces[last][..], block].concat();
            if pieces[last].len() == names.len() || has_room(&longer) {
                pieces[last] = longer;
            } else {
                pieces.push([names, block].concat());
            }
        }
        pieces
    }

    /// Whether it has many columns for people.
    pub(super) fn is_broad(&self) -> bool {
        const MANY: usize = 6;
        let columns = self.columns.iter();
        columns.filter(|column| !column.heading.is_empty()).count() > MANY
    }

    /// A cell as a screen has it.
    #[must_use]
    pub fn on_screen(&self, row: &[Cell], column: usize) -> String {
        let shown = &row[column].shown;
        match self.columns[column].limit {
            0 => shown.clone(),
            limit => {
                let lines = shown.lines().map(|line| shortened(line, limit));
                lines.collect::<Vec<_>>().join("\n")
            }
        }
    }
}

/// A table in the making.
pub(super) struct Columns<'a, R> {
    rows: &'a [R],
    units: Units,
    table: Table,
}

impl<R> Columns<'_, R> {
    /// A column by its name in files and its heading, either of which may be empty.
    pub(super) fn column(
        mut self,
        key: &str,
        heading: &str,
        align: Align,
        value: impl Fn(&R) -> Value,
    ) -> Self {
        for (cells, row) in self.table.rows.iter_mut().zip(self.rows) {
            let value = value(row);
            let mut cell = Cell::default();
            if !key.is_empty() {
                cell.filed = value.in_file(key, self.units);
            }
            if !heading.is_empty() {
                cell.shown = value.shown(self.units);
            }
            cells.push(cell);
        }
        self.table.columns.push(Column {
            key: self.units.key(key),
            heading: neutral(heading).into_owned(),
            align,
            limit: 0,
        });
        self
    }

    /// A column of names.
    pub(super) fn name(self, key: &str, heading: &str, name: impl Fn(&R) -> String) -> Self {
        let named = self.column(key, heading, Align::Left, |row| Value::Text(name(row)));
        named.limited(NAME_LIMIT)
    }

    /// At most so many characters of the last column on a screen.
    pub(super) fn limited(mut self, limit: usize) -> Self {
        if let Some(last) = self.table.columns.last_mut() {
            last.limit = limit;
        }
        self
    }

    /// A column of words for people alone.
    pub(super) fn words(self, heading: &str, words: impl Fn(&R) -> String) -> Self {
        self.column("", heading, Align::Left, |row| Value::Text(words(row)))
    }

    /// A figure for people and files.
    pub(super) fn figure(self, key: &str, heading: &str, value: impl Fn(&R) -> Value) -> Self {
        self.column(key, heading, Align::Right, value)
    }

    /// A figure for people alone.
    pub(super) fn shown(self, heading: &str, shown: impl Fn(&R) -> String) -> Self {
        self.figure("", heading, |row| Value::Text(shown(row)))
    }

    /// A column in files alone.
    pub(super) fn filed(self, key: &str, value: impl Fn(&R) -> Value) -> Self {
        self.figure(key, "", value)
    }

    /// A chance with its interval: one column for people, three in files.
    pub(super) fn chance(self, key: &str, heading: &str, chance: impl Fn(&R) -> Chance) -> Self {
        self.shown(heading, |row| compact(chance(row)))
            .filed(key, |row| Value::Chance(chance(row).value))
            .filed(&format!("{key}_low"), |row| Value::Chance(chance(row).low))
            .filed(&format!("{key}_high"), |row| {
                Value::Chance(chance(row).high)
            })
    }

    /// A figure with its bounds, in files alone.
    pub(super) fn bounds(self, key: &str, bounds: impl Fn(&R) -> Option<[f64; 3]>) -> Self {
        let of = |row: &R, which: usize| Value::of(bounds(row).map(|figures| figures[which]));
        self.filed(key, |row| of(row, 0))
            .filed(&format!("{key}_low"), |row| of(row, 1))
            .filed(&format!("{key}_high"), |row| of(row, 2))
    }

    /// The table.
    pub(super) fn done(self) -> Table {
        self.table
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::present::tables::budget_file;

    /// What people see of a value is what a file has, to the digits shown.
    fn agree(key: &str, Cell { shown, filed }: &Cell) {
        let plain = shown.replace(',', "");
        let figure = |text: &str| text.trim_end_matches(" %").parse::<f64>().ok();
        match (filed.parse::<f64>(), plain.as_str()) {
            (_, "") => {}
            // `<1 %` and `>99 %` stand for what rounds to certainty.
            (Ok(share), "<1 %") => assert!(share > 0.0 && share < 0.01, "{key}: {share}"),
            (Ok(share), ">99 %") => assert!(share < 1.0 && share > 0.99, "{key}: {share}"),
            (Ok(share), text) if text.ends_with(" %") => {
                let seen = figure(text).unwrap();
                assert!(
                    (seen - 100.0 * share).abs() <= 0.5 + 1e-6,
                    "{key}: {text} and {share}"
                );
            }
            (Ok(value), text) => {
                let size = value.abs();
                let step = if size < 99.95 {
                    0.1
                } else {
                    1.0_f64.max(0.01 * size)
                };
                let seen = figure(text).unwrap();
                assert!(
                    (seen - value).abs() <= 0.5 * step + 1e-6,
                    "{key}: {text} and {value}"
                );
            }
            (Err(_), text) => {
                let is_date = *text == short_date(filed, Units::Si);
                assert!(is_date || filed == text, "{key}: {text} and {filed}");
            }
        }
    }

    /// Every column for people and files, of every line of the budget.
    #[test]
    fn law_people_and_files_have_the_same_figures() {
        let table = budget_file(&sample::budget());
        let named = || table.columns.iter().filter(|column| !column.key.is_empty());
        let keys: std::collections::BTreeSet<_> = named().map(|it| &it.key).collect();
        assert_eq!(keys.len(), named().count());
        let mut seen = 0;
        for row in &table.rows {
            for (column, cell) in table.columns.iter().zip(row) {
                if !column.key.is_empty() {
                    agree(&column.key, cell);
                    seen += usize::from(!cell.shown.is_empty());
                }
            }
        }
        assert!(seen > 40, "{seen} values");
    }

    #[test]
    fn by_hand_blocks_that_have_no_room_stand_below() {
        let rows = vec![
            vec!["a", "1", "2", "3", "4"]
                .into_iter()
                .map(str::to_owned)
                .collect(),
        ];
        let table = Table::shown(&["n", "p", "q", "r", "s"], 1, rows);
        assert_eq!(table.pieces(|_| false), [[0, 1, 2, 3, 4]]);
        let table = table.in_blocks(1, vec![2, 2]);
        assert_eq!(table.pieces(|_| true), [[0, 1, 2, 3, 4]]);
        assert_eq!(table.pieces(|_| false), [[0, 1, 2], [0, 3, 4]]);
    }
}
