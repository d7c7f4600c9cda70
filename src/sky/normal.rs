//! The standard normal distribution.
//!
//! One job: deviate to probability and back, the same bits on every platform. What is drawn with it
//! lies in `trials`.
//! Left out: other means and spreads.

use libm::{erfc, exp, log, sqrt};

/// Density of the standard normal distribution at `x`.
#[must_use]
pub fn normal_density(x: f64) -> f64 {
    /// 1 / √(2π).
    const SCALE: f64 = 0.398_942_280_401_432_7;
    SCALE * exp(-0.5 * x * x)
}

/// Probability that a standard normal deviate is at most `x`, any `x`.
///
/// # Source
/// Definition, by the complementary error function, so the lower tail keeps its digits.
#[must_use]
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * erfc(-x * core::f64::consts::FRAC_1_SQRT_2)
}

/// The deviate that a standard normal variable stays below with probability `p`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `p` | probability | share | above 0, below 1 |
///
/// # Validity
/// Relative error about 1e-16. At 0 and 1 it is infinite; outside them it is not a number.
///
/// # Source
/// M. J. Wichura, "Algorithm AS 241: The percentage points of the normal distribution", Applied
/// Statistics 37(3), 477-484, 1988, doi:10.2307/2347330, routine PPND16.
#[must_use]
#[expect(
    clippy::inline_always,
    reason = "drawn for every random figure of every trial"
)]
#[inline(always)]
pub fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * ratio(r, &CENTRE_ABOVE, &CENTRE_BELOW);
    }
    tail(p, q)
}

/// [`normal_quantile`] of several probabilities side by side, the same to the bit.
#[must_use]
#[expect(
    clippy::inline_always,
    reason = "as above; worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub fn normal_quantiles<const N: usize>(p: &[f64; N]) -> [f64; N] {
    let mut deviates = [0.0; N];
    for (deviate, &p) in deviates.iter_mut().zip(p) {
        let q = p - 0.5;
        *deviate = q * ratio(0.180_625 - q * q, &CENTRE_ABOVE, &CENTRE_BELOW);
    }
    // Which of them are in a tail cannot be foreseen: they are noted without a branch.
    let mut outer = [0; N];
    let mut count = 0;
    for (lane, &p) in p.iter().enumerate() {
        outer[count] = lane;
        count += usize::from((p - 0.5).abs() > 0.425);
    }
    for &lane in &outer[..count] {
        deviates[lane] = tail(p[lane], p[lane] - 0.5);
    }
    deviates
}

/// The two outer ranges, apart so that the common one stays small.
fn tail(p: f64, q: f64) -> f64 {
    let smaller = if q < 0.0 { p } else { 1.0 - p };
    if smaller <= 0.0 {
        let edge = if smaller < 0.0 {
            f64::NAN
        } else {
            f64::INFINITY
        };
        return if q < 0.0 { -edge } else { edge };
    }
    let r = sqrt(-log(smaller));
    let x = if r <= 5.0 {
        ratio(r - 1.6, &MIDDLE_ABOVE, &MIDDLE_BELOW)
    } else {
        ratio(r - 5.0, &FAR_ABOVE, &FAR_BELOW)
    };
    if q < 0.0 { -x } else { x }
}

/// Quotient of two polynomials of degree 7, lowest power first.
#[expect(clippy::inline_always, reason = "as its callers")]
#[inline(always)]
fn ratio(r: f64, above: &[f64; 8], below: &[f64; 8]) -> f64 {
    polynomial(r, above) / polynomial(r, below)
}

/// A polynomial by Horner's rule, lowest power first. A plain loop: an iterator's own is not always compiled into
/// the widest instructions of the caller.
#[expect(clippy::inline_always, reason = "as its callers")]
#[inline(always)]
pub(super) fn polynomial<const N: usize>(x: f64, coefficients: &[f64; N]) -> f64 {
    let mut sum = 0.0;
    let mut index = N;
    while index > 0 {
        index -= 1;
        sum = sum * x + coefficients[index];
    }
    sum
}

