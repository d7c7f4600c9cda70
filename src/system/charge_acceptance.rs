//! How much charge a battery takes, and how much of it stays.

use super::open_circuit_voltage::nearest_below;

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
pub fn lead_acid_efficiency(soc: f64, tenth_hour_rates: f64) -> f64 {
    -libm::expm1(20.73 / (tenth_hour_rates + 0.55) * (soc - 1.0))
}

/// `1 − e^(−x)` as straight segments, for the step loop.
#[derive(Debug, Clone, PartialEq)]
pub struct LossTable {
    segments: [[f64; 2]; ENTRIES],
}

const SEGMENTS_PER_UNIT: f64 = 64.0;
const ENTRIES: usize = 1024;
/// From here on the function is 1 to seven digits.
const LARGEST_X: f64 = 15.9;

impl Default for LossTable {
    fn default() -> Self {
        let segments = std::array::from_fn(|segment| {
            #[expect(clippy::cast_precision_loss, reason = "a thousand segments")]
            let left = segment as f64 / SEGMENTS_PER_UNIT;
            let low = -libm::expm1(-left);
            let high = -libm::expm1(-(left + 1.0 / SEGMENTS_PER_UNIT));
            let slope = (high - low) * SEGMENTS_PER_UNIT;
            [low - slope * left, slope]
        });
        Self { segments }
    }
}

impl LossTable {
    /// [`lead_acid_efficiency`] within 4e-5 (the square of a segment's width over eight).
    #[must_use]
    #[inline]
    pub fn lead_acid_efficiency(&self, soc: f64, tenth_hour_rates: f64) -> f64 {
        let x = 20.73 * (1.0 - soc) / (tenth_hour_rates + 0.55);
        let x = if x > 0.0 { x } else { 0.0 };
        let x = if x < LARGEST_X { x } else { LARGEST_X };
        let segment = nearest_below(x * SEGMENTS_PER_UNIT);
        #[expect(clippy::cast_possible_truncation, reason = "masked to the table")]
        let [intercept, slope] = self.segments[segment as usize & (ENTRIES - 1)];
        intercept + slope * x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_follows_the_formula() {
        let table = LossTable::default();
        for soc_step in 0..=200 {
            for rate_step in 0..60 {
                let (soc, rate) = (f64::from(soc_step) / 200.0, f64::from(rate_step) / 10.0);
                let error = table.lead_acid_efficiency(soc, rate) - lead_acid_efficiency(soc, rate);
                assert!(error.abs() < 4e-5, "{error} at {soc} {rate}");
            }
        }
        assert!(lead_acid_efficiency(1.0, 1.0).abs() < 1e-12);
    }
}
