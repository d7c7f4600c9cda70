//! The sheet that every picture is drawn on.
//!
//! One job: marks in pixels of a 900 px wide picture, in the order they are laid on. It knows the
//! boxes of its labels, so that a new one can keep clear of them. Where marks go is the pictures'
//! business; writing them is in `svg`.

use super::dashes::dashes;
use super::palette::Paint;
use super::svg::svg;
use super::text_size::{Area, LINE, width_px};
use crate::present::plain_text::neutral;

/// Width of every picture.
pub(super) const WIDTH_PX: f64 = 900.0;
/// Height of a picture of 16:9.
pub(super) const HEIGHT_PX: f64 = 506.25;

/// Where a label's given point lies on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

/// A label; its point is at half height.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Label {
    /// What it says.
    pub(super) text: String,
    /// Point.
    pub(super) x: f64,
    /// Point.
    pub(super) y: f64,
    /// Font size.
    pub(super) size: f64,
    /// Where the point lies.
    pub(super) anchor: Anchor,
    /// Colour.
    pub(super) paint: Paint,
    /// Bold.
    pub(super) bold: bool,
}

impl Label {
    /// A label whose point is its left end.
    pub(super) fn new(text: impl Into<String>, x: f64, y: f64, size: f64, paint: Paint) -> Self {
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
    pub(super) fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// In bold.
    pub(super) fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The box it takes, estimated.
    pub(super) fn area(&self) -> Area {
        let width = width_px(&self.text, self.size, self.bold);
        let left = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - width / 2.0,
            Anchor::End => self.x - width,
        };
        let half = self.size * LINE / 2.0;
        Area {
            left,
            top: self.y - half,
            right: left + width,
            bottom: self.y + half,
        }
    }
}

/// What is drawn.
pub(super) enum Mark {
    Polygon(Vec<(f64, f64)>, Paint),
    Path {
        points: Vec<(f64, f64)>,
        paint: Paint,
        width: f64,
    },
    Bar(Area, Paint),
    Dot {
        x: f64,
        y: f64,
        radius: f64,
        paint: Paint,
    },
    Label(Label),
}

/// A picture in the making.
pub(super) struct Canvas {
    height: f64,
    marks: Vec<Mark>,
    taken: Vec<Area>,
    curves: Vec<(f64, f64)>,
}

impl Canvas {
    /// An empty sheet of [`WIDTH_PX`] and this height.
    pub(super) fn new(height: f64) -> Self {
        Self {
            height,
            marks: Vec::new(),
            taken: Vec::new(),
            curves: Vec::new(),
        }
    }

    /// Height.
    pub(super) fn height(&self) -> f64 {
        self.height
    }

    /// A filled shape.
    pub(super) fn polygon(&mut self, points: Vec<(f64, f64)>, paint: Paint) {
        if points.len() > 2 {
            self.marks.push(Mark::Polygon(points, paint));
        }
    }

    /// A line through points.
    pub(super) fn path(&mut self, points: Vec<(f64, f64)>, paint: Paint, width: f64) {
        if points.len() > 1 {
            self.marks.push(Mark::Path {
                points,
                paint,
                width,
            });
        }
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), paint: Paint, width: f64) {
        self.path(vec![from, to], paint, width);
    }

    /// A line of dashes: lengths of dash and gap; `None` is a whole line.
    pub(super) fn dashed(
        &mut self,
        points: &[(f64, f64)],
        dash: Option<(f64, f64)>,
        paint: Paint,
        width: f64,
    ) {
        let Some(dash) = dash else {
            self.path(points.to_vec(), paint, width);
            return;
        };
        for piece in dashes(points, dash) {
            self.path(piece, paint, width);
        }
    }

    /// A filled box.
    pub(super) fn bar(&mut self, area: Area, paint: Paint) {
        if area.width() > 0.0 && area.height() > 0.0 {
            self.marks.push(Mark::Bar(area, paint));
        }
    }

    /// A dot.
    pub(super) fn dot(&mut self, x: f64, y: f64, radius: f64, paint: Paint) {
        self.marks.push(Mark::Dot {
            x,
            y,
            radius,
            paint,
        });
    }

    /// A label, whatever is there.
    pub(super) fn label(&mut self, mut label: Label) {
        label.text = neutral(&label.text).into_owned();
        if !label.text.is_empty() {
            self.taken.push(label.area());
            self.marks.push(Mark::Label(label));
        }
    }

    /// The first of the labels that keeps clear of labels and curves and lies in `within`; whether there
    /// was one.
    pub(super) fn label_where_free(
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
    pub(super) fn keep_off(&mut self, points: &[(f64, f64)]) {
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
    pub(super) fn into_svg(self, title: &str, description: &str) -> String {
        svg(&self.marks, (WIDTH_PX, self.height), title, description)
    }
}
