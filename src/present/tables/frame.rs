//! What stands under a verdict, laid out for a terminal: rules, spacing and width.
//!
//! One job: one plain look for every table. What is laid out is in `part`.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle,
    Table as Drawn, TableStyle, Width,
};

use super::part::Part;
use crate::present::plain_text::wrapped;
use crate::present::table::{Align, Table};

/// A rule under the header, two spaces between columns, nothing around.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

/// Space on both sides of a cell; nothing stands before the first column.
const PADDING: usize = 2;

/// Least width that is laid out; a narrower terminal wraps by itself.
const LEAST_WIDTH: usize = 40;

/// No longer are lines of sentences: so they are read with ease.
const EASY: usize = 96;

/// Cells up to so long are never parted.
const UNPARTED: usize = 14;

/// The parts one below the other, at most `width` columns wide, without a line break at the end.
#[must_use]
pub fn laid_out(parts: &[Part], width: usize) -> String {
    let width = width.max(LEAST_WIDTH);
    let shown = parts.iter().map(|part| match part {
        Part::Note(text) => {
            let room = |line: &str| line.chars().count() <= width.min(EASY);
            let lines = text.lines().map(|line| wrapped(line, room).join("\n"));
            lines.collect::<Vec<String>>().join("\n")
        }
        Part::Lines(text) => text.clone(),
        Part::Table(table) => {
            let all = Texts::of(table);
            let has_room = |columns: &[usize]| all.only(columns).least_width() <= width;
            let pieces = table.pieces(has_room).into_iter();
            let pieces = pieces.map(|columns| all.only(&columns).framed(width));
            pieces.collect::<Vec<String>>().join("\n\n")
        }
    });
    shown.collect::<Vec<String>>().join("\n\n")
}

/// Headings and cells, column by column.
struct Texts<'a>(Vec<(&'a str, Align, Vec<String>)>);

impl<'a> Texts<'a> {
    fn of(table: &'a Table) -> Self {
        let columns = table.columns.iter().enumerate();
        let texts = columns.map(|(at, column)| {
            let cells = table.rows.iter().map(|row| table.on_screen(row, at));
            (&column.heading[..], column.align, cells.collect())
        });
        Self(texts.collect())
    }

    fn only(&self, columns: &[usize]) -> Self {
        Self(columns.iter().map(|&at| self.0[at].clone()).collect())
    }

    /// The table as text of at most `width` columns, without a line break at its end.
    fn framed(&self, width: usize) -> String {
        let mut table = Drawn::new();
        table.load_style(PLAIN);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(u16::try_from(width).unwrap_or(u16::MAX));
        let aligned = |text: &str, align: Align| {
            Cell::new(text).set_alignment(match align {
                Align::Left => CellAlignment::Left,
                Align::Right => CellAlignment::Right,
            })
        };
        let columns = self.0.iter();
        table.set_header(columns.map(|(name, align, _)| aligned(name, *align)));
        let count = self.0.first().map_or(0, |(_, _, cells)| cells.len());
        for row in 0..count {
            let columns = self.0.iter();
            table.add_row(columns.map(|(_, align, cells)| aligned(&cells[row], *align)));
        }
        // Columns that fit side by side are as wide as their cells.
        let whole = self.widths(whole_width, whole_width);
        if whole.iter().sum::<usize>() > width {
            let least = fitting(self.widths(least_of, longest_word), width);
            for (column, least) in table.column_iter_mut().zip(least) {
                let least = u16::try_from(least).unwrap_or(u16::MAX);
                column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
            }
        }
        if let Some(first) = table.column_mut(0) {
            first.set_padding((0, 1));
        }
        let lines: Vec<String> = table
            .lines()
            .map(|line| line.trim_end().to_owned())
            .collect();
        lines.join("\n")
    }

    /// Width of each column whose cells and headings need so much, padding included.
    fn widths(&self, cell: fn(&str) -> usize, heading: fn(&str) -> usize) -> Vec<usize> {
        let columns = self.0.iter().enumerate();
        let widths = columns.map(|(at, (name, _, cells))| {
            let widest = cells.iter().map(|text| cell(text)).max().unwrap_or(0);
            // Nothing stands before the first column.
            PADDING - usize::from(at == 0) + widest.max(heading(name))
        });
        widths.collect()
    }

    fn least_width(&self) -> usize {
        self.widths(least_of, longest_word).iter().sum()
    }
}

fn whole_width(text: &str) -> usize {
    let lines = text.lines().map(|line| line.chars().count());
    lines.max().unwrap_or(0)
}

fn longest_word(text: &str) -> usize {
    let words = text.split_whitespace();
    words.map(|word| word.chars().count()).max().unwrap_or(0)
}

/// A short cell stands on one line, of a longer one the longest word does.
fn least_of(text: &str) -> usize {
    let whole = whole_width(text);
    if whole <= UNPARTED {
        whole
    } else {
        longest_word(text)
    }
}

/// Least widths of columns beside each other; where they have no room, the longest are cut.
fn fitting(mut least: Vec<usize>, width: usize) -> Vec<usize> {
    while least.iter().sum::<usize>() > width {
        let Some(most) = least.iter_mut().max().filter(|most| **most > PADDING + 1) else {
            break;
        };
        *most -= 1;
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    fn framed(names: &[&str], rows: &[&[&str]], width: usize) -> String {
        let rows = rows
            .iter()
            .map(|row| row.iter().map(|&cell| cell.to_owned()).collect());
        laid_out(&[Part::Table(Table::shown(names, 1, rows))], width)
    }

    #[test]
    fn pinned_plain_look() {
        let rows: [&[&str]; 2] = [&["main", "3.4 days"], &["aux", "12 days"]];
        insta::assert_snapshot!(framed(&["bank", "lasts"], &rows, 80), @r#"
        bank     lasts
        ---------------
        main  3.4 days
        aux    12 days
        "#);
    }

    #[test]
    fn by_hand_lines_break_between_words() {
        let row = [
            "Dalhousie Springs",
            "from 12.5 to 13.5 hours",
            "Wednesday 15 July 2027",
        ];
        for width in 40..80 {
            let text = framed(&["stop", "driving in hours", "date"], &[&row], width);
            for word in row.iter().flat_map(|cell| cell.split(' ')) {
                assert!(text.contains(word), "{word} at {width}:\n{text}");
            }
        }
    }

    #[test]
    fn law_no_line_is_wider_than_asked() {
        let (long, broad) = ("a name of some length".repeat(4), "x".repeat(90));
        for width in [40, 60, 100] {
            let text = framed(&["one", "two", "three"], &[&[&long, "12", &broad]], width);
            assert!(
                text.lines().all(|line| line.chars().count() <= width),
                "{text}"
            );
        }
    }
}
