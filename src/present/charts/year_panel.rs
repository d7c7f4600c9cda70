//! A panel of values by month: frame, grid, bands, lines, figures and names.
//!
//! One job: marks of one panel of `sky.svg`, in pixels as shown. What is drawn is decided in
//! `sky_year`.

use plotters::coord::Shift;
use plotters::element::{Drawable, PointCollection};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// The drawing is made four times as large, so that whole pixels don't make curves wobble.
pub(super) const FINE: f64 = 4.0;
pub(super) const INK: RGBColor = RGBColor(28, 34, 40);
pub(super) const MUTED: RGBColor = RGBColor(84, 94, 104);
pub(super) const GRID: RGBColor = RGBColor(206, 211, 214);
pub(super) const LEFT_PX: f64 = 46.0;
pub(super) const RIGHT_PX: f64 = 800.0;

pub(super) type Sheet<'a> = DrawingArea<SVGBackend<'a>, Shift>;

/// Where values stand, in pixels as shown.
pub(super) struct Panel {
    pub(super) top_px: f64,
    pub(super) foot_px: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Panel {
    pub(super) fn y_px(&self, value: f64) -> f64 {
        self.foot_px - (value - self.low) / (self.high - self.low) * (self.foot_px - self.top_px)
    }

    pub(super) fn frame(&self, sheet: &Sheet<'_>, head: &str) {
        write(
            sheet,
            head,
            (LEFT_PX - 30.0, self.top_px - 13.0),
            12.5,
            INK,
            HPos::Left,
        );
        let (low, high) = (fine(LEFT_PX, self.foot_px), fine(RIGHT_PX, self.foot_px));
        put(
            sheet,
            &PathElement::new(vec![low, high], MUTED.stroke_width(4)),
        );
    }

    /// Lines at round values, over the bands so that these can be read too.
    pub(super) fn grid(&self, sheet: &Sheet<'_>) {
        let step = round_step((self.high - self.low) / 5.0);
        let mut tick = (self.low / step).ceil();
        while tick * step <= self.high {
            let y_px = self.y_px(tick * step);
            let ends = vec![fine(LEFT_PX, y_px), fine(RIGHT_PX, y_px)];
            put(
                sheet,
                &PathElement::new(ends, GRID.mix(0.9).stroke_width(3)),
            );
            write(
                sheet,
                &figure(tick * step, 0),
                (LEFT_PX - 8.0, y_px),
                11.5,
                MUTED,
                HPos::Right,
            );
            tick += 1.0;
        }
        for month in 0..=12_u8 {
            let x_px = LEFT_PX + f64::from(month) / 12.0 * (RIGHT_PX - LEFT_PX);
            let ends = vec![fine(x_px, self.foot_px), fine(x_px, self.foot_px + 4.0)];
            put(sheet, &PathElement::new(ends, MUTED.stroke_width(3)));
        }
    }

    pub(super) fn band(&self, sheet: &Sheet<'_>, low: &[f64], high: &[f64], paint: RGBColor) {
        let mut edge = self.points(high);
        edge.extend(self.points(low).into_iter().rev());
        put(sheet, &Polygon::new(edge, paint.filled()));
    }

    pub(super) fn line(&self, sheet: &Sheet<'_>, values: &[f64], paint: RGBColor, width_px: f64) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few pixels"
        )]
        let width = (width_px * FINE) as u32;
        put(
            sheet,
            &PathElement::new(self.points(values), paint.stroke_width(width)),
        );
    }

    /// Upright bars over the middles of the months, from the first value to the second.
    pub(super) fn bars(&self, sheet: &Sheet<'_>, ends: &[(f64, f64)], paint: RGBColor) {
        for (month, &(low, high)) in ends.iter().enumerate() {
            let ends = [low.max(self.low), high.min(self.high)];
            let bar = ends.map(|value| fine(month_px(month), self.y_px(value)));
            put(
                sheet,
                &PathElement::new(bar.to_vec(), paint.mix(0.55).stroke_width(22)),
            );
        }
    }

    /// The middles of the months and the two ends of the year, halfway from December to January.
    pub(super) fn points(&self, values: &[f64]) -> Vec<(i32, i32)> {
        let joint = year_end(values);
        let mut points = vec![fine(LEFT_PX, self.y_px(joint))];
        points.extend(
            values
                .iter()
                .enumerate()
                .map(|(month, value)| fine(month_px(month), self.y_px(*value))),
        );
        points.push(fine(RIGHT_PX, self.y_px(joint)));
        points
    }

    /// Figures on the middles of the months.
    pub(super) fn figures(&self, sheet: &Sheet<'_>, values: &[f64], down_px: f64, paint: RGBColor) {
        for (month, value) in values.iter().enumerate() {
            let at = (month_px(month), self.y_px(*value) + down_px);
            write(sheet, &figure(*value, 0), at, 11.5, paint, HPos::Center);
        }
    }

    /// Names of lines at their right ends, from the highest down, pushed apart where they would touch.
    pub(super) fn names<const N: usize>(
        &self,
        sheet: &Sheet<'_>,
        lines: [(&str, &Vec<f64>); N],
        paint: RGBColor,
    ) {
        const APART_PX: f64 = 14.0;
        let mut places = lines.map(|(_, values)| self.y_px(year_end(values)));
        for index in 1..N {
            places[index] = places[index].max(places[index - 1] + APART_PX);
        }
        let below_px = (places[N - 1] - (self.foot_px - 5.0)).max(0.0);
        for ((name, _), y_px) in lines.iter().zip(places) {
            write(
                sheet,
                name,
                (RIGHT_PX + 8.0, y_px - below_px),
                12.0,
                paint,
                HPos::Left,
            );
        }
    }
}

