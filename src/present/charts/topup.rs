//! `topup.svg`: chance of no shortfall by hours of driving and by one more size.
//!
//! One job: a heat map in steps of lightness, its figures in the cells, the contour of the aim
//! over it and the answer marked on the axis.

use super::axes::name_across;
use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label};
use super::palette::{CUTOFF, INK, MUTED, PAPER, Paint, RESERVE};
use super::scale::Scale;
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::words::chance::percent;
use crate::present::words::figure::rounded;
use crate::present::words::topup_verdict::{hours_in_words, topup_verdict};
use crate::study::choosing::topup::TopupResult;
use crate::study::choosing::topup_map::Map;
use crate::units::Whole as _;

const LEFT_PX: f64 = 110.0;
const RIGHT_PX: f64 = 800.0;
const TOP_PX: f64 = HEAD_PX + 34.0;
const BOTTOM_PX: f64 = 440.0;

/// The picture of topping up, 900 by 506 px.
#[must_use]
pub fn topup_svg(result: &TopupResult) -> String {
    let mut canvas = Canvas::new(HEIGHT_PX);
    head(
        &mut canvas,
        &result.heading.scenario,
        "Trips in 10 without a shortfall, by hours of driving a day (across) and size (upward). Line: your aim.",
    );
    match &result.map {
        Some(map) => heat_map(&mut canvas, map, result),
        None => canvas.label(Label::new("no map", LEFT_PX, TOP_PX + 20.0, 12.0, MUTED)),
    }
    let svg = canvas.into_svg(
        &format!("Driving and chance: {}", result.heading.scenario),
        &topup_verdict(result),
    );
    // Cells that touch must not show the ground between them.
    svg.replacen(
        " stroke-linejoin",
        " shape-rendering=\"geometricPrecision\" stroke-linejoin",
        1,
    )
    .replace("<rect ", "<rect shape-rendering=\"crispEdges\" ")
}

/// From paper to dark, in even steps of lightness.
fn shade(chance: f64) -> Paint {
    let mix = |from: f64, to: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 255"
        )]
        let channel = (from + (to - from) * chance.clamp(0.0, 1.0)).round() as u8;
        channel
    };
    Paint {
        rgb: (mix(244.0, 24.0), mix(247.0, 104.0), mix(246.0, 104.0)),
        alpha: 1.0,
    }
}

fn heat_map(canvas: &mut Canvas, map: &Map, result: &TopupResult) {
    let cell_w = (RIGHT_PX - LEFT_PX) / map.hours_per_day.len().max(1).real();
    let cell_h = (BOTTOM_PX - TOP_PX) / map.sizes.len().max(1).real();
    let middle = |column: f64, row: f64| {
        (
            LEFT_PX + (column + 0.5) * cell_w,
            BOTTOM_PX - (row + 0.5) * cell_h,
        )
    };
    for (row, chances) in map.chance.iter().enumerate() {
        for (column, &chance) in chances.iter().enumerate() {
            let (x, y) = middle(column.real(), row.real());
            let area = Area::new(
                (x - cell_w / 2.0, y - cell_h / 2.0),
                (x + cell_w / 2.0, y + cell_h / 2.0),
            );
            canvas.bar(area, shade(chance));
            let paint = if chance > 0.55 { PAPER } else { INK };
            canvas.label(Label::new(tenths(chance), x, y, 11.0, paint).anchored(Anchor::Middle));
        }
    }
    contour(canvas, map, result.aim_chance, (cell_w, cell_h));
    let aim = format!("line: aim {}", percent(result.aim_chance));
    canvas.label(Label::new(aim, 16.0, BOTTOM_PX + 32.0, 11.0, RESERVE));
    for (row, size) in map.sizes.iter().enumerate() {
        let (_, y) = middle(0.0, row.real());
        canvas.label(
            Label::new(rounded(*size), LEFT_PX - 10.0, y, 11.0, MUTED).anchored(Anchor::End),
        );
    }
    for (column, hours) in map.hours_per_day.iter().enumerate() {
        let (x, _) = middle(column.real(), 0.0);
        let label = Label::new(hours_in_words(*hours), x, BOTTOM_PX + 14.0, 11.0, MUTED);
        canvas.label(label.anchored(Anchor::Middle));
    }
    let against = fitted(&map.against, 11.0, false, 300.0);
    canvas.label(Label::new(against, 16.0, TOP_PX - 14.0, 11.0, INK));
    let across = Scale::new(0.0, 1.0, LEFT_PX, RIGHT_PX);
    let name = "driving a day, mean over the trip";
    name_across(canvas, &across, BOTTOM_PX, name);
    answer_mark(canvas, map, result, cell_w);
}

