//! `stay.svg`: how long one can stay.
//!
//! One job: the chance of no shortfall so far over local dates with the date that meets the aim,
//! and each bank's state of charge under it. What comes long after the answer is cut off.

use super::axes::name_panel;
use super::canvas::{Anchor, Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::foot::{DATES_PX, dates, rule_midnights, seconds, shade_nights, time_ends};
use super::palette::{RESERVE, SERIES};
use super::scale::Scale;
use super::soc_panel::{LEFT_PX, NAME_PX, RIGHT_PX, panel_below, soc_panel};
use super::survival_panel::survival_panel;
use super::text_size::Area;
use super::trip::{HEAD_PX, description, head};
use crate::present::words::duration::{day_month, weekday_date};
use crate::present::words::stay_verdict;
use crate::study::answer::{StayAnswer, SurvivalCurve};
use crate::units::Whole as _;

const DAY_S: f64 = 86_400.0;
/// Until when one stays on a date: its morning, 08:00.
const MORNING_S: f64 = 28_800.0;
/// Least share of the picture for the chance.
const LEAST_CHANCE_PX: f64 = 150.0;
const LEAST_PANEL_PX: f64 = 84.0;

/// The picture of a stay, 900 by 506 px; taller from three banks on.
#[must_use]
pub fn stay_svg(answer: &StayAnswer) -> String {
    let bands = &answer.bands;
    let count = bands.len().real();
    let spare = HEIGHT_PX - HEAD_PX - DATES_PX - 10.0;
    let shared = spare - (count + 1.0) * NAME_PX;
    let chance_px = (shared / (count + 1.0) * 1.25).max(LEAST_CHANCE_PX);
    let panel_px = ((shared - chance_px) / count.max(1.0)).max(LEAST_PANEL_PX);
    let mut canvas = Canvas::new(
        HEAD_PX + DATES_PX + 10.0 + (count + 1.0) * NAME_PX + chance_px + count * panel_px,
    );
    let title = format!(
        "{}: staying at {}",
        answer.result.heading.scenario, answer.result.stop
    );
    head(
        &mut canvas,
        &title,
        "Above: chance of no shortfall so far, its 95 % interval shaded. Below: state of charge; half of all trials in the dark band, 8 in 10 in the light.",
    );
    let (from, horizon) = time_ends(bands, &answer.calendar);
    let to = end_of_interest(answer, from, horizon);
    let right = WIDTH_PX - RIGHT_PX;
    let time = Scale::new(from, to, LEFT_PX, right);
    let days = Scale::new(0.0, (time.to() - from) / DAY_S, LEFT_PX, right);
    let panel = panel_below(HEAD_PX, right, chance_px);
    name_panel(&mut canvas, &panel, "chance of no shortfall so far");
    rule_midnights(&mut canvas, &time, &answer.calendar, &panel);
    shade_nights(&mut canvas, &time, &answer.calendar, &panel);
    let curves = most_telling(answer);
    survival_panel(&mut canvas, &panel, &days, &curves, answer.aim_chance);
    mark_answer(&mut canvas, &panel, &time, answer);
    let mut top = panel.bottom;
    for band in bands {
        let panel = panel_below(top, right, panel_px);
        soc_panel(&mut canvas, &panel, &time, band, &answer.calendar);
        top = panel.bottom;
    }
    dates(&mut canvas, &time, &answer.calendar, top + 4.0);
    canvas.into_svg(
        &title,
        &format!("{} {}", stay_verdict(answer), description(bands)),
    )
}

/// The curves shown: as many as the palette has series, the soonest short first when there are
/// more.
fn most_telling(answer: &StayAnswer) -> Vec<&SurvivalCurve> {
    let mut curves: Vec<&SurvivalCurve> = answer.survival.iter().collect();
    if curves.len() > SERIES.len() {
        let total =
            |curve: &SurvivalCurve| curve.chance.iter().map(|chance| chance.value).sum::<f64>();
        curves.sort_by(|a, b| total(a).total_cmp(&total(b)));
        curves.truncate(SERIES.len());
    }
    curves
}

/// A day after the chance of all house banks has sunk to next to nothing, at most the horizon.
fn end_of_interest(answer: &StayAnswer, from: f64, horizon: f64) -> f64 {
    let nights = &answer.result.nights;
    let last = nights
        .iter()
        .position(|night| night.chance_so_far.value <= 0.02);
    last.map_or(horizon, |night| {
        (from + (night.real() + 2.0).max(3.0) * DAY_S).min(horizon)
    })
}

/// A line at the midnight before the morning until which one can stay.
fn mark_answer(canvas: &mut Canvas, panel: &Area, time: &Scale, answer: &StayAnswer) {
    let Some(date) = &answer.result.stay_until else {
        return;
    };
    let units = answer.result.heading.units;
    let label = day_month(date, units);
    let midnight = answer
        .calendar
        .midnights
        .iter()
        .find(|(_, text)| *text == label);
    let Some((instant, _)) = midnight else { return };
    let morning = seconds(*instant) + MORNING_S;
    let x = time.at(morning);
    if answer.aim_beyond_horizon || !time.holds(morning) {
        return;
    }
    canvas.dashed(
        vec![(x, panel.top), (x, panel.bottom)],
        &[2.0, 3.0],
        RESERVE,
        1.5,
    );
    let text = format!("stay until {}", weekday_date(date, units));
    let at = |x: f64, y: f64, anchor| {
        Label::new(text.as_str(), x, y, 12.0, RESERVE)
            .anchored(anchor)
            .bold()
    };
    let choices = (0..6).flat_map(|row| {
        let y = panel.bottom - 12.0 - 18.0 * f64::from(row);
        [at(x - 6.0, y, Anchor::End), at(x + 6.0, y, Anchor::Start)]
    });
    canvas.label_where_free(choices.collect::<Vec<_>>(), panel);
}
