//! Small signs after IEC 60617, drawn from its descriptions: fuse, battery, converter, generator,
//! photovoltaic cell.
//!
//! One job: each as a piece of SVG at a place.

use std::fmt::Write;

use super::graph::NodeKind;
use super::route::Rect;

/// Room of a box's sign.
pub(super) const SIGN: f64 = 18.0;

/// A fuse: an oblong with the conductor through it.
pub(super) fn fuse(out: &mut String, at: Rect) {
    let middle = at.y + at.h / 2.0;
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        r#"<rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" class="sign"/><line x1="{:.1}" y1="{middle:.1}" x2="{:.1}" y2="{middle:.1}" class="thin"/>"#,
        at.x,
        at.y,
        at.w,
        at.h,
        at.x,
        at.x + at.w
    );
}

/// The sign of a box, its upper left corner at `x`, `y`; nothing for loads and blocks.
pub(super) fn sign(out: &mut String, kind: NodeKind, x: f64, y: f64) {
    let s = SIGN;
    let middle = y + s / 2.0;
    let text = match kind {
        NodeKind::Alternator => format!(
            r#"<circle cx="{:.1}" cy="{middle:.1}" r="{:.1}" class="sign"/><text x="{:.1}" y="{:.1}" class="letter">G</text>"#,
            x + s / 2.0,
            s / 2.0,
            x + s / 2.0,
            middle + 3.8
        ),
        NodeKind::Mains => format!(
            r#"<circle cx="{0:.1}" cy="{middle:.1}" r="{1:.1}" class="sign"/><path d="M{2:.1} {middle:.1} q 2.5 -6 5 0 t 5 0" class="thin"/>"#,
            x + s / 2.0,
            s / 2.0,
            x + s / 2.0 - 5.0
        ),
        NodeKind::Panel => format!(
            r#"<rect x="{x:.1}" y="{y:.1}" width="{s:.1}" height="{s:.1}" class="sign"/><path d="M{x:.1} {y:.1} l 9 6 l 9 -6" class="thin"/>"#
        ),
        NodeKind::Charger | NodeKind::Inverter => format!(
            r#"<rect x="{x:.1}" y="{y:.1}" width="{s:.1}" height="{s:.1}" class="sign"/><line x1="{x:.1}" y1="{:.1}" x2="{:.1}" y2="{y:.1}" class="thin"/>"#,
            y + s,
            x + s
        ),
        NodeKind::Bank => format!(
            r#"<path d="M{x:.1} {middle:.1} h 6 m 0 -8 v 16 m 5 -12 v 8 m 0 -4 h 7" class="thin"/>"#
        ),
        NodeKind::Switch => format!(
            r#"<path d="M{x:.1} {middle:.1} h 5 l 8 -6 M{:.1} {middle:.1} h 5" class="thin"/>"#,
            x + 13.0
        ),
        NodeKind::Plug => format!(
            r#"<path d="M{:.1} {y:.1} a 9 9 0 0 0 0 18 M{x:.1} {middle:.1} h 6 m 4 0 h 8" class="thin"/><rect x="{:.1}" y="{:.1}" width="6" height="5" class="sign"/>"#,
            x + 9.0,
            x + 5.0,
            middle - 2.5
        ),
        NodeKind::Block | NodeKind::Load | NodeKind::Bend => String::new(),
    };
    out.push_str(&text);
    out.push('\n');
}
