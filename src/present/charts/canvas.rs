//! The sheet that every picture is drawn on.
//!
//! One job: marks in pixels of a 900 px wide picture, drawn at four times that size and scaled by
//! the view box, and a self-contained SVG with title and description. It knows the boxes of its
//! labels, so that a new one can keep clear of them. Where marks go is the pictures' business.

use plotters::coord::Shift;
use plotters::prelude::{
    Circle, DrawingArea, IntoDrawingArea, IntoFont, PathElement, Polygon, RGBAColor, Rectangle,
    SVGBackend, Text,
};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, ShapeStyle};

use super::palette::{PAPER, Paint};
use super::text_size::{Area, LINE, width_px};
use crate::present::plain_text::neutral;

/// Width of every picture.
pub(super) const WIDTH_PX: f64 = 900.0;
/// Height of a picture of 16:9.
pub(super) const HEIGHT_PX: f64 = 506.25;
/// Backend pixels a picture pixel: whole numbers would make curves wobble.
const FINENESS: f64 = 4.0;

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

enum Mark {
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
        let size = (whole_px(WIDTH_PX), whole_px(self.height));
        let mut drawn = String::new();
        {
            let area =
                SVGBackend::with_string(&mut drawn, (size.0.unsigned_abs(), size.1.unsigned_abs()))
                    .into_drawing_area();
            draw_all(&area, &self.marks).expect("drawing into a string does no input or output");
        }
        // The backend's own opening tag gives way to one that scales and can be read aloud.
        let body = drawn.split_once('>').map_or("", |(_, body)| body);
        let body = with_plain_sizes(body);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" viewBox=\"0 0 {} {}\" \
             role=\"img\" stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}</desc>{body}",
            WIDTH_PX,
            f64::from(size.1) / FINENESS,
            size.0,
            size.1,
            escaped(title),
            escaped(description),
        )
    }
}

type Sheet<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Drawn = Result<(), plotters::drawing::DrawingAreaErrorKind<std::io::Error>>;

fn draw_all(area: &Sheet<'_>, marks: &[Mark]) -> Drawn {
    area.fill(&colour(PAPER))?;
    for mark in marks {
        draw(area, mark)?;
    }
    area.present()
}

fn draw(area: &Sheet<'_>, mark: &Mark) -> Drawn {
    let point = |&(x, y): &(f64, f64)| (whole_px(x), whole_px(y));
    match mark {
        Mark::Polygon(points, paint) => area.draw(&Polygon::new(
            points.iter().map(point).collect::<Vec<_>>(),
            colour(*paint).filled(),
        )),
        Mark::Path {
            points,
            paint,
            width,
        } => area.draw(&PathElement::new(
            points.iter().map(point).collect::<Vec<_>>(),
            stroke(*paint, *width),
        )),
        Mark::Bar(bar, paint) => area.draw(&Rectangle::new(
            [point(&(bar.left, bar.top)), point(&(bar.right, bar.bottom))],
            colour(*paint).filled(),
        )),
        Mark::Dot {
            x,
            y,
            radius,
            paint,
        } => area.draw(&Circle::new(
            point(&(*x, *y)),
            whole_px(*radius).unsigned_abs(),
            colour(*paint).filled(),
        )),
        Mark::Label(label) => {
            let position = match label.anchor {
                Anchor::Start => HPos::Left,
                Anchor::Middle => HPos::Center,
                Anchor::End => HPos::Right,
            };
            let style = if label.bold {
                FontStyle::Bold
            } else {
                FontStyle::Normal
            };
            // The backend divides the size by 1.24 to get at the em.
            let font = ("sans-serif", label.size * FINENESS * 1.24)
                .into_font()
                .style(style)
                .color(&colour(label.paint))
                .pos(Pos::new(position, VPos::Center));
            area.draw(&Text::new(
                label.text.as_str(),
                point(&(label.x, label.y)),
                font,
            ))
        }
    }
}

fn colour(paint: Paint) -> RGBAColor {
    let (r, g, b) = paint.rgb;
    RGBAColor(r, g, b, paint.alpha)
}

fn stroke(paint: Paint, width: f64) -> ShapeStyle {
    colour(paint).stroke_width(whole_px(width).unsigned_abs())
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "pictures are some thousand pixels wide"
)]
fn whole_px(value: f64) -> i32 {
    (value * FINENESS).round() as i32
}

/// The drawing with its font sizes to two decimals: the backend's own division leaves a tail of
/// digits. The marks of an attribute cannot stand in a text, where they are escaped.
fn with_plain_sizes(drawn: &str) -> String {
    const KEY: &str = "font-size=\"";
    let mut out = String::with_capacity(drawn.len());
    for (index, part) in drawn.split(KEY).enumerate() {
        let (size, rest) = part.split_once('"').unwrap_or(("", part));
        match size.parse::<f64>() {
            Ok(size) if index > 0 => {
                let plain = (size * 100.0).round() / 100.0;
                out.push_str(&format!("{KEY}{plain}\"{rest}"));
            }
            _ if index > 0 => out.push_str(&format!("{KEY}{part}")),
            _ => out.push_str(part),
        }
    }
    out
}

/// Text for XML: control characters neutralised, marks of the language escaped.
fn escaped(text: &str) -> String {
    neutral(text)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// The dashes of a line: lengths of dash and gap.
fn dashes(points: &[(f64, f64)], (dash, gap): (f64, f64)) -> Vec<Vec<(f64, f64)>> {
    let mut pieces = Vec::new();
    let mut piece: Vec<(f64, f64)> = points.first().copied().into_iter().collect();
    let (mut is_dash, mut left) = (true, dash);
    for pair in points.windows(2) {
        let ((mut x, mut y), (to_x, to_y)) = (pair[0], pair[1]);
        loop {
            let length = (to_x - x).hypot(to_y - y);
            if length <= left {
                left -= length;
                if is_dash {
                    piece.push((to_x, to_y));
                }
                break;
            }
            x += (to_x - x) * left / length;
            y += (to_y - y) * left / length;
            if is_dash {
                piece.push((x, y));
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![(x, y)];
            }
            is_dash = !is_dash;
            left = if is_dash { dash } else { gap };
        }
    }
    if is_dash && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dashes_cover_their_share_of_a_line() {
        let pieces = dashes(&[(0.0, 0.0), (7.0, 0.0), (20.0, 0.0)], (4.0, 2.0));
        let lengths: Vec<f64> = pieces
            .iter()
            .map(|piece| piece[piece.len() - 1].0 - piece[0].0)
            .collect();
        assert_eq!(lengths.len(), 4);
        assert!(
            (lengths.iter().sum::<f64>() - 14.0).abs() < 1e-9,
            "{lengths:?}"
        );
    }

    #[test]
    fn texts_of_the_user_cannot_leave_their_place() {
        let mut canvas = Canvas::new(100.0);
        canvas.label(Label::new("<script>\u{0}", 10.0, 10.0, 11.0, PAPER));
        let svg = canvas.into_svg("</title><script>", "a & b");
        assert!(!svg.contains("<script>") && !svg.contains('\u{0}'), "{svg}");
        assert!(
            svg.contains("&lt;script&gt;") && svg.contains("a &amp; b"),
            "{svg}"
        );
    }
}
