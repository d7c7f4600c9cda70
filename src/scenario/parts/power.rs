//! What a load draws, in watts or in amperes.

/// A draw as the user gave it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Power {
    /// Constant power.
    Watts(f64),
    /// Constant current at the bank's voltage.
    Amps(f64),
}

impl Power {
    /// So many times as much.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        match self {
            Self::Watts(watts) => Self::Watts(watts * factor),
            Self::Amps(amps) => Self::Amps(amps * factor),
        }
    }

    /// The key that gives it, its unit, its value and the most that the file may have.
    #[must_use]
    pub fn as_key(self) -> (&'static str, &'static str, f64, f64) {
        match self {
            Self::Watts(watts) => ("power_w", "W", watts, 50_000.0),
            Self::Amps(amps) => ("current_a", "A", amps, 5000.0),
        }
    }

    /// Current at a voltage, A.
    #[must_use]
    pub fn current_a(self, volts: f64) -> f64 {
        match self {
            Self::Watts(watts) => watts / volts,
            Self::Amps(amps) => amps,
        }
    }
}
