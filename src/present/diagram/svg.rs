//! Drawing the diagram.
//!
//! One job: from the layout to marks on the sheet of all pictures. Nothing is placed here but the heading and the
//! words in boxes.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::foot::foot;
use super::graph::{Circuit, Edge, Graph, Node, NodeKind};
use super::graph_edges::length;
use super::measure::Measure;
use super::route::{Layout, Rect, Wire, layout};
use super::symbols::{SIGN, fuse, sign};
use crate::present::charts::canvas::{Anchor, Canvas, Label};
use crate::present::charts::palette::{CUTOFF, INK, LOAD, MUTED, PAPER, Paint, faded, solid};
use crate::present::charts::text_size::{fitted, width_px};
use crate::scenario::{Parts, counted};
use crate::wiring::schedule::Schedule;

const BANK: Paint = solid(220, 237, 235);
const SOURCE: Paint = solid(243, 238, 230);
const BLOCK: Paint = solid(238, 240, 241);
/// Outlines, and lines of which the file says nothing.
const PALE: Paint = solid(122, 132, 141);

const TITLE_SIZE: f64 = 20.0;

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stroke {
    pub(super) paint: Paint,
    pub(super) dash: &'static [f64],
}

/// Permanently live.
pub(super) const LIVE: Stroke = Stroke {
    paint: INK,
    dash: &[],
};
/// With the ignition.
pub(super) const IGNITION: Stroke = Stroke {
    paint: LOAD,
    dash: &[11.0, 5.0],
};
/// 230/120 V.
pub(super) const MAINS: Stroke = Stroke {
    paint: CUTOFF,
    dash: &[12.0, 4.0, 2.0, 4.0],
};
/// Joined, but without a run.
pub(super) const UNKNOWN: Stroke = Stroke {
    paint: PALE,
    dash: &[],
};

/// What stands around a drawing.
pub(super) struct Around<'a> {
    /// What the picture is.
    pub(super) title: String,
    /// What stands over it.
    pub(super) heading: Option<&'a str>,
    /// The cautions under it, below how to read it.
    pub(super) foot: Option<&'a [String]>,
}

/// `wiring.svg` of a scenario with its schedule; its title and description say what it shows.
#[must_use]
pub fn wiring_svg(scenario: &Parts, schedule: &Schedule) -> String {
    let around = Around {
        title: format!("Wiring of {}", scenario.title),
        heading: Some(&scenario.title),
        foot: Some(&schedule.cautions),
    };
    drawn(layout(scenario, schedule), schedule, &around)
}

/// The picture of a layout.
pub(super) fn drawn(layout: Layout, schedule: &Schedule, around: &Around<'_>) -> String {
    let measure = layout.measure;
    let margin = measure.margin;
    let inner = layout.width.max(measure.least_width);
    let aside = (inner - layout.width) / 2.0;
    let layout = layout.moved(margin + aside, measure.head);
    let mut canvas = Canvas::sized(inner + 2.0 * margin, 0.0);
    if let Some(heading) = around.heading {
        let heading = fitted(heading, TITLE_SIZE, true, inner - 10.0);
        canvas.label(Label::new(heading, margin, 33.0, TITLE_SIZE, INK).bold());
        let words = "Wiring, one-line diagram: sources left, banks in the middle, loads right";
        canvas.label(Label::new(words, margin, 57.0, 13.0, MUTED));
    }
    for outline in &layout.outlines {
        let area = outline.rect.area();
        canvas.outlined(area, 16.0, None, (PALE, 2.25));
        let (x, y) = (area.left + 16.0, area.top + 11.0);
        canvas.label(Label::new(outline.title, x, y, measure.load, MUTED).bold());
    }
    for wire in &layout.wires {
        draw_wire(&mut canvas, measure, &layout.graph.edges[wire.edge], wire);
    }
    for (node, rect) in layout.graph.nodes.iter().zip(&layout.boxes) {
        draw_box(&mut canvas, measure, node, *rect);
    }
    let mut bottom = measure.head + layout.height;
    if let Some(cautions) = around.foot {
        let top = (margin, bottom + margin + 12.0);
        bottom = foot(&mut canvas, measure, cautions, top, inner);
    }
    canvas.set_height(bottom + margin);
    canvas.into_svg(&around.title, &description(schedule, &layout.graph))
}

/// The runs that are drawn.
fn description(schedule: &Schedule, graph: &Graph) -> String {
    let drawn: BTreeSet<_> = graph.edges.iter().filter_map(|e| e.run.as_ref()).collect();
    let runs = schedule.runs.iter().filter(|run| drawn.contains(&run.id));
    let mut words = format!("One-line diagram with {}.", counted(drawn.len(), "run"));
    for run in runs {
        let conductor = run.conductor.as_deref().unwrap_or("no single conductor");
        let fuse = run.fuse.as_ref().map_or_else(
            || "no fuse".to_string(),
            |f| format!("fuse {} A", f.rating_a),
        );
        let fails = if run.pass { "" } else { ", fails" };
        // Writing to a String cannot fail.
        let _ = write!(
            words,
            " {}: {} to {}, {conductor}, {}, {fuse}{fails}.",
            run.id,
            run.from,
            run.to,
            length(run.one_way_m, schedule.units)
        );
    }
    words
}

