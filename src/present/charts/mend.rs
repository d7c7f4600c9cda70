//! `mend.svg`: the map of enough.
//!
//! One job: the curve of least pairs of two sizes that meet the aim, with the present system as a
//! square. Right of the curve and above it is enough.

use super::axes::{SIZE, across, name_across, round_values, upward};
use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label};
use super::palette::{BAND_OUTER, CUTOFF, INK, RESERVE, faded};
use super::scale::Scale;
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::words::chance::percent;
use crate::present::words::figure::rounded;
use crate::present::words::mend_verdict::mend_verdict;
use crate::study::mending::{MendMap, MendResult};

const LEFT_PX: f64 = 90.0;
const RIGHT_PX: f64 = 840.0;
const TOP_PX: f64 = HEAD_PX + 34.0;
const BOTTOM_PX: f64 = 440.0;

/// The picture of what is enough, 900 by 506 px; `None` without a map.
#[must_use]
pub fn mend_svg(result: &MendResult) -> Option<String> {
    let map = result.map.as_ref()?;
    let mut canvas = Canvas::new(HEIGHT_PX);
    head(
        &mut canvas,
        &result.heading.scenario,
        &format!(
            "Enough for your aim of {}: the line and all above and right of it. Square: the system as it is.",
            percent(result.aim_chance)
        ),
    );
    curve(&mut canvas, map, result.now.value);
    Some(canvas.into_svg(
        &format!("The map of enough: {}", result.heading.scenario),
        &mend_verdict(result),
    ))
}

fn curve(canvas: &mut Canvas, map: &MendMap, now_chance: f64) {
    let last_x = map.least.last().map_or(1.0, |pair| pair.0).max(map.now[0]);
    let found: Vec<(f64, f64)> = map
        .least
        .iter()
        .filter_map(|&(x, y)| Some((x, y?)))
        .collect();
    let highest = found.iter().map(|pair| pair.1).fold(map.now[1], f64::max);
    let across_to = Scale::to_round(last_x * 1.02, 5.0, LEFT_PX, RIGHT_PX);
    let up_to = Scale::to_round(highest.max(10.0) * 1.02, 5.0, BOTTOM_PX, TOP_PX);
    let at = |x: f64, y: f64| (across_to.at(x), up_to.at(y));
    axes(canvas, map, &across_to, &up_to);
    for (index, &(x, y)) in found.iter().enumerate() {
        let here = at(x, y);
        let right = found
            .get(index + 1)
            .map_or(RIGHT_PX, |next| at(next.0, 0.0).0);
        let area = Area::new((here.0, TOP_PX), (right, here.1));
        canvas.bar(area, faded(BAND_OUTER, 0.35));
    }
    // From one size to the next the smaller one asks for its own least: the line is a stair.
    let mut before: Option<(f64, f64)> = None;
    for &(x, y) in &found {
        let here = at(x, y);
        let from = before.unwrap_or((here.0, TOP_PX));
        if before.is_some() {
            canvas.line(from, (here.0, from.1), RESERVE, 2.5);
        }
        canvas.line((here.0, from.1), here, RESERVE, 2.5);
        before = Some(here);
    }
    if let Some(last) = before {
        canvas.line(last, (RIGHT_PX, last.1), RESERVE, 2.5);
        let text = "enough above and right of this line";
        canvas.label(Label::new(text, RIGHT_PX, last.1 - 8.0, 11.0, RESERVE).anchored(Anchor::End));
    } else {
        let text = format!(
            "none of these pairs is enough, up to {} upward",
            rounded(map.y_most)
        );
        canvas.label(Label::new(text, LEFT_PX + 12.0, TOP_PX + 16.0, 12.0, INK));
    }
    let (x, y) = at(map.now[0], map.now[1]);
    let dot = Area::new((x - 5.0, y - 5.0), (x + 5.0, y + 5.0));
    canvas.bar(dot, CUTOFF);
    // What is less than enough lies to the left: there the words stand clear of the line.
    let (aside, anchor) = if x > LEFT_PX + 130.0 {
        (-10.0, Anchor::End)
    } else {
        (10.0, Anchor::Start)
    };
    let text = format!("as it is: {}", percent(now_chance));
    canvas.label(Label::new(text, x + aside, y - 8.0, 11.0, CUTOFF).anchored(anchor));
}

fn axes(canvas: &mut Canvas, map: &MendMap, across_to: &Scale, up_to: &Scale) {
    let [x_name, y_name] = &map.names;
    let values = round_values(across_to, 5.0, 0.0);
    across(canvas, across_to, (TOP_PX, BOTTOM_PX), &values, rounded);
    let name = fitted(x_name, SIZE, false, 400.0);
    name_across(canvas, across_to, BOTTOM_PX, &name);
    let values = round_values(up_to, 5.0, 0.0);
    upward(canvas, up_to, (LEFT_PX, RIGHT_PX), &values, rounded);
    let name = fitted(y_name, SIZE, false, 400.0);
    canvas.label(Label::new(name, 16.0, TOP_PX - 14.0, SIZE, INK));
}
