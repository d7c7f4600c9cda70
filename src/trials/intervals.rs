//! Interval of a chance estimated from trials.

use crate::units::Whole;

/// Half width of a 95 % interval of a normal variable, standard deviations.
pub const Z_95: f64 = 1.959_963_984_540_054;

/// Wilson's 95 % interval of a chance: low and high end.
///
/// `hits` of `trials` (1 or more). Never leaves 0 to 1 and is no point at either end.
///
/// # Source
/// E. B. Wilson, "Probable inference, the law of succession, and statistical inference", J. Am.
/// Stat. Assoc. 22(158), 209-212, 1927, doi:10.1080/01621459.1927.10502953.
#[must_use]
pub fn wilson(hits: u64, trials: u64) -> (f64, f64) {
    wilson_of(Z_95, hits, trials)
}

/// The same for other intervals: `z` is the half width of that of a normal variable, standard deviations.
#[must_use]
pub fn wilson_of(z: f64, hits: u64, trials: u64) -> (f64, f64) {
    let (n, share) = (trials.real(), hits.real() / trials.real());
    let z2 = z * z;
    let centre = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = z / (1.0 + z2 / n) * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
    (
        (centre - half).clamp(0.0, share),
        (centre + half).clamp(share, 1.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside figure: 81 of 263, R. G. Newcombe, "Two-sided confidence intervals for the single
    /// proportion", Statistics in Medicine 17, 857-872, 1998, table I, method 3 (from memory):
    /// 0.2553 to 0.3662; 0 of 20: 0 to 0.1611.
    #[test]
    fn outside_newcombe_examples() {
        let (low, high) = wilson(81, 263);
        assert!(
            (low - 0.2553).abs() < 6e-5 && (high - 0.3662).abs() < 6e-5,
            "{low} {high}"
        );
        let (low, high) = wilson(0, 20);
        assert!(
            low.abs() < 1e-12 && (high - 0.1611).abs() < 6e-5,
            "{low} {high}"
        );
    }
}
