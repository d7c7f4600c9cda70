//! Small signs after IEC 60617, drawn from its descriptions: fuse, battery, converter, generator,
//! photovoltaic cell.
//!
//! One job: each at a place.

use super::graph::NodeKind;
use super::route::Rect;
use crate::present::charts::canvas::{Anchor, Canvas, Label};
use crate::present::charts::palette::{INK, PAPER};

/// Room of a box's sign.
pub(super) const SIGN: f64 = 18.0;
const WIDTH: f64 = 1.25;

/// A fuse: an oblong with the conductor through it.
pub(super) fn fuse(canvas: &mut Canvas, at: Rect) {
    let middle = at.y + at.h / 2.0;
    canvas.outlined(at.area(), 0.0, Some(PAPER), (INK, WIDTH));
    canvas.line((at.x, middle), (at.x + at.w, middle), INK, WIDTH);
}

/// The sign of a box, its upper left corner at `x`, `y`; nothing for loads and blocks.
pub(super) fn sign(canvas: &mut Canvas, kind: NodeKind, x: f64, y: f64) {
    let half = SIGN / 2.0;
    let frame = |(x, y): (f64, f64), w: f64, h: f64| Rect { x, y, w, h }.area();
    // Points relative to the corner.
    let drawn = |canvas: &mut Canvas, points: &[(f64, f64)]| {
        let points = points.iter().map(|(right, down)| (x + right, y + down));
        canvas.path(points.collect(), INK, WIDTH);
    };
    // An arc about a point, in twelve pieces from one angle to another, in half turns clockwise from the right.
    let arc = |centre: (f64, f64), radius: (f64, f64), from: f64, to: f64| -> Vec<(f64, f64)> {
        let angles = (0..=12).map(|step| from + (to - from) * f64::from(step) / 12.0);
        angles
            .map(|angle| {
                let turned = angle * std::f64::consts::PI;
                (
                    centre.0 + radius.0 * libm::cos(turned),
                    centre.1 + radius.1 * libm::sin(turned),
                )
            })
            .collect()
    };
    match kind {
        NodeKind::Alternator => {
            canvas.outlined(frame((x, y), SIGN, SIGN), half, Some(PAPER), (INK, WIDTH));
            let letter = Label::new("G", x + half, y + half, 12.0, INK);
            canvas.label(letter.anchored(Anchor::Middle));
        }
        NodeKind::Mains => {
            canvas.outlined(frame((x, y), SIGN, SIGN), half, Some(PAPER), (INK, WIDTH));
            let mut wave = arc((half - 2.5, half), (2.5, 3.0), 1.0, 2.0);
            wave.extend(arc((half + 2.5, half), (2.5, 3.0), 1.0, 0.0));
            drawn(canvas, &wave);
        }
        NodeKind::Panel => {
            canvas.outlined(frame((x, y), SIGN, SIGN), 0.0, Some(PAPER), (INK, WIDTH));
            drawn(canvas, &[(0.0, 0.0), (half, 6.0), (SIGN, 0.0)]);
        }
        NodeKind::Charger | NodeKind::Inverter => {
            canvas.outlined(frame((x, y), SIGN, SIGN), 0.0, Some(PAPER), (INK, WIDTH));
            drawn(canvas, &[(0.0, SIGN), (SIGN, 0.0)]);
        }
        NodeKind::Bank => {
            drawn(canvas, &[(0.0, half), (6.0, half)]);
            drawn(canvas, &[(6.0, 1.0), (6.0, 17.0)]);
            drawn(canvas, &[(11.0, 5.0), (11.0, 13.0)]);
            drawn(canvas, &[(11.0, half), (SIGN, half)]);
        }
        NodeKind::Switch => {
            drawn(canvas, &[(0.0, half), (5.0, half), (13.0, half - 6.0)]);
            drawn(canvas, &[(13.0, half), (SIGN, half)]);
        }
        NodeKind::Plug => {
            drawn(canvas, &arc((half, half), (half, half), 1.5, 0.5));
            drawn(canvas, &[(0.0, half), (6.0, half)]);
            drawn(canvas, &[(10.0, half), (SIGN, half)]);
            let pin = frame((x + 5.0, y + half - 2.5), 6.0, 5.0);
            canvas.outlined(pin, 0.0, Some(PAPER), (INK, WIDTH));
        }
        NodeKind::Block | NodeKind::Load | NodeKind::Bend => {}
    }
}
