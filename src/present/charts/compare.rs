//! `compare.svg`: what each option buys, from least to most, and where more stops paying.
//!
//! One job: a row an option: its chance with the interval against the aim, and its autonomy.

use super::axes::{AXIS_PX, SIZE, across, name_across, round_values, short};
use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label};
use super::palette::{BAND_INNER, CUTOFF, GRID, INK, MEDIAN, MUTED, RESERVE};
use super::scale::Scale;
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::words::chance::percent;
use crate::present::words::compare_verdict::{compare_verdict, cost, has_more, labels, signed};
use crate::present::words::figure::{money, whole};
use crate::study::choosing::compare::{CompareResult, OptionAnswer};
use crate::units::{Amount, Whole as _};

const CHANCE_LEFT_PX: f64 = 262.0;
const CHANCE_RIGHT_PX: f64 = 520.0;
const DAYS_LEFT_PX: f64 = 640.0;
const DAYS_RIGHT_PX: f64 = 860.0;
const TOP_PX: f64 = HEAD_PX + 26.0;

/// The picture of a comparison, 900 by 506 px; taller from some 16 options on.
#[must_use]
pub fn compare_svg(result: &CompareResult) -> String {
    let (title, labels) = labels(result);
    let mut order: Vec<(&OptionAnswer, &String)> = result.options.iter().zip(&labels).collect();
    order.sort_by(|a, b| cost(result, a.0).total_cmp(&cost(result, b.0)));
    let count = order.len().real();
    let row_px = ((HEIGHT_PX - TOP_PX - AXIS_PX) / count).clamp(24.0, 150.0);
    let bottom = TOP_PX + row_px * count;
    let mut canvas = Canvas::new((bottom + AXIS_PX).max(HEIGHT_PX));
    head(
        &mut canvas,
        &result.heading.scenario,
        "Dot: chance of no shortfall with its 95 % interval. Bar: days to the first shortfall, from 9 in 10 last to 1 in 10 last; tick: half last.",
    );
    let least = order
        .iter()
        .map(|(option, _)| option.chance_no_shortfall.low)
        .fold(result.aim_chance, f64::min);
    let chance = Scale::new(
        if least > 0.55 { 0.5 } else { 0.0 },
        1.0,
        CHANCE_LEFT_PX,
        CHANCE_RIGHT_PX,
    );
    let horizon = length_days(result);
    let days = Scale::new(0.0, horizon, DAYS_LEFT_PX, DAYS_RIGHT_PX);
    let title = fitted(&title, 11.0, false, CHANCE_LEFT_PX - 34.0);
    canvas.label(Label::new(title, 16.0, TOP_PX - 12.0, 11.0, MUTED));
    axes(&mut canvas, &chance, &days, bottom, result.aim_chance);
    let knee = order
        .iter()
        .position(|(option, _)| result.knee.as_ref() == Some(&option.name));
    let mut trail = Vec::new();
    let mut top = TOP_PX;
    for (option, _) in &order {
        let y = top + row_px / 2.0;
        trail.push((chance.at(option.chance_no_shortfall.value), y));
        top += row_px;
    }
    canvas.path(trail, GRID, 1.5);
    top = TOP_PX;
    for (index, (option, label)) in order.iter().enumerate() {
        let y = top + row_px / 2.0;
        let is_least = result.least.as_ref() == Some(&option.name);
        let note = note(result, option, is_least);
        names(&mut canvas, (label, note), (top, row_px), is_least);
        chance_mark(&mut canvas, option, &chance, y);
        days_mark(&mut canvas, option, &days, horizon, y, row_px);
        top += row_px;
        if knee == Some(index) && has_more(result, option) {
            canvas.dashed(
                vec![(16.0, top), (DAYS_RIGHT_PX, top)],
                &[6.0, 4.0],
                CUTOFF,
                1.0,
            );
            let text = "below the dashed line more buys nothing clear";
            canvas.label(Label::new(text, 16.0, bottom + 30.0, 10.5, CUTOFF));
        }
    }
    canvas.into_svg(
        &format!("Options compared: {}", result.heading.scenario),
        &compare_verdict(result),
    )
}

fn length_days(result: &CompareResult) -> f64 {
    let instant = |text: &str| chrono::DateTime::parse_from_rfc3339(text).ok();
    let span = instant(&result.heading.end).zip(instant(&result.heading.start));
    let hours = span.map_or(24, |(end, start)| (end - start).num_hours());
    hours.max(1).real() / 24.0
}

