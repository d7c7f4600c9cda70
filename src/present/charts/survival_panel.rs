//! The chance of still being above reserve against time.
//!
//! One job: curves with their intervals, labelled at their right ends, over a chance axis with the
//! aim on it. The axis of time under it is the pictures' own.

use super::axes::{SIZE, upward};
use super::canvas::{Anchor, Canvas, Label};
use super::palette::{RESERVE, SERIES, faded};
use super::scale::{Scale, on_panel};
use super::spread_labels::{EndLabel, label_ends};
use super::text_size::{Area, fitted};
use crate::present::words::chance::percent;
use crate::study::answer::{Chance, SurvivalCurve};

/// Draws curves into `panel`; `x_of_day` maps days to places. At most as many curves as there are
/// series in the palette.
pub(super) fn survival_panel(
    canvas: &mut Canvas,
    panel: &Area,
    x_of_day: &Scale,
    curves: &[&SurvivalCurve],
    aim_chance: f64,
) {
    let level = chance_scale(panel, x_of_day, curves, aim_chance);
    let steps: &[f64] = if level.from() > 0.7 {
        &[0.8, 0.85, 0.9, 0.95, 1.0]
    } else if level.from() > 0.4 {
        &[0.5, 0.6, 0.7, 0.8, 0.9, 1.0]
    } else {
        &[0.0, 0.25, 0.5, 0.75, 1.0]
    };
    let ends = (panel.left, panel.right);
    upward(canvas, &level, ends, steps, percent);
    let points = |curve: &SurvivalCurve, pick: fn(&Chance) -> f64| {
        let values: Vec<f64> = curve.chance.iter().map(pick).collect();
        on_panel(x_of_day, &level, &curve.days, &values)
    };
    for (curve, (paint, _)) in curves.iter().zip(SERIES) {
        let mut outline = points(curve, |chance| chance.high);
        outline.extend(points(curve, |chance| chance.low).into_iter().rev());
        canvas.polygon(outline, faded(paint, 0.22));
    }
    let aim_y = level.at(aim_chance);
    canvas.line((panel.left, aim_y), (panel.right, aim_y), RESERVE, 1.0);
    for (curve, (paint, dash)) in curves.iter().zip(SERIES) {
        let points = points(curve, |chance| chance.value);
        if let [(x, y)] = points.as_slice() {
            canvas.dot(*x, *y, 3.0, paint);
        }
        canvas.keep_off(&points);
        canvas.dashed(points, dash, paint, 2.0);
    }
    end_labels(canvas, panel, x_of_day, &level, curves, aim_chance);
}

/// From nothing to certainty; from a half or from four fifths when neither the aim nor any
/// interval comes near that within what is seen.
pub(super) fn chance_scale(
    panel: &Area,
    x_of_day: &Scale,
    curves: &[&SurvivalCurve],
    aim_chance: f64,
) -> Scale {
    let seen = curves.iter().flat_map(|curve| {
        curve
            .days
            .iter()
            .zip(&curve.chance)
            .filter(|(day, _)| x_of_day.holds(**day))
            .map(|(_, chance)| chance.low)
    });
    let least = seen.fold(aim_chance, f64::min);
    let from = match least {
        least if least > 0.82 => 0.8,
        least if least > 0.55 => 0.5,
        _ => 0.0,
    };
    Scale::new(from, 1.0, panel.bottom, panel.top)
}

fn end_labels(
    canvas: &mut Canvas,
    panel: &Area,
    x_of_day: &Scale,
    level: &Scale,
    curves: &[&SurvivalCurve],
    aim_chance: f64,
) {
    let mut labels = Vec::new();
    for (curve, (paint, _)) in curves.iter().zip(SERIES) {
        let index = curve.days.iter().rposition(|day| *day <= x_of_day.to());
        if let Some(chance) = index.and_then(|index| curve.chance.get(index)) {
            let end = percent(chance.value);
            let name = fitted(&curve.bank, SIZE, true, 104.0);
            labels.push(EndLabel {
                y: level.at(chance.value),
                text: format!("{name} {end}"),
                paint,
                bold: true,
            });
        }
    }
    labels.push(EndLabel {
        y: level.at(aim_chance),
        text: format!("aim {}", percent(aim_chance)),
        paint: RESERVE,
        bold: false,
    });
    label_ends(canvas, panel, labels);
}

/// A moment of a curve.
pub(super) struct Moment {
    /// When.
    pub(super) day: f64,
    /// The chance then.
    pub(super) share: f64,
    /// The curve's place in the palette.
    pub(super) series: usize,
    /// What it is.
    pub(super) text: String,
}

/// Marks a moment of a curve, with what it is where there is room for the words.
pub(super) fn mark(
    canvas: &mut Canvas,
    panel: &Area,
    x_of_day: &Scale,
    level: &Scale,
    moment: &Moment,
) {
    if !x_of_day.holds(moment.day) || !level.holds(moment.share) {
        return;
    }
    let paint = SERIES[moment.series % SERIES.len()].0;
    let (x, y) = (x_of_day.at(moment.day), level.at(moment.share));
    canvas.dot(x, y, 3.5, paint);
    let at = |(dx, dy): (f64, f64), anchor| {
        Label::new(moment.text.as_str(), x + dx, y + dy, SIZE, paint).anchored(anchor)
    };
    // A falling curve leaves room below its left and above its right.
    let choices = [10.0, 24.0, 38.0].into_iter().flat_map(|away| {
        [
            at((-8.0, away), Anchor::End),
            at((8.0, -away), Anchor::Start),
            at((8.0, away), Anchor::Start),
            at((-8.0, -away), Anchor::End),
        ]
    });
    canvas.label_where_free(choices.collect::<Vec<_>>(), panel);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chance_axis_starts_below_all_that_it_shows() {
        let panel = Area::new((0.0, 0.0), (100.0, 100.0));
        let days = Scale::new(0.0, 2.0, 0.0, 100.0);
        for (low, aim, from) in [
            (0.88, 0.9, 0.8),
            (0.99, 0.8, 0.5),
            (0.6, 0.9, 0.5),
            (0.3, 0.9, 0.0),
            (0.9, 0.5, 0.0),
        ] {
            let chance = |value| Chance {
                value,
                low: value,
                high: 1.0,
            };
            let curve = SurvivalCurve {
                bank: "house".to_owned(),
                days: vec![0.0, 1.0],
                chance: vec![chance(1.0), chance(low)],
            };
            let scale = chance_scale(&panel, &days, &[&curve], aim);
            assert!((scale.from() - from).abs() < 1e-9, "{low} {aim}");
        }
    }
}
