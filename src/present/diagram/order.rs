//! The order of boxes within each column, so that lines cross as little as possible.
//!
//! One job: layers with bends in, ordered. Heights are in [`super::place`].
//!
//! # Source
//! K. Sugiyama, S. Tagawa, M. Toda, "Methods for visual understanding of hierarchical system
//! structures", IEEE Trans. SMC 11(2), 109-125, 1981 (barycentres); E. R. Gansner et al., "A
//! technique for drawing directed graphs", IEEE Trans. Softw. Eng. 19(3), 214-230, 1993
//! (transposition).

use super::graph::{Graph, NodeKind};

/// A piece of an edge between two neighbouring layers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    /// Node or bend on the left.
    pub(super) from: usize,
    /// Node or bend on the right.
    pub(super) to: usize,
    /// The edge it belongs to.
    pub(super) edge: usize,
}

/// A graph whose edges have been cut at every column they pass, with an order in each column.
#[derive(Debug, Clone)]
pub(super) struct Layered {
    /// Kind of each node, bends included.
    pub(super) kinds: Vec<NodeKind>,
    /// Nodes of each layer from top to bottom.
    pub(super) layers: Vec<Vec<usize>>,
    /// Pieces between layer `i` and `i + 1`.
    pub(super) pieces: Vec<Vec<Piece>>,
}

impl Layered {
    pub(super) fn of(graph: &Graph) -> Self {
        let mut kinds: Vec<NodeKind> = graph.nodes.iter().map(|node| node.kind).collect();
        let mut layers: Vec<Vec<usize>> = vec![Vec::new(); graph.layers];
        for (index, node) in graph.nodes.iter().enumerate() {
            layers[node.layer].push(index);
        }
        let mut pieces: Vec<Vec<Piece>> = vec![Vec::new(); graph.layers.saturating_sub(1)];
        for (number, edge) in graph.edges.iter().enumerate() {
            let last = graph.nodes[edge.to].layer;
            let mut from = edge.from;
            for layer in graph.nodes[edge.from].layer..last {
                let to = if layer + 1 == last {
                    edge.to
                } else {
                    kinds.push(NodeKind::Bend);
                    layers[layer + 1].push(kinds.len() - 1);
                    kinds.len() - 1
                };
                pieces[layer].push(Piece {
                    from,
                    to,
                    edge: number,
                });
                from = to;
            }
        }
        let mut layered = Self {
            kinds,
            layers,
            pieces,
        };
        layered.reduce_crossings();
        layered.group_loads();
        layered
    }

    /// Puts each load beside what feeds it, in the order of the edges: circuits stay together.
    fn group_loads(&mut self) {
        let ranks = self.ranks();
        let Some(gap) = self.pieces.last() else {
            return;
        };
        let Some(layer) = self.layers.last_mut() else {
            return;
        };
        if layer.iter().any(|node| self.kinds[*node] != NodeKind::Load) {
            return;
        }
        layer.sort_by_key(|node| {
            gap.iter()
                .filter(|piece| piece.to == *node)
                .map(|piece| (ranks[piece.from], piece.edge))
                .min()
        });
    }

    /// Place of each node within its layer.
    pub(super) fn ranks(&self) -> Vec<usize> {
        let mut ranks = vec![0; self.kinds.len()];
        for layer in &self.layers {
            for (rank, node) in layer.iter().enumerate() {
                ranks[*node] = rank;
            }
        }
        ranks
    }

    /// Number of pairs of pieces that cross.
    pub(super) fn crossings(&self) -> usize {
        let ranks = self.ranks();
        self.pieces
            .iter()
            .map(|gap| crossings_in(gap, &ranks))
            .sum()
    }

    fn reduce_crossings(&mut self) {
        let mut best = self.layers.clone();
        let mut fewest = self.crossings();
        for start in 0..4 {
            for layer in &mut self.layers {
                match start {
                    1 => layer.reverse(),
                    2 => layer.sort_unstable(),
                    3 => layer.sort_unstable_by(|a, b| b.cmp(a)),
                    _ => {}
                }
            }
            for sweep in 0..24 {
                self.sweep(sweep % 2 == 0);
                self.transpose();
                let now = self.crossings();
                if now < fewest {
                    fewest = now;
                    best.clone_from(&self.layers);
                }
            }
            if fewest == 0 {
                break;
            }
        }
        self.layers = best;
    }

