//! How much charge a battery takes, and how much of it stays.

use crate::sky::decay::decay;

/// Lithium iron phosphate: share of the charge that stays. Common literature figure, from memory.
pub const LITHIUM_EFFICIENCY: f64 = 0.99;

/// Lead-acid takes at most its missing charge divided by this time, hours: an exponential taper.
///
/// # Source
/// Common practice, no source: constant current, then a taper with a time constant of 1 to 2 h.
pub const TAPER_H: f64 = 1.5;

/// Mean current in A over a step that decays with [`TAPER_H`] from `missing_ah / TAPER_H`, per Ah
/// missing at the step's beginning: `(1 − e^(−step/τ)) / step`.
#[must_use]
pub fn taper_a_per_missing_ah(step_h: f64) -> f64 {
    -libm::expm1(-step_h / TAPER_H) / step_h
}

/// Charge efficiency of lead-acid: `1 − exp(20.73 / (i + 0.55) · (soc − 1))`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `soc` | state of charge | share | 0 to 1 |
/// | `tenth_hour_rates` | current over the 10-hour current | 1 | 0 or more |
///
/// # Source
/// J. B. Copetti, E. Lorenzo, F. Chenlo, "A general battery model for PV system simulation",
/// Prog. Photovolt. 1(4), 283-292, 1993, doi:10.1002/pip.4670010405; form and digits from memory.
#[must_use]
#[expect(
    clippy::inline_always,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub fn lead_acid_efficiency(soc: f64, tenth_hour_rates: f64) -> f64 {
    let x = 20.73 * (1.0 - soc) / (tenth_hour_rates + 0.55);
    1.0 - decay(if x > 0.0 { x } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_efficiency_is_that_of_the_formula() {
        for soc_step in 0..=200 {
            for rate_step in 0..60 {
                let (soc, rate) = (f64::from(soc_step) / 200.0, f64::from(rate_step) / 10.0);
                let formula = -libm::expm1(20.73 / (rate + 0.55) * (soc - 1.0));
                let error = lead_acid_efficiency(soc, rate) - formula;
                assert!(error.abs() < 1e-14, "{error} at {soc} {rate}");
            }
        }
        assert!(lead_acid_efficiency(1.0, 1.0).abs() < 1e-12);
    }
}
