//! The foot of the diagram: how to read it, and the cautions.
//!
//! One job: the lines under the drawing.

use super::measure::Measure;
use super::route::{FUSE, Rect};
use super::svg::{IGNITION, LIVE, MAINS, Stroke, UNKNOWN};
use super::symbols::fuse;
use crate::present::charts::canvas::{Canvas, Label};
use crate::present::charts::palette::INK;
use crate::present::charts::text_size::width_px;
use crate::present::plain_text::wrapped;

/// Where words stand right of a sample.
const ASIDE: f64 = 52.0;

/// Samples of lines with their meaning.
const SAMPLES: [(Stroke, &str); 4] = [
    (LIVE, "solid: permanently live"),
    (IGNITION, "long dashes: with the ignition"),
    (MAINS, "dash and dot: 230/120 V, for a licensed person"),
    (UNKNOWN, "thin and pale: joined, but the file gives no run"),
];

const READING: &str = "a fuse. Over a line: conductor and length one way; under it: fuse and drop at the design current. \
    One line stands for a pair, positive and negative of the same size. The outlines are vehicle and trailer.";

/// Draws the foot from a corner on within `width`; returns where it ends.
pub(super) fn foot(
    canvas: &mut Canvas,
    measure: &Measure,
    cautions: &[String],
    (left, top): (f64, f64),
    width: f64,
) -> f64 {
    let (size, line) = measure.foot;
    let abreast = if width > measure.abreast { 2 } else { 1 };
    let mut y = top;
    for row in SAMPLES.chunks(abreast) {
        y += line;
        let mut x = left;
        for (stroke, words) in row {
            let sample = vec![(x, y), (x + 44.0, y)];
            canvas.dashed(sample, stroke.dash, stroke.paint, 2.0);
            canvas.label(Label::new(*words, x + ASIDE, y, size, INK));
            x += width / 2.0;
        }
    }
    y += line + 4.0;
    let (w, h) = FUSE;
    fuse(
        canvas,
        Rect {
            x: left + 12.0,
            y: y - h / 2.0,
            w,
            h,
        },
    );
    let mut paragraph = |text: &str, x: f64, top: f64| {
        let room = left + width - x;
        let lines = wrapped(text, |words| width_px(words, size, false) <= room);
        lines.into_iter().fold(top, |y, words| {
            canvas.label(Label::new(words, x, y, size, INK));
            y + line
        })
    };
    y = paragraph(READING, left + ASIDE, y) + 8.0;
    for caution in cautions {
        y = paragraph(&format!("• {caution}"), left, y);
    }
    y
}
