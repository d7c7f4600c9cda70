//! Orthogonal lines between the boxes, with room for fuses and labels.
//!
//! One job: horizontal coordinates. Between two columns lie, from the left: room for a fuse, one
//! track for each line that changes its height, room for labels, room for a fuse. A lower line that
//! goes down, or an upper one that goes up, turns first, so that lines side by side never cross.
//! What crosses was settled in [`super::order`].

use super::bands::Band;
use super::escape::text_width;
use super::graph::{Graph, NodeKind};
use super::order::Layered;
use super::place::{Places, place};
use crate::scenario::Parts;
use crate::wiring::schedule::Schedule;

/// A point of the picture.
pub type Point = (f64, f64);

/// A rectangle of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

/// A line of text beside a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedLabel {
    /// What it covers.
    pub rect: Rect,
    /// The words.
    pub text: String,
}

/// The outline of the vehicle or the trailer.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Which of the two.
    pub title: &'static str,
    /// Where it stands.
    pub rect: Rect,
}

/// A wire with what stands on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// Index of its edge.
    pub edge: usize,
    /// Corners from left to right.
    pub points: Vec<Point>,
    /// Its words, above and below.
    pub labels: Vec<PlacedLabel>,
    /// Its fuses.
    pub fuses: Vec<Rect>,
}

/// Everything in its place; the drawing begins at 0, 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// What is drawn.
    pub graph: Graph,
    /// Box of each node of the graph.
    pub boxes: Vec<Rect>,
    /// The wires.
    pub wires: Vec<Wire>,
    /// Vehicle and trailer.
    pub outlines: Vec<Outline>,
    /// Crossings that the order left.
    pub crossings: usize,
    /// Width of the drawing.
    pub width: f64,
    /// Height of the drawing.
    pub height: f64,
}

/// Size of the words beside wires.
pub(super) const LABEL_SIZE: f64 = 13.0;
/// Size of a fuse.
pub(super) const FUSE: (f64, f64) = (20.0, 9.0);
const FUSE_ROOM: f64 = 28.0;
const TRACK: f64 = 9.0;
/// Lines closer than this could be taken for one.
const APART: f64 = 5.0;

/// Lays out the diagram of a scenario with its schedule.
#[must_use]
pub fn layout(scenario: &Parts, schedule: &Schedule) -> Layout {
    let graph = Graph::of(scenario, schedule);
    let layered = Layered::of(&graph);
    let mut places = place(&layered);
    for gap in 0..layered.pieces.len() {
        straighten(&layered, &mut places, gap);
        keep_apart(&layered, &mut places, gap);
    }
    let columns = Columns::of(&graph, &layered, &places);
    let boxes = (0..graph.nodes.len())
        .map(|node| {
            let (x, w) = columns.span[graph.nodes[node].layer];
            let (middle, h) = (places.middle[node], places.height[node]);
            Rect {
                x,
                y: middle - h / 2.0,
                w,
                h,
            }
        })
        .collect::<Vec<_>>();
    let wires = (0..graph.edges.len())
        .map(|edge| wire(&graph, &layered, &places, &columns, edge))
        .collect();
    let width = columns.span.last().map_or(0.0, |(x, w)| x + w);
    let outlines = [(Band::Vehicle, "vehicle"), (Band::Trailer, "trailer")]
        .into_iter()
        .filter_map(|(band, title)| outline(&layered, &places, (band, title), width))
        .collect();
    let bottom = boxes.iter().map(|b: &Rect| b.y + b.h).fold(0.0, f64::max);
    Layout {
        crossings: layered.crossings(),
        width,
        outlines,
        height: bottom,
        boxes,
        wires,
        graph,
    }
}

/// Distance of an outline from what it holds; above, a title has room.
const OUTLINE: (f64, f64) = (14.0, 24.0);

