//! The sheet that every picture is drawn on.
//!
//! One job: shapes in pixels of the picture for the pen, one laid on the other. It knows the
//! boxes of its labels, so that a new one can keep clear of them. Where they go is the pictures'
//! business; writing them is in `svg`.

use std::convert::Infallible;
#[cfg(feature = "cli")]
use std::{cell::RefCell, mem::take, rc::Rc};

#[cfg(feature = "cli")]
use plotters::{coord::CoordTranslate, drawing::DrawingArea, drawing::DrawingAreaErrorKind};
use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend as _, FontFamily,
    FontStyle,
};

use super::palette::{PAPER, Paint};
use super::svg::{Pen, drawn, place, size_of};
use super::text_size::{Area, LINE, width_px};
use crate::present::plain_text::neutral;

/// Width of a picture, if it has no other.
pub(in crate::present) const WIDTH_PX: f64 = 900.0;
/// Height of a picture of 16:9.
pub(in crate::present) const HEIGHT_PX: f64 = 506.25;

/// Where a label's given point lies on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::present) enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

/// A label; its point is at half height.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::present) struct Label {
    /// What it says.
    pub(in crate::present) text: String,
    /// Point.
    pub(in crate::present) x: f64,
    /// Point.
    pub(in crate::present) y: f64,
    /// Font size.
    pub(in crate::present) size: f64,
    /// Where the point lies.
    pub(in crate::present) anchor: Anchor,
    /// Colour.
    pub(in crate::present) paint: Paint,
    /// Bold.
    pub(in crate::present) bold: bool,
}

impl Label {
    /// A label whose point is its left end.
    pub(in crate::present) fn new(
        text: impl Into<String>,
        x: f64,
        y: f64,
        size: f64,
        paint: Paint,
    ) -> Self {
        Self {
            text: text.into(),
            x,
            y,
            size,
            anchor: Anchor::Start,
            paint,
            bold: false,
        }
    }

    /// Anchored otherwise.
    pub(in crate::present) fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// In bold.
    pub(in crate::present) fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The box it takes, estimated.
    pub(in crate::present) fn area(&self) -> Area {
        let width = width_px(&self.text, self.size, self.bold);
        let left = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - width / 2.0,
            Anchor::End => self.x - width,
        };
        let half = self.size * LINE / 2.0;
        Area::new((left, self.y - half), (left + width, self.y + half))
    }
}

impl BackendStyle for Paint {
    fn color(&self) -> BackendColor {
        BackendColor {
            rgb: self.rgb,
            alpha: self.alpha,
        }
    }
}

/// A line of a colour and a width.
struct Stroke(Paint, f64);

impl BackendStyle for Stroke {
    fn color(&self) -> BackendColor {
        self.0.color()
    }

    fn stroke_width(&self) -> u32 {
        size_of(self.1)
    }
}

impl BackendTextStyle for Label {
    type FontError = Infallible;

    fn color(&self) -> BackendColor {
        self.paint.color()
    }

    fn size(&self) -> f64 {
        self.size
    }

    fn style(&self) -> FontStyle {
        if self.bold {
            FontStyle::Bold
        } else {
            FontStyle::Normal
        }
    }

    fn anchor(&self) -> Pos {
        let across = match self.anchor {
            Anchor::Start => HPos::Left,
            Anchor::Middle => HPos::Center,
            Anchor::End => HPos::Right,
        };
        Pos::new(across, VPos::Center)
    }

    fn family(&self) -> FontFamily<'_> {
        FontFamily::SansSerif
    }

    /// Of fonts, which a pen of SVG has none of: it measures by itself.
    fn layout_box(&self, _text: &str) -> Result<((i32, i32), (i32, i32)), Infallible> {
        Ok(((0, 0), (0, 0)))
    }

    /// Letters of pixels, which a pen of SVG never asks for.
    fn draw<E, DrawFunc: FnMut(i32, i32, BackendColor) -> Result<(), E>>(
        &self,
        _text: &str,
        _pos: BackendCoord,
        _draw: DrawFunc,
    ) -> Result<Result<(), E>, Infallible> {
        Ok(Ok(()))
    }
}

/// What drawing through the plotting library gives.
#[cfg(feature = "cli")]
pub(super) type Plotted = Result<(), DrawingAreaErrorKind<Infallible>>;

/// A picture in the making.
pub(in crate::present) struct Canvas {
    width: f64,
    height: f64,
    pen: Pen,
    taken: Vec<Area>,
    curves: Vec<(f64, f64)>,
}

impl Canvas {
    /// An empty sheet of [`WIDTH_PX`] and this height.
    pub(in crate::present) fn new(height: f64) -> Self {
        Self::sized(WIDTH_PX, height)
    }

