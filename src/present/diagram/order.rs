//! The order of boxes within each column, so that lines cross as little as possible.
//!
//! One job: layers with bends in, ordered. Heights are in [`super::place`].
//!
//! # Source
//! K. Sugiyama, S. Tagawa, M. Toda, "Methods for visual understanding of hierarchical system
//! structures", IEEE Trans. SMC 11(2), 109-125, 1981 (barycentres); E. R. Gansner et al., "A
//! technique for drawing directed graphs", IEEE Trans. Softw. Eng. 19(3), 214-230, 1993
//! (transposition).

use super::bands::Band;
use super::graph::{Graph, NodeKind};
use super::measure::Measure;
use crate::units::Whole as _;

/// A piece of an edge between two neighbouring layers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    /// Node or bend on the left.
    pub(super) from: usize,
    /// Node or bend on the right.
    pub(super) to: usize,
    /// The edge it belongs to.
    pub(super) edge: usize,
    /// Where it leaves its left node, from the middle of that.
    pub(super) leave: f64,
    /// Where it enters its right node, from the middle of that.
    pub(super) enter: f64,
}

/// A graph whose edges have been cut at every column they pass, with an order in each column.
#[derive(Debug, Clone)]
pub(super) struct Layered {
    /// Kind of each node, bends included.
    pub(super) kinds: Vec<NodeKind>,
    /// Band of each, from the top: see [`super::bands::Band`].
    pub(super) bands: Vec<Band>,
    /// Nodes of each layer from top to bottom.
    pub(super) layers: Vec<Vec<usize>>,
    /// Pieces between layer `i` and `i + 1`.
    pub(super) pieces: Vec<Vec<Piece>>,
    /// Middle of each node or bend, down the picture.
    pub(super) middle: Vec<f64>,
    /// Height of each.
    pub(super) height: Vec<f64>,
    /// Least height of each box.
    pub(super) least: Vec<f64>,
    /// Sizes.
    pub(super) measure: &'static Measure,
}

