//! What the diagram shows: boxes and the lines between them, column by column.
//!
//! One job: nodes, edges, layers. Which edges there are is in [`super::graph_edges`]; their order
//! within a layer in [`super::order`].

use crate::scenario::{ChargerSource, Chemistry, Parts, PointKind, RunEnd, When};
use crate::wiring::schedule::Schedule;

use super::bands::{Band, Bands, band_of};
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
    /// A switch that parts a bank from the rest.
    Switch,
    /// A plug and socket.
    Plug,
    /// An inverter.
    Inverter,
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
    /// Band, from the top.
    pub band: Band,
}

/// Two short lines beside a wire, above and below it.
#[derive(Debug, Clone, PartialEq, Default)]
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
    /// Whether it is part of a run of the file.
    pub given: bool,
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
    pub(super) mains: [Option<usize>; 2],
    pub(super) points: Vec<usize>,
    pub(super) inverters: Vec<usize>,
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
            RunEnd::Inverter(index) => self.inverters.get(index).copied(),
            RunEnd::Point(index) => self.points.get(index).copied(),
        }
    }
}

impl Graph {
    /// The graph of a scenario with its schedule.
    #[must_use]
    pub fn of(scenario: &Parts, schedule: &Schedule) -> Self {
        let mut graph = Self::default();
        let index = graph.add_nodes(scenario);
        add_edges(&mut graph, &index, scenario, schedule);
        graph.add_derived_plugs();
        graph.set_layers();
        graph
    }

    /// Adds a box and returns its index.
    pub fn add(&mut self, kind: NodeKind, title: &str, detail: String, band: Band) -> usize {
        self.nodes.push(Node {
            kind,
            title: title.to_string(),
            detail,
            layer: 0,
            band,
        });
        self.nodes.len() - 1
    }

    /// Puts a plug into every line between vehicle and trailer that has none.
    fn add_derived_plugs(&mut self) {
        for number in 0..self.edges.len() {
            let edge = self.edges[number].clone();
            let bands = [self.nodes[edge.from].band, self.nodes[edge.to].band];
            if !(bands.contains(&Band::Vehicle) && bands.contains(&Band::Trailer)) {
                continue;
            }
            let detail = "not in the file".to_string();
            let plug = self.add(NodeKind::Plug, "plug", detail, Band::Between);
            self.edges.push(Edge {
                from: plug,
                run: None,
                label: Label::default(),
                fuse_from: false,
                ..edge.clone()
            });
            self.edges[number].to = plug;
            self.edges[number].fuse_to = false;
        }
    }

    fn add_nodes(&mut self, scenario: &Parts) -> Index {
        let bands = Bands::of(scenario);
        let alternator = scenario.alternator.as_ref().map(|a| {
            let detail = format!("{} A, {} V", a.rated_a, a.volts);
            self.add(NodeKind::Alternator, "alternator", detail, Band::Vehicle)
        });
        let mut mains_beside = |band: Band, beside: Band| {
            let chargers = scenario.chargers.iter().enumerate();
            let mut on_mains = chargers.filter(|(_, c)| c.from == ChargerSource::Mains);
            let any = on_mains.any(|(index, _)| bands.chargers[index] == band);
            any.then(|| self.add(NodeKind::Mains, "mains", "230/120 V".to_string(), beside))
        };
        let mains = [
            mains_beside(Band::Vehicle, Band::BesideVehicle),
            mains_beside(Band::Trailer, Band::BesideTrailer),
        ];
        let panels = scenario.solar.iter().enumerate();
        let panels = panels
            .map(|(index, panel)| {
                let band = bands.panels[index];
                self.add(
                    NodeKind::Panel,
                    &panel.id,
                    format!("{} W", panel.panel_w),
                    band,
                )
            })
            .collect();
        let chargers = scenario.chargers.iter().enumerate();
        let chargers = chargers
            .map(|(index, c)| {
                let rated_a = c.relay.map_or(c.output_a, |relay| relay.rated_a);
                let detail = format!("{}, {rated_a} A", c.kind);
                self.add(NodeKind::Charger, &c.id, detail, bands.chargers[index])
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
                let detail = format!("{chemistry} {} Ah", bank.capacity_ah);
                self.add(NodeKind::Bank, &bank.id, detail, band_of(bank.trailer))
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
                let band = band_of(scenario.banks[load.bank].trailer);
                self.add(NodeKind::Load, &load.id, live.to_string(), band)
            })
            .collect();
        let inverters = scenario.inverters.iter();
        let inverters = inverters
            .map(|unit| {
                let band = band_of(scenario.banks[unit.bank].trailer);
                let detail = format!("{} W, AC", unit.rated_w);
                self.add(NodeKind::Inverter, &unit.id, detail, band)
            })
            .collect();
        let points = scenario.distribution.iter().enumerate();
        let points = points
            .map(|(index, point)| {
                let kind = match point.kind {
                    PointKind::Bus | PointKind::FuseBlock => NodeKind::Block,
                    PointKind::Plug => NodeKind::Plug,
                    PointKind::Switch => NodeKind::Switch,
                };
                let detail = match point.rated_a {
                    Some(rated_a) => format!("{}, {rated_a} A", point.kind.words()),
                    None => point.kind.words().to_string(),
                };
                self.add(kind, &point.id, detail, bands.points[index])
            })
            .collect();
        Index {
            alternator,
            mains,
            points,
            inverters,
            panels,
            chargers,
            banks,
            loads,
        }
    }

