//! `shed.svg` and `why.svg`: ranked bars.
//!
//! One job: a row a load with what it buys; a row an input with how far it moves the answer and
//! which way.

use super::axes::{AXIS_PX, across, name_across, round_values, short};
use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::palette::{INK, LOAD, MEDIAN, MUTED, SOURCE};
use super::scale::Scale;
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::words::chance::percent;
use crate::present::words::shed_verdict::{days_gained, shed_verdict};
use crate::present::words::why_verdict::{by_share, end_figure, is_known, of_words, why_verdict};
use crate::study::choosing::shed::{Shed, ShedResult};
use crate::study::choosing::why::{InputAnswer, WhyResult};
use crate::units::Whole as _;

const LEFT_PX: f64 = 190.0;
const SHED_RIGHT_PX: f64 = 620.0;
const TITLE_PX: f64 = 26.0;

/// The picture of shedding, 900 px wide.
#[must_use]
pub fn shed_svg(result: &ShedResult) -> String {
    let count = (result.alone.len() + result.steps.len()).real();
    let room = HEIGHT_PX - HEAD_PX - 2.0 * TITLE_PX - AXIS_PX;
    let row_px = (room / count).clamp(20.0, 34.0);
    let bottom = HEAD_PX + 2.0 * TITLE_PX + row_px * count;
    let mut canvas = Canvas::new((bottom + AXIS_PX).max(HEIGHT_PX));
    head(
        &mut canvas,
        &result.heading.scenario,
        "Bar: gain in the days that 9 in 10 stays last; line: its 95 % interval. Right: the gain, and the trip's chance of no shortfall.",
    );
    let all = || result.alone.iter().chain(&result.steps);
    let most = all()
        .map(|shed| shed.gain_days_p10.high)
        .fold(0.5, f64::max);
    let least = all().map(|shed| shed.gain_days_p10.low).fold(0.0, f64::min);
    let days = Scale::new(least, most, LEFT_PX, SHED_RIGHT_PX);
    let values = round_values(&days, 7.0, 0.0);
    let ends = (HEAD_PX + TITLE_PX, bottom);
    across(&mut canvas, &days, ends, &values, short);
    name_across(&mut canvas, &days, bottom, "days gained");
    let mut top = HEAD_PX;
    for (title, entries, sign) in [
        ("each alone", &result.alone, ""),
        ("one after the other", &result.steps, "+ "),
    ] {
        canvas.label(Label::new(title, 16.0, top + TITLE_PX / 2.0, 12.0, INK).bold());
        top += TITLE_PX;
        for shed in entries {
            shed_row(
                &mut canvas,
                &days,
                shed,
                sign,
                top + row_px / 2.0,
                row_px * 0.3,
            );
            top += row_px;
        }
    }
    canvas.into_svg(
        &format!("What to switch off: {}", result.heading.scenario),
        &shed_verdict(result),
    )
}

fn shed_row(canvas: &mut Canvas, days: &Scale, shed: &Shed, sign: &str, y: f64, half: f64) {
    let name = fitted(&format!("{sign}{}", shed.load), 11.0, false, LEFT_PX - 30.0);
    canvas.label(Label::new(name, LEFT_PX - 8.0, y, 11.0, INK).anchored(Anchor::End));
    let gain = shed.gain_days_p10;
    let (zero, end) = (days.at(0.0), days.at(gain.value));
    canvas.bar(
        Area::new((zero.min(end), y - half), (zero.max(end), y + half)),
        SOURCE,
    );
    canvas.line((days.at(gain.low), y), (days.at(gain.high), y), MEDIAN, 1.5);
    let text = format!(
        "{} · {}",
        days_gained(shed),
        percent(shed.chance_no_shortfall.value)
    );
    canvas.label(Label::new(text, SHED_RIGHT_PX + 14.0, y, 11.0, INK));
}

/// Inputs in the picture; the files have all.
const MOST_INPUTS: usize = 16;
const SHARE_PX: f64 = 46.0;
const WHY_LEFT_PX: f64 = 300.0;
const WHY_RIGHT_PX: f64 = 800.0;

