//! How the spreads of a trial are resolved: drawn, or at their means.

use super::pert::PertQuantile;
use super::random::StreamKey;
use crate::sky::normal::normal_quantile;

/// How the spreads of a trial are resolved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chance {
    /// Without chance: every spread at its mean, the weather at the mean of its season.
    Mean,
    /// Drawn for the trial of this number.
    Trial(u64),
}

impl Chance {
    /// Two uniform numbers at a place of a stream; both a half without chance.
    pub(crate) fn uniforms(self, key: StreamKey, place: u64) -> (f64, f64) {
        match self {
            Self::Mean => (0.5, 0.5),
            Self::Trial(trial) => key.stream(trial).uniforms(place),
        }
    }

    /// The value of a spread at a uniform number; its mean without chance.
    pub(crate) fn pick(self, table: &PertQuantile, uniform: f64) -> f64 {
        match self {
            Self::Mean => table.mean(),
            Self::Trial(_) if table.is_fixed() => table.mean(),
            Self::Trial(_) => table.value(normal_quantile(uniform)),
        }
    }
}
