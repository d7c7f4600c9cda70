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
use super::measure::BOX_GAP;
use super::order::{Layered, Piece};

/// Room between two bands: for their outlines and a title.
const BAND_GAP: f64 = 52.0;

/// Gives every node of a layered graph its height and place, every line its ends; the highest box begins at 0.
pub(super) fn place(layered: &mut Layered) {
    set_ports(layered);
    set_heights(layered);
    for layer in &layered.layers {
        let mut y = 0.0;
        for &node in layer {
            layered.middle[node] = y + layered.height[node] / 2.0;
            y += layered.height[node] + BOX_GAP;
        }
    }
    let hangs = loads_hang(layered);
    let free = layered.layers.len() - usize::from(hangs);
    for sweep in 0..24 {
        let leftwards = sweep % 2 == 0;
        let both = sweep >= 20;
        for step in 0..free {
            let layer = if leftwards { free - 1 - step } else { step };
            let to_right = (leftwards || both) && layer + 1 < free;
            let to_left = (!leftwards || both) && layer > 0;
            settle(layered, layer, (to_right, to_left));
        }
    }
    level_chains(layered);
    if hangs {
        hang_loads(layered);
    }
    part_bands(layered);
    let nodes = 0..layered.kinds.len();
    let top = nodes.map(|node| layered.edges_of(node).0);
    let top = top.fold(f64::INFINITY, f64::min);
    layered.middle.iter_mut().for_each(|middle| *middle -= top);
}

/// Stacks the bands below each other, each as a whole.
fn part_bands(layered: &mut Layered) {
    let mut bottom: Option<f64> = None;
    for band in Band::ALL {
        let Some((highest, lowest)) = layered.band_edges(band) else {
            continue;
        };
        let shift = bottom.map_or(0.0, |bottom| bottom + BAND_GAP - highest);
        for (middle, its) in layered.middle.iter_mut().zip(&layered.bands) {
            if *its == band {
                *middle += shift;
            }
        }
        bottom = Some(lowest + shift);
    }
}

fn set_heights(layered: &mut Layered) {
    let pitch = layered.measure.pitch;
    let mut degrees = vec![(0.0, 0.0); layered.kinds.len()];
    for piece in layered.pieces.iter().flatten() {
        degrees[piece.to].0 += 1.0;
        degrees[piece.from].1 += 1.0;
    }
    for (node, (entering, leaving)) in degrees.into_iter().enumerate() {
        let lines = f64::max(entering, leaving).max(1.0);
        layered.height[node] = match layered.kinds[node] {
            NodeKind::Bend => pitch,
            NodeKind::Load => lines * pitch - layered.measure.load_inset,
            NodeKind::Block => (lines * pitch).max(layered.least[node]),
            _ => (lines * pitch + 4.0).max(layered.least[node]),
        };
    }
}

/// Spreads the lines at each node about its middle, in the order of their far ends.
fn set_ports(layered: &mut Layered) {
    let ranks = layered.ranks();
    let pitch = layered.measure.pitch;
    for gap in &mut layered.pieces {
        let leaves = spread(gap, pitch, |p| p.from, |p| (ranks[p.to], p.edge));
        let enters = spread(gap, pitch, |p| p.to, |p| (ranks[p.from], p.edge));
        for (piece, ends) in gap.iter_mut().zip(leaves.into_iter().zip(enters)) {
            (piece.leave, piece.enter) = ends;
        }
    }
}

fn spread(
    pieces: &[Piece],
    pitch: f64,
    own: impl Fn(&Piece) -> usize,
    key: impl Fn(&Piece) -> (usize, usize),
) -> Vec<f64> {
    let offset = |piece: &Piece| {
        let (mut above, mut below) = (0.0, 0.0);
        for other in pieces.iter().filter(|other| own(other) == own(piece)) {
            if key(other) < key(piece) {
                above += 1.0;
            } else if key(other) > key(piece) {
                below += 1.0;
            }
        }
        (above - below) / 2.0 * pitch
    };
    pieces.iter().map(offset).collect()
}

/// Whether the last column holds loads, which hang on the column before it.
fn loads_hang(layered: &Layered) -> bool {
    let is_load = |node: &usize| layered.kinds[*node] == NodeKind::Load;
    let last = layered.layers.last();
    layered.layers.len() > 1 && last.is_some_and(|last| last.iter().all(is_load))
}

