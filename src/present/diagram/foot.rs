//! The foot of the diagram: how to read it, and the cautions.
//!
//! One job: the lines under the drawing.

use std::fmt::Write;

use super::escape::{lines, xml};
use super::route::{FUSE, Rect};
use super::symbols::fuse;

const SIZE: f64 = 14.0;
const LINE: f64 = 21.0;

/// Samples of lines: class and meaning.
const SAMPLES: [(&str, &str); 4] = [
    ("live", "solid: permanently live"),
    ("ignition", "long dashes: with the ignition"),
    ("mains", "dash and dot: 230/120 V, for a licensed person"),
    (
        "unknown",
        "thin and pale: joined, but the file gives no run",
    ),
];

/// Writes the foot below `top` within `width`; returns its height.
pub(super) fn foot(out: &mut String, cautions: &[String], top: f64, width: f64) -> f64 {
    let mut y = top + LINE;
    let in_pairs = width > 900.0;
    // Writing to a String cannot fail.
    let mut x = 0.0;
    for (index, (class, words)) in SAMPLES.iter().enumerate() {
        let _ = writeln!(
            out,
            r#"<line x1="{x:.1}" y1="{:.1}" x2="{:.1}" y2="{:.1}" class="{class}" stroke-width="2"/><text x="{:.1}" y="{y:.1}" class="foot">{}</text>"#,
            y - 4.5,
            x + 44.0,
            y - 4.5,
            x + 52.0,
            xml(words)
        );
        if in_pairs && index % 2 == 0 {
            x = width / 2.0;
        } else {
            x = 0.0;
            if index + 1 < SAMPLES.len() {
                y += LINE;
            }
        }
    }
    y += LINE + 4.0;
    fuse(
        out,
        Rect {
            x: 12.0,
            y: y - 9.0,
            w: FUSE.0,
            h: FUSE.1,
        },
    );
    let reading = "a fuse. Over a line: conductor and length one way; under it: fuse and drop at the design current. \
                   One line stands for a pair, positive and negative of the same size. The outlines are vehicle and trailer.";
    y = paragraph(out, reading, 52.0, y, width - 52.0, "foot");
    y += 8.0;
    for caution in cautions {
        y = paragraph(out, &format!("• {caution}"), 0.0, y, width, "caution");
    }
    y - top
}

fn paragraph(out: &mut String, text: &str, x: f64, top: f64, room: f64, class: &str) -> f64 {
    let mut y = top;
    for line in lines(text, SIZE, room) {
        let _ = writeln!(
            out,
            r#"<text x="{x:.1}" y="{y:.1}" class="{class}">{}</text>"#,
            xml(&line)
        );
        y += LINE;
    }
    y
}
