//! Orthogonal lines between the boxes, with room for fuses and labels.
//!
//! One job: horizontal coordinates. Between two columns lie, from the left: room for a fuse, one
//! track for each line that changes its height, room for labels, room for a fuse. A lower line that
//! goes down, or an upper one that goes up, turns first, so that lines side by side never cross.
//! What crosses was settled in [`super::order`].

use super::bands::Band;
use super::graph::{Edge, Graph};
use super::measure::{Measure, SHEET};
use super::order::{Layered, Piece};
use super::place::place;
use crate::present::charts::text_size::{Area, width_px};
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

impl Rect {
    /// The same by its edges.
    pub(super) fn area(self) -> Area {
        Area::new((self.x, self.y), (self.x + self.w, self.y + self.h))
    }
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
    /// Its sizes.
    pub(super) measure: &'static Measure,
}

impl Layout {
    /// The drawing moved to the right and down.
    pub(super) fn moved(mut self, right: f64, down: f64) -> Self {
        let wires = self.wires.iter_mut();
        let (labels, rest): (Vec<_>, Vec<_>) = wires
            .map(|wire| (&mut wire.labels, (&mut wire.fuses, &mut wire.points)))
            .unzip();
        let mut rects: Vec<&mut Rect> = self.boxes.iter_mut().collect();
        rects.extend(self.outlines.iter_mut().map(|outline| &mut outline.rect));
        rects.extend(labels.into_iter().flatten().map(|label| &mut label.rect));
        for (fuses, points) in rest {
            rects.extend(fuses);
            for point in points {
                *point = (point.0 + right, point.1 + down);
            }
        }
        for rect in rects {
            (rect.x, rect.y) = (rect.x + right, rect.y + down);
        }
        self
    }
}

/// Size of a fuse.
pub(super) const FUSE: (f64, f64) = (20.0, 9.0);
/// From a wire to the words beside it.
const OFF_WIRE: f64 = 3.5;
/// Lines closer than this could be taken for one.
const APART: f64 = 5.0;

/// Lays out the diagram of a scenario with its schedule.
#[must_use]
pub fn layout(scenario: &Parts, schedule: &Schedule) -> Layout {
    laid_out(Graph::of(scenario, schedule), &SHEET)
}

/// Lays out a graph in these sizes.
pub(super) fn laid_out(graph: Graph, measure: &'static Measure) -> Layout {
    let mut layered = Layered::of(&graph, measure);
    place(&mut layered);
    for gap in 0..layered.pieces.len() {
        straighten(&mut layered, gap);
        keep_apart(&mut layered, gap);
    }
    let columns = Columns::of(&graph, &layered);
    let boxes = graph.nodes.iter().enumerate().map(|(node, its)| {
        let (x, w) = columns.span[its.layer];
        let y = layered.edges_of(node).0;
        let h = layered.height[node];
        Rect { x, y, w, h }
    });
    let boxes: Vec<Rect> = boxes.collect();
    let wires = (0..graph.edges.len()).map(|edge| wire(&graph, &layered, &columns, edge));
    let wires = wires.collect();
    let width = columns.span.last().map_or(0.0, |(x, w)| x + w);
    let outlines = [(Band::Vehicle, "vehicle"), (Band::Trailer, "trailer")]
        .into_iter()
        .filter_map(|(band, title)| outline(&layered, (band, title), width))
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
        measure,
    }
}

/// Distance of an outline from what it holds; above, a title has room.
const OUTLINE: (f64, f64) = (14.0, 24.0);

