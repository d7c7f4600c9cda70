//! Heights: where each box stands in its column, and where lines leave and enter it.
//!
//! One job: vertical coordinates that keep lines straight where they can be. The order is from
//! [`super::order`], the lines are drawn in [`super::route`].
//!
//! # Source
//! Least squares under an order with distances: pool adjacent violators (Barlow et al.,
//! "Statistical inference under order restrictions", 1972).

use super::bands::Band;
use super::graph::NodeKind;
use super::order::{Layered, Piece};

/// Distance of neighbouring lines: room for a label of two lines.
pub(super) const PITCH: f64 = 40.0;
/// Distance of neighbouring boxes.
const BOX_GAP: f64 = 14.0;
/// Least height of a box other than a load.
const LEAST_BOX: f64 = 52.0;
/// What a load's box is lower than the pitch.
const LOAD_INSET: f64 = 10.0;

/// Vertical coordinates.
#[derive(Debug, Clone)]
pub(super) struct Places {
    /// Middle of each node or bend.
    pub(super) middle: Vec<f64>,
    /// Height of each.
    pub(super) height: Vec<f64>,
    /// Where each piece leaves its left node, by gap.
    pub(super) leaves: Vec<Vec<f64>>,
    /// Where each piece enters its right node, by gap.
    pub(super) enters: Vec<Vec<f64>>,
}

struct Ports {
    /// From the middle of the left node, by gap and piece.
    leave: Vec<Vec<f64>>,
    /// From the middle of the right node, by gap and piece.
    enter: Vec<Vec<f64>>,
}

/// Places every node of a layered graph; the highest box begins at 0.
pub(super) fn place(layered: &Layered) -> Places {
    let ports = ports(layered);
    let height: Vec<f64> = degrees(layered)
        .into_iter()
        .enumerate()
        .map(|(node, degrees)| height_of(layered, degrees, node))
        .collect();
    let mut middle = vec![0.0; layered.kinds.len()];
    let hung = hung_loads(layered);
    for layer in &layered.layers {
        stack(layer, &height, &mut middle);
    }
    let free = layered.layers.len() - usize::from(hung);
    for sweep in 0..24 {
        let leftwards = sweep % 2 == 0;
        for step in 0..free {
            let layer = if leftwards { free - 1 - step } else { step };
            let both = sweep >= 20;
            settle(
                layered,
                &ports,
                layer,
                free,
                (leftwards || both, !leftwards || both),
                &height,
                &mut middle,
            );
        }
    }
    level_chains(layered, &ports, &height, &mut middle);
    if hung {
        hang_loads(layered, &ports, &mut middle);
    }
    part_bands(layered, &height, &mut middle);
    let top = (0..middle.len())
        .map(|n| middle[n] - height[n] / 2.0)
        .fold(f64::INFINITY, f64::min);
    for value in &mut middle {
        *value -= top;
    }
    let at = |gap: usize, offsets: &[f64], end: fn(&Piece) -> usize| -> Vec<f64> {
        layered.pieces[gap]
            .iter()
            .zip(offsets)
            .map(|(piece, offset)| middle[end(piece)] + offset)
            .collect()
    };
    let gaps = layered.pieces.len();
    let leaves = (0..gaps)
        .map(|gap| at(gap, &ports.leave[gap], |p| p.from))
        .collect();
    let enters = (0..gaps)
        .map(|gap| at(gap, &ports.enter[gap], |p| p.to))
        .collect();
    Places {
        middle,
        height,
        leaves,
        enters,
    }
}

/// Room between two bands: for their outlines and a title.
const BAND_GAP: f64 = 52.0;

/// Stacks the bands below each other, each as a whole.
fn part_bands(layered: &Layered, height: &[f64], middle: &mut [f64]) {
    let mut bottom = None;
    for band in Band::ALL {
        let of_band: Vec<usize> = (0..middle.len())
            .filter(|node| layered.bands[*node] == band)
            .collect();
        let highest = of_band
            .iter()
            .map(|n| middle[*n] - height[*n] / 2.0)
            .fold(f64::INFINITY, f64::min);
        let lowest = of_band
            .iter()
            .map(|n| middle[*n] + height[*n] / 2.0)
            .fold(f64::NEG_INFINITY, f64::max);
        if of_band.is_empty() {
            continue;
        }
        let shift = bottom.map_or(0.0, |bottom: f64| bottom + BAND_GAP - highest);
        for node in of_band {
            middle[node] += shift;
        }
        bottom = Some(lowest + shift);
    }
}

