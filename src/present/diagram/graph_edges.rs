//! The lines of the diagram: every run of the file, and the joints that the system implies where
//! the file gives no run.
//!
//! One job: from runs to edges. Boxes and columns are in [`super::graph`].

use super::bands::{Band, band_of};
use super::graph::{Circuit, Edge, Graph, Index, Label, NodeKind};
use crate::scenario::{ChargerSource, Parts, Role, Run, RunEnd, When};
use crate::units::{Amount, Units, trimmed};
use crate::wiring::design_current::carried;
use crate::wiring::schedule::{Schedule, ScheduledRun};

pub(super) fn add_edges(graph: &mut Graph, index: &Index, scenario: &Parts, schedule: &Schedule) {
    let lines: Vec<Line> = scenario
        .runs
        .iter()
        .filter_map(|run| {
            let found = schedule.runs.iter().find(|line| line.id == run.id)?;
            Some(Line {
                run,
                found,
                units: schedule.units,
            })
        })
        .collect();
    add_runs_between_boxes(graph, index, scenario, &lines);
    add_implied(graph, index, scenario);
    let circuits = Circuits {
        index,
        scenario,
        schedule,
        lines: &lines,
    };
    circuits.add(graph);
}

#[derive(Clone, Copy)]
struct Line<'a> {
    units: Units,
    run: &'a Run,
    found: &'a ScheduledRun,
}

fn is_load(end: RunEnd) -> bool {
    matches!(end, RunEnd::Load(_) | RunEnd::Inverter(_))
}

fn run_edge(from: usize, to: usize, line: Line<'_>, circuit: Circuit) -> Edge {
    let found = line.found;
    let conductor = found.conductor.as_deref().unwrap_or("no size does");
    let fuse = found.fuse.as_ref().map_or_else(
        || "no fuse fits".to_string(),
        |fuse| format!("{} A", fuse.rating_a),
    );
    let drop = found
        .drop_percent
        .map_or_else(String::new, |drop| format!(" · {drop:.1} %"));
    let fused_at = |id: &str| {
        found
            .fuse
            .as_ref()
            .is_some_and(|f| f.places.iter().any(|p| p.at == id))
    };
    Edge {
        from,
        to,
        run: Some(found.id.clone()),
        label: Label {
            above: format!("{conductor} · {}", length(found.one_way_m, line.units)),
            below: format!("{fuse}{drop}"),
            fails: !found.pass,
        },
        circuit,
        fuse_from: fused_at(&found.from),
        fuse_to: fused_at(&found.to),
        mm2: found.mm2,
        given: true,
    }
}

/// A length: `2.5 m`.
pub(super) fn length(metres: f64, units: Units) -> String {
    let value = trimmed(&units.figure(Amount::Metres, metres, 2));
    format!("{value} {}", units.symbol(Amount::Metres))
}

fn implied_edge(from: usize, to: usize, circuit: Circuit) -> Edge {
    Edge {
        from,
        to,
        run: None,
        label: Label {
            above: if circuit == Circuit::Mains {
                "licensed work".to_string()
            } else {
                String::new()
            },
            ..Label::default()
        },
        circuit,
        fuse_from: false,
        fuse_to: false,
        mm2: None,
        given: false,
    }
}

