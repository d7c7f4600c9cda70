//! The diagram on paper: in as many drawings as it takes for letters that can be read on an A4 side.
//!
//! One job: which boxes stand in which drawing. Sources to banks is one, banks to loads another, or several where
//! there are many loads; a bank stands in each drawing that leads to it or from it. Sizes are in [`super::measure`].

use super::graph::{Edge, Graph, Node, NodeKind};
use super::measure::{PAPER, PAPER_WIDTH, STACKED};
use super::route::{Layout, laid_out};
use super::svg::{Around, drawn};
use crate::scenario::Parts;
use crate::wiring::schedule::Schedule;

/// The tallest drawing is so much taller than [`PAPER_WIDTH`]: a side has room for it and its words.
const TALLEST: f64 = 1.2;

/// As many loads as a drawing of that height holds.
const LOADS: usize = 24;

/// What each drawing shows, with the drawing.
#[must_use]
pub fn paper_layouts(scenario: &Parts, schedule: &Schedule) -> Vec<(&'static str, Layout)> {
    let graph = Graph::of(scenario, schedule);
    let whole = laid_out(graph.clone(), &PAPER);
    if fits(&whole) {
        return vec![("sources to loads", whole)];
    }
    let feeds = feeding(&graph);
    let mut charging = part(&graph, |edge| feeds[edge.to], |node| feeds[node]);
    charging.set_charging_layers();
    let circuits = circuits(&graph, &feeds).into_iter().map(|loads| {
        let mut circuits = part(&graph, |edge| loads[edge.to], |node| loads[node]);
        circuits.set_layers();
        ("banks to loads", circuits)
    });
    let parts = [("sources to banks", charging)].into_iter().chain(circuits);
    let parts = parts.filter(|(_, graph)| !graph.nodes.is_empty());
    parts.map(|(what, graph)| (what, narrow(graph))).collect()
}

/// What each picture shows, with the picture; the first says how to read all of them. The cautions stand beside them.
#[must_use]
pub fn paper_svgs(scenario: &Parts, schedule: &Schedule) -> Vec<(&'static str, String)> {
    let layouts = paper_layouts(scenario, schedule).into_iter().enumerate();
    let pictures = layouts.map(|(number, (what, layout))| {
        let around = Around {
            title: format!("Wiring of {}, {what}", scenario.title),
            heading: None,
            foot: (number == 0).then_some(&[]),
        };
        (what, drawn(layout, schedule, &around))
    });
    pictures.collect()
}

fn fits(layout: &Layout) -> bool {
    layout.width <= PAPER_WIDTH && layout.height <= TALLEST * PAPER_WIDTH
}

/// Words beside wires lie if there is room, else they are stacked.
fn narrow(graph: Graph) -> Layout {
    let lying = laid_out(graph, &PAPER);
    if lying.width <= PAPER_WIDTH {
        return lying;
    }
    let stacked = laid_out(lying.graph.clone(), &STACKED);
    if stacked.width < lying.width {
        stacked
    } else {
        lying
    }
}

/// Which boxes are sources, banks or chargers, or lead to one.
fn feeding(graph: &Graph) -> Vec<bool> {
    let is_fed = |node: &Node| {
        !matches!(
            node.kind,
            NodeKind::Block
                | NodeKind::Switch
                | NodeKind::Plug
                | NodeKind::Inverter
                | NodeKind::Load
        )
    };
    let mut feeds: Vec<bool> = graph.nodes.iter().map(is_fed).collect();
    while let Some(edge) = graph.edges.iter().find(|e| feeds[e.to] && !feeds[e.from]) {
        feeds[edge.from] = true;
    }
    feeds
}

/// The boxes beyond the banks, drawing by drawing: what is joined stays together.
fn circuits(graph: &Graph, feeds: &[bool]) -> Vec<Vec<bool>> {
    // The least number of a box that is joined to this one, and of what feeds any of those.
    let mut groups: Vec<usize> = (0..graph.nodes.len()).collect();
    let within: Vec<&Edge> = graph.edges.iter().filter(|e| !feeds[e.from]).collect();
    while let Some(edge) = within.iter().find(|e| groups[e.from] != groups[e.to]) {
        let least = groups[edge.from].min(groups[edge.to]);
        (groups[edge.from], groups[edge.to]) = (least, least);
    }
    let mut feeders = vec![usize::MAX; graph.nodes.len()];
    for edge in graph.edges.iter().filter(|e| feeds[e.from] && !feeds[e.to]) {
        let feeder = &mut feeders[groups[edge.to]];
        *feeder = edge.from.min(*feeder);
    }
    let mut order: Vec<usize> = (0..graph.nodes.len())
        .filter(|node| !feeds[*node] && groups[*node] == *node)
        .collect();
    order.sort_by_key(|group| (graph.nodes[*group].band, feeders[*group]));
    let mut drawings: Vec<(usize, Vec<bool>)> = Vec::new();
    for group in order {
        let nodes = || (0..groups.len()).filter(|node| groups[*node] == group && !feeds[*node]);
        let loads = nodes().filter(|node| graph.nodes[*node].kind == NodeKind::Load);
        let loads = loads.count();
        let has_room = |(held, _): &(usize, _)| held + loads <= LOADS;
        if !drawings.last().is_some_and(has_room) {
            drawings.push((0, vec![false; groups.len()]));
        }
        if let Some((held, drawing)) = drawings.last_mut() {
            *held += loads;
            nodes().for_each(|node| drawing[node] = true);
        }
    }
    drawings.into_iter().map(|(_, drawing)| drawing).collect()
}

/// The lines that are asked for, the boxes at their ends, and the boxes that are asked for.
fn part(
    graph: &Graph,
    has_edge: impl Fn(&Edge) -> bool,
    has_node: impl Fn(usize) -> bool,
) -> Graph {
    let mut part = Graph::default();
    let mut places = vec![None; graph.nodes.len()];
    let edges: Vec<&Edge> = graph.edges.iter().filter(|edge| has_edge(edge)).collect();
    for (number, node) in graph.nodes.iter().enumerate() {
        let joins = |edge: &&Edge| edge.from == number || edge.to == number;
        if has_node(number) || edges.iter().any(joins) {
            places[number] = Some(part.nodes.len());
            part.nodes.push(Node {
                layer: 0,
                ..node.clone()
            });
        }
    }
    let moved = edges.into_iter().filter_map(|edge| {
        Some(Edge {
            from: places[edge.from]?,
            to: places[edge.to]?,
            ..edge.clone()
        })
    });
    part.edges = moved.collect();
    part
}