/// Lines that enter and leave each node.
fn degrees(layered: &Layered) -> Vec<(f64, f64)> {
    let mut degrees = vec![(0.0, 0.0); layered.kinds.len()];
    for piece in layered.pieces.iter().flatten() {
        degrees[piece.to].0 += 1.0;
        degrees[piece.from].1 += 1.0;
    }
    degrees
}

fn height_of(layered: &Layered, (entering, leaving): (f64, f64), node: usize) -> f64 {
    let lines = f64::max(entering, leaving).max(1.0);
    match layered.kinds[node] {
        NodeKind::Bend => PITCH,
        NodeKind::Load => lines * PITCH - LOAD_INSET,
        NodeKind::Block => (lines * PITCH).max(LEAST_BOX),
        _ => (lines * PITCH + 4.0).max(LEAST_BOX),
    }
}

/// Offsets of the lines at each node: spread about its middle, in the order of their far ends.
fn ports(layered: &Layered) -> Ports {
    let ranks = layered.ranks();
    let mut ports = Ports {
        leave: layered
            .pieces
            .iter()
            .map(|gap| vec![0.0; gap.len()])
            .collect(),
        enter: layered
            .pieces
            .iter()
            .map(|gap| vec![0.0; gap.len()])
            .collect(),
    };
    for (gap, pieces) in layered.pieces.iter().enumerate() {
        spread(
            pieces,
            |p| p.from,
            |p| (ranks[p.to], p.edge),
            &mut ports.leave[gap],
        );
        spread(
            pieces,
            |p| p.to,
            |p| (ranks[p.from], p.edge),
            &mut ports.enter[gap],
        );
    }
    ports
}

fn spread(
    pieces: &[Piece],
    own: impl Fn(&Piece) -> usize,
    key: impl Fn(&Piece) -> (usize, usize),
    offsets: &mut [f64],
) {
    for (index, piece) in pieces.iter().enumerate() {
        let (mut above, mut below) = (0.0, 0.0);
        for other in pieces {
            if own(other) == own(piece) && key(other) < key(piece) {
                above += 1.0;
            } else if own(other) == own(piece) && key(other) > key(piece) {
                below += 1.0;
            }
        }
        offsets[index] = (above - below) / 2.0 * PITCH;
    }
}

fn stack(layer: &[usize], height: &[f64], middle: &mut [f64]) {
    let mut y = 0.0;
    for node in layer {
        middle[*node] = y + height[*node] / 2.0;
        y += height[*node] + BOX_GAP;
    }
}

/// Whether the last column holds loads, which hang on the column before it.
fn hung_loads(layered: &Layered) -> bool {
    let is_load = |node: &usize| layered.kinds[*node] == NodeKind::Load;
    layered.layers.len() > 1
        && layered
            .layers
            .last()
            .is_some_and(|last| last.iter().all(is_load))
}

fn hang_loads(layered: &Layered, ports: &Ports, middle: &mut [f64]) {
    let gap = layered.pieces.len() - 1;
    for node in &layered.layers[gap + 1] {
        let ys: Vec<f64> = layered.pieces[gap]
            .iter()
            .zip(&ports.leave[gap])
            .filter(|(piece, _)| piece.to == *node)
            .map(|(piece, offset)| middle[piece.from] + offset)
            .collect();
        if let (Some(first), Some(last)) = (ys.first(), ys.last()) {
            middle[*node] = f64::midpoint(*first, *last);
        }
    }
}