fn add_runs_between_boxes(graph: &mut Graph, index: &Index, scenario: &Parts, lines: &[Line<'_>]) {
    for line in lines {
        if is_load(line.run.from) || is_load(line.run.to) {
            continue;
        }
        let (Some(from), Some(to)) = (index.of(line.run.from), index.of(line.run.to)) else {
            continue;
        };
        // A run written from the bank to its charger's output still runs left to right.
        let backwards = match (line.run.from, line.run.to) {
            (RunEnd::Bank(bank), RunEnd::Charger(charger)) => scenario.chargers[charger].to == bank,
            (RunEnd::Bank(_) | RunEnd::Charger(_), RunEnd::Panel(_) | RunEnd::Alternator) => true,
            _ => false,
        };
        let mut edge = run_edge(from, to, *line, Circuit::Live);
        if backwards {
            std::mem::swap(&mut edge.from, &mut edge.to);
            std::mem::swap(&mut edge.fuse_from, &mut edge.fuse_to);
        }
        graph.edges.push(edge);
    }
}

fn add_implied(graph: &mut Graph, index: &Index, scenario: &Parts) {
    let start = scenario
        .banks
        .iter()
        .position(|bank| bank.role == Role::Start);
    let has_input = |graph: &Graph, node: usize| graph.edges.iter().any(|e| e.to == node);
    if let (Some(alternator), Some(start)) = (index.alternator, start)
        && !has_input(graph, index.banks[start])
    {
        graph
            .edges
            .push(implied_edge(alternator, index.banks[start], Circuit::Live));
    }
    for (number, charger) in scenario.chargers.iter().enumerate() {
        let this = index.chargers[number];
        let (feeder, circuit) = match charger.from {
            ChargerSource::Alternator => (
                start.map(|start| index.banks[start]).or(index.alternator),
                Circuit::Live,
            ),
            ChargerSource::Mains => {
                let in_trailer = graph.nodes[this].band == Band::Trailer;
                (index.mains[usize::from(in_trailer)], Circuit::Mains)
            }
            ChargerSource::Bank(bank) => (Some(index.banks[bank]), Circuit::Live),
        };
        let fed = graph
            .edges
            .iter()
            .any(|e| e.to == this && graph.nodes[e.from].kind != NodeKind::Panel);
        if let Some(feeder) = feeder
            && !fed
        {
            graph.edges.push(implied_edge(feeder, this, circuit));
        }
        if !graph.edges.iter().any(|e| e.from == this) {
            graph
                .edges
                .push(implied_edge(this, index.banks[charger.to], Circuit::Live));
        }
    }
    for (number, panel) in scenario.solar.iter().enumerate() {
        let this = index.panels[number];
        if !graph.edges.iter().any(|e| e.from == this) {
            let to = panel
                .shares
                .map_or(index.banks[panel.to], |charger| index.chargers[charger]);
            graph.edges.push(implied_edge(this, to, Circuit::Live));
        }
    }
}

/// What is distributed from a bank: loads and inverters.
struct Circuits<'a> {
    index: &'a Index,
    scenario: &'a Parts,
    schedule: &'a Schedule,
    lines: &'a [Line<'a>],
}

/// A block of a bank: the id of its feed, if the file gives one, and its box.
type Block = (usize, Option<String>, usize);

impl<'a> Circuits<'a> {
    fn add(&self, graph: &mut Graph) {
        let loads = &self.scenario.loads;
        let mut blocks: Vec<Block> = Vec::new();
        let mut order: Vec<usize> = (0..loads.len()).collect();
        order.sort_by_key(|load| loads[*load].when == When::Ignition);
        for (number, unit) in self.scenario.inverters.iter().enumerate() {
            let end = RunEnd::Inverter(number);
            self.add_circuit(graph, &mut blocks, end, unit.bank, Circuit::Live);
        }
        for load in order {
            let its = &loads[load];
            let circuit = if its.when == When::Ignition {
                Circuit::Ignition
            } else {
                Circuit::Live
            };
            if let Some(inverter) = its.inverter {
                let (from, to) = (self.index.inverters[inverter.unit], self.index.loads[load]);
                graph.edges.push(implied_edge(from, to, Circuit::Mains));
            } else {
                self.add_circuit(graph, &mut blocks, RunEnd::Load(load), its.bank, circuit);
            }
        }
    }

