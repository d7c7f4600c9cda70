//! `trip.svg`: each bank's state of charge over the trip.
//!
//! One job: a panel a bank over one time axis with drives and stops.

use super::canvas::{Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::foot::{FOOT_PX, foot, time_ends};
use super::palette::{INK, MUTED};
use super::scale::Scale;
use super::soc_panel::{LEFT_PX, NAME_PX, RIGHT_PX, panel_below, soc_panel};
use super::text_size::fitted;
use crate::present::plain_text::neutral;
use crate::present::words::chance::soc;
use crate::present::words::trip_verdict;
use crate::study::answer::{SocBand, TripAnswer};
use crate::units::Whole as _;

/// Head of a picture: its title and one line of explanation.
pub(super) const HEAD_PX: f64 = 50.0;
/// Least height of a panel; a picture of many banks grows instead.
const LEAST_PANEL_PX: f64 = 66.0;

/// The picture of a trip, 900 by 506 px; taller from five banks on.
#[must_use]
pub fn trip_svg(answer: &TripAnswer) -> String {
    let bands = &answer.bands;
    let count = bands.len().max(1).real();
    let spare = HEIGHT_PX - HEAD_PX - FOOT_PX;
    let panel_px = (spare / count - NAME_PX).max(LEAST_PANEL_PX);
    let mut canvas = Canvas::new(HEAD_PX + FOOT_PX + count * (panel_px + NAME_PX));
    head(
        &mut canvas,
        &answer.result.heading.scenario,
        "State of charge. Dark band: the middle half of all trips; light band: 8 trips in 10; line: half above, half below. Right: at the end.",
    );
    let (from, to) = time_ends(bands, &answer.calendar);
    let time = Scale::new(from, to, LEFT_PX, WIDTH_PX - RIGHT_PX);
    let mut top = HEAD_PX;
    for band in bands {
        let panel = panel_below(top, WIDTH_PX - RIGHT_PX, panel_px);
        soc_panel(&mut canvas, &panel, &time, band, &answer.calendar);
        top = panel.bottom;
    }
    let foot_top = canvas.height() - FOOT_PX;
    foot(&mut canvas, &time, &answer.calendar, foot_top);
    canvas.into_svg(
        &format!(
            "State of charge of each bank: {}",
            answer.result.heading.scenario
        ),
        &format!("{} {}", trip_verdict(answer), description(bands)),
    )
}

/// Title and explanation at the top of a picture.
pub(super) fn head(canvas: &mut Canvas, title: &str, explanation: &str) {
    let title = fitted(title, 16.0, true, WIDTH_PX - 40.0);
    canvas.label(Label::new(title, 16.0, 20.0, 16.0, INK).bold());
    canvas.label(Label::new(explanation, 16.0, 40.0, 11.0, MUTED));
}

/// What the panels show, for those who do not see them.
pub(super) fn description(bands: &[SocBand]) -> String {
    let ends: Vec<String> = bands
        .iter()
        .filter_map(|band| {
            Some(format!(
                "{} ends with half of the trials above {} and 9 in 10 above {}",
                neutral(&band.bank),
                soc(*band.p50.last()?),
                soc(*band.p10.last()?)
            ))
        })
        .collect();
    if ends.is_empty() {
        String::new()
    } else {
        format!("{}.", ends.join("; "))
    }
}