pub(super) fn year_end(values: &[f64]) -> f64 {
    let first = values.first().copied().unwrap_or(0.0);
    f64::midpoint(first, values.last().copied().unwrap_or(first))
}

/// 1, 2 or 5 times a power of ten, at least as large.
pub(super) fn round_step(least: f64) -> f64 {
    let power = 10.0_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= least)
        .unwrap_or(power)
}

/// A figure with a true minus and no minus before zero.
pub(super) fn figure(value: f64, digits: usize) -> String {
    let text = format!("{:.digits$}", value.abs());
    let is_zero = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if value < 0.0 && !is_zero {
        format!("−{text}")
    } else {
        text
    }
}

pub(super) fn month_px(month: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "0 to 11")]
    let middle = month as f64 + 0.5;
    LEFT_PX + middle / 12.0 * (RIGHT_PX - LEFT_PX)
}

#[expect(clippy::cast_possible_truncation, reason = "some thousand pixels")]
pub(super) fn fine(x_px: f64, y_px: f64) -> (i32, i32) {
    ((x_px * FINE).round() as i32, (y_px * FINE).round() as i32)
}

/// Text with its point at half height.
pub(super) fn write(
    sheet: &Sheet<'_>,
    text: &str,
    at_px: (f64, f64),
    size_px: f64,
    paint: RGBColor,
    side: HPos,
) {
    let style = ("sans-serif", size_px * FINE)
        .into_font()
        .color(&paint)
        .pos(Pos::new(side, VPos::Center));
    put(
        sheet,
        &Text::new(text.to_owned(), fine(at_px.0, at_px.1), style),
    );
}

pub(super) fn put<'s, E>(sheet: &Sheet<'s>, element: &E)
where
    for<'b> &'b E: PointCollection<'b, (i32, i32)>,
    E: Drawable<SVGBackend<'s>>,
{
    sheet
        .draw(element)
        .expect("drawing into memory does not fail");
}

pub(super) fn present(sheet: &Sheet<'_>) {
    sheet.present().expect("drawing into memory does not fail");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_zero_has_no_minus() {
        assert!((round_step(1.7) - 2.0).abs() < 1e-12 && (round_step(0.3) - 0.5).abs() < 1e-12);
        assert_eq!(figure(-0.2, 0), "0");
        assert_eq!(figure(-7.6, 0), "−8");
    }
}
