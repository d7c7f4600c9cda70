//! Tables and lists on a page.
//!
//! One job: their elements, every text escaped. What stands around them is in the templates of the pages.

use std::fmt::Write as _;

use super::plain_text::markup;
use super::table::{Align, Table};

/// So many columns stand side by side on a page.
const ABREAST: usize = 13;

/// Names up to so many characters stand on one line.
const ON_ONE_LINE: usize = 24;

/// The columns for people, the first of which names the rows; in pieces where they are too many. The element gets
/// `attributes`.
#[must_use]
pub fn table_html(table: &Table, attributes: &str) -> String {
    let pieces = table.pieces(|columns| columns.len() <= ABREAST);
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