    /// An empty sheet.
    pub(in crate::present) fn sized(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            pen: Pen::new((width, height)),
            taken: Vec::new(),
            curves: Vec::new(),
        }
    }

    /// Height.
    pub(in crate::present) fn height(&self) -> f64 {
        self.height
    }

    /// Gives it another height.
    pub(in crate::present) fn set_height(&mut self, height: f64) {
        self.height = height;
    }

    /// A filled shape.
    pub(in crate::present) fn polygon(&mut self, points: Vec<(f64, f64)>, paint: Paint) {
        if points.len() > 2 {
            drawn(self.pen.fill_polygon(points.into_iter().map(place), &paint));
        }
    }

    /// A line through points.
    pub(in crate::present) fn path(&mut self, points: Vec<(f64, f64)>, paint: Paint, width: f64) {
        if points.len() > 1 {
            let points = points.into_iter().map(place);
            drawn(self.pen.draw_path(points, &Stroke(paint, width)));
        }
    }

    /// A straight line.
    pub(in crate::present) fn line(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        paint: Paint,
        width: f64,
    ) {
        self.path(vec![from, to], paint, width);
    }

    /// A line of dashes: lengths of dashes and gaps in turn; none is a whole line.
    pub(in crate::present) fn dashed(
        &mut self,
        points: Vec<(f64, f64)>,
        dash: &'static [f64],
        paint: Paint,
        width: f64,
    ) {
        self.pen.dash = dash;
        self.path(points, paint, width);
        self.pen.dash = &[];
    }

    /// A box with its edge: radius of its corners, ground, colour and width of the edge.
    pub(in crate::present) fn outlined(
        &mut self,
        area: Area,
        radius: f64,
        fill: Option<Paint>,
        (edge, width): (Paint, f64),
    ) {
        let (from, to) = area.corners();
        self.pen.radius = radius;
        if let Some(fill) = fill {
            drawn(self.pen.draw_rect(place(from), place(to), &fill, true));
        }
        let edge = Stroke(edge, width);
        drawn(self.pen.draw_rect(place(from), place(to), &edge, false));
        self.pen.radius = 0.0;
    }

    /// What follows up to [`end_group`](Self::end_group) says this when pointed at.
    pub(in crate::present) fn begin_group(&mut self, tip: &str) {
        self.pen.begin_group(tip);
    }

    /// Ends what belongs together.
    pub(in crate::present) fn end_group(&mut self) {
        self.pen.end_group();
    }

    /// A filled box.
    pub(in crate::present) fn bar(&mut self, area: Area, paint: Paint) {
        if area.width() > 0.0 && area.height() > 0.0 {
            let (from, to) = area.corners();
            drawn(self.pen.draw_rect(place(from), place(to), &paint, true));
        }
    }

    /// A dot.
    pub(in crate::present) fn dot(&mut self, x: f64, y: f64, radius: f64, paint: Paint) {
        let at = place((x, y));
        drawn(self.pen.draw_circle(at, size_of(radius), &paint, true));
    }

    /// Lets the plotting library draw in coordinates of its own.
    #[cfg(feature = "cli")]
    pub(super) fn plot<C: CoordTranslate>(
        &mut self,
        coordinates: C,
        draw: impl FnOnce(&DrawingArea<Pen, C>) -> Plotted,
    ) {
        let pen = Rc::new(RefCell::new(take(&mut self.pen)));
        let sheet = DrawingArea::from(&pen).apply_coord_spec(coordinates);
        draw(&sheet).expect("drawing into a text cannot fail");
        self.pen = pen.take();
    }

    /// A label, whatever is there.
    pub(in crate::present) fn label(&mut self, mut label: Label) {
        label.text = neutral(&label.text).into_owned();
        if !label.text.is_empty() {
            self.taken.push(label.area());
            let at = place((label.x, label.y));
            drawn(self.pen.draw_text(&label.text, &label, at));
        }
    }

    /// A label on a ground of its own, so that lines of the grid don't cross the words.
    pub(in crate::present) fn label_on_ground(&mut self, label: Label) {
        self.bar(label.area(), PAPER);
        self.label(label);
    }

    /// The first of the labels that keeps clear of labels and curves and lies in `within`; whether there
    /// was one.
    pub(in crate::present) fn label_where_free(
        &mut self,
        choices: impl IntoIterator<Item = Label>,
        within: &Area,
    ) -> bool {
        for label in choices {
            if self.is_free(&label.area(), within) {
                self.label(label);
                return true;
            }
        }
        false
    }

    /// Whether a box keeps clear of labels and curves and lies in `within`.
    fn is_free(&self, area: &Area, within: &Area) -> bool {
        // Words side by side need a space between them.
        let roomy = Area {
            left: area.left - 3.0,
            right: area.right + 3.0,
            ..*area
        };
        area.left >= within.left
            && area.right <= within.right
            && area.top >= within.top
            && area.bottom <= within.bottom
            && !self.taken.iter().any(|other| other.meets(&roomy))
            && !self.curves.iter().any(|point| roomy.covers(*point))
    }

    /// Keeps labels to come off a curve.
    pub(in crate::present) fn keep_off(&mut self, points: &[(f64, f64)]) {
        for pair in points.windows(2) {
            let ((x, y), (to_x, to_y)) = (pair[0], pair[1]);
            let mut share = 0.0;
            // Every three pixels: no label is so small as to slip between.
            let step = 3.0 / (to_x - x).hypot(to_y - y).max(3.0);
            while share < 1.0 {
                self.curves
                    .push((x + share * (to_x - x), y + share * (to_y - y)));
                share += step;
            }
        }
        self.curves.extend(points.last());
    }

    /// The SVG.
    pub(in crate::present) fn into_svg(self, title: &str, description: &str) -> String {
        let size = (self.width, self.height);
        self.pen.into_svg(size, PAPER.color(), title, description)
    }
}
