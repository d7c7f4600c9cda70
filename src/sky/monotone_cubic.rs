//! Cubics between points.
//!
//! One job: points and slopes in, values between out, without overshoot. Used by
//! `sky::percentile_curve` and `sky::beta_line`.
//! Left out: beyond the outermost points.
//!
//! Source: F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17(2), 238-246, 1980,
//! doi:10.1137/0717021; slopes by F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5(2),
//! 300-304, 1984, doi:10.1137/0905021.

/// Slopes of the monotone cubic: the weighted harmonic mean of the neighbours' inside, the
/// neighbour's own at the ends.
pub(super) fn slopes(points: &[(f64, f64)]) -> Vec<f64> {
    let width = |i: usize| points[i + 1].0 - points[i].0;
    let chord = |i: usize| (points[i + 1].1 - points[i].1) / width(i);
    let last = points.len() - 1;
    (0..=last)
        .map(|i| {
            if i == 0 {
                return chord(0);
            }
            if i == last {
                return chord(last - 1);
            }
            let (a, b) = (chord(i - 1), chord(i));
            if a <= 0.0 || b <= 0.0 {
                return 0.0;
            }
            let (wa, wb) = (2.0 * width(i) + width(i - 1), width(i) + 2.0 * width(i - 1));
            (wa + wb) / (wa / a + wb / b)
        })
        .collect()
}

/// Value of the curve at a place among its points, which ascend; `slopes` are theirs.
pub(super) fn inside(points: &[(f64, f64)], slopes: &[f64], z: f64) -> f64 {
    let right = points
        .partition_point(|p| p.0 < z)
        .clamp(1, points.len() - 1);
    let (a, b) = (points[right - 1], points[right]);
    let width = b.0 - a.0;
    hermite(
        (z - a.0) / width,
        (a.1, slopes[right - 1] * width),
        (b.1, slopes[right] * width),
    )
}

/// Cubic through two values with their slopes per unit of `share`.
pub(super) fn hermite(share: f64, a: (f64, f64), b: (f64, f64)) -> f64 {
    let rest = 1.0 - share;
    let bend = rest * rest * (a.1 * share + a.0 * (1.0 + 2.0 * share));
    bend + share * share * (b.0 * (1.0 + 2.0 * rest) - b.1 * rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_curve_passes_through_its_points_and_never_falls() {
        let points = [(-1.0, 0.1), (0.0, 0.1), (0.5, 0.6), (2.0, 0.61)];
        let slopes = slopes(&points);
        for (z, kt) in points {
            assert!((inside(&points, &slopes, z) - kt).abs() < 1e-12);
        }
        let mut last = 0.1;
        for step in 0..=300 {
            let now = inside(&points, &slopes, -1.0 + f64::from(step) / 100.0);
            assert!(now >= last - 1e-12, "{step}");
            last = now;
        }
    }
}
