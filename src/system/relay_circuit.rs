//! The circuit of a relay that joins a battery to a source of constant voltage.
//!
//! One job: voltage and current of two resistances in a row. What the battery accepts is in
//! `charge_acceptance`; what the source has to give is the engine's.

use super::terminal_voltage::terminal_v;

/// A battery behind a closed relay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelayCircuit {
    /// Open-circuit voltage of the battery, V.
    pub open_v: f64,
    /// Its resistance, Ω, above 0.
    pub bank_ohm: f64,
    /// Resistance of the run both ways, contacts included, Ω, 0 or more.
    pub run_ohm: f64,
    /// What flows into the battery besides, loads negative: constant current, A …
    pub beside_a: f64,
    /// … and constant power, W.
    pub beside_w: f64,
}

impl RelayCircuit {
    /// Current through the relay in A from a source that stands at `source_v`; negative out of the
    /// battery. Kirchhoff's laws: `(Vs − V) / R_run + I + P / V = (V − E) / R_bank`, which is
    /// [`terminal_v`] with both resistances in parallel.
    ///
    /// # Example
    /// ```
    /// use tideover::system::relay_circuit::RelayCircuit;
    ///
    /// let circuit = RelayCircuit {
    ///     open_v: 12.2, bank_ohm: 0.01, run_ohm: 0.01, beside_a: 0.0, beside_w: 0.0,
    /// };
    /// // By hand: 2 V over 20 mΩ.
    /// assert!((circuit.current_a(14.2) - 100.0).abs() < 1e-9);
    /// ```
    #[must_use]
    #[expect(
        clippy::inline_always,
        reason = "worked out with the widest instructions of the caller"
    )]
    #[inline(always)]
    pub fn current_a(&self, source_v: f64) -> f64 {
        let Self {
            open_v,
            bank_ohm,
            run_ohm,
            ..
        } = *self;
        let all_ohm = bank_ohm + run_ohm;
        let both_v = (open_v * run_ohm + source_v * bank_ohm) / all_ohm;
        let both_ohm = bank_ohm * run_ohm / all_ohm;
        let volts = terminal_v(both_v, both_ohm, self.beside_a, self.beside_w);
        (volts - open_v) / bank_ohm - self.beside_a - self.beside_w / volts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The current that is told is the one that the run's resistance lets through.
    #[test]
    fn law_the_current_drops_the_voltage_over_the_run() {
        for (run_ohm, beside_a, beside_w) in
            [(0.004, -6.0, -90.0), (0.02, 5.0, 200.0), (0.0, -3.0, 0.0)]
        {
            let circuit = RelayCircuit {
                open_v: 13.2,
                bank_ohm: 0.008,
                run_ohm,
                beside_a,
                beside_w,
            };
            let current_a = circuit.current_a(14.2);
            let volts = 14.2 - run_ohm * current_a;
            let into_a = current_a + beside_a + beside_w / volts;
            assert!(
                (13.2 + 0.008 * into_a - volts).abs() < 1e-9,
                "{current_a} A"
            );
        }
    }
}
