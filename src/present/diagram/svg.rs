//! Writing the diagram as SVG.
//!
//! One job: from the layout to text. Nothing is placed here but the heading and the words in boxes.

use std::fmt::Write;

use super::escape::{fit, text_width, xml};
use super::foot::foot;
use super::graph::{Circuit, Edge, NodeKind};
use super::graph_edges::length;
use super::route::{Layout, Rect, Wire, layout};
use super::symbols::{SIGN, fuse, sign};
use crate::scenario::Parts;
use crate::wiring::schedule::Schedule;

const MARGIN: f64 = 28.0;
const HEAD: f64 = 108.0;
/// Narrower drawings are centred in this: the foot needs the room.
const LEAST_WIDTH: f64 = 760.0;

/// Every rule is tied to the picture: it may stand in a page with others.
/// What stands in the style element of every diagram.
pub const DIAGRAM_STYLE: &str = "\
.wiring-diagram text{font-family:'DejaVu Sans',Verdana,Arial,sans-serif;fill:#1c2228;font-size:13px}\
.wiring-diagram .title{font-size:20px;font-weight:bold}.wiring-diagram .sub{font-size:13px;fill:#545e68}\
.wiring-diagram .name{font-size:15px;font-weight:bold}.wiring-diagram .load{font-size:14px}.wiring-diagram .detail{font-size:12px;fill:#3c454d}\
.wiring-diagram .foot,.wiring-diagram .caution{font-size:14px}.wiring-diagram .fails{fill:#68142c;font-weight:bold}.wiring-diagram .muted{fill:#545e68;font-style:italic}\
.wiring-diagram .letter{font-size:13px;text-anchor:middle}.wiring-diagram .right{text-anchor:end}\
.wiring-diagram .box{fill:#fff;stroke:#1c2228;stroke-width:1.4}.wiring-diagram .bank{fill:#dcedeb}.wiring-diagram .source{fill:#f3eee6}.wiring-diagram .block{fill:#eef0f1}\
.wiring-diagram .sign{fill:#fff;stroke:#1c2228;stroke-width:1.3}.wiring-diagram .thin{fill:none;stroke:#1c2228;stroke-width:1.3}\
.wiring-diagram .live,.wiring-diagram .ignition,.wiring-diagram .mains,.wiring-diagram .unknown{fill:none;stroke-linejoin:round}\
.wiring-diagram .live{stroke:#1c2228}.wiring-diagram .ignition{stroke:#8e4212;stroke-dasharray:11 5}.wiring-diagram .mains{stroke:#68142c;stroke-dasharray:12 4 2 4}\
.wiring-diagram .unknown{stroke:#7a848d;stroke-width:1}\
.wiring-diagram .pale{stroke-width:1;opacity:.5}.wiring-diagram .outline{fill:none;stroke:#7a848d;stroke-width:2.2}\
.wiring-diagram .part{font-size:14px;font-weight:bold;fill:#545e68}\
.wiring-diagram .shine{fill:none;stroke:#fff;stroke-linejoin:round}";

/// `wiring.svg` of a scenario with its schedule.
///
/// The picture has a view box and no fixed size: it fills a sheet of A3 or a screen. Words of the
/// user are escaped; `<title>` and `<desc>` say what it shows.
#[must_use]
pub fn wiring_svg(scenario: &Parts, schedule: &Schedule) -> String {
    let layout = layout(scenario, schedule);
    let inner = layout.width.max(LEAST_WIDTH);
    let shift = (inner - layout.width) / 2.0;
    let mut body = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(
        body,
        r#"<g transform="translate({:.1} {HEAD:.1})">"#,
        MARGIN + shift
    );
    for outline in &layout.outlines {
        let Rect { x, y, w, h } = outline.rect;
        let _ = writeln!(
            body,
            r#"<rect x="{x:.1}" y="{y:.1}" width="{w:.1}" height="{h:.1}" rx="16" class="outline"/><text x="{:.1}" y="{:.1}" class="part">{}</text>"#,
            x + 16.0,
            y + 15.0,
            outline.title
        );
    }
    for wire in &layout.wires {
        write_wire(&mut body, &layout, wire);
    }
    for (index, rect) in layout.boxes.iter().enumerate() {
        write_box(&mut body, &layout, index, *rect);
    }
    body.push_str("</g>\n");
    let _ = writeln!(body, r#"<g transform="translate({MARGIN:.1} 0)">"#);
    let top = HEAD + layout.height + 40.0;
    let foot_h = foot(&mut body, &schedule.cautions, top, inner);
    body.push_str("</g>\n");
    let (width, height) = (inner + 2.0 * MARGIN, top + foot_h + MARGIN);
    let title = xml(&scenario.title);
    let desc = xml(&description(schedule));
    let heading = xml(&fit(&scenario.title, 20.0, inner - 10.0));
    let subtitle = "Wiring, one-line diagram: sources left, banks in the middle, loads right";
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" class=\"wiring-diagram\" role=\"img\" aria-labelledby=\"wiring-title wiring-desc\">\n\
         <title id=\"wiring-title\">Wiring of {title}</title>\n<desc id=\"wiring-desc\">{desc}</desc>\n<style>{DIAGRAM_STYLE}</style>\n\
         <rect width=\"{width:.0}\" height=\"{height:.0}\" fill=\"#fff\"/>\n\
         <text x=\"{MARGIN}\" y=\"40\" class=\"title\">{heading}</text>\n<text x=\"{MARGIN}\" y=\"61\" class=\"sub\">{subtitle}</text>\n{body}</svg>\n"
    )
}

