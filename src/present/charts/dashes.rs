//! Dashed lines, as the pieces that are drawn.
//!
//! One job: a line cut into dashes and gaps along its length.

/// The dashes of a line: lengths of dash and gap.
pub(super) fn dashes(points: &[(f64, f64)], (dash, gap): (f64, f64)) -> Vec<Vec<(f64, f64)>> {
    let mut pieces = Vec::new();
    let mut piece: Vec<(f64, f64)> = points.first().copied().into_iter().collect();
    let (mut is_dash, mut left) = (true, dash);
    for pair in points.windows(2) {
        let ((mut x, mut y), (to_x, to_y)) = (pair[0], pair[1]);
        loop {
            let length = (to_x - x).hypot(to_y - y);
            if length <= left {
                left -= length;
                if is_dash {
                    piece.push((to_x, to_y));
                }
                break;
            }
            x += (to_x - x) * left / length;
            y += (to_y - y) * left / length;
            if is_dash {
                piece.push((x, y));
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![(x, y)];
            }
            is_dash = !is_dash;
            left = if is_dash { dash } else { gap };
        }
    }
    if is_dash && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dashes_cover_their_share_of_a_line() {
        let pieces = dashes(&[(0.0, 0.0), (7.0, 0.0), (20.0, 0.0)], (4.0, 2.0));
        let lengths: Vec<f64> = pieces
            .iter()
            .map(|piece| piece[piece.len() - 1].0 - piece[0].0)
            .collect();
        assert_eq!(lengths.len(), 4);
        assert!(
            (lengths.iter().sum::<f64>() - 14.0).abs() < 1e-9,
            "{lengths:?}"
        );
    }
}
