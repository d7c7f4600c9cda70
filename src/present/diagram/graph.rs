//! What the diagram shows: boxes and the lines between them, column by column.
//!
//! One job: nodes, edges, layers. Which edges there are is in [`super::graph_edges`]; their order
//! within a layer in [`super::order`].

use crate::scenario::{Chemistry, RunEnd, Scenario, When};
use crate::wiring::schedule::Schedule;

use super::graph_edges::add_edges;

/// What a box stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NodeKind {
    /// The vehicle's alternator.
    Alternator,
    /// A powered site's socket.
    Mains,
    /// A panel with its controller.
    Panel,
    /// A charger.
    Charger,
    /// A bank.
    Bank,
    /// A fuse block, or the bus of a bank.
    Block,
    /// A load.
    Load,
    /// No box: a line passes here.
    Bend,
}

/// How a circuit is switched; told apart by dashes and words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Circuit {
    /// Permanently live.
    Live,
    /// With the ignition.
    Ignition,
    /// 230/120 V.
    Mains,
}

/// A box.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// What it stands for.
    pub kind: NodeKind,
    /// Its id.
    pub title: String,
    /// A few words.
    pub detail: String,
    /// Column, from the left.
    pub layer: usize,
}

/// Two short lines beside a wire, above and below it.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Conductor and length.
    pub above: String,
    /// Fuse and drop.
    pub below: String,
    /// Whether the run fails.
    pub fails: bool,
}

/// A line.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Index of the node on the left.
    pub from: usize,
    /// Index of the node on the right.
    pub to: usize,
    /// The run's id; `None` where the file gives no run.
    pub run: Option<String>,
    /// What stands beside it.
    pub label: Label,
    /// How it is switched.
    pub circuit: Circuit,
    /// A fuse at its left end.
    pub fuse_from: bool,
    /// A fuse at its right end.
    pub fuse_to: bool,
    /// Copper, for the width of the line, mm².
    pub mm2: Option<f64>,
}

/// Boxes and lines.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Graph {
    /// Boxes.
    pub nodes: Vec<Node>,
    /// Lines, each from a lower layer to a higher.
    pub edges: Vec<Edge>,
    /// Number of layers.
    pub layers: usize,
}

/// Indices of the nodes by what they stand for.
pub(super) struct Index {
    pub(super) alternator: Option<usize>,
    pub(super) mains: Option<usize>,
    pub(super) panels: Vec<usize>,
    pub(super) chargers: Vec<usize>,
    pub(super) banks: Vec<usize>,
    pub(super) loads: Vec<usize>,
}

impl Index {
    /// Node of a run's end.
    pub(super) fn of(&self, end: RunEnd) -> Option<usize> {
        match end {
            RunEnd::Alternator => self.alternator,
            RunEnd::Bank(index) => self.banks.get(index).copied(),
            RunEnd::Charger(index) => self.chargers.get(index).copied(),
            RunEnd::Panel(index) => self.panels.get(index).copied(),
            RunEnd::Load(index) => self.loads.get(index).copied(),
        }
    }
}

impl Graph {
    /// The graph of a scenario with its schedule.
    #[must_use]
    pub fn of(scenario: &Scenario, schedule: &Schedule) -> Self {
        let mut graph = Self::default();
        let index = graph.add_nodes(scenario);
        add_edges(&mut graph, &index, scenario, schedule);
        graph.set_layers();
        graph
    }

    /// Adds a box and returns its index.
    pub fn add(&mut self, kind: NodeKind, title: &str, detail: String) -> usize {
        self.nodes.push(Node {
            kind,
            title: title.to_string(),
            detail,
            layer: 0,
        });
        self.nodes.len() - 1
    }

