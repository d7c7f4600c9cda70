//! `budget.svg`: what each bank gets and gives a day.
//!
//! One job: bars on one scale, sources above loads, each with its figure.

use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::palette::{GRID, INK, LOAD, LOST, MUTED, Paint, SOURCE};
use super::scale::{Scale, round_step};
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::columns::live_word;
use crate::present::plain_text::neutral;
use crate::present::words::figure::{energy, rounded, whole};
use crate::present::words::{bank_line, budget_verdict};
use crate::study::answer::{BudgetBank, BudgetResult};

const LEFT_PX: f64 = 176.0;
/// Right of the longest bar: room for its figure.
const RIGHT_PX: f64 = 216.0;
const BANK_PX: f64 = 30.0;
const AXIS_PX: f64 = 42.0;
const LEAST_ROW_PX: f64 = 17.0;
const MOST_ROW_PX: f64 = 38.0;

struct Row {
    name: String,
    wh: f64,
    figure: String,
    paint: Paint,
}

/// The picture of the budget, 900 by 506 px; taller where there are many loads.
#[must_use]
pub fn budget_svg(result: &BudgetResult) -> String {
    let rows: Vec<Vec<Row>> = result.banks.iter().map(rows).collect();
    let count = |length: usize| u32::try_from(length).map_or(1.0, f64::from);
    let row_count = count(rows.iter().map(Vec::len).sum());
    let fixed = HEAD_PX + AXIS_PX + BANK_PX * count(rows.len());
    let row_px = ((HEIGHT_PX - fixed) / row_count.max(1.0)).clamp(LEAST_ROW_PX, MOST_ROW_PX);
    let mut canvas = Canvas::new((fixed + row_px * row_count).max(HEIGHT_PX));
    head(
        &mut canvas,
        &result.heading.scenario,
        "Energy of each bank on an average day of the trip: what it gets (light bars) and what it gives (dark bars).",
    );
    let most = rows.iter().flatten().map(|row| row.wh).fold(0.0, f64::max);
    let scale = Scale::new(0.0, most, LEFT_PX, WIDTH_PX - RIGHT_PX);
    let bottom = fixed - AXIS_PX + row_px * row_count;
    axis(&mut canvas, &scale, HEAD_PX + BANK_PX - 4.0, bottom + 2.0);
    let mut top = HEAD_PX;
    for (bank, rows) in result.banks.iter().zip(rows) {
        bank_name(&mut canvas, bank, top + BANK_PX - 14.0);
        top += BANK_PX;
        for row in rows {
            draw_row(
                &mut canvas,
                &scale,
                &row,
                Area {
                    left: 0.0,
                    right: 0.0,
                    top,
                    bottom: top + row_px,
                },
            );
            top += row_px;
        }
    }
    let lines: Vec<String> = result.banks.iter().map(bank_line).collect();
    canvas.into_svg(
        &format!("Energy budget: {}", result.heading.scenario),
        &format!("{} {}.", budget_verdict(result), lines.join(". ")),
    )
}

fn bank_name(canvas: &mut Canvas, bank: &BudgetBank, y: f64) {
    let name = fitted(&bank.id, 13.0, true, LEFT_PX - 24.0);
    canvas.label(Label::new(name, 16.0, y, 13.0, INK).bold());
    let line = neutral(&bank_line(bank)).into_owned();
    // The name already stands at the left.
    let line = line
        .split_once(": ")
        .map_or(line.as_str(), |(_, rest)| rest);
    let line = fitted(line, 11.0, false, WIDTH_PX - LEFT_PX - 12.0);
    // A ground of its own, so that lines of the grid don't cross the words.
    let label = Label::new(line, LEFT_PX, y, 11.0, MUTED);
    canvas.bar(label.area(), super::palette::PAPER);
    canvas.label(label);
}

fn rows(bank: &BudgetBank) -> Vec<Row> {
    let figure = |wh: f64, ah: f64| format!("{} Wh, {} Ah", rounded(wh), rounded(ah));
    let mut rows: Vec<Row> = bank
        .sources
        .iter()
        .map(|source| Row {
            name: source.id.clone(),
            wh: source.wh_per_day,
            figure: figure(source.wh_per_day, source.ah_per_day),
            paint: SOURCE,
        })
        .collect();
    rows.extend(bank.loads.iter().map(|load| Row {
        name: load.id.clone(),
        wh: load.wh_per_day,
        figure: format!(
            "{} · {}",
            figure(load.wh_per_day, load.ah_per_day),
            live_word(load.live)
        ),
        paint: LOAD,
    }));
    for (name, wh) in [
        ("lost inside the bank", bank.losses_wh_per_day),
        ("sun left over", bank.curtailed_wh_per_day),
        ("load not served", bank.unserved_wh_per_day),
    ] {
        if wh >= 0.5 {
            rows.push(Row {
                name: name.to_owned(),
                wh,
                figure: energy(wh),
                paint: LOST,
            });
        }
    }
    rows
}

fn draw_row(canvas: &mut Canvas, scale: &Scale, row: &Row, place: Area) {
    let middle = f64::midpoint(place.top, place.bottom);
    let half = (place.height() * 0.36).min(11.0);
    let right = scale.at(row.wh);
    let bar = Area {
        left: LEFT_PX,
        right,
        top: middle - half,
        bottom: middle + half,
    };
    canvas.bar(bar, row.paint);
    let name = fitted(&row.name, 11.5, false, LEFT_PX - 26.0);
    canvas.label(Label::new(name, LEFT_PX - 8.0, middle, 11.5, INK).anchored(Anchor::End));
    let label = Label::new(row.figure.as_str(), right + 7.0, middle, 11.0, MUTED);
    canvas.bar(label.area(), super::palette::PAPER);
    canvas.label(label);
}

fn axis(canvas: &mut Canvas, scale: &Scale, top: f64, bottom: f64) {
    let step = round_step(scale.to(), 6.0);
    let mut count = 0.0;
    while count * step <= scale.to() * 1.000_001 {
        let x = scale.at(count * step);
        canvas.line((x, top), (x, bottom), GRID, 0.75);
        let text = if step < 1.0 {
            rounded(count * step)
        } else {
            whole(count * step)
        };
        let label = Label::new(text, x, bottom + 12.0, 11.0, MUTED);
        canvas.label(label.anchored(Anchor::Middle));
        count += 1.0;
    }
    let middle = f64::midpoint(LEFT_PX, WIDTH_PX - RIGHT_PX);
    let label = Label::new(
        "Wh a day at the bank's terminals",
        middle,
        bottom + 28.0,
        11.0,
        INK,
    );
    canvas.label(label.anchored(Anchor::Middle));
}