impl Layered {
    pub(super) fn of(graph: &Graph, measure: &'static Measure) -> Self {
        let mut kinds: Vec<NodeKind> = graph.nodes.iter().map(|node| node.kind).collect();
        let mut bands: Vec<Band> = graph.nodes.iter().map(|node| node.band).collect();
        let mut layers: Vec<Vec<usize>> = vec![Vec::new(); graph.layers];
        for (index, node) in graph.nodes.iter().enumerate() {
            layers[node.layer].push(index);
        }
        let mut pieces: Vec<Vec<Piece>> = vec![Vec::new(); graph.layers.saturating_sub(1)];
        for (number, edge) in graph.edges.iter().enumerate() {
            let last = graph.nodes[edge.to].layer;
            let bend_band = bands[edge.from].of_line_to(bands[edge.to]);
            let mut from = edge.from;
            for layer in graph.nodes[edge.from].layer..last {
                let to = if layer + 1 == last {
                    edge.to
                } else {
                    kinds.push(NodeKind::Bend);
                    bands.push(bend_band);
                    layers[layer + 1].push(kinds.len() - 1);
                    kinds.len() - 1
                };
                pieces[layer].push(Piece {
                    from,
                    to,
                    edge: number,
                    leave: 0.0,
                    enter: 0.0,
                });
                from = to;
            }
        }
        let nowhere = vec![0.0; kinds.len()];
        let mut layered = Self {
            middle: nowhere.clone(),
            height: nowhere,
            least: graph
                .nodes
                .iter()
                .map(|node| measure.least_height(node))
                .collect(),
            measure,
            kinds,
            bands,
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
        let mut first = vec![None; self.kinds.len()];
        for piece in gap {
            let key = Some((ranks[piece.from], piece.edge));
            let known = &mut first[piece.to];
            if known.is_none() || key < *known {
                *known = key;
            }
        }
        layer.sort_by_key(|node| (self.bands[*node], first[*node]));
    }

    /// Heights at which a piece leaves its left node and enters its right one.
    pub(super) fn ends(&self, piece: &Piece) -> (f64, f64) {
        let middle = |node: usize| self.middle[node];
        (
            middle(piece.from) + piece.leave,
            middle(piece.to) + piece.enter,
        )
    }

    /// Upper and lower edge of a node.
    pub(super) fn edges_of(&self, node: usize) -> (f64, f64) {
        let half = self.height[node] / 2.0;
        (self.middle[node] - half, self.middle[node] + half)
    }

    /// Upper and lower edge of a band, if anything is in it.
    pub(super) fn band_edges(&self, band: Band) -> Option<(f64, f64)> {
        let nodes = (0..self.kinds.len()).filter(|node| self.bands[*node] == band);
        let edges = nodes.map(|node| self.edges_of(node));
        edges.reduce(|all, its| (all.0.min(its.0), all.1.max(its.1)))
    }

    /// Whether a node is no box but the place where a line passes.
    pub(super) fn is_bend(&self, node: usize) -> bool {
        self.kinds[node] == NodeKind::Bend
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
        let near = Neighbours::of(self);
        self.sort_bands();
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
            self.sort_bands();
            for sweep in 0..24 {
                self.sweep(&near, sweep % 2 == 0);
                self.transpose(&near);
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

    /// The bands stand one below the other in every column.
    fn sort_bands(&mut self) {
        let bands = &self.bands;
        for layer in &mut self.layers {
            layer.sort_by_key(|node| bands[*node]);
        }
    }

    /// Sorts each layer by the mean rank of what it is joined to on one side.
    fn sweep(&mut self, near: &Neighbours, rightwards: bool) {
        let count = self.layers.len();
        let mut ranks = self.ranks();
        for step in 1..count {
            let layer = if rightwards { step } else { count - 1 - step };
            let joined = if rightwards { &near.left } else { &near.right };
            let mut keyed: Vec<(Band, f64, usize)> = self.layers[layer]
                .iter()
                .map(|node| {
                    let theirs = &joined[*node];
                    let sum: f64 = theirs.iter().map(|other| ranks[*other].real()).sum();
                    let key = if theirs.is_empty() {
                        ranks[*node].real()
                    } else {
                        sum / theirs.len().real()
                    };
                    (self.bands[*node], key, *node)
                })
                .collect();
            keyed.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
            self.layers[layer] = keyed.into_iter().map(|(.., node)| node).collect();
            for (rank, node) in self.layers[layer].iter().enumerate() {
                ranks[*node] = rank;
            }
        }
    }

    /// Swaps neighbours as long as that removes crossings; only the lines of the two are looked at.
    fn transpose(&mut self, near: &Neighbours) {
        let mut ranks = self.ranks();
        let mut improved = true;
        while improved {
            improved = false;
            for layer in 0..self.layers.len() {
                for at in 1..self.layers[layer].len() {
                    let (above, below) = (self.layers[layer][at - 1], self.layers[layer][at]);
                    if self.bands[above] == self.bands[below]
                        && near.crossings_of(below, above, &ranks)
                            < near.crossings_of(above, below, &ranks)
                    {
                        self.layers[layer].swap(at - 1, at);
                        ranks[below] = at - 1;
                        ranks[above] = at;
                        improved = true;
                    }
                }
            }
        }
    }
}

/// What each node is joined to on either side.
struct Neighbours {
    left: Vec<Vec<usize>>,
    right: Vec<Vec<usize>>,
}

impl Neighbours {
    fn of(layered: &Layered) -> Self {
        let mut near = Self {
            left: vec![Vec::new(); layered.kinds.len()],
            right: vec![Vec::new(); layered.kinds.len()],
        };
        for piece in layered.pieces.iter().flatten() {
            near.right[piece.from].push(piece.to);
            near.left[piece.to].push(piece.from);
        }
        near
    }

    /// Crossings between the lines of two nodes of one layer, the first above the second.
    fn crossings_of(&self, above: usize, below: usize, ranks: &[usize]) -> usize {
        let of_side = |side: &[Vec<usize>]| -> usize {
            let mut theirs: Vec<usize> = side[below].iter().map(|other| ranks[*other]).collect();
            theirs.sort_unstable();
            side[above]
                .iter()
                .map(|other| theirs.partition_point(|rank| *rank < ranks[*other]))
                .sum()
        };
        of_side(&self.left) + of_side(&self.right)
    }
}

/// Pairs of pieces out of order, counted with a tree of partial sums.
fn crossings_in(gap: &[Piece], ranks: &[usize]) -> usize {
    let mut ends: Vec<(usize, usize)> = gap
        .iter()
        .map(|piece| (ranks[piece.from], ranks[piece.to]))
        .collect();
    ends.sort_unstable();
    let size = ends.iter().map(|(_, to)| to + 1).max().unwrap_or(0);
    let mut sums = vec![0_usize; size + 1];
    let mut crossings = 0;
    for (seen, (_, to)) in ends.iter().enumerate() {
        let (mut at, mut not_beyond) = (to + 1, 0);
        while at > 0 {
            not_beyond += sums[at];
            at &= at - 1;
        }
        crossings += seen - not_beyond;
        at = to + 1;
        while at <= size {
            sums[at] += 1;
            at += at & at.wrapping_neg();
        }
    }
    crossings
}

#[cfg(test)]
mod tests {
    use super::super::graph::{Circuit, Edge, Label};
    use super::super::measure::SHEET;
    use super::*;

    /// Nodes a layer, and edges.
    type Case = (&'static [usize], &'static [(usize, usize)]);

    fn graph(layers: &[usize], edges: &[(usize, usize)]) -> Graph {
        let mut graph = Graph::default();
        for (layer, count) in layers.iter().enumerate() {
            for _ in 0..*count {
                let node = graph.add(NodeKind::Bank, "n", String::new(), Band::Vehicle);
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
                given: true,
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
                Layered::of(&graph(layers, edges), &SHEET).crossings(),
                0,
                "{layers:?} {edges:?}"
            );
        }
    }

    #[test]
    fn law_what_cannot_be_planar_keeps_its_one_crossing() {
        // K(2,2) with the columns fixed crosses once, whatever the order.
        let tangle = graph(&[2, 2], &[(0, 2), (0, 3), (1, 2), (1, 3)]);
        assert_eq!(Layered::of(&tangle, &SHEET).crossings(), 1);
    }
}