fn axes(canvas: &mut Canvas, chance: &Scale, days: &Scale, bottom: f64, aim: f64) {
    let ends = (TOP_PX - 4.0, bottom);
    let shares = round_values(chance, 5.0, if chance.from() > 0.4 { 0.1 } else { 0.25 });
    across(canvas, chance, ends, &shares, percent);
    name_across(canvas, chance, bottom, "chance of no shortfall");
    let x = chance.at(aim);
    canvas.line((x, TOP_PX - 8.0), (x, bottom), RESERVE, 1.25);
    let text = format!("aim {}", percent(aim));
    let label = Label::new(text, x, TOP_PX - 16.0, SIZE, RESERVE);
    canvas.label(label.anchored(Anchor::Middle));
    across(canvas, days, ends, &round_values(days, 6.0, 0.0), short);
    name_across(canvas, days, bottom, "days since departure");
}

/// What stands under an option's name: what it costs, and whether it is the least that will do.
fn note(result: &CompareResult, option: &OptionAnswer, is_least: bool) -> String {
    let currency = result.heading.currency.as_deref();
    let price = option
        .price
        .map(|price| format!("price {}", money(price, currency)));
    let units = result.heading.units;
    let mass = option.mass_kg.map(|mass_kg| {
        format!(
            "{} {}",
            whole(units.value(Amount::Kilograms, mass_kg)),
            units.symbol(Amount::Kilograms)
        )
    });
    let mut notes: Vec<String> = price.into_iter().chain(mass).collect();
    if is_least {
        let least = match result.least_by {
            "sizes_together" | "nothing" => "meets the aim with least",
            _ => "least that meets the aim",
        };
        notes.push(least.to_owned());
    }
    notes.join(", ")
}

fn names(
    canvas: &mut Canvas,
    (label, note): (&str, String),
    (top, row_px): (f64, f64),
    is_least: bool,
) {
    let is_low = row_px < 34.0;
    let y = top + row_px / 2.0;
    let size = if is_low { 10.5 } else { 12.0 };
    let room = CHANCE_LEFT_PX - 34.0;
    let up = if note.is_empty() {
        0.0
    } else if is_low {
        5.5
    } else {
        8.0
    };
    let name = Label::new(fitted(label, size, is_least, room), 16.0, y - up, size, INK);
    canvas.label(if is_least { name.bold() } else { name });
    canvas.label(Label::new(
        note,
        16.0,
        y + up,
        if is_low { 9.0 } else { 10.5 },
        MUTED,
    ));
}

fn chance_mark(canvas: &mut Canvas, option: &OptionAnswer, chance: &Scale, y: f64) {
    let found = option.chance_no_shortfall;
    canvas.line(
        (chance.at(found.low), y),
        (chance.at(found.high), y),
        MEDIAN,
        2.0,
    );
    canvas.dot(chance.at(found.value), y, 4.5, MEDIAN);
    let mut text = percent(found.value);
    if let Some(difference) = option.difference {
        let days = option.difference_days.filter(|days| days.clear);
        text = match days {
            _ if difference.clear => format!("{text}  {} points", signed(difference.value)),
            Some(days) => format!("{text}  {:+.1} days", days.value),
            None => format!("{text}  no clear diff."),
        };
    }
    canvas.label(Label::new(text, CHANCE_RIGHT_PX + 10.0, y, 11.0, INK));
}

fn days_mark(
    canvas: &mut Canvas,
    option: &OptionAnswer,
    days: &Scale,
    horizon: f64,
    y: f64,
    row_px: f64,
) {
    let at = |value: Option<f64>| days.at(value.unwrap_or(horizon));
    let (p10, p50, p90) = (
        option.autonomy_days.p10.value,
        option.autonomy_days.p50.value,
        option.autonomy_days.p90.value,
    );
    let half = (row_px / 5.0).min(7.0);
    if p10.is_none() {
        let label = Label::new("9 in 10 last the trip", DAYS_RIGHT_PX - 4.0, y, 10.5, INK);
        canvas.label_on_ground(label.anchored(Anchor::End));
        return;
    }
    let right = at(p90).max(at(p10) + 2.0);
    canvas.bar(
        Area::new((at(p10), y - half), (right, y + half)),
        BAND_INNER,
    );
    canvas.line(
        (at(p50), y - half - 2.0),
        (at(p50), y + half + 2.0),
        MEDIAN,
        2.5,
    );
}
