//! The frame of a table: rules, spacing and width.
//!
//! One job: one plain look for every table. What stands in the cells is the callers'.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table,
    TableStyle, Width,
};

/// A rule under the header, two spaces between columns, nothing around.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

/// Least width that is laid out; a narrower terminal wraps by itself.
const LEAST_WIDTH: usize = 40;

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    /// Names.
    Left,
    /// Figures.
    Right,
}

/// The table as text of at most `width` columns, without a line break at its end.
pub(super) fn framed(head: &[(String, Align)], rows: Vec<Vec<String>>, width: usize) -> String {
    let mut table = Table::new();
    table.load_style(PLAIN);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    let width = width.max(LEAST_WIDTH);
    table.set_width(u16::try_from(width).unwrap_or(u16::MAX));
    let least = least_widths(head, &rows, width);
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
            row.into_iter()
                .zip(head)
                .map(|(text, (_, align))| Cell::new(text).set_alignment(alignment(*align))),
        );
    }
    for (column, least) in table.column_iter_mut().zip(least) {
        column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
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

/// Least width of each column, padding included, so that lines break between words: that of its longest
/// word. Where these do not fit beside each other, the longest are cut.
fn least_widths(head: &[(String, Align)], rows: &[Vec<String>], width: usize) -> Vec<u16> {
    const PADDING: usize = 2;
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
            PADDING + words.max().unwrap_or(0)
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
pub(super) fn note(text: &str, width: usize) -> String {
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

/// Head cells from names, the first `left` of them left-aligned.
pub(super) fn head(names: &[&str], left: usize) -> Vec<(String, Align)> {
    names
        .iter()
        .enumerate()
        .map(|(index, name)| {
            let align = if index < left {
                Align::Left
            } else {
                Align::Right
            };
            ((*name).to_owned(), align)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_plain_look() {
        let text = framed(
            &head(&["bank", "lasts"], 1),
            vec![
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
            let text = framed(&names, vec![row.clone()], width);
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
            let text = framed(&head(&["one", "two", "three"], 1), rows.clone(), width);
            assert!(
                text.lines().all(|line| line.chars().count() <= width),
                "{text}"
            );
        }
    }
}