fn hang_loads(layered: &mut Layered) {
    let gap = layered.pieces.len() - 1;
    for at in 0..layered.layers[gap + 1].len() {
        let node = layered.layers[gap + 1][at];
        let lines = layered.pieces[gap].iter().filter(|piece| piece.to == node);
        let ys: Vec<f64> = lines.map(|piece| layered.ends(piece).0).collect();
        if let (Some(first), Some(last)) = (ys.first(), ys.last()) {
            layered.middle[node] = f64::midpoint(*first, *last);
        }
    }
}

/// Room between two neighbours.
fn gap(layered: &Layered, one: usize, other: usize) -> f64 {
    if layered.is_bend(one) && layered.is_bend(other) {
        layered.measure.wire_gap
    } else {
        BOX_GAP
    }
}

/// Moves a layer's nodes to where their lines run straight, as far as order and distance allow.
fn settle(layered: &mut Layered, layer: usize, (to_right, to_left): (bool, bool)) {
    let wish = |node: usize| {
        let (mut sum, mut weight) = (0.0, 0.0);
        let mut look = |gap: usize, right: bool| {
            for piece in &layered.pieces[gap] {
                let (own, far, shift) = if right {
                    (piece.from, piece.to, piece.enter - piece.leave)
                } else {
                    (piece.to, piece.from, piece.leave - piece.enter)
                };
                if own == node {
                    let are_bends = layered.is_bend(far) && layered.is_bend(own);
                    let heavy = if are_bends { 4.0 } else { 1.0 };
                    sum += (layered.middle[far] + shift) * heavy;
                    weight += heavy;
                }
            }
        };
        if to_right {
            look(layer, true);
        }
        if to_left {
            look(layer - 1, false);
        }
        if weight > 0.0 {
            (sum / weight, weight)
        } else {
            (layered.middle[node], 0.05)
        }
    };
    let nodes = &layered.layers[layer];
    let mut offset = 0.0;
    let mut offsets = Vec::with_capacity(nodes.len());
    for (index, &node) in nodes.iter().enumerate() {
        if let Some(before) = index.checked_sub(1) {
            let half = f64::midpoint(layered.height[nodes[before]], layered.height[node]);
            offset += half + gap(layered, nodes[before], node);
        }
        offsets.push(offset);
    }
    let wishes = nodes.iter().zip(&offsets).map(|(&node, offset)| {
        let (y, weight) = wish(node);
        (y - offset, weight)
    });
    let fit = ascending_fit(&wishes.collect::<Vec<_>>());
    for ((&node, y), offset) in nodes.iter().zip(fit).zip(offsets) {
        layered.middle[node] = y + offset;
    }
}

/// Draws each line that passes several columns at one height, if its neighbours leave room: at that
/// of either end if it can be, else at one its bends have already.
fn level_chains(layered: &mut Layered) {
    let all = layered.pieces.iter().flatten();
    let edges = all.map(|piece| piece.edge + 1).max().unwrap_or(0);
    for edge in 0..edges {
        let mut bends = Vec::new();
        let mut wishes = Vec::new();
        for (gap, pieces) in layered.pieces.iter().enumerate() {
            for piece in pieces.iter().filter(|piece| piece.edge == edge) {
                if layered.is_bend(piece.to) {
                    bends.push((gap + 1, piece.to));
                }
                let (leave, enter) = layered.ends(piece);
                wishes.push((layered.is_bend(piece.from), leave));
                wishes.push((layered.is_bend(piece.to), enter));
            }
        }
        wishes.sort_by_key(|(is_bend, _)| *is_bend);
        let fits = |y: f64| bends.iter().all(|bend| has_room(layered, *bend, y));
        if let Some((_, y)) = wishes.iter().copied().find(|(_, y)| fits(*y)) {
            for (_, bend) in &bends {
                layered.middle[*bend] = y;
            }
        }
    }
}

fn has_room(layered: &Layered, (layer, bend): (usize, usize), y: f64) -> bool {
    let nodes = &layered.layers[layer];
    let Some(at) = nodes.iter().position(|node| *node == bend) else {
        return false;
    };
    let (middle, height) = (&layered.middle, &layered.height);
    let distance =
        |other: usize| f64::midpoint(height[bend], height[other]) + gap(layered, bend, other) / 2.0;
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