fn outline(
    layered: &Layered,
    places: &Places,
    (band, title): (Band, &'static str),
    width: f64,
) -> Option<Outline> {
    let held = (0..layered.kinds.len()).filter(|node| layered.bands[*node] == band);
    let (mut top, mut bottom) = (f64::INFINITY, f64::NEG_INFINITY);
    for node in held {
        top = top.min(places.middle[node] - places.height[node] / 2.0);
        bottom = bottom.max(places.middle[node] + places.height[node] / 2.0);
    }
    (top < bottom).then(|| Outline {
        title,
        rect: Rect {
            x: -OUTLINE.0,
            y: top - OUTLINE.1,
            w: width + 2.0 * OUTLINE.0,
            h: bottom - top + OUTLINE.0 + OUTLINE.1,
        },
    })
}

fn is_bent(places: &Places, gap: usize, index: usize) -> bool {
    (places.leaves[gap][index] - places.enters[gap][index]).abs() > 0.5
}

fn shift_entry(layered: &Layered, places: &mut Places, gap: usize, index: usize, by: f64) {
    places.enters[gap][index] += by;
    let node = layered.pieces[gap][index].to;
    if layered.kinds[node] == NodeKind::Bend {
        places.middle[node] += by;
        for (next, piece) in layered.pieces[gap + 1].iter().enumerate() {
            if piece.from == node {
                places.leaves[gap + 1][next] += by;
            }
        }
    }
}

fn entry_is_free(layered: &Layered, places: &Places, gap: usize, index: usize, y: f64) -> bool {
    let node = layered.pieces[gap][index].to;
    let room = places.height[node] / 2.0 - 10.0;
    let inside = layered.kinds[node] == NodeKind::Bend || (y - places.middle[node]).abs() <= room;
    let near = |other: usize| other != index && (places.enters[gap][other] - y).abs() < 33.0;
    inside && !(0..places.enters[gap].len()).any(near)
}

/// Takes out small jogs.
fn straighten(layered: &Layered, places: &mut Places, gap: usize) {
    for index in 0..layered.pieces[gap].len() {
        let (leave, enter) = (places.leaves[gap][index], places.enters[gap][index]);
        let jog = leave - enter;
        if jog.abs() > 1e-9 && jog.abs() < 14.0 && entry_is_free(layered, places, gap, index, leave)
        {
            shift_entry(layered, places, gap, index, jog);
        }
    }
}

/// Moves entries that lie level with another line's exit to the nearest height that is free.
fn keep_apart(layered: &Layered, places: &mut Places, gap: usize) {
    for index in 0..layered.pieces[gap].len() {
        let enter = places.enters[gap][index];
        if !is_bent(places, gap, index) || !is_level_with_another(places, gap, index, enter) {
            continue;
        }
        let steps = (1..=24).flat_map(|step| [f64::from(step), -f64::from(step)]);
        let by = steps.into_iter().find(|by| {
            let y = enter + by;
            entry_is_free(layered, places, gap, index, y)
                && !is_level_with_another(places, gap, index, y)
        });
        if let Some(by) = by {
            shift_entry(layered, places, gap, index, by);
        }
    }
}

fn is_level_with_another(places: &Places, gap: usize, index: usize, y: f64) -> bool {
    let leaves = places.leaves[gap].iter().enumerate();
    leaves
        .into_iter()
        .any(|(other, theirs)| other != index && (theirs - y).abs() < APART)
}

/// Horizontal room: each column's left edge and width, and the tracks and label rooms between.
struct Columns {
    span: Vec<(f64, f64)>,
    tracks: Vec<Vec<f64>>,
    label_x: Vec<f64>,
}

impl Columns {
    fn of(graph: &Graph, layered: &Layered, places: &Places) -> Self {
        let mut columns = Self {
            span: Vec::new(),
            tracks: Vec::new(),
            label_x: Vec::new(),
        };
        let mut x = 0.0;
        for (layer, nodes) in layered.layers.iter().enumerate() {
            let width = nodes
                .iter()
                .map(|n| box_width(layered.kinds[*n]))
                .fold(20.0, f64::max);
            columns.span.push((x, width));
            x += width;
            if let Some(pieces) = layered.pieces.get(layer) {
                let order = track_order(places, layer, pieces.len());
                let first = x + FUSE_ROOM + 4.0;
                let mut tracks = vec![first; pieces.len()];
                let mut next = first;
                for index in &order {
                    tracks[*index] = next;
                    next += TRACK;
                }
                let ends = pieces.iter().filter(|p| graph.edges[p.edge].to == p.to);
                let label = ends
                    .clone()
                    .map(|p| label_width(graph, p.edge))
                    .fold(0.0, f64::max);
                let fuse = ends.clone().any(|p| graph.edges[p.edge].fuse_to);
                columns.tracks.push(tracks);
                columns.label_x.push(next + 2.0);
                x = next + 2.0 + label + if fuse { FUSE_ROOM } else { 8.0 };
            }
        }
        columns
    }
}

fn label_width(graph: &Graph, edge: usize) -> f64 {
    let label = &graph.edges[edge].label;
    text_width(&label.above, LABEL_SIZE).max(text_width(&below_text(label), LABEL_SIZE))
}

fn below_text(label: &super::graph::Label) -> String {
    if label.fails {
        format!("FAILS · {}", label.below)
    } else {
        label.below.clone()
    }
}

fn box_width(kind: NodeKind) -> f64 {
    match kind {
        NodeKind::Bend => 20.0,
        NodeKind::Block => 92.0,
        NodeKind::Load => 208.0,
        _ => 152.0,
    }
}

/// Bent pieces in the order of their tracks: down ones from the lowest, then up ones from the highest.
fn track_order(places: &Places, gap: usize, count: usize) -> Vec<usize> {
    let mut bent: Vec<usize> = (0..count)
        .filter(|index| is_bent(places, gap, *index))
        .collect();
    bent.sort_by(|a, b| {
        let key = |index: usize| {
            let (leave, enter) = (places.leaves[gap][index], places.enters[gap][index]);
            if enter > leave {
                (0, -leave)
            } else {
                (1, leave)
            }
        };
        let (a, b) = (key(*a), key(*b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    bent
}

fn wire(
    graph: &Graph,
    layered: &Layered,
    places: &Places,
    columns: &Columns,
    number: usize,
) -> Wire {
    let edge = &graph.edges[number];
    let mut points: Vec<Point> = Vec::new();
    let mut fuses = Vec::new();
    let mut labels = Vec::new();
    for (gap, pieces) in layered.pieces.iter().enumerate() {
        for (index, piece) in pieces
            .iter()
            .enumerate()
            .filter(|(_, piece)| piece.edge == number)
        {
            let (leave, enter) = (places.leaves[gap][index], places.enters[gap][index]);
            let left = columns.span[gap].0 + columns.span[gap].1;
            let right = columns.span[gap + 1].0;
            points.push((left, leave));
            if is_bent(places, gap, index) {
                points.push((columns.tracks[gap][index], leave));
                points.push((columns.tracks[gap][index], enter));
            }
            points.push((right, enter));
            let fuse = |x: f64, y: f64| Rect {
                x,
                y: y - FUSE.1 / 2.0,
                w: FUSE.0,
                h: FUSE.1,
            };
            if piece.from == edge.from && edge.fuse_from {
                fuses.push(fuse(left + 6.0, leave));
            }
            if piece.to == edge.to {
                if edge.fuse_to {
                    fuses.push(fuse(right - 6.0 - FUSE.0, enter));
                }
                labels = edge_labels(edge, columns.label_x[gap], enter);
            }
        }
    }
    points.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9);
    Wire {
        edge: number,
        points,
        labels,
        fuses,
    }
}

fn edge_labels(edge: &super::graph::Edge, x: f64, y: f64) -> Vec<PlacedLabel> {
    let line = |text: String, top: f64| PlacedLabel {
        rect: Rect {
            x,
            y: top,
            w: text_width(&text, LABEL_SIZE),
            h: LABEL_SIZE,
        },
        text,
    };
    [
        line(edge.label.above.clone(), y - 3.5 - LABEL_SIZE),
        line(below_text(&edge.label), y + 3.5),
    ]
    .into_iter()
    .filter(|label| !label.text.is_empty())
    .collect()
}
