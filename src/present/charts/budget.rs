//! `budget.svg`: what each bank gets and gives a day.
//!
//! One job: bars on one scale, sources above loads, each with its figures: a bar a kind of day where the
//! trip has both, else one of the mean.

use super::axes::{AXIS_PX, across, name_across, round_values};
use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::palette::{INK, LOAD, LOST, MUTED, Paint, SOURCE};
use super::scale::Scale;
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::plain_text::neutral;
use crate::present::tables::{BudgetItem, Total, budget_rows, live_word};
use crate::present::words::figure::{energy, rounded};
use crate::present::words::{bank_line, budget_verdict};
use crate::study::answer::{BudgetBank, BudgetResult, Live, PerDay};
use crate::units::Whole as _;

const LEFT_PX: f64 = 176.0;
/// Right of the longest bar: room for its figure.
const RIGHT_PX: f64 = 216.0;
const BANK_PX: f64 = 30.0;
const LEAST_ROW_PX: f64 = 17.0;
const MOST_ROW_PX: f64 = 38.0;

struct Row {
    name: String,
    /// One above the other: of the mean, or of a camp day and a driving day.
    bars_wh: Vec<f64>,
    figure: String,
    paint: Paint,
}

/// The picture of the budget, 900 by 506 px; taller where there are many loads.
#[must_use]
pub fn budget_svg(result: &BudgetResult) -> String {
    let has_both = has_both(result);
    let rows: Vec<Vec<Row>> = result
        .banks
        .iter()
        .map(|bank| rows(bank, has_both))
        .collect();
    let row_count = rows.iter().map(Vec::len).sum::<usize>().real();
    let fixed = HEAD_PX + AXIS_PX + BANK_PX * rows.len().real();
    let row_px = ((HEIGHT_PX - fixed) / row_count.max(1.0)).clamp(LEAST_ROW_PX, MOST_ROW_PX);
    let mut canvas = Canvas::new((fixed + row_px * row_count).max(HEIGHT_PX));
    head(
        &mut canvas,
        &result.heading.scenario,
        if has_both {
            "What each bank gets (light) and what its loads ask for (dark): upper bar a day in camp, lower bar a driving day."
        } else {
            "Energy of each bank on an average day of the trip: what it gets (light bars), what its loads ask for (dark)."
        },
    );
    let bars = rows.iter().flatten().flat_map(|row| &row.bars_wh);
    let most = bars.copied().fold(0.0, f64::max);
    let scale = Scale::new(0.0, most, LEFT_PX, WIDTH_PX - RIGHT_PX);
    let bottom = fixed - AXIS_PX + row_px * row_count;
    let values = round_values(&scale, 6.0, 0.0);
    let ends = (HEAD_PX + BANK_PX - 4.0, bottom);
    across(&mut canvas, &scale, ends, &values, rounded);
    let name = "Wh a day at the bank's terminals";
    name_across(&mut canvas, &scale, bottom, name);
    let mut top = HEAD_PX;
    for (bank, rows) in result.banks.iter().zip(rows) {
        bank_name(&mut canvas, bank, top + BANK_PX - 14.0);
        top += BANK_PX;
        for row in rows {
            draw_row(
                &mut canvas,
                &scale,
                &row,
                Area::new((0.0, top), (0.0, top + row_px)),
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
    canvas.label_on_ground(Label::new(line, LEFT_PX, y, 11.0, MUTED));
}

fn has_both(result: &BudgetResult) -> bool {
    result.camp_days > 0 && result.driving_days > 0
}

fn rows(bank: &BudgetBank, has_both: bool) -> Vec<Row> {
    let row = |name: String, flow: &PerDay, live: Option<Live>, paint: Paint| {
        let live = live.map_or_else(String::new, |live| format!(" · {}", live_word(live)));
        let days = flow.camp_day.zip(flow.driving_day).filter(|_| has_both);
        match days {
            Some((camp, driving)) => Row {
                name,
                bars_wh: vec![camp.wh, driving.wh],
                figure: format!("{} · {} Wh{live}", rounded(camp.wh), rounded(driving.wh)),
                paint,
            },
            None => Row {
                name,
                bars_wh: vec![flow.wh_per_day],
                figure: format!(
                    "{} Wh, {} Ah{live}",
                    rounded(flow.wh_per_day),
                    rounded(flow.ah_per_day)
                ),
                paint,
            },
        }
    };
    let sources = bank.sources.iter();
    let loads = bank.loads.iter();
    let mut rows: Vec<Row> = sources
        .map(|source| row(source.id.clone(), &source.given, None, SOURCE))
        .chain(loads.map(|load| row(load.id.clone(), &load.asked, Some(load.live), LOAD)))
        .collect();
    let totals = budget_rows(bank).into_iter().filter_map(|row| {
        let BudgetItem::Total(Total::Losses | Total::Curtailed | Total::Unserved, _) = row.item
        else {
            return None;
        };
        (row.wh_per_day() >= 0.5).then(|| Row {
            name: row.name().to_owned(),
            bars_wh: vec![row.wh_per_day()],
            figure: format!("{}, mean", energy(row.wh_per_day())),
            paint: LOST,
        })
    });
    rows.extend(totals);
    rows
}

fn draw_row(canvas: &mut Canvas, scale: &Scale, row: &Row, place: Area) {
    let middle = f64::midpoint(place.top, place.bottom);
    let half = (place.height() * 0.36).min(11.0);
    let count = row.bars_wh.len().real();
    let height = 2.0 * half / count;
    let mut top = middle - half;
    let mut right: f64 = LEFT_PX;
    for wh in &row.bars_wh {
        let bar = Area {
            left: LEFT_PX,
            right: scale.at(*wh),
            top,
            bottom: top + height - if count > 1.0 { 1.0 } else { 0.0 },
        };
        canvas.bar(bar, row.paint);
        right = right.max(bar.right);
        top += height;
    }
    let name = fitted(&row.name, 11.5, false, LEFT_PX - 26.0);
    canvas.label(Label::new(name, LEFT_PX - 8.0, middle, 11.5, INK).anchored(Anchor::End));
    let label = Label::new(row.figure.as_str(), right + 7.0, middle, 11.0, MUTED);
    canvas.label_on_ground(label);
}