fn outline(layered: &Layered, (band, title): (Band, &'static str), width: f64) -> Option<Outline> {
    let (top, bottom) = layered.band_edges(band)?;
    Some(Outline {
        title,
        rect: Rect {
            x: -OUTLINE.0,
            y: top - OUTLINE.1,
            w: width + 2.0 * OUTLINE.0,
            h: bottom - top + OUTLINE.0 + OUTLINE.1,
        },
    })
}

fn is_bent(layered: &Layered, piece: &Piece) -> bool {
    let (leave, enter) = layered.ends(piece);
    (leave - enter).abs() > 0.5
}

fn shift_entry(layered: &mut Layered, gap: usize, index: usize, by: f64) {
    let node = layered.pieces[gap][index].to;
    if layered.is_bend(node) {
        layered.middle[node] += by;
    } else {
        layered.pieces[gap][index].enter += by;
    }
}

fn entry_is_free(layered: &Layered, gap: usize, index: usize, y: f64) -> bool {
    let node = layered.pieces[gap][index].to;
    let room = layered.height[node] / 2.0 - 10.0;
    let inside = layered.is_bend(node) || (y - layered.middle[node]).abs() <= room;
    let mut pieces = layered.pieces[gap].iter().enumerate();
    let is_near = |other: &Piece| (layered.ends(other).1 - y).abs() < layered.measure.beside;
    inside && !pieces.any(|(at, other)| at != index && is_near(other))
}

/// Takes out small jogs.
fn straighten(layered: &mut Layered, gap: usize) {
    for index in 0..layered.pieces[gap].len() {
        let (leave, enter) = layered.ends(&layered.pieces[gap][index]);
        let jog = leave - enter;
        let is_small = jog.abs() > 1e-9 && jog.abs() < 14.0;
        if is_small && entry_is_free(layered, gap, index, leave) {
            shift_entry(layered, gap, index, jog);
        }
    }
}

/// Moves entries that lie level with another line's exit to the nearest height that is free.
fn keep_apart(layered: &mut Layered, gap: usize) {
    for index in 0..layered.pieces[gap].len() {
        let piece = layered.pieces[gap][index];
        let enter = layered.ends(&piece).1;
        if !is_bent(layered, &piece) || !is_level_with_another(layered, gap, index, enter) {
            continue;
        }
        let steps = (1..=24).flat_map(|step| [f64::from(step), -f64::from(step)]);
        let by = steps.into_iter().find(|by| {
            let y = enter + by;
            entry_is_free(layered, gap, index, y) && !is_level_with_another(layered, gap, index, y)
        });
        if let Some(by) = by {
            shift_entry(layered, gap, index, by);
        }
    }
}

fn is_level_with_another(layered: &Layered, gap: usize, index: usize, y: f64) -> bool {
    let mut pieces = layered.pieces[gap].iter().enumerate();
    pieces.any(|(at, other)| at != index && (layered.ends(other).0 - y).abs() < APART)
}

/// Horizontal room: each column's left edge and width, and the tracks and label rooms between.
struct Columns {
    span: Vec<(f64, f64)>,
    tracks: Vec<Vec<f64>>,
    label_x: Vec<f64>,
}

impl Columns {
    fn of(graph: &Graph, layered: &Layered) -> Self {
        let mut columns = Self {
            span: Vec::new(),
            tracks: Vec::new(),
            label_x: Vec::new(),
        };
        let measure = layered.measure;
        let mut x = 0.0;
        for (layer, nodes) in layered.layers.iter().enumerate() {
            let width = nodes
                .iter()
                .filter_map(|node| graph.nodes.get(*node))
                .map(|node| measure.box_width(node))
                .fold(20.0, f64::max);
            columns.span.push((x, width));
            x += width;
            if let Some(pieces) = layered.pieces.get(layer) {
                let order = track_order(layered, pieces);
                let is_fused = |piece: &Piece| {
                    let edge = &graph.edges[piece.edge];
                    edge.fuse_from && edge.from == piece.from
                };
                let first = if measure.is_narrow && !pieces.iter().any(is_fused) {
                    x + 10.0
                } else {
                    x + measure.fuse_room + 4.0
                };
                let mut tracks = vec![first; pieces.len()];
                let mut next = first;
                for index in &order {
                    tracks[*index] = next;
                    next += measure.track;
                }
                let ends = pieces.iter().filter(|p| graph.edges[p.edge].to == p.to);
                let label = ends
                    .clone()
                    .map(|p| measure.beside_width(&graph.edges[p.edge].label))
                    .fold(0.0, f64::max);
                let fuse = ends.clone().any(|p| graph.edges[p.edge].fuse_to);
                columns.tracks.push(tracks);
                columns.label_x.push(next + 2.0);
                x = next + 2.0 + label + if fuse { measure.fuse_room } else { 8.0 };
            }
        }
        columns
    }
}

/// Bent pieces in the order of their tracks: down ones from the lowest, then up ones from the highest.
fn track_order(layered: &Layered, pieces: &[Piece]) -> Vec<usize> {
    let bent = (0..pieces.len()).filter(|&index| is_bent(layered, &pieces[index]));
    let mut bent: Vec<usize> = bent.collect();
    let key = |index: &usize| {
        let (leave, enter) = layered.ends(&pieces[*index]);
        if enter > leave {
            (0, -leave)
        } else {
            (1, leave)
        }
    };
    bent.sort_by(|a, b| {
        let (a, b) = (key(a), key(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    bent
}

fn wire(graph: &Graph, layered: &Layered, columns: &Columns, number: usize) -> Wire {
    let edge = &graph.edges[number];
    let mut points: Vec<Point> = Vec::new();
    let mut fuses = Vec::new();
    let mut labels = Vec::new();
    for (gap, pieces) in layered.pieces.iter().enumerate() {
        for (index, piece) in pieces
            .iter()
            .enumerate()
            .filter(|(_, it)| it.edge == number)
        {
            let (leave, enter) = layered.ends(piece);
            let left = columns.span[gap].0 + columns.span[gap].1;
            let right = columns.span[gap + 1].0;
            points.push((left, leave));
            if is_bent(layered, piece) {
                let track = columns.tracks[gap][index];
                points.extend([(track, leave), (track, enter)]);
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
                labels = edge_labels(edge, layered.measure, (columns.label_x[gap], enter));
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

fn edge_labels(edge: &Edge, measure: &Measure, (x, y): (f64, f64)) -> Vec<PlacedLabel> {
    let [above, below] = measure.beside(&edge.label);
    let first = y - OFF_WIRE - measure.label;
    let step = measure.line();
    let tops = std::iter::successors(Some(first), |top| Some(top - step));
    let above = above.into_iter().rev().zip(tops);
    let tops = std::iter::successors(Some(y + OFF_WIRE), |top| Some(top + step));
    let lines = above.chain(below.into_iter().zip(tops));
    lines
        .map(|(text, y)| PlacedLabel {
            rect: Rect {
                x,
                y,
                w: width_px(&text, measure.label, edge.label.fails),
                h: measure.label,
            },
            text,
        })
        .collect()
}