    /// Columns: sources first, then each box one column right of the last that feeds it, chargers
    /// beside what they charge, blocks and loads in the last two. A line that would close a ring is
    /// turned round.
    pub(super) fn set_layers(&mut self) {
        self.turn_rings_round();
        self.set_charging_layers();
        self.set_circuit_layers();
    }

    /// Columns up to the banks.
    pub(super) fn set_charging_layers(&mut self) {
        self.move_right();
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
        self.count_layers();
    }

    fn count_layers(&mut self) {
        self.layers = self.nodes.iter().map(|n| n.layer + 1).max().unwrap_or(0);
    }

    /// Columns of blocks, inverters and loads.
    fn set_circuit_layers(&mut self) {
        let is_tail = |node: &Node| {
            matches!(
                node.kind,
                NodeKind::Block | NodeKind::Inverter | NodeKind::Load
            )
        };
        let last = self
            .nodes
            .iter()
            .filter(|n| !is_tail(n))
            .map(|n| n.layer)
            .max()
            .unwrap_or(0);
        for node in &mut self.nodes {
            if matches!(node.kind, NodeKind::Block | NodeKind::Inverter) {
                node.layer = node.layer.max(last + 1);
            }
        }
        self.move_right();
        let last = self
            .nodes
            .iter()
            .filter(|n| n.kind != NodeKind::Load)
            .map(|n| n.layer)
            .max()
            .unwrap_or(0);
        for node in self.nodes.iter_mut().filter(|n| n.kind == NodeKind::Load) {
            node.layer = last.max(1) + 1;
        }
        self.count_layers();
    }

    /// Moves what a line leads to right of where it comes from.
    fn move_right(&mut self) {
        for _ in 0..=self.nodes.len() {
            let mut moved = false;
            for edge in &self.edges {
                let least = self.nodes[edge.from].layer + 1;
                if self.nodes[edge.to].layer < least {
                    self.nodes[edge.to].layer = least;
                    moved = true;
                }
            }
            if !moved {
                break;
            }
        }
    }

    fn turn_rings_round(&mut self) {
        let mut onward: Vec<Vec<usize>> = vec![Vec::new(); self.nodes.len()];
        for edge in &mut self.edges {
            if reaches(&onward, edge.to, edge.from) {
                std::mem::swap(&mut edge.from, &mut edge.to);
                std::mem::swap(&mut edge.fuse_from, &mut edge.fuse_to);
            }
            onward[edge.from].push(edge.to);
        }
    }
}

fn reaches(onward: &[Vec<usize>], from: usize, to: usize) -> bool {
    let mut open = vec![from];
    let mut seen = vec![false; onward.len()];
    while let Some(node) = open.pop() {
        if node == to {
            return true;
        }
        if !std::mem::replace(&mut seen[node], true) {
            open.extend(&onward[node]);
        }
    }
    false
}
