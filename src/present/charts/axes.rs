//! Axes of every chart: lines of the grid, their figures, the name of what is measured.
//!
//! One job: one look for all of them. Dates along the foot are in `foot`.

use super::canvas::{Anchor, Canvas, Label};
use super::palette::{GRID, INK, MUTED};
use super::scale::{Scale, round_step};
use super::text_size::{Area, fitted};

/// Size of figures and names.
pub(super) const SIZE: f64 = 11.0;
/// Room that an axis with its name takes below a chart.
pub(super) const AXIS_PX: f64 = 44.0;

/// Round values within a scale, at most `count` steps of at least `least`.
pub(super) fn round_values(scale: &Scale, count: f64, least: f64) -> Vec<f64> {
    let range = scale.to() - scale.from();
    let step = round_step(range, count).max(least);
    let first = (scale.from() / step - 1e-9).ceil();
    let mut values = Vec::new();
    let mut number = 0.0;
    while (first + number) * step <= scale.to() + 1e-9 * range {
        // The sum with zero takes the sign from a zero.
        values.push((first + number) * step + 0.0);
        number += 1.0;
    }
    values
}

/// The name of a panel, above it.
pub(super) fn name_panel(canvas: &mut Canvas, panel: &Area, name: &str) {
    let name = fitted(name, 13.0, true, panel.width() * 0.6);
    canvas.label(Label::new(name, panel.left, panel.top - 10.0, 13.0, INK).bold());
}

/// A value in as many decimals as it needs, two at most.
pub(super) fn short(value: f64) -> String {
    format!("{}", (value * 100.0).round() / 100.0)
}

/// Upright lines at values of a scale that runs to the right, their figures below.
pub(super) fn across(
    canvas: &mut Canvas,
    scale: &Scale,
    (top, bottom): (f64, f64),
    values: &[f64],
    shown: impl Fn(f64) -> String,
) {
    for &value in values {
        let x = scale.at(value);
        canvas.line((x, top), (x, bottom), GRID, 0.75);
        let label = Label::new(shown(value), x, bottom + 12.0, SIZE, MUTED);
        canvas.label(label.anchored(Anchor::Middle));
    }
}

/// What a scale that runs to the right measures, below its figures.
pub(super) fn name_across(canvas: &mut Canvas, scale: &Scale, bottom: f64, name: &str) {
    let middle = f64::midpoint(scale.at(scale.from()), scale.at(scale.to()));
    let label = Label::new(name, middle, bottom + 30.0, SIZE, INK);
    canvas.label(label.anchored(Anchor::Middle));
}

/// Level lines at values of a scale that runs upward, their figures at the left.
pub(super) fn upward(
    canvas: &mut Canvas,
    scale: &Scale,
    (left, right): (f64, f64),
    values: &[f64],
    shown: impl Fn(f64) -> String,
) {
    for &value in values {
        let y = scale.at(value);
        canvas.line((left, y), (right, y), GRID, 0.75);
        let label = Label::new(shown(value), left - 8.0, y, SIZE, MUTED);
        canvas.label(label.anchored(Anchor::End));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_round_and_within_the_ends() {
        let values =
            |from, to, count, least| round_values(&Scale::new(from, to, 0.0, 100.0), count, least);
        assert_eq!(values(0.0, 10.0, 5.0, 0.0), [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(values(-0.3, 1.1, 4.0, 0.0), [0.0, 0.5, 1.0]);
        assert_eq!(values(0.0, 2.0, 12.0, 1.0), [0.0, 1.0, 2.0]);
        assert_eq!(short(0.25), "0.25");
    }
}
