//! How the spreads of a trial are resolved: drawn, or at their means.

use super::pert::PertQuantile;
use super::random::StreamKey;
use crate::sky::normal::{normal_quantile, normal_quantiles};

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

/// How the spreads of several trials side by side are resolved.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Chances<const N: usize> {
    /// All alike, without chance.
    Mean,
    /// Drawn for the trials of these numbers.
    Trials([u64; N]),
}

impl Chances<1> {
    /// A trial alone.
    pub(crate) fn one(chance: Chance) -> Self {
        match chance {
            Chance::Mean => Self::Mean,
            Chance::Trial(trial) => Self::Trials([trial]),
        }
    }
}

#[expect(
    clippy::inline_always,
    reason = "worked out with the widest instructions of the caller"
)]
impl<const N: usize> Chances<N> {
    /// Of one of the trials.
    pub(crate) fn lane(&self, lane: usize) -> Chance {
        match self {
            Self::Mean => Chance::Mean,
            Self::Trials(trials) => Chance::Trial(trials[lane]),
        }
    }

    /// Two uniform numbers of each trial at a place of its stream; all a half without chance.
    #[inline(always)]
    pub(crate) fn uniforms(&self, key: StreamKey, place: u64) -> ([f64; N], [f64; N]) {
        let (mut first, mut second) = ([0.5; N], [0.5; N]);
        if let Self::Trials(trials) = self {
            for lane in 0..N {
                (first[lane], second[lane]) = key.stream(trials[lane]).uniforms(place);
            }
        }
        (first, second)
    }

    /// The value of a spread at each uniform number; its mean without chance.
    #[inline(always)]
    pub(crate) fn pick(&self, table: &PertQuantile, uniforms: &[f64; N]) -> [f64; N] {
        match self {
            Self::Trials(_) if !table.is_fixed() => {
                normal_quantiles(uniforms).map(|deviate| table.value(deviate))
            }
            _ => [table.mean(); N],
        }
    }
}
