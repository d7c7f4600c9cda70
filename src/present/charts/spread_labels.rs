//! Labels in a column, moved apart.
//!
//! One job: labels beside the ends of lines, as near to where each belongs as the others allow, in the
//! same order.

use super::axes::SIZE;
use super::canvas::{Canvas, Label};
use super::palette::Paint;
use super::text_size::{Area, LINE};
use crate::units::Whole as _;

/// What stands at the right end of a line of a panel.
pub(super) struct EndLabel {
    /// How far down the line ends, in pixels.
    pub(super) y: f64,
    /// What it says.
    pub(super) text: String,
    /// Colour of both.
    pub(super) paint: Paint,
    /// Bold.
    pub(super) bold: bool,
}

/// Labels right of a panel, each joined to where it belongs; equal places keep the order of the list,
/// highest first.
pub(super) fn label_ends(canvas: &mut Canvas, panel: &Area, labels: Vec<EndLabel>) {
    let wanted: Vec<f64> = labels.iter().map(|label| label.y).collect();
    let (low, high) = (panel.top - 4.0, panel.bottom + 2.0);
    let places = spread(&wanted, SIZE * LINE + 0.5, low, high);
    for ((place, wanted), end) in places.into_iter().zip(wanted).zip(labels) {
        let (from, to) = (panel.right + 1.0, panel.right + 12.0);
        canvas.line((from, wanted), (to, place), end.paint, 0.75);
        let label = Label::new(end.text, panel.right + 15.0, place, SIZE, end.paint);
        canvas.label(if end.bold { label.bold() } else { label });
    }
}

/// Centres of labels that want to stand at `wanted` (in any order), at least `gap` apart and
/// within `low` to `high`. When they cannot all fit, they share the range evenly.
fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let count = wanted.len();
    if count == 0 {
        return Vec::new();
    }
    let steps = (count - 1).real();
    let gap = gap.min((high - low).max(0.0) / steps.max(1.0));
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    // Blocks of labels that touch: the sum of the wanted places of their first ones, and size.
    let mut blocks: Vec<(f64, f64)> = Vec::with_capacity(count);
    for &index in &order {
        let mut block = (wanted[index].clamp(low, high), 1.0);
        while let Some(&(sum, size)) = blocks.last() {
            if sum / size + size * gap <= block.0 / block.1 {
                break;
            }
            blocks.pop();
            block = (sum + block.0 - block.1 * size * gap, size + block.1);
        }
        blocks.push(block);
    }
    let mut places = vec![0.0; count];
    let mut next = order.iter();
    for (sum, size) in blocks {
        let first = (sum / size).clamp(low, (high - (size - 1.0) * gap).max(low));
        let mut offset = 0.0;
        while offset < size {
            let Some(&index) = next.next() else { break };
            places[index] = first + offset * gap;
            offset += 1.0;
        }
    }
    // Holding blocks to the ends can press them together again: one sweep from each end.
    let mut floor = low;
    for &index in &order {
        places[index] = places[index].max(floor);
        floor = places[index] + gap;
    }
    let mut ceiling = high;
    for &index in order.iter().rev() {
        places[index] = places[index].min(ceiling);
        ceiling = places[index] - gap;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay() {
        assert_eq!(
            spread(&[10.0, 50.0, 30.0], 12.0, 0.0, 100.0),
            [10.0, 50.0, 30.0]
        );
    }

    #[test]
    fn labels_at_one_place_open_round_it() {
        assert_eq!(
            spread(&[50.0, 50.0, 50.0], 12.0, 0.0, 100.0),
            [38.0, 50.0, 62.0]
        );
    }

    proptest! {
        #[test]
        fn law_labels_keep_apart_and_inside(
            wanted in proptest::collection::vec(-50.0..150.0_f64, 1..9),
        ) {
            let places = spread(&wanted, 12.0, 0.0, 100.0);
            let mut sorted = places.clone();
            sorted.sort_by(f64::total_cmp);
            prop_assert!(sorted[0] >= -1e-9 && sorted[sorted.len() - 1] <= 100.0 + 1e-9);
            for pair in sorted.windows(2) {
                prop_assert!(pair[1] - pair[0] >= 12.0 - 1e-9);
            }
        }
    }
}
