//! Marks written as SVG.
//!
//! One job: a self-contained picture with title and description, drawn at four times its size and
//! scaled by the view box. It has no style sheet and no ids, so that several can stand in one page.

use plotters::coord::Shift;
use plotters::prelude::{
    Circle, DrawingArea, IntoDrawingArea, IntoFont, PathElement, Polygon, RGBAColor, Rectangle,
    SVGBackend, Text,
};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, ShapeStyle};

use super::canvas::{Anchor, Mark};
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
        let area =
            SVGBackend::with_string(&mut drawn, (size.0.unsigned_abs(), size.1.unsigned_abs()))
                .into_drawing_area();
        draw_all(&area, marks).expect("drawing into a string does no input or output");
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
    let place = |&(x, y): &(f64, f64)| (whole_px(x), whole_px(y));
    match mark {
        Mark::Polygon(points, paint) => area.draw(&Polygon::new(
            points.iter().map(place).collect::<Vec<_>>(),
            colour(*paint).filled(),
        )),
        Mark::Path {
            points,
            paint,
            width,
        } => area.draw(&PathElement::new(
            points.iter().map(place).collect::<Vec<_>>(),
            stroke(*paint, *width),
        )),
        Mark::Bar(bar, paint) => area.draw(&Rectangle::new(
            [place(&(bar.left, bar.top)), place(&(bar.right, bar.bottom))],
            colour(*paint).filled(),
        )),
        Mark::Dot {
            x,
            y,
            radius,
            paint,
        } => area.draw(&Circle::new(
            place(&(*x, *y)),
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
                place(&(label.x, label.y)),
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
    use crate::present::charts::canvas::Label;

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
