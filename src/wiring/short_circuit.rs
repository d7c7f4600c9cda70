//! What a bank can drive into a short circuit, and what its fuse must break.
//!
//! One job: an estimate on the high side. Which fuse follows is in [`super::fuses`].
//! Left out: the protection circuit inside a lithium battery (it may fail closed), inductance.

/// Breaking capacity asked for at a lead-acid battery, A, by cold-cranking current: main fuse and
/// branch fuses.
///
/// # Source
/// ABYC E-11, table V.A, for 12 to 24 V, as reproduced in public.
#[must_use]
pub fn small_craft_breaking_a(cold_cranking_a: f64) -> (f64, f64) {
    if cold_cranking_a <= 650.0 {
        (1500.0, 750.0)
    } else if cold_cranking_a <= 1100.0 {
        (3000.0, 1500.0)
    } else {
        (5000.0, 2500.0)
    }
}

/// Short-circuit current from which a fuse of [`VERY_LARGE_A`] is asked for, A.
pub const LARGE_A: f64 = 10_000.0;
/// Breaking capacity of the fuses that are then taken, A.
pub const VERY_LARGE_A: f64 = 20_000.0;

/// A bank, as far as a short circuit goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShortCircuitSource {
    /// Rated capacity, Ah.
    pub capacity_ah: f64,
    /// Ohmic resistance of the whole bank, mΩ.
    pub resistance_mohm: f64,
    /// Voltage when full and at rest, V.
    pub full_v: f64,
    /// Whether it is lithium.
    pub lithium: bool,
}

impl ShortCircuitSource {
    /// Resistance that limits the first instant, Ω. Ours: of a lithium bank half of its ohmic
    /// resistance, since that is measured over seconds and the instant meets less.
    #[must_use]
    pub fn resistance_ohm(&self) -> f64 {
        let share = if self.lithium { 0.5 } else { 1.0 };
        (self.resistance_mohm * share / 1000.0).max(1e-5)
    }

    /// Estimated short-circuit current with so many ohms of cable in the way, A.
    #[must_use]
    pub fn current_a(&self, cable_ohm: f64) -> f64 {
        self.full_v / (self.resistance_ohm() + cable_ohm)
    }

    /// Breaking capacity asked for at its terminals, A: the estimate; of lead-acid at least the
    /// small-craft table with 8 A of cold cranking per ampere-hour (common practice, no source);
    /// above 500 Ah and 10 kA, 20 kA, and never more than those: no fuse here is sold with more.
    ///
    /// # Source
    /// ABYC E-11 on banks above 500 Ah, as quoted in public: the battery's own short-circuit current,
    /// or 20 kA where that exceeds 10 kA.
    #[must_use]
    pub fn breaking_a(&self) -> f64 {
        let estimate = self.current_a(0.0);
        let asked = if self.lithium {
            estimate
        } else {
            estimate.max(small_craft_breaking_a(8.0 * self.capacity_ah).0)
        };
        if self.capacity_ah > 500.0 && asked > LARGE_A {
            VERY_LARGE_A
        } else {
            asked.min(VERY_LARGE_A)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lithium_bank_by_hand() {
        // 13.4 V over half of 8 mΩ: 3350 A; with 4 mΩ of cable half of that.
        let bank = ShortCircuitSource {
            capacity_ah: 120.0,
            resistance_mohm: 8.0,
            full_v: 13.4,
            lithium: true,
        };
        assert!((bank.breaking_a() - 3350.0).abs() < 1e-6);
        assert!((bank.current_a(0.004) - 1675.0).abs() < 1e-6);
    }
}