const CENTRE_ABOVE: [f64; 8] = [
    3.387_132_872_796_366_5,
    133.141_667_891_784_38,
    1_971.590_950_306_551_3,
    13_731.693_765_509_46,
    45_921.953_931_549_87,
    67_265.770_927_008_7,
    33_430.575_583_588_13,
    2_509.080_928_730_122_7,
];
const CENTRE_BELOW: [f64; 8] = [
    1.0,
    42.313_330_701_600_91,
    687.187_007_492_057_9,
    5_394.196_021_424_751,
    21_213.794_301_586_597,
    39_307.895_800_092_71,
    28_729.085_735_721_943,
    5_226.495_278_852_854,
];
const MIDDLE_ABOVE: [f64; 8] = [
    1.423_437_110_749_683_5,
    4.630_337_846_156_546,
    5.769_497_221_460_691,
    3.647_848_324_763_204_5,
    1.270_458_252_452_368_4,
    0.241_780_725_177_450_6,
    0.022_723_844_989_269_184,
    0.000_774_545_014_278_341_4,
];
const MIDDLE_BELOW: [f64; 8] = [
    1.0,
    2.053_191_626_637_759,
    1.676_384_830_183_803_8,
    0.689_767_334_985_1,
    0.148_103_976_427_480_08,
    0.015_198_666_563_616_457,
    0.000_547_593_808_499_534_5,
    1.050_750_071_644_416_9e-9,
];
const FAR_ABOVE: [f64; 8] = [
    6.657_904_643_501_104,
    5.463_784_911_164_114,
    1.784_826_539_917_291_3,
    0.296_560_571_828_504_87,
    0.026_532_189_526_576_124,
    0.001_242_660_947_388_078_4,
    2.711_555_568_743_487_6e-5,
    2.010_334_399_292_288_1e-7,
];
const FAR_BELOW: [f64; 8] = [
    1.0,
    0.599_832_206_555_888,
    0.136_929_880_922_735_8,
    0.014_875_361_290_850_615,
    0.000_786_869_131_145_613_2,
    1.846_318_317_510_054_8e-5,
    1.421_511_758_316_446e-7,
    2.044_263_103_389_939_8e-15,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_quantiles_side_by_side_are_those_alone_to_the_bit() {
        let p = [1e-300, 0.001, 0.075, 0.0751, 0.3, 0.5, 0.9249, 0.999_999];
        for (together, p) in normal_quantiles(&p).into_iter().zip(p) {
            assert_eq!(together.to_bits(), normal_quantile(p).to_bits(), "p {p}");
        }
    }

    /// Outside figures: the check values that AS 241 itself prints: p 0.25, 0.001 and 1e-20 give
    /// -0.6744897501960817, -3.090232306167814 and -9.262340089798408.
    #[test]
    fn outside_normal_quantile_as241_check_values() {
        for (p, x) in [
            (0.25, -0.674_489_750_196_081_7),
            (0.001, -3.090_232_306_167_813_5),
            (1e-20, -9.262_340_089_798_408),
        ] {
            assert!((normal_quantile(p) - x).abs() < 1e-14 * x.abs(), "p {p}");
        }
    }

    #[test]
    fn law_quantile_undoes_cdf() {
        for k in -80..=80 {
            let x = f64::from(k) / 20.0;
            assert!((normal_quantile(normal_cdf(x)) - x).abs() < 1e-11, "x {x}");
        }
        assert!((normal_cdf(1.959_963_984_540_054) - 0.975).abs() < 1e-15);
    }

    #[test]
    fn law_ends_are_infinite_and_beyond_is_no_number() {
        assert!(normal_quantile(0.0).is_infinite() && normal_quantile(0.0) < 0.0);
        assert!(normal_quantile(1.0).is_infinite() && normal_quantile(1.0) > 0.0);
        assert!(normal_quantile(-0.1).is_nan() && normal_quantile(1.1).is_nan());
    }
}