    fn add_nodes(&mut self, scenario: &Scenario) -> Index {
        use crate::scenario::ChargerSource;
        let alternator = scenario.alternator.as_ref().map(|a| {
            self.add(
                NodeKind::Alternator,
                "alternator",
                format!("{} A, {} V", a.rated_a, a.volts),
            )
        });
        let on_mains = |c: &crate::scenario::Charger| c.from == ChargerSource::Mains;
        let mains = scenario
            .chargers
            .iter()
            .any(on_mains)
            .then(|| self.add(NodeKind::Mains, "mains", "230/120 V".to_string()));
        let panels = scenario
            .solar
            .iter()
            .map(|panel| self.add(NodeKind::Panel, &panel.id, format!("{} W", panel.panel_w)))
            .collect();
        let chargers = scenario
            .chargers
            .iter()
            .map(|c| {
                let kind = if c.is_dc_dc { "dc-dc" } else { "mains" };
                self.add(
                    NodeKind::Charger,
                    &c.id,
                    format!("{kind}, {} A", c.output_a),
                )
            })
            .collect();
        let banks = scenario
            .banks
            .iter()
            .map(|bank| {
                let chemistry = match bank.chemistry {
                    Chemistry::Lfp => "LFP",
                    Chemistry::Agm => "AGM",
                    Chemistry::Gel => "gel",
                    Chemistry::Flooded => "flooded",
                };
                self.add(
                    NodeKind::Bank,
                    &bank.id,
                    format!("{chemistry} {} Ah", bank.capacity_ah),
                )
            })
            .collect();
        let loads = scenario
            .loads
            .iter()
            .map(|load| {
                let live = if load.when == When::Ignition {
                    "ignition"
                } else {
                    "live"
                };
                self.add(NodeKind::Load, &load.id, live.to_string())
            })
            .collect();
        Index {
            alternator,
            mains,
            panels,
            chargers,
            banks,
            loads,
        }
    }

    /// Columns: sources first, then each box one column right of the last that feeds it, chargers
    /// beside what they charge, blocks and loads in the last two. A line that would close a ring is
    /// turned round.
    fn set_layers(&mut self) {
        self.turn_rings_round();
        for _ in 0..=self.nodes.len() {
            for edge in &self.edges {
                let least = self.nodes[edge.from].layer + 1;
                if self.nodes[edge.to].layer < least {
                    self.nodes[edge.to].layer = least;
                }
            }
        }
        for index in 0..self.nodes.len() {
            if self.nodes[index].kind == NodeKind::Charger {
                let after = self
                    .edges
                    .iter()
                    .filter(|e| e.from == index)
                    .map(|e| self.nodes[e.to].layer)
                    .min();
                if let Some(layer) = after {
                    self.nodes[index].layer = layer - 1;
                }
            }
        }
        let is_tail = |node: &Node| matches!(node.kind, NodeKind::Block | NodeKind::Load);
        let last = self
            .nodes
            .iter()
            .filter(|n| !is_tail(n))
            .map(|n| n.layer)
            .max()
            .unwrap_or(0);
        for node in &mut self.nodes {
            match node.kind {
                NodeKind::Block => node.layer = last + 1,
                NodeKind::Load => node.layer = last + 2,
                _ => {}
            }
        }
        self.layers = self.nodes.iter().map(|n| n.layer + 1).max().unwrap_or(0);
    }

    fn turn_rings_round(&mut self) {
        let mut kept: Vec<(usize, usize)> = Vec::new();
        for edge in &mut self.edges {
            if reaches(&kept, edge.to, edge.from) {
                std::mem::swap(&mut edge.from, &mut edge.to);
                std::mem::swap(&mut edge.fuse_from, &mut edge.fuse_to);
            }
            kept.push((edge.from, edge.to));
        }
    }
}

fn reaches(edges: &[(usize, usize)], from: usize, to: usize) -> bool {
    let mut open = vec![from];
    let mut seen = Vec::new();
    while let Some(node) = open.pop() {
        if node == to {
            return true;
        }
        if !seen.contains(&node) {
            seen.push(node);
            open.extend(edges.iter().filter(|(a, _)| *a == node).map(|(_, b)| *b));
        }
    }
    false
}