fn stroke_of(edge: &Edge) -> Stroke {
    match (edge.circuit, edge.given) {
        (Circuit::Mains, _) => MAINS,
        (Circuit::Ignition, true) => IGNITION,
        (Circuit::Ignition, false) => Stroke {
            paint: faded(LOAD, 0.5),
            ..IGNITION
        },
        (Circuit::Live, false) => UNKNOWN,
        (Circuit::Live, true) => LIVE,
    }
}

fn draw_wire(canvas: &mut Canvas, measure: &Measure, edge: &Edge, wire: &Wire) {
    let stroke = stroke_of(edge);
    let width = match (edge.mm2, edge.given || edge.circuit == Circuit::Mains) {
        (Some(mm2), _) => 1.3 + 0.25 * mm2.sqrt(),
        (None, true) => 1.25,
        (None, false) => 1.0,
    };
    let tip = edge.run.as_deref().unwrap_or(if edge.given {
        "goes on from the plug"
    } else {
        "no run in the file"
    });
    canvas.begin_group(tip);
    // A white seam under each line shows at a crossing which one goes on.
    canvas.path(wire.points.clone(), PAPER, width + 4.0);
    canvas.dashed(wire.points.clone(), stroke.dash, stroke.paint, width);
    canvas.end_group();
    for at in &wire.fuses {
        fuse(canvas, *at);
    }
    for label in &wire.labels {
        let paint = match (edge.run.is_none(), edge.label.fails) {
            (true, _) => MUTED,
            (false, true) => CUTOFF,
            (false, false) => INK,
        };
        let middle = label.rect.y + label.rect.h / 2.0;
        let text = Label::new(
            label.text.as_str(),
            label.rect.x,
            middle,
            measure.label,
            paint,
        );
        canvas.label(if edge.label.fails { text.bold() } else { text });
    }
}

fn draw_box(canvas: &mut Canvas, measure: &Measure, node: &Node, rect: Rect) {
    let fill = match node.kind {
        NodeKind::Bank => BANK,
        NodeKind::Alternator | NodeKind::Mains | NodeKind::Panel => SOURCE,
        NodeKind::Block | NodeKind::Plug | NodeKind::Switch => BLOCK,
        NodeKind::Charger | NodeKind::Inverter | NodeKind::Load | NodeKind::Bend => PAPER,
    };
    canvas.begin_group(&format!("{}: {}", node.title, node.detail));
    canvas.outlined(rect.area(), 3.0, Some(fill), (INK, 1.5));
    let middle = rect.y + rect.h / 2.0;
    let inset = if measure.is_narrow { 7.0 } else { 8.0 };
    let (left, right) = (rect.x + inset, rect.x + rect.w - inset);
    let is_block = node.kind == NodeKind::Block;
    let mut words = |text: &str, (x, y): (f64, f64), (size, room): (f64, f64), paint: Paint| {
        let is_name = paint == INK && node.kind != NodeKind::Load;
        let label = Label::new(fitted(text, size, is_name, room), x, y, size, paint);
        canvas.label(if is_name { label.bold() } else { label });
    };
    match node.kind {
        NodeKind::Load => {
            let detail_px = width_px(&node.detail, measure.detail, false);
            let room = rect.w - 2.0 * inset - 8.0 - detail_px;
            words(&node.title, (left, middle), (measure.load, room), INK);
            let live = Label::new(node.detail.as_str(), right, middle, measure.detail, MUTED);
            canvas.label(live.anchored(Anchor::End));
        }
        _ if measure.is_narrow => {
            let room = rect.w - 2.0 * inset;
            let paint = if is_block { MUTED } else { INK };
            let mut y = middle - (measure.least_height(node) - 10.0 - measure.line()) / 2.0;
            for line in measure.name_lines(node) {
                words(&line, (left, y), (measure.name, room), paint);
                y += measure.line();
            }
            words(&node.detail, (left, y), (measure.detail, room), MUTED);
            sign(canvas, node.kind, left, y + measure.line() / 2.0 + 4.0);
        }
        NodeKind::Block => {
            let size = (measure.detail, rect.w - 12.0);
            words(&node.title, (left, middle - 7.0), size, MUTED);
            words(&node.detail, (left, middle + 7.0), size, MUTED);
        }
        _ => {
            let size = (measure.name, rect.w - 14.0);
            words(&node.title, (left, middle - 9.0), size, INK);
            let at = (left + SIGN + 6.0, middle + 11.0);
            let size = (measure.detail, rect.w - SIGN - 18.0);
            words(&node.detail, at, size, MUTED);
            sign(canvas, node.kind, left, middle + 1.0);
        }
    }
    canvas.end_group();
}
