//! Tables and lists on a page.
//!
//! One job: their elements, every text escaped. What stands around them is in the templates of the pages.

use std::fmt::Write as _;

use super::charts::text_size::width_px;
use super::plain_text::markup;
use super::table::{Align, Table};

/// Room across a page for a table of many columns, in its letters' size, as `report/style.css` sets it: in a window of
/// 1,000 px and on A4.
const ROOM_EM: f64 = 72.0;

/// Room on both sides of a cell there.
const PADDING_EM: f64 = 0.75;

/// Names up to so many characters stand on one line.
const ON_ONE_LINE: usize = 24;

/// The columns for people, the first of which names the rows; in pieces where they are too many. The element gets
/// `attributes`.
#[must_use]
pub fn table_html(table: &Table, attributes: &str) -> String {
    let pieces = table.pieces(|columns| has_room(table, columns));
    let mut out = String::new();
    for columns in pieces {
        // Writing to a String cannot fail.
        let figure = |column: usize| match table.columns[column].align {
            Align::Left => "",
            Align::Right => " class=\"figure\"",
        };
        let _ = write!(out, "<table{attributes}>\n<thead><tr>");
        for &column in &columns {
            let heading = markup(&table.columns[column].heading);
            let _ = write!(out, "<th scope=\"col\"{}>{heading}</th>", figure(column));
        }
        out.push_str("</tr></thead>\n<tbody>\n");
        for row in &table.rows {
            out.push_str("<tr>");
            for (place, &column) in columns.iter().enumerate() {
                let shown = &row[column].shown;
                let lines: Vec<String> = shown.lines().map(markup).collect();
                // Figures that belong together stay on one line.
                let text = lines.join("<br>").replace(" · ", "\u{a0}·\u{a0}");
                let _ = if place == 0 {
                    let is_short = shown.chars().count() <= ON_ONE_LINE;
                    let class = if is_short { " class=\"short\"" } else { "" };
                    write!(out, "<th scope=\"row\"{class}>{text}</th>")
                } else {
                    write!(out, "<td{}>{text}</td>", figure(column))
                };
            }
            out.push_str("</tr>\n");
        }
        out.push_str("</tbody>\n</table>\n");
    }
    out
}

/// Whether columns stand side by side on a page without a bar to scroll.
fn has_room(table: &Table, columns: &[usize]) -> bool {
    let width = columns.iter().enumerate().map(|(place, &column)| {
        let heading = table.columns[column].heading.split(' ');
        let heading = heading.map(|word| width_px(word, 1.0, true));
        let cells = table.rows.iter().flat_map(|row| row[column].shown.lines());
        let cells = cells.map(|line| {
            let is_whole = match table.columns[column].align {
                Align::Right => true,
                Align::Left => place == 0 && line.chars().count() <= ON_ONE_LINE,
            };
            let words = line.split(|letter| letter == ' ' && !is_whole);
            let words = words.map(|words| width_px(words, 1.0, place == 0));
            words.fold(0.0, f64::max)
        });
        PADDING_EM + heading.chain(cells).fold(0.0, f64::max)
    });
    width.sum::<f64>() <= ROOM_EM
}

/// Points; nothing where there are none.
#[must_use]
pub fn list_html<S: AsRef<str>>(items: impl IntoIterator<Item = S>) -> String {
    let items = items.into_iter();
    let items: Vec<String> = items
        .map(|item| format!("<li>{}</li>\n", markup(item.as_ref())))
        .collect();
    if items.is_empty() {
        return String::new();
    }
    format!("<ul>\n{}</ul>\n", items.concat())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::present::tables::{Part, trip_tables};

    /// The nights of eight banks stand in as many tables as they need, all of the same nights.
    #[test]
    fn law_what_has_no_room_goes_on_below() {
        let names = ["a", "b", "c", "d", "e", "f", "g", "h"];
        for banks in [1, 4, 8] {
            let parts = trip_tables(&sample::trip_of(&names[..banks], 3));
            let nights = parts.iter().find_map(|part| match part {
                Part::Table(table) if table.columns[0].heading == "night" => Some(table),
                _ => None,
            });
            let nights = nights.expect("nights");
            let pieces = nights.pieces(|columns| has_room(nights, columns));
            assert_eq!(pieces.len() > 1, banks > 4, "{banks} banks: {pieces:?}");
            assert!(
                pieces.iter().all(|it| has_room(nights, it)),
                "{banks} banks"
            );
        }
    }
}