/// The picture of what the answer depends on, 900 px wide.
#[must_use]
pub fn why_svg(result: &WhyResult) -> String {
    let shown: Vec<&InputAnswer> = result.inputs.iter().take(MOST_INPUTS).collect();
    let count = shown.len().max(1).real();
    let top = HEAD_PX + 14.0;
    let row_px = ((HEIGHT_PX - top - AXIS_PX - SHARE_PX) / count).clamp(26.0, 36.0);
    let bottom = top + row_px * count;
    let mut canvas = Canvas::new((bottom + AXIS_PX + SHARE_PX).max(HEIGHT_PX));
    head(
        &mut canvas,
        &result.heading.scenario,
        &format!(
            "How {} moves when one input goes from its lower value (dark) to its upper (light); ends of the bars: those values.",
            of_words(result.of)
        ),
    );
    let ends = shown.iter().flat_map(|input| [input.at_low, input.at_high]);
    let (least, most) = ends.fold((result.answer, result.answer), |(least, most), end| {
        (least.min(end), most.max(end))
    });
    let room = (most - least).max(0.04) * 0.22;
    let scale = Scale::new(least - room, most + room, WHY_LEFT_PX, WHY_RIGHT_PX);
    let mut values = round_values(&scale, 8.0, 0.01);
    values.retain(|share| (-1e-9..=1.0 + 1e-9).contains(share));
    across(&mut canvas, &scale, (top, bottom), &values, percent);
    name_across(&mut canvas, &scale, bottom, of_words(result.of));
    let mut y = top + row_px / 2.0;
    for input in shown {
        input_row(&mut canvas, &scale, input, result.answer, y, row_px * 0.32);
        y += row_px;
    }
    let x = scale.at(result.answer);
    canvas.line((x, top - 4.0), (x, bottom), INK, 1.25);
    shares(&mut canvas, result, bottom + AXIS_PX);
    canvas.into_svg(
        &format!("What the answer depends on: {}", result.heading.scenario),
        &why_verdict(result),
    )
}

fn input_row(
    canvas: &mut Canvas,
    scale: &Scale,
    input: &InputAnswer,
    middle: f64,
    y: f64,
    half: f64,
) {
    let mut line = |text: &str, y: f64, size: f64, paint| {
        let text = fitted(text, size, false, WHY_LEFT_PX - 26.0);
        canvas.label(Label::new(text, WHY_LEFT_PX - 10.0, y, size, paint).anchored(Anchor::End));
    };
    line(&input.name, y - 5.5, 10.5, INK);
    line(&input.path, y + 6.5, 9.0, MUTED);
    let centre = scale.at(middle);
    let (low, high) = (scale.at(input.at_low), scale.at(input.at_high));
    let bar = |canvas: &mut Canvas, end: f64, paint| {
        canvas.bar(
            Area::new((centre.min(end), y - half), (centre.max(end), y + half)),
            paint,
        );
    };
    // The longer first, so that both are seen where they lie on one side.
    if (low - centre).abs() > (high - centre).abs() {
        bar(canvas, low, LOAD);
        bar(canvas, high, SOURCE);
    } else {
        bar(canvas, high, SOURCE);
        bar(canvas, low, LOAD);
    }
    let (left, right) = if low <= high {
        (input.low, input.high)
    } else {
        (input.high, input.low)
    };
    let (left_x, right_x) = (low.min(high).min(centre), low.max(high).max(centre));
    canvas.label(Label::new(end_figure(left), left_x - 5.0, y, 10.0, MUTED).anchored(Anchor::End));
    let right = format!("{} {}", end_figure(right), input.unit);
    canvas.label(Label::new(right.trim_end(), right_x + 5.0, y, 10.0, MUTED));
}

/// The shares of the groups as one line of words.
fn shares(canvas: &mut Canvas, result: &WhyResult, top: f64) {
    let Some(shares) = &result.shares else { return };
    let words: Vec<String> = by_share(shares)
        .into_iter()
        .map(|(name, share)| format!("{name} {}", percent(share)))
        .collect();
    let unsure = if is_known(shares) {
        ""
    } else {
        ", not known well enough"
    };
    let text = format!(
        "Spread of the lowest charge comes from{unsure}: {}",
        words.join(" · ")
    );
    canvas.label(
        Label::new(
            fitted(&text, 11.0, true, WIDTH_PX - 32.0),
            16.0,
            top + 14.0,
            12.0,
            INK,
        )
        .bold(),
    );
}
