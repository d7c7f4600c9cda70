//! What stands under a verdict, laid out for a terminal: rules, spacing and width.
//!
//! One job: one plain look for every table. What is laid out is in `part`.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle,
    Table as Drawn, TableStyle, Width,
};

use super::part::{Align, Part, Table};

/// A rule under the header, two spaces between columns, nothing around.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

/// Space on both sides of a cell; nothing stands before the first column.
const PADDING: usize = 2;

/// Least width that is laid out; a narrower terminal wraps by itself.
const LEAST_WIDTH: usize = 40;

/// Width of a date, a stop and the gaps, and of a bank's two columns.
const FIXED_WIDTH: usize = 36;
const BANK_WIDTH: usize = 25;

/// The parts one below the other, at most `width` columns wide, without a line break at the end.
#[must_use]
pub fn laid_out(parts: &[Part], width: usize) -> String {
    let shown = parts.iter().map(|part| match part {
        Part::Note(text) => {
            let lines: Vec<String> = text.lines().map(|line| wrapped(line, width)).collect();
            lines.join("\n")
        }
        Part::Lines(text) => text.clone(),
        Part::Table(table) if table.is_by_bank => by_bank(table, width),
        Part::Table(table) => framed(&table.head, &table.rows, width),
    });
    shown.collect::<Vec<String>>().join("\n\n")
}

/// The banks side by side as far as they fit, the rest below.
fn by_bank(table: &Table, width: usize) -> String {
    let abreast = (width.saturating_sub(FIXED_WIDTH) / BANK_WIDTH).max(1);
    let columns: Vec<usize> = (2..table.head.len()).collect();
    let pieces = columns.chunks(2 * abreast).map(|chunk| {
        let shown: Vec<usize> = [0, 1].into_iter().chain(chunk.iter().copied()).collect();
        let head: Vec<(String, Align)> = shown.iter().map(|&at| table.head[at].clone()).collect();
        let rows = table.rows.iter();
        let rows = rows.map(|row| shown.iter().map(|&at| row[at].clone()).collect());
        framed(&head, &rows.collect::<Vec<_>>(), width)
    });
    pieces.collect::<Vec<String>>().join("\n\n")
}

/// The table as text of at most `width` columns, without a line break at its end.
fn framed(head: &[(String, Align)], rows: &[Vec<String>], width: usize) -> String {
    let mut table = Drawn::new();
    table.load_style(PLAIN);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    let width = width.max(LEAST_WIDTH);
    table.set_width(u16::try_from(width).unwrap_or(u16::MAX));
    let least = least_widths(head, rows, width);
    let alignment = |align: Align| match align {
        Align::Left => CellAlignment::Left,
        Align::Right => CellAlignment::Right,
    };
    table.set_header(
        head.iter()
            .map(|(name, align)| Cell::new(name).set_alignment(alignment(*align))),
    );
    for row in rows {
        table.add_row(
            row.iter()
                .zip(head)
                .map(|(text, (_, align))| Cell::new(text).set_alignment(alignment(*align))),
        );
    }
    // Columns that fit side by side are as wide as their cells.
    if whole_width(head, rows) > width {
        for (column, least) in table.column_iter_mut().zip(least) {
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

/// Width of the table with every cell on one line.
fn whole_width(head: &[(String, Align)], rows: &[Vec<String>]) -> usize {
    let columns = head.iter().enumerate().map(|(index, (name, _))| {
        let cells = rows.iter().filter_map(|row| row.get(index));
        let widths = cells.chain([name]).map(|cell| cell.chars().count());
        PADDING + widths.max().unwrap_or(0)
    });
    columns.sum::<usize>().saturating_sub(1)
}

/// Least width of each column, padding included, so that lines break between words: that of its longest
/// word. Where these do not fit beside each other, the longest are cut.
fn least_widths(head: &[(String, Align)], rows: &[Vec<String>], width: usize) -> Vec<u16> {
    let longest = |text: &str| {
        text.split_whitespace()
            .map(|word| word.chars().count())
            .max()
    };
    let mut least: Vec<usize> = head
        .iter()
        .enumerate()
        .map(|(index, (name, _))| {
            let cells = rows.iter().filter_map(|row| row.get(index));
            let words = cells.filter_map(|cell| longest(cell)).chain(longest(name));
            // Nothing stands before the first column.
            PADDING - usize::from(index == 0) + words.max().unwrap_or(0)
        })
        .collect();
    while least.iter().sum::<usize>() > width {
        let Some(most) = least.iter_mut().max().filter(|most| **most > PADDING + 1) else {
            break;
        };
        *most -= 1;
    }
    let fitting = least.into_iter().map(u16::try_from);
    fitting.map(|least| least.unwrap_or(u16::MAX)).collect()
}

/// A sentence under a table in lines of at most `width` characters, and no longer than is read with ease. A
/// word that is longer stands alone.
fn wrapped(text: &str, width: usize) -> String {
    const EASY: usize = 96;
    let width = width.clamp(LEAST_WIDTH, EASY);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::tables::part::head;

    #[test]
    fn pinned_plain_look() {
        let text = framed(
            &head(&["bank", "lasts"], 1),
            &[
                vec!["main".to_owned(), "3.4 days".to_owned()],
                vec!["aux".to_owned(), "12 days".to_owned()],
            ],
            80,
        );
        insta::assert_snapshot!(text, @r#"
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
        let row = row.map(str::to_owned).to_vec();
        for width in 40..80 {
            let names = head(&["stop", "driving in hours", "date"], 1);
            let text = framed(&names, std::slice::from_ref(&row), width);
            for word in row.iter().flat_map(|cell| cell.split(' ')) {
                assert!(text.contains(word), "{word} at {width}:\n{text}");
            }
        }
    }

    #[test]
    fn law_no_line_is_wider_than_asked() {
        let rows = vec![vec![
            "a name of some length".repeat(4),
            "12".to_owned(),
            "x".repeat(90),
        ]];
        for width in [40, 60, 100] {
            let text = framed(&head(&["one", "two", "three"], 1), &rows, width);
            assert!(
                text.lines().all(|line| line.chars().count() <= width),
                "{text}"
            );
        }
    }
}
