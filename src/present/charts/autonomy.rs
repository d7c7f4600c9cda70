//! `autonomy.svg`: the chance of still being above reserve against days since departure.
//!
//! One job: the house banks' curves in one plot; from five on, a plot each.

use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::palette::{GRID, INK, MUTED, SERIES};
use super::scale::{Scale, round_step};
use super::soc_panel::{LEFT_PX, NAME_PX, RIGHT_PX};
use super::survival_panel::{Moment, chance_scale, mark, survival_panel};
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::plain_text::neutral;
use crate::present::words::duration::{Horizon, autonomy_sentence, days_in_words};
use crate::study::answer::{SurvivalCurve, TripAnswer};

/// Under a plot: its axis.
const AXIS_PX: f64 = 44.0;
const SMALL_PLOT_PX: f64 = 120.0;

/// The picture of autonomy, 900 by 506 px; taller from five banks on.
#[must_use]
pub fn autonomy_svg(answer: &TripAnswer) -> String {
    let curves: Vec<&SurvivalCurve> = answer.survival.iter().collect();
    let is_joint = curves.len() <= SERIES.len();
    let count = if is_joint {
        1.0
    } else {
        u32::try_from(curves.len()).map_or(1.0, f64::from)
    };
    let spare = (HEIGHT_PX - HEAD_PX) / count - AXIS_PX - NAME_PX;
    let plot_px = if is_joint {
        spare
    } else {
        spare.max(SMALL_PLOT_PX)
    };
    let mut canvas = Canvas::new(HEAD_PX + count * (plot_px + AXIS_PX + NAME_PX));
    head(
        &mut canvas,
        &answer.result.heading.scenario,
        "Chance that a bank has never been below its reserve, by days since departure; shaded: 95 % interval of that chance.",
    );
    let last_day = curves
        .iter()
        .filter_map(|curve| curve.days.last().copied())
        .fold(answer.length_days, f64::max);
    let groups: Vec<&[&SurvivalCurve]> = if is_joint {
        vec![&curves]
    } else {
        curves.chunks(1).collect()
    };
    let mut top = HEAD_PX;
    for group in groups {
        let panel = Area {
            left: LEFT_PX,
            right: WIDTH_PX - RIGHT_PX,
            top: top + NAME_PX,
            bottom: top + NAME_PX + plot_px,
        };
        let days = Scale::new(0.0, last_day, panel.left, panel.right);
        if !is_joint && let [curve] = group {
            let name = fitted(&curve.bank, 13.0, true, 400.0);
            canvas.label(Label::new(name, panel.left, panel.top - 10.0, 13.0, INK).bold());
        }
        day_axis(&mut canvas, &panel, &days);
        survival_panel(&mut canvas, &panel, &days, group, answer.aim_chance);
        mark_percentiles(&mut canvas, &panel, &days, group, answer);
        top = panel.bottom + AXIS_PX;
    }
    canvas.into_svg(
        &format!(
            "Chance of still being above reserve: {}",
            answer.result.heading.scenario
        ),
        &description(answer),
    )
}

fn day_axis(canvas: &mut Canvas, panel: &Area, days: &Scale) {
    let step = round_step(days.to(), 12.0).max(if days.to() <= 3.0 { 0.25 } else { 1.0 });
    let mut count = 0.0;
    while count * step <= days.to() + 1e-9 {
        let day = count * step;
        let x = days.at(day);
        canvas.line((x, panel.top), (x, panel.bottom), GRID, 0.5);
        canvas.line((x, panel.bottom), (x, panel.bottom + 4.0), MUTED, 1.0);
        let label = Label::new(format!("{day}"), x, panel.bottom + 13.0, 11.0, MUTED);
        canvas.label(label.anchored(Anchor::Middle));
        count += 1.0;
    }
    let middle = f64::midpoint(panel.left, panel.right);
    let label = Label::new(
        "days since departure",
        middle,
        panel.bottom + 30.0,
        11.0,
        INK,
    );
    canvas.label(label.anchored(Anchor::Middle));
}

fn mark_percentiles(
    canvas: &mut Canvas,
    panel: &Area,
    days: &Scale,
    group: &[&SurvivalCurve],
    answer: &TripAnswer,
) {
    let level = chance_scale(panel, days, group, answer.aim_chance);
    for (series, curve) in group.iter().enumerate() {
        let Some(bank) = answer
            .result
            .banks
            .iter()
            .find(|bank| bank.id == curve.bank)
        else {
            continue;
        };
        for (percentile, share, words) in [
            (bank.autonomy_days.p10, 0.9, "9 in 10 last"),
            (bank.autonomy_days.p50, 0.5, "half last"),
        ] {
            if let Some(value) = percentile.value {
                let text = format!("{words} {}", days_in_words(value));
                let moment = Moment {
                    day: value,
                    share,
                    series,
                    text,
                };
                mark(canvas, panel, days, &level, &moment);
            }
        }
    }
}

fn description(answer: &TripAnswer) -> String {
    let lines: Vec<String> = answer
        .survival
        .iter()
        .filter_map(|curve| {
            answer
                .result
                .banks
                .iter()
                .find(|bank| bank.id == curve.bank)
        })
        .map(|bank| {
            let horizon = Horizon::TripEnd(answer.length_days);
            format!(
                "{}: {}.",
                neutral(&bank.id),
                autonomy_sentence(&bank.autonomy_days, horizon)
            )
        })
        .collect();
    lines.join(" ")
}
