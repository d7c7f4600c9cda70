//! The pen that writes shapes as SVG.
//!
//! One job: a backend of the plotting library. All pictures are drawn through its trait, by the sheet and by the
//! plotting library itself. Four pixels of it are one of the picture, which is scaled by its view box. A picture is
//! self-contained, without style sheet and ids, so that several can stand in one page.

use std::convert::Infallible;
use std::fmt::{Arguments, Write as _};

use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle,
};

use super::text_size::{LINE, width_px};
use crate::present::plain_text::markup;

/// Pixels of the pen a picture pixel: whole numbers of them are as fine as a screen shows.
const FINENESS: f64 = 4.0;

/// What drawing gives: writing to a text cannot fail.
pub(super) type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// What is drawn, and how lines and boxes to come look beyond what a style of the trait can say.
#[derive(Debug, Default)]
pub(in crate::present) struct Pen {
    size: (u32, u32),
    body: String,
    /// Lengths of dashes and gaps in turn, pixels of the picture; none: whole lines.
    pub(super) dash: &'static [f64],
    /// Radius of the corners of boxes, pixels of the picture.
    pub(super) radius: f64,
}

impl Pen {
    /// Nothing drawn yet; the size in pixels of the picture.
    pub(super) fn new((width, height): (f64, f64)) -> Self {
        Self {
            size: (size_of(width), size_of(height)),
            ..Self::default()
        }
    }

    /// What follows up to [`end_group`](Self::end_group) says this when pointed at.
    pub(super) fn begin_group(&mut self, tip: &str) {
        self.write(format_args!("<g><title>{}</title>", markup(tip)));
    }

    /// Ends what belongs together.
    pub(super) fn end_group(&mut self) {
        self.write(format_args!("</g>"));
    }

    /// A pen of another size, what it drew on this ground, as a picture that can be read aloud.
    pub(super) fn into_svg(
        self,
        size: (f64, f64),
        ground: BackendColor,
        title: &str,
        description: &str,
    ) -> String {
        let mut out = Self::new(size);
        let (wide, high) = out.size;
        out.write(format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" viewBox=\"0 0 {wide} {high}\" \
             role=\"img\" stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}</desc>",
            f64::from(wide) / FINENESS,
            f64::from(high) / FINENESS,
            markup(title),
            markup(description),
        ));
        drawn(out.draw_rect((0, 0), place(size), &ground, true));
        out.body += &self.body;
        out.write(format_args!("</svg>"));
        out.body
    }

    fn write(&mut self, tag: Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = writeln!(self.body, "{tag}");
    }
}

impl DrawingBackend for Pen {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> Drawn {
        self.draw_rect((x, y), (x + 1, y + 1), &colour, true)
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        self.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        (left, top): BackendCoord,
        (right, bottom): BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let (width, height) = (right - left, bottom - top);
        let round = match length(self.radius) {
            0 => String::new(),
            radius => format!(" rx=\"{radius}\""),
        };
        self.write(format_args!(
            "<rect x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\"{round} {}/>",
            look(style, fill)
        ));
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let lengths: Vec<String> = self.dash.iter().map(|it| length(*it).to_string()).collect();
        let dash = match lengths.join(" ") {
            lengths if lengths.is_empty() => lengths,
            lengths => format!(" stroke-dasharray=\"{lengths}\""),
        };
        let (look, points) = (look(style, false), listed(path));
        self.write(format_args!("<polyline {look}{dash} points=\"{points}\"/>"));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let look = look(style, fill);
        self.write(format_args!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" {look}/>"
        ));
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let (look, points) = (look(style, true), listed(path));
        self.write(format_args!("<polygon {look} points=\"{points}\"/>"));
        Ok(())
    }

    /// Text runs level, in the reader's own sans-serif.
    fn draw_text<S: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &S,
        (x, y): BackendCoord,
    ) -> Drawn {
        let anchor = match style.anchor().h_pos {
            HPos::Left => "start",
            HPos::Center => "middle",
            HPos::Right => "end",
        };
        let down = match style.anchor().v_pos {
            VPos::Top => "0.76em",
            VPos::Center => "0.5ex",
            VPos::Bottom => "-0.5ex",
        };
        let bold = match style.style() {
            FontStyle::Bold => " font-weight=\"bold\"",
            _ => "",
        };
        self.write(format_args!(
            "<text x=\"{x}\" y=\"{y}\" dy=\"{down}\" text-anchor=\"{anchor}\" font-family=\"sans-serif\" \
             font-size=\"{}\" opacity=\"{}\" fill=\"{}\"{bold}>\n{}\n</text>",
            (style.size() * FINENESS * 100.0).round() / 100.0,
            style.color().alpha,
            hex(style.color()),
            markup(text)
        ));
        Ok(())
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        text: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let bold = matches!(style.style(), FontStyle::Bold);
        let width = width_px(text, style.size(), bold);
        Ok((size_of(width), size_of(style.size() * LINE)))
    }
}

/// A face, or an edge.
fn look<S: BackendStyle>(style: &S, fill: bool) -> String {
    let (alpha, colour) = (style.color().alpha, hex(style.color()));
    if fill {
        format!("opacity=\"{alpha}\" fill=\"{colour}\"")
    } else {
        let width = style.stroke_width();
        format!("fill=\"none\" opacity=\"{alpha}\" stroke=\"{colour}\" stroke-width=\"{width}\"")
    }
}

fn hex(BackendColor { rgb, .. }: BackendColor) -> String {
    let (red, green, blue) = rgb;
    format!("#{red:02X}{green:02X}{blue:02X}")
}

fn listed(points: impl IntoIterator<Item = BackendCoord>) -> String {
    points.into_iter().fold(String::new(), |mut list, (x, y)| {
        let _ = write!(list, "{x},{y} ");
        list
    })
}

/// What a drawing gives is nothing to wait for.
pub(super) fn drawn(drawn: Drawn) {
    drawn.expect("drawing into a text cannot fail");
}

/// A point of the picture for the pen.
pub(super) fn place((x, y): (f64, f64)) -> BackendCoord {
    (length(x), length(y))
}

/// A size of the picture for the pen; what is less than nothing is nothing.
pub(super) fn size_of(size: f64) -> u32 {
    length(size.max(0.0)).unsigned_abs()
}

/// A height or distance of the pen on the picture.
#[cfg(feature = "cli")]
pub(super) fn on_picture(pixels: i32) -> f64 {
    f64::from(pixels) / FINENESS
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "pictures are some thousand pixels wide"
)]
fn length(value: f64) -> i32 {
    (value * FINENESS).round() as i32
}

#[cfg(test)]
mod tests {
    use super::super::canvas::{Canvas, Label};
    use super::super::palette::PAPER;

    #[test]
    fn texts_of_the_user_cannot_leave_their_place() {
        let mut canvas = Canvas::new(100.0);
        canvas.label(Label::new("<script>", 10.0, 10.0, 11.0, PAPER));
        let svg = canvas.into_svg("</title><script>\u{0}", "a & b");
        assert!(!svg.contains("<script>") && !svg.contains('\u{0}'), "{svg}");
        assert!(
            svg.contains("&lt;script&gt;") && svg.contains("a &amp; b"),
            "{svg}"
        );
    }
}