/// Moves a layer's nodes to where their lines run straight, as far as order and distance allow.
fn settle(
    layered: &Layered,
    ports: &Ports,
    layer: usize,
    free: usize,
    (to_right, to_left): (bool, bool),
    height: &[f64],
    middle: &mut [f64],
) {
    let nodes = &layered.layers[layer];
    let mut wishes: Vec<(f64, f64)> = Vec::with_capacity(nodes.len());
    for node in nodes {
        let (mut sum, mut weight) = (0.0, 0.0);
        let mut wish = |y: f64, heavy: f64| {
            sum += y * heavy;
            weight += heavy;
        };
        let mut look = |gap: usize, right: bool| {
            for (index, piece) in layered.pieces[gap].iter().enumerate() {
                let (own, far) = if right {
                    (piece.from, piece.to)
                } else {
                    (piece.to, piece.from)
                };
                if own == *node {
                    let (mine, theirs) = (ports.leave[gap][index], ports.enter[gap][index]);
                    let shift = if right { theirs - mine } else { mine - theirs };
                    let is_bend = layered.kinds[far] == NodeKind::Bend
                        && layered.kinds[own] == NodeKind::Bend;
                    wish(middle[far] + shift, if is_bend { 4.0 } else { 1.0 });
                }
            }
        };
        if to_right && layer + 1 < free {
            look(layer, true);
        }
        if to_left && layer > 0 {
            look(layer - 1, false);
        }
        if weight > 0.0 {
            wishes.push((sum / weight, weight));
        } else {
            wishes.push((middle[*node], 0.05));
        }
    }
    let mut offset = 0.0;
    let mut offsets = Vec::with_capacity(nodes.len());
    for (index, node) in nodes.iter().enumerate() {
        if let Some(before) = index.checked_sub(1) {
            offset += f64::midpoint(height[nodes[before]], height[*node]) + BOX_GAP;
        }
        offsets.push(offset);
    }
    let shifted: Vec<(f64, f64)> = wishes
        .iter()
        .zip(&offsets)
        .map(|((y, w), o)| (y - o, *w))
        .collect();
    for ((node, y), offset) in nodes.iter().zip(ascending_fit(&shifted)).zip(&offsets) {
        middle[*node] = y + offset;
    }
}

/// Draws each line that passes several columns at one height, if its neighbours leave room: at that
/// of either end if it can be, else at one its bends have already.
fn level_chains(layered: &Layered, ports: &Ports, height: &[f64], middle: &mut [f64]) {
    let edges = layered
        .pieces
        .iter()
        .flatten()
        .map(|piece| piece.edge + 1)
        .max()
        .unwrap_or(0);
    for edge in 0..edges {
        let mut bends = Vec::new();
        let mut wishes = Vec::new();
        for (gap, pieces) in layered.pieces.iter().enumerate() {
            for (index, piece) in pieces
                .iter()
                .enumerate()
                .filter(|(_, piece)| piece.edge == edge)
            {
                if layered.kinds[piece.to] == NodeKind::Bend {
                    bends.push((gap + 1, piece.to));
                }
                for (node, offset) in [
                    (piece.from, ports.leave[gap][index]),
                    (piece.to, ports.enter[gap][index]),
                ] {
                    wishes.push((layered.kinds[node] == NodeKind::Bend, middle[node] + offset));
                }
            }
        }
        wishes.sort_by_key(|(is_bend, _)| *is_bend);
        let fits = |y: f64| {
            bends
                .iter()
                .all(|(layer, bend)| has_room(layered, height, middle, (*layer, *bend), y))
        };
        if let Some((_, y)) = wishes.iter().copied().find(|(_, y)| fits(*y)) {
            for (_, bend) in &bends {
                middle[*bend] = y;
            }
        }
    }
}

fn has_room(
    layered: &Layered,
    height: &[f64],
    middle: &[f64],
    (layer, bend): (usize, usize),
    y: f64,
) -> bool {
    let nodes = &layered.layers[layer];
    let Some(at) = nodes.iter().position(|node| *node == bend) else {
        return false;
    };
    let distance = |other: usize| f64::midpoint(height[bend], height[other]) + BOX_GAP / 2.0;
    let above = at.checked_sub(1).map(|index| nodes[index]);
    let below = nodes.get(at + 1).copied();
    above.is_none_or(|other| y - middle[other] >= distance(other) - 1e-9)
        && below.is_none_or(|other| middle[other] - y >= distance(other) - 1e-9)
}

/// The ascending sequence closest to (value, weight) in weighted least squares.
fn ascending_fit(wishes: &[(f64, f64)]) -> Vec<f64> {
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    for (value, weight) in wishes {
        let mut pool = (*value, *weight, 1);
        while let Some(before) = pools.last().copied()
            && before.0 > pool.0
        {
            pools.pop();
            let weight = before.1 + pool.1;
            let mean = (before.0 * before.1 + pool.0 * pool.1) / weight;
            pool = (mean, weight, before.2 + pool.2);
        }
        pools.push(pool);
    }
    pools
        .into_iter()
        .flat_map(|(value, _, count)| std::iter::repeat_n(value, count))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::ascending_fit;

    #[test]
    fn violators_are_pooled() {
        // By hand: 3 and 1 pool to 2; 5 stays.
        let fit = ascending_fit(&[(3.0, 1.0), (1.0, 1.0), (5.0, 1.0)]);
        let expected = [2.0, 2.0, 5.0];
        for (got, want) in fit.iter().zip(expected) {
            assert!((got - want).abs() < 1e-12, "{fit:?}");
        }
    }
}
