//! Marks written as SVG.
//!
//! One job: a self-contained picture with title and description, drawn at four times its size and
//! scaled by the view box. It has no style sheet and no ids, so that several can stand in one page.

use std::io;

use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontFamily, FontStyle, FontTransform,
};
use plotters_svg::SVGBackend;

use super::canvas::{Anchor, Label, Mark};
use super::palette::{PAPER, Paint};
use crate::present::plain_text::neutral;

/// Backend pixels a picture pixel: whole numbers would make curves wobble.
const FINENESS: f64 = 4.0;

/// The marks as an SVG of this width and height in pixels.
pub(super) fn svg(
    marks: &[Mark],
    (width, height): (f64, f64),
    title: &str,
    description: &str,
) -> String {
    let size = (whole_px(width), whole_px(height));
    let mut drawn = String::new();
    {
        let sheet = (size.0.unsigned_abs(), size.1.unsigned_abs());
        let mut pen = SVGBackend::with_string(&mut drawn, sheet);
        draw_all(&mut pen, size, marks).expect("drawing into a string does no input or output");
    }
    // The backend's own opening tag gives way to one that scales and can be read aloud.
    let body = drawn.split_once('>').map_or("", |(_, body)| body);
    let body = with_plain_sizes(body);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" viewBox=\"0 0 {} {}\" \
         role=\"img\" stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}</desc>{body}",
        f64::from(size.0) / FINENESS,
        f64::from(size.1) / FINENESS,
        size.0,
        size.1,
        escaped(title),
        escaped(description),
    )
}

type Drawn = Result<(), DrawingErrorKind<io::Error>>;

fn draw_all(pen: &mut SVGBackend<'_>, size: BackendCoord, marks: &[Mark]) -> Drawn {
    pen.draw_rect((0, 0), size, &colour(PAPER), true)?;
    for mark in marks {
        draw(pen, mark)?;
    }
    pen.present()
}

fn draw(pen: &mut SVGBackend<'_>, mark: &Mark) -> Drawn {
    let place = |&(x, y): &(f64, f64)| (whole_px(x), whole_px(y));
    match mark {
        Mark::Polygon(points, paint) => pen.fill_polygon(points.iter().map(place), &colour(*paint)),
        Mark::Path {
            points,
            paint,
            width,
        } => pen.draw_path(
            points.iter().map(place),
            &Stroke {
                colour: colour(*paint),
                width: whole_px(*width).unsigned_abs(),
            },
        ),
        Mark::Bar(bar, paint) => {
            let (from, to) = ((bar.left, bar.top), (bar.right, bar.bottom));
            pen.draw_rect(place(&from), place(&to), &colour(*paint), true)
        }
        Mark::Dot {
            x,
            y,
            radius,
            paint,
        } => {
            let radius = whole_px(*radius).unsigned_abs();
            pen.draw_circle(place(&(*x, *y)), radius, &colour(*paint), true)
        }
        Mark::Label(label) => {
            pen.draw_text(&label.text, &Lettering(label), place(&(label.x, label.y)))
        }
    }
}

fn colour(paint: Paint) -> BackendColor {
    BackendColor {
        rgb: paint.rgb,
        alpha: paint.alpha,
    }
}

/// A line of some width.
struct Stroke {
    colour: BackendColor,
    width: u32,
}

impl BackendStyle for Stroke {
    fn color(&self) -> BackendColor {
        self.colour
    }

    fn stroke_width(&self) -> u32 {
        self.width
    }
}

/// How a label is written.
struct Lettering<'a>(&'a Label);

impl BackendTextStyle for Lettering<'_> {
    type FontError = io::Error;

    fn color(&self) -> BackendColor {
        colour(self.0.paint)
    }

    fn size(&self) -> f64 {
        // The backend divides the size by 1.24 to get at the em.
        self.0.size * FINENESS * 1.24
    }

    fn transform(&self) -> FontTransform {
        FontTransform::None
    }

    fn style(&self) -> FontStyle {
        if self.0.bold {
            FontStyle::Bold
        } else {
            FontStyle::Normal
        }
    }

    fn anchor(&self) -> Pos {
        let position = match self.0.anchor {
            Anchor::Start => HPos::Left,
            Anchor::Middle => HPos::Center,
            Anchor::End => HPos::Right,
        };
        Pos::new(position, VPos::Center)
    }

    fn family(&self) -> FontFamily<'_> {
        FontFamily::SansSerif
    }

    /// Never asked for: the reader's own fonts lay the text out.
    fn layout_box(&self, _text: &str) -> Result<((i32, i32), (i32, i32)), io::Error> {
        Ok(((0, 0), (0, 0)))
    }

    /// Never asked for: a picture in SVG has letters, no pixels.
    fn draw<E, DrawFunc: FnMut(i32, i32, BackendColor) -> Result<(), E>>(
        &self,
        _text: &str,
        _pos: BackendCoord,
        _draw: DrawFunc,
    ) -> Result<Result<(), E>, io::Error> {
        Ok(Ok(()))
    }
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
                out.extend([KEY, &plain.to_string(), "\"", rest]);
            }
            _ if index > 0 => out.extend([KEY, part]),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_of_the_user_cannot_leave_their_place() {
        let label = Label::new("<script>", 10.0, 10.0, 11.0, PAPER);
        let svg = svg(
            &[Mark::Label(label)],
            (900.0, 100.0),
            "</title><script>\u{0}",
            "a & b",
        );
        assert!(!svg.contains("<script>") && !svg.contains('\u{0}'), "{svg}");
        assert!(
            svg.contains("&lt;script&gt;") && svg.contains("a &amp; b"),
            "{svg}"
        );
    }
}
