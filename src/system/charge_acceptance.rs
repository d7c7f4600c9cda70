//! How much charge a battery takes, and how much of it stays.

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

/// `1 − e^(−x)` as a table, for the step loop.
#[derive(Debug, Clone, PartialEq)]
pub struct LossTable {
    values: Vec<f64>,
}

const NODES_PER_UNIT: f64 = 64.0;
const LAST_NODE: u32 = 40 * 64;

impl Default for LossTable {
    fn default() -> Self {
        let values = (0..=LAST_NODE)
            .map(|node| -libm::expm1(-f64::from(node) / NODES_PER_UNIT))
            .collect();
        Self { values }
    }
}

impl LossTable {
    /// [`lead_acid_efficiency`] within 4e-5 (the square of a node's width over eight).
    #[must_use]
    #[inline]
    pub fn lead_acid_efficiency(&self, soc: f64, tenth_hour_rates: f64) -> f64 {
        let x = (20.73 * (1.0 - soc) / (tenth_hour_rates + 0.55) * NODES_PER_UNIT).max(0.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped"
        )]
        let left = (x as usize).min(self.values.len() - 2);
        #[expect(clippy::cast_precision_loss, reason = "small")]
        let along = (x - left as f64).min(1.0);
        self.values[left] + along * (self.values[left + 1] - self.values[left])
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