/// A chance in tenths: a cell rests on too few trials for more digits.
fn tenths(chance: f64) -> String {
    match (chance * 10.0).round() {
        _ if chance <= 0.0 => "none".to_owned(),
        _ if chance >= 1.0 => "all".to_owned(),
        tenths if tenths < 1.0 => "<1".to_owned(),
        tenths if tenths > 9.0 => ">9".to_owned(),
        tenths => format!("{tenths:.0}"),
    }
}

/// The answer and the itinerary's own hours, above the map.
fn answer_mark(canvas: &mut Canvas, map: &Map, result: &TopupResult, cell_w: f64) {
    let place = |hours: f64| {
        let after = map.hours_per_day.iter().position(|edge| *edge >= hours)?;
        let right = map.hours_per_day[after];
        let left = if after == 0 {
            right
        } else {
            map.hours_per_day[after - 1]
        };
        let share = if right > left {
            (right - hours) / (right - left)
        } else {
            0.0
        };
        Some(LEFT_PX + (after.real() - share + 0.5) * cell_w)
    };
    let needed_h = result
        .hours_per_day
        .map_or(f64::INFINITY, |hours| hours.value);
    let (now_anchor, needed_anchor) = if result.now.per_day <= needed_h {
        (Anchor::End, Anchor::Start)
    } else {
        (Anchor::Start, Anchor::End)
    };
    let mut mark = |hours: f64, text: String, paint: Paint, anchor: Anchor| {
        if let Some(x) = place(hours) {
            let aside = if anchor == Anchor::End { -4.0 } else { 4.0 };
            canvas.line((x, TOP_PX - 20.0), (x, TOP_PX), paint, 1.5);
            canvas.label(Label::new(text, x + aside, TOP_PX - 13.0, 11.0, paint).anchored(anchor));
        }
    };
    mark(
        result.now.per_day,
        format!("now {}", hours_in_words(result.now.per_day)),
        MUTED,
        now_anchor,
    );
    if let Some(hours) = result.hours_per_day {
        mark(
            hours.value,
            format!("needed {}", hours_in_words(hours.value)),
            CUTOFF,
            needed_anchor,
        );
    }
}

/// Where the chance crosses the aim, row by row.
fn contour(canvas: &mut Canvas, map: &Map, aim: f64, (cell_w, cell_h): (f64, f64)) {
    let mut last: Option<(f64, f64)> = None;
    for (row, chances) in map.chance.iter().enumerate() {
        let y = BOTTOM_PX - (row.real() + 0.5) * cell_h;
        let crossing = chances
            .windows(2)
            .position(|pair| pair[0] < aim && pair[1] >= aim);
        // Along the edges of cells, so that no figure is struck through.
        let column = match crossing {
            Some(column) => (column + 1).real(),
            // The whole row is sure enough.
            None if chances.iter().all(|chance| *chance >= aim) => 0.0,
            None => {
                last = None;
                continue;
            }
        };
        let x = LEFT_PX + column * cell_w;
        for width in [(5.0, PAPER), (2.5, RESERVE)] {
            canvas.line(
                (x, y - cell_h / 2.0),
                (x, y + cell_h / 2.0),
                width.1,
                width.0,
            );
            if let Some(before) = last {
                let edge = y + cell_h / 2.0;
                canvas.line((before.0, edge), (x, edge), width.1, width.0);
            }
        }
        last = Some((x, y));
    }
}