    /// Sorts each layer by the mean rank of what it is joined to on one side.
    fn sweep(&mut self, rightwards: bool) {
        let count = self.layers.len();
        for step in 1..count {
            let layer = if rightwards { step } else { count - 1 - step };
            let gap = if rightwards { layer - 1 } else { layer };
            let ranks = self.ranks();
            let mut keyed: Vec<(f64, usize)> = self.layers[layer]
                .iter()
                .map(|node| {
                    let (mut sum, mut number) = (0.0, 0.0);
                    for piece in &self.pieces[gap] {
                        let (own, other) = if rightwards {
                            (piece.to, piece.from)
                        } else {
                            (piece.from, piece.to)
                        };
                        if own == *node {
                            sum += rank_value(ranks[other]);
                            number += 1.0;
                        }
                    }
                    let key = if number > 0.0 {
                        sum / number
                    } else {
                        rank_value(ranks[*node])
                    };
                    (key, *node)
                })
                .collect();
            keyed.sort_by(|a, b| a.0.total_cmp(&b.0));
            self.layers[layer] = keyed.into_iter().map(|(_, node)| node).collect();
        }
    }

    /// Swaps neighbours as long as that removes crossings.
    fn transpose(&mut self) {
        let mut improved = true;
        while improved {
            improved = false;
            for layer in 0..self.layers.len() {
                for at in 1..self.layers[layer].len() {
                    let before = self.crossings_beside(layer);
                    self.layers[layer].swap(at - 1, at);
                    if self.crossings_beside(layer) < before {
                        improved = true;
                    } else {
                        self.layers[layer].swap(at - 1, at);
                    }
                }
            }
        }
    }

    fn crossings_beside(&self, layer: usize) -> usize {
        let ranks = self.ranks();
        let left = layer
            .checked_sub(1)
            .map_or(0, |gap| crossings_in(&self.pieces[gap], &ranks));
        let right = self
            .pieces
            .get(layer)
            .map_or(0, |gap| crossings_in(gap, &ranks));
        left + right
    }
}

fn rank_value(rank: usize) -> f64 {
    f64::from(u32::try_from(rank).unwrap_or(u32::MAX))
}

fn crossings_in(gap: &[Piece], ranks: &[usize]) -> usize {
    let mut crossings = 0;
    for (number, one) in gap.iter().enumerate() {
        for other in &gap[number + 1..] {
            let left = ranks[one.from].cmp(&ranks[other.from]);
            let right = ranks[one.to].cmp(&ranks[other.to]);
            if left != right && left.is_ne() && right.is_ne() {
                crossings += 1;
            }
        }
    }
    crossings
}

#[cfg(test)]
mod tests {
    use super::super::graph::{Circuit, Edge, Label};
    use super::*;

    /// Nodes a layer, and edges.
    type Case = (&'static [usize], &'static [(usize, usize)]);

    fn graph(layers: &[usize], edges: &[(usize, usize)]) -> Graph {
        let mut graph = Graph::default();
        for (layer, count) in layers.iter().enumerate() {
            for _ in 0..*count {
                let node = graph.add(NodeKind::Bank, "n", String::new());
                graph.nodes[node].layer = layer;
            }
        }
        graph.layers = layers.len();
        for (from, to) in edges {
            graph.edges.push(Edge {
                from: *from,
                to: *to,
                run: None,
                label: Label {
                    above: String::new(),
                    below: String::new(),
                    fails: false,
                },
                circuit: Circuit::Live,
                fuse_from: false,
                fuse_to: false,
                mm2: None,
            });
        }
        graph
    }

    #[test]
    fn law_planar_cases_end_without_crossings() {
        // A tangled matching, a tree, and a ladder with a line that passes two columns.
        let cases: [Case; 3] = [
            (&[4, 4], &[(0, 7), (1, 5), (2, 6), (3, 4)]),
            (
                &[1, 3, 6],
                &[
                    (0, 1),
                    (0, 2),
                    (0, 3),
                    (1, 9),
                    (2, 4),
                    (3, 6),
                    (1, 5),
                    (2, 8),
                    (3, 7),
                ],
            ),
            (
                &[2, 2, 2, 2],
                &[(0, 3), (1, 2), (2, 5), (3, 4), (4, 7), (5, 6), (0, 7)],
            ),
        ];
        for (layers, edges) in cases {
            assert_eq!(
                Layered::of(&graph(layers, edges)).crossings(),
                0,
                "{layers:?} {edges:?}"
            );
        }
    }

    #[test]
    fn law_what_cannot_be_planar_keeps_its_one_crossing() {
        // K(2,2) with the columns fixed crosses once, whatever the order.
        let tangle = graph(&[2, 2], &[(0, 2), (0, 3), (1, 2), (1, 3)]);
        assert_eq!(Layered::of(&tangle).crossings(), 1);
    }
}
