//! The tables of nights left for readers without scripts: a piece of a page, without its frame.

use askama::Template;

use super::parts::Passage;
use super::what_if::turn_home;
use crate::study::nights_left::NightsLeft;

#[derive(Template)]
#[template(path = "nights.html", config = "src/present/report/askama.toml")]
struct Nights {
    title: String,
    parts: Vec<Passage>,
}

/// How many nights are left by stop and charge, as HTML below a heading.
///
/// # Errors
/// Those of the template; writing to memory has none in practice.
pub fn nights_left_html(title: &str, left: &NightsLeft) -> Result<String, askama::Error> {
    Nights {
        title: crate::present::plain_text::neutral(title).into_owned(),
        parts: turn_home(left),
    }
    .render()
}
