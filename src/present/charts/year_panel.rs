//! A panel of values by month: bands, lines, figures and names.
//!
//! One job: one panel of `sky.svg`, in coordinates of the plotting library: months across, values up. What is drawn is
//! decided in `sky_year`.

use plotters::coord::CoordTranslate as _;
use plotters::coord::cartesian::{Cartesian2d, MeshLine};
use plotters::coord::types::RangedCoordf64;
use plotters::element::{PathElement, Polygon};
use plotters::style::{Color as _, RGBAColor, ShapeStyle};

use super::axes::SIZE;
use super::canvas::{Anchor, Canvas, Label};
use super::palette::{GRID, INK, MUTED, Paint, faded};
use super::spread_labels::{EndLabel, label_ends};
use super::svg::{Pen, on_picture, place, size_of};
use super::text_size::Area;
use crate::present::words::figure::whole;
use crate::units::Whole as _;

const LEFT_PX: f64 = 46.0;
const RIGHT_PX: f64 = 790.0;
/// Months of a year.
const YEAR: f64 = 12.0;
/// Lines across a panel.
const MOST_LINES: usize = 6;

/// Where values stand.
pub(super) struct Panel {
    area: Area,
    coordinates: Cartesian2d<RangedCoordf64, RangedCoordf64>,
}

impl Panel {
    /// A panel between two heights for values between two others, its name above it.
    pub(super) fn new(
        canvas: &mut Canvas,
        (top, bottom): (f64, f64),
        (low, high): (f64, f64),
        name: &str,
    ) -> Self {
        canvas.label(Label::new(name, 16.0, top - 13.0, 12.0, INK).bold());
        canvas.line((LEFT_PX, bottom), (RIGHT_PX, bottom), MUTED, 1.0);
        let (from, to) = (place((LEFT_PX, bottom)), place((RIGHT_PX, top)));
        let pixels = (from.0..to.0, from.1..to.1);
        Self {
            area: Area::new((LEFT_PX, top), (RIGHT_PX, bottom)),
            coordinates: Cartesian2d::new(0.0..YEAR, low..high, pixels),
        }
    }

    /// How far down a value stands.
    pub(super) fn y_px(&self, value: f64) -> f64 {
        on_picture(self.coordinates.translate(&(0.0, value)).1)
    }

    /// Lines at round values, over the bands so that these can be read too, and ticks between months.
    pub(super) fn grid(&self, canvas: &mut Canvas) {
        let mut values = Vec::new();
        canvas.plot(self.coordinates.clone(), |sheet| {
            let style = stroke(GRID, 0.75);
            let draw = |pen: &mut Pen, line: MeshLine<RangedCoordf64, RangedCoordf64>| {
                if let MeshLine::YMesh(_, _, value) = line {
                    values.push(*value);
                }
                line.draw(pen, &style)
            };
            sheet.draw_mesh(draw, MOST_LINES, 0)
        });
        for value in values {
            let label = Label::new(whole(value), LEFT_PX - 8.0, self.y_px(value), SIZE, MUTED);
            canvas.label(label.anchored(Anchor::End));
        }
        for month in 0..=12_u8 {
            let (x, bottom) = (month_px(f64::from(month)), self.area.bottom);
            canvas.line((x, bottom), (x, bottom + 4.0), MUTED, 0.75);
        }
    }

    pub(super) fn band(&self, canvas: &mut Canvas, low: &[f64], high: &[f64], paint: Paint) {
        let mut edge = through_the_year(high);
        edge.extend(through_the_year(low).into_iter().rev());
        canvas.plot(self.coordinates.clone(), |sheet| {
            sheet.draw(&Polygon::new(edge, colour(paint)))
        });
    }

    pub(super) fn line(&self, canvas: &mut Canvas, values: &[f64], paint: Paint, width: f64) {
        canvas.plot(self.coordinates.clone(), |sheet| {
            let line = through_the_year(values);
            sheet.draw(&PathElement::new(line, stroke(paint, width)))
        });
    }

    /// Upright bars over the middles of the months, from the first value to the second, within the panel.
    pub(super) fn bars(&self, canvas: &mut Canvas, ends: &[(f64, f64)], paint: Paint) {
        let values = self.coordinates.get_y_range();
        canvas.plot(self.coordinates.clone(), |sheet| {
            ends.iter()
                .enumerate()
                .try_for_each(|(month, (low, high))| {
                    let ends = [low.max(values.start), high.min(values.end)];
                    let bar = ends.map(|value| (middle_of(month), value));
                    sheet.draw(&PathElement::new(bar, stroke(faded(paint, 0.55), 5.5)))
                })
        });
    }

    /// A figure over the middle of a month.
    pub(super) fn figure(canvas: &mut Canvas, text: &str, month: usize, y: f64, paint: Paint) {
        let label = Label::new(text, month_px(middle_of(month)), y, SIZE, paint);
        canvas.label(label.anchored(Anchor::Middle));
    }

    /// Figures on the middles of the months.
    pub(super) fn figures(&self, canvas: &mut Canvas, values: &[f64], down_px: f64, paint: Paint) {
        for (month, value) in values.iter().enumerate() {
            let y = self.y_px(*value) + down_px;
            Self::figure(canvas, &whole(*value), month, y, paint);
        }
    }

    /// Names of lines at their right ends, from the highest down.
    pub(super) fn names(&self, canvas: &mut Canvas, lines: &[(&str, &Vec<f64>)], paint: Paint) {
        let labels = lines.iter().map(|(name, values)| EndLabel {
            y: self.y_px(year_end(values)),
            text: (*name).to_owned(),
            paint,
            bold: false,
        });
        label_ends(canvas, &self.area, labels.collect());
    }
}

fn colour(Paint { rgb, alpha }: Paint) -> RGBAColor {
    RGBAColor(rgb.0, rgb.1, rgb.2, alpha)
}

fn stroke(paint: Paint, width: f64) -> ShapeStyle {
    colour(paint).stroke_width(size_of(width))
}

/// The middles of the months and the two ends of the year, halfway from December to January.
fn through_the_year(values: &[f64]) -> Vec<(f64, f64)> {
    let months = values.iter().enumerate();
    let months = months.map(|(month, value)| (middle_of(month), *value));
    let [first, last] = [0.0, YEAR].map(|end| (end, year_end(values)));
    [first].into_iter().chain(months).chain([last]).collect()
}

fn year_end(values: &[f64]) -> f64 {
    let first = values.first().copied().unwrap_or(0.0);
    f64::midpoint(first, values.last().copied().unwrap_or(first))
}

/// In months since the year began.
fn middle_of(month: usize) -> f64 {
    month.real() + 0.5
}

fn month_px(months: f64) -> f64 {
    LEFT_PX + months / YEAR * (RIGHT_PX - LEFT_PX)
}
