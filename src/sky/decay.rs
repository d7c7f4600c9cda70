//! Falling exponentials of many numbers at once.
//!
//! One job: e^(−x) without a branch, a call or a table, so that the compiler works on several numbers
//! side by side. The bits are the same on every machine.

use core::f64::consts::LOG2_E;

use super::normal::polynomial;

/// Beyond this, e^(−x) is held: it would soon leave the numbers of full precision.
const LARGEST_X: f64 = 708.0;

/// Adding it rounds a small number to a whole one, which then stands in the lowest bits.
const ROUNDING: f64 = 6_755_399_441_055_744.0;

/// The natural logarithm of 2 in two parts: the first has so few digits that its product with a whole
/// number below 2^20 is exact.
const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// Inverse factorials from 0 to 12.
const COEFFICIENTS: [f64; 13] = inverse_factorials();

const fn inverse_factorials() -> [f64; 13] {
    let mut inverse = [1.0; 13];
    let (mut index, mut product, mut factor) = (1, 1.0, 1.0);
    while index < inverse.len() {
        product *= factor;
        inverse[index] = 1.0 / product;
        factor += 1.0;
        index += 1;
    }
    inverse
}

/// e^(−x).
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `x` | exponent | 1 | 0 or more; from 708 on as at 708 |
///
/// # Validity
/// Relative error below 4e-16: with `x = n·ln 2 − r` and |r| ≤ ½ ln 2 the first term left out of the
/// series of e^r, r¹³/13!, is below 1.7e-16, and rounding adds a unit of the last place.
///
/// # Source
/// Definition, by its power series.
#[must_use]
#[expect(
    clippy::inline_always,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub(crate) fn decay(x: f64) -> f64 {
    debug_assert!(x >= 0.0, "{x}");
    let x = if x < LARGEST_X { x } else { LARGEST_X };
    let shifted = x * LOG2_E + ROUNDING;
    let halvings = shifted - ROUNDING;
    let r = (halvings * LN_2_HIGH - x) + halvings * LN_2_LOW;
    let power = polynomial(r, &COEFFICIENTS);
    // The exponent of a double begins at bit 52 and is 1023 for 1.
    power * f64::from_bits(1023_u64.wrapping_sub(shifted.to_bits()) << 52)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside reference: the `libm` crate, itself within a unit of the last place.
    #[test]
    fn outside_decay_is_that_of_the_reference_library() {
        for step in 0..2_000_000 {
            let x = f64::from(step) / 2_000_000.0;
            for x in [x, 20.0 * x, 708.0 * x] {
                let expected = libm::exp(-x);
                let error = (decay(x) - expected).abs();
                assert!(error <= 4e-16 * expected, "{x}: {error}");
            }
        }
        assert!((decay(0.0) - 1.0).abs() < f64::EPSILON);
        assert!(decay(1e300) < 1e-300 && decay(f64::INFINITY) > 0.0);
    }
}