    fn add_circuit(
        &self,
        graph: &mut Graph,
        blocks: &mut Vec<Block>,
        end: RunEnd,
        bank: usize,
        circuit: Circuit,
    ) {
        let Some(to) = self.index.of(end) else { return };
        // A run written to a load behind the inverter is the inverter's own.
        let is_end = |other: RunEnd| match (end, other) {
            (RunEnd::Inverter(unit), RunEnd::Load(load)) => self.scenario.loads[load]
                .inverter
                .is_some_and(|it| it.unit == unit),
            _ => other == end,
        };
        let own: Vec<&Line<'_>> = self
            .lines
            .iter()
            .filter(|line| {
                (is_end(line.run.to) || is_end(line.run.from)) && carried(line.run).len() < 2
            })
            .collect();
        // From a bus or block of the file the way is known.
        let from_point = own.iter().find_map(|line| {
            let ends = [line.run.from, line.run.to];
            let point = ends
                .into_iter()
                .find(|end| matches!(end, RunEnd::Point(_)))?;
            Some((line, self.index.of(point)?))
        });
        if let Some((line, point)) = from_point {
            graph.edges.push(run_edge(point, to, **line, circuit));
            return;
        }
        let from = self.block(graph, blocks, end, bank);
        for line in &own {
            let mut edge = run_edge(from, to, **line, circuit);
            if is_end(line.run.from) {
                std::mem::swap(&mut edge.fuse_from, &mut edge.fuse_to);
            }
            graph.edges.push(edge);
        }
        if own.is_empty() {
            graph.edges.push(implied_edge(from, to, circuit));
        }
    }

    /// The run to a fuse block that carries this among others: the one that carries fewest.
    fn block_feed(&self, end: RunEnd) -> Option<Line<'a>> {
        let holds = |carried: &RunEnd| match (end, *carried) {
            (RunEnd::Inverter(unit), RunEnd::Load(load)) => self.scenario.loads[load]
                .inverter
                .is_some_and(|it| it.unit == unit),
            (end, carried) => end == carried,
        };
        self.lines
            .iter()
            .filter(|line| {
                let carries = carried(line.run);
                let from_box = !is_load(line.run.from) && is_load(line.run.to);
                from_box && carries.len() > 1 && carries.iter().any(holds)
            })
            .min_by_key(|line| carried(line.run).len())
            .copied()
    }

    /// The box from which a circuit begins: its block, made when first asked for, or the bank itself.
    fn block(&self, graph: &mut Graph, blocks: &mut Vec<Block>, end: RunEnd, bank: usize) -> usize {
        let feed = self.block_feed(end);
        let loads = self.scenario.loads.iter();
        let neighbours = loads.filter(|other| other.bank == bank).count();
        let at_terminal = self.scenario.banks[bank].role == Role::Start && neighbours < 2;
        if feed.is_none() && at_terminal {
            return self.index.banks[bank];
        }
        let key = feed.map(|line| line.found.id.clone());
        let known = blocks
            .iter()
            .find(|(its, id, _)| *its == bank && *id == key)
            .map(|(.., node)| *node);
        known.unwrap_or_else(|| {
            let node = self.add_block(graph, bank, feed);
            blocks.push((bank, key, node));
            node
        })
    }

    fn add_block(&self, graph: &mut Graph, bank: usize, feed: Option<Line<'_>>) -> usize {
        let band = band_of(self.scenario.banks[bank].trailer);
        let id = &self.scenario.banks[bank].id;
        let from = feed
            .and_then(|line| self.index.of(line.run.from))
            .unwrap_or(self.index.banks[bank]);
        let node = graph.add(NodeKind::Block, "fuse block", format!("of {id}"), band);
        if let Some(line) = feed {
            graph.edges.push(run_edge(from, node, line, Circuit::Live));
            return node;
        }
        let mut edge = implied_edge(from, node, Circuit::Live);
        let main = self.schedule.distribution.iter().find(|piece| {
            piece.derived && piece.kind == "main-fuse" && piece.bank.as_ref() == Some(id)
        });
        if let Some(rating_a) = main.and_then(|piece| piece.rating_a) {
            edge.label.above = "main fuse".to_string();
            edge.label.below = format!("{rating_a} A");
            edge.fuse_from = true;
        }
        graph.edges.push(edge);
        node
    }
}
