//! The kinetic battery model: two tanks of charge, one available and one bound.
//!
//! One job: the closed form of one step at constant current. Which currents are allowed beyond
//! that is `charge_acceptance`; voltage is `open_circuit_voltage`.
//!
//! # Source
//! J. F. Manwell, J. G. McGowan, "Lead acid battery storage model for hybrid energy systems",
//! Solar Energy 50(5), 399-405, 1993, doi:10.1016/0038-092X(93)90060-2. `k` here is the composite
//! rate of that paper, not the conductance of the valve.

/// Share of the charge that is available at rest. Ours: fit to the capacities of a flooded deep-cycle
/// battery at six rates (data sheet of March 2014, maker withheld), worst residual 3.4 %.
pub const SHARE_AT_HAND: f64 = 0.557_96;

/// Composite rate of the same fit, per hour.
pub const RATE_PER_H: f64 = 0.285_55;

/// Charge in a full battery over its capacity at a discharge of `hours`.
///
/// `hours` above 0; with `share` in (0, 1) and `rate_per_h` above 0 the result is at least 1.
#[must_use]
pub fn full_over_rated(share: f64, rate_per_h: f64, hours: f64) -> f64 {
    let kt = rate_per_h * hours;
    let decay = libm::exp(-kt);
    (1.0 - decay + share * (kt - 1.0 + decay)) / (kt * share)
}

/// What one step of fixed length does, as coefficients.
///
/// With `current_a` into the battery (discharge negative) held over the step:
/// `available' = available · keep + total · refill + current_a · gain_h`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoTankStep {
    /// Share of the available charge that stays there.
    pub keep: f64,
    /// Share of the total charge that becomes available.
    pub refill: f64,
    /// Hours of the current that become available.
    pub gain_h: f64,
    /// Its inverse.
    pub per_gain_h: f64,
    /// Length of the step, hours.
    pub step_h: f64,
    /// The share that a full battery has available.
    pub share: f64,
}

impl TwoTankStep {
    /// Coefficients for a step of `step_h` hours, above 0.
    #[must_use]
    pub fn new(share: f64, rate_per_h: f64, step_h: f64) -> Self {
        let kt = rate_per_h * step_h;
        let lost = -libm::expm1(-kt);
        let gain_h = (lost + share * (kt - lost)) / rate_per_h;
        Self {
            keep: 1.0 - lost,
            refill: share * lost,
            gain_h,
            per_gain_h: 1.0 / gain_h,
            step_h,
            share,
        }
    }

    /// Available charge after the step, Ah.
    #[must_use]
    #[inline]
    pub fn available_ah(&self, available_ah: f64, total_ah: f64, current_a: f64) -> f64 {
        available_ah * self.keep + total_ah * self.refill + current_a * self.gain_h
    }

    /// Greatest discharge current in A, positive, that leaves `floor_ah` available after the step.
    #[must_use]
    #[inline]
    pub fn max_discharge_a(&self, available_ah: f64, total_ah: f64, floor_ah: f64) -> f64 {
        (available_ah * self.keep + total_ah * self.refill - floor_ah) * self.per_gain_h
    }

    /// Greatest charge current in A that leaves at most `ceiling_ah` available after the step.
    #[must_use]
    #[inline]
    pub fn max_charge_a(&self, available_ah: f64, total_ah: f64, ceiling_ah: f64) -> f64 {
        (ceiling_ah - available_ah * self.keep - total_ah * self.refill) * self.per_gain_h
    }
}