fn description(schedule: &Schedule) -> String {
    let mut words = format!("One-line diagram with {} runs.", schedule.runs.len());
    for run in &schedule.runs {
        let conductor = run.conductor.as_deref().unwrap_or("no single conductor");
        let fuse = run.fuse.as_ref().map_or_else(
            || "no fuse".to_string(),
            |f| format!("fuse {} A", f.rating_a),
        );
        let fails = if run.pass { "" } else { ", fails" };
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

fn class_of(edge: &Edge) -> &'static str {
    match (edge.circuit, edge.given) {
        (Circuit::Mains, _) => "mains",
        (Circuit::Ignition, true) => "ignition",
        (Circuit::Ignition, false) => "ignition pale",
        (Circuit::Live, false) => "unknown",
        (Circuit::Live, true) => "live",
    }
}

fn write_wire(out: &mut String, layout: &Layout, wire: &Wire) {
    let edge = &layout.graph.edges[wire.edge];
    let mut path = String::new();
    for (index, (x, y)) in wire.points.iter().enumerate() {
        let _ = write!(path, "{}{x:.1} {y:.1}", if index == 0 { "M" } else { " L" });
    }
    let width = edge.mm2.map_or(1.2, |mm2| 1.3 + 0.25 * mm2.sqrt());
    // A white seam under each line shows at a crossing which one goes on.
    let _ = writeln!(
        out,
        r#"<path d="{path}" class="shine" stroke-width="{:.1}"/>"#,
        width + 4.0
    );
    let tip = edge.run.as_deref().unwrap_or(if edge.given {
        "goes on from the plug"
    } else {
        "no run in the file"
    });
    let _ = writeln!(
        out,
        r#"<path d="{path}" class="{}" stroke-width="{width:.1}"><title>{}</title></path>"#,
        class_of(edge),
        xml(tip)
    );
    for at in &wire.fuses {
        fuse(out, *at);
    }
    for label in &wire.labels {
        let class = if edge.run.is_none() {
            " class=\"muted\""
        } else if edge.label.fails {
            " class=\"fails\""
        } else {
            ""
        };
        let baseline = label.rect.y + label.rect.h - 2.0;
        let _ = writeln!(
            out,
            r#"<text x="{:.1}" y="{baseline:.1}"{class}>{}</text>"#,
            label.rect.x,
            xml(&label.text)
        );
    }
}

fn write_box(out: &mut String, layout: &Layout, index: usize, rect: Rect) {
    let node = &layout.graph.nodes[index];
    let class = match node.kind {
        NodeKind::Bank => "box bank",
        NodeKind::Alternator | NodeKind::Mains | NodeKind::Panel => "box source",
        NodeKind::Block | NodeKind::Plug | NodeKind::Switch => "box block",
        NodeKind::Charger | NodeKind::Inverter | NodeKind::Load | NodeKind::Bend => "box",
    };
    let _ = writeln!(
        out,
        r#"<g><title>{}: {}</title><rect x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" rx="3" class="{class}"/>"#,
        xml(&node.title),
        xml(&node.detail),
        rect.x,
        rect.y,
        rect.w,
        rect.h
    );
    let middle = rect.y + rect.h / 2.0;
    match node.kind {
        NodeKind::Load => {
            let live = xml(&node.detail);
            let name = xml(&fit(
                &node.title,
                14.0,
                rect.w - 24.0 - text_width(&node.detail, 12.0),
            ));
            let _ = writeln!(
                out,
                r#"<text x="{:.1}" y="{:.1}" class="load">{name}</text><text x="{:.1}" y="{:.1}" class="detail right">{live}</text>"#,
                rect.x + 8.0,
                middle + 4.0,
                rect.x + rect.w - 8.0,
                middle + 4.0
            );
        }
        NodeKind::Block => {
            let _ = writeln!(
                out,
                r#"<text x="{:.1}" y="{:.1}" class="detail">{}</text>"#,
                rect.x + 8.0,
                middle - 3.0,
                xml(&node.title)
            );
            let owner = fit(&node.detail, 12.0, rect.w - 12.0);
            let _ = writeln!(
                out,
                r#"<text x="{:.1}" y="{:.1}" class="detail">{}</text>"#,
                rect.x + 8.0,
                middle + 11.0,
                xml(&owner)
            );
        }
        _ => {
            let name = xml(&fit(&node.title, 15.0, rect.w - 14.0));
            let detail = xml(&fit(&node.detail, 12.0, rect.w - SIGN - 18.0));
            let _ = writeln!(
                out,
                r#"<text x="{:.1}" y="{:.1}" class="name">{name}</text>"#,
                rect.x + 8.0,
                middle - 4.0
            );
            sign(out, node.kind, rect.x + 8.0, middle + 1.0);
            let _ = writeln!(
                out,
                r#"<text x="{:.1}" y="{:.1}" class="detail">{detail}</text>"#,
                rect.x + SIGN + 14.0,
                middle + 15.0
            );
        }
    }
    out.push_str("</g>\n");
}
