//! `autonomy.svg`: the chance of still being above reserve against days since departure.
//!
//! One job: the house banks' curves in one plot; from five on, a plot each.

use super::axes::{AXIS_PX, across, name_across, name_panel, round_values, short};
use super::canvas::{Canvas, HEIGHT_PX, WIDTH_PX};
use super::palette::SERIES;
use super::scale::Scale;
use super::soc_panel::{NAME_PX, RIGHT_PX, panel_below};
use super::survival_panel::{Moment, chance_scale, mark, survival_panel};
use super::text_size::Area;
use super::trip::{HEAD_PX, head};
use crate::present::plain_text::neutral;
use crate::present::words::duration::{Horizon, autonomy_sentence, days_in_words};
use crate::study::answer::{SurvivalCurve, TripAnswer, TripBank};
use crate::units::Whole as _;

const SMALL_PLOT_PX: f64 = 120.0;

/// The picture of autonomy, 900 by 506 px; taller from five banks on.
#[must_use]
pub fn autonomy_svg(answer: &TripAnswer) -> String {
    let curves: Vec<&SurvivalCurve> = answer.survival.iter().collect();
    let is_joint = curves.len() <= SERIES.len();
    let count = if is_joint { 1.0 } else { curves.len().real() };
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
        let panel = panel_below(top, WIDTH_PX - RIGHT_PX, plot_px);
        let days = Scale::new(0.0, last_day, panel.left, panel.right);
        if !is_joint && let [curve] = group {
            name_panel(&mut canvas, &panel, &curve.bank);
        }
        let least = if last_day <= 3.0 { 0.25 } else { 1.0 };
        let values = round_values(&days, 12.0, least);
        let ends = (panel.top, panel.bottom);
        across(&mut canvas, &days, ends, &values, short);
        name_across(&mut canvas, &days, panel.bottom, "days since departure");
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

fn mark_percentiles(
    canvas: &mut Canvas,
    panel: &Area,
    days: &Scale,
    group: &[&SurvivalCurve],
    answer: &TripAnswer,
) {
    let level = chance_scale(panel, days, group, answer.aim_chance);
    for (series, curve) in group.iter().enumerate() {
        let Some(bank) = bank_of(answer, curve) else {
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

fn bank_of<'a>(answer: &'a TripAnswer, curve: &SurvivalCurve) -> Option<&'a TripBank> {
    let mut banks = answer.result.banks.iter();
    banks.find(|bank| bank.id == curve.bank)
}

fn description(answer: &TripAnswer) -> String {
    let lines: Vec<String> = answer
        .survival
        .iter()
        .filter_map(|curve| bank_of(answer, curve))
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
