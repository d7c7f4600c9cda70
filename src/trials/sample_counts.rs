//! How many trials stood at which state of charge at each sample: what pictures are drawn from.
//!
//! One job: counting levels and reading quantiles from the counts.

use crate::engine::{SAMPLE_LEVELS, SampleLevels};
use crate::units::Whole;

/// How many trials stood at which level at which sample.
#[derive(Debug, Clone, Default)]
pub struct SampleCounts {
    samples: usize,
    counts: Vec<u32>,
}

impl SampleCounts {
    pub(crate) fn add(&mut self, part: &PartCounts) {
        if self.counts.is_empty() {
            self.samples = part.samples;
            self.counts = vec![0; part.counts.len()];
        }
        for (sum, count) in self.counts.iter_mut().zip(&part.counts) {
            *sum += u32::from(*count);
        }
    }

    /// Number of samples a bank has.
    #[must_use]
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// Trials that reach a sample.
    #[must_use]
    pub fn trials(&self, sample: usize) -> u64 {
        let counts = &self.counts[sample * SAMPLE_LEVELS..][..SAMPLE_LEVELS];
        counts.iter().map(|&count| u64::from(count)).sum()
    }

    /// The `p` quantiles of the state of charge at a sample, to half a per cent.
    #[must_use]
    pub fn quantiles<const N: usize>(&self, bank: usize, sample: usize, p: [f64; N]) -> [f64; N] {
        let first = (bank * self.samples + sample) * SAMPLE_LEVELS;
        let counts = &self.counts[first..first + SAMPLE_LEVELS];
        let total: usize = counts.iter().map(|&count| count as usize).sum();
        p.map(|p| {
            let wanted = super::rank(p, total.max(1));
            let mut seen = 0;
            for (level, &count) in counts.iter().enumerate() {
                seen += count as usize;
                if seen >= wanted {
                    return level.real() / 200.0;
                }
            }
            1.0
        })
    }
}

/// The counts of one thread in one round: of so few trials that two bytes hold them, so that the counts
/// of all samples stay near the processor.
#[derive(Debug, Clone)]
pub(crate) struct PartCounts {
    samples: usize,
    counts: Vec<u16>,
}

/// Samples counted side by side. Trials next to each other often stand at the same level, and a count
/// that has just been raised can be raised again only after a while; that of another sample at once.
const SIDE_BY_SIDE: usize = 4;

impl PartCounts {
    /// Trials that may be counted.
    pub(crate) const MOST_TRIALS: usize = u16::MAX as usize;

    pub(crate) fn new(banks: usize, samples: usize) -> Self {
        Self {
            samples,
            counts: vec![0; banks * samples * SAMPLE_LEVELS],
        }
    }

    /// Counts the samples of a bank in the first `trials` of a batch.
    pub(crate) fn count(&mut self, bank: usize, samples: &[SampleLevels], trials: usize) {
        let of_bank = self.samples * SAMPLE_LEVELS;
        let counts = &mut self.counts[bank * of_bank..][..of_bank];
        let rows = counts.chunks_mut(SIDE_BY_SIDE * SAMPLE_LEVELS);
        for (rows, levels) in rows.zip(samples.chunks(SIDE_BY_SIDE)) {
            if let (Ok(rows), Ok(levels)) = (rows.try_into(), levels.try_into()) {
                raise(rows, levels, trials);
            } else {
                for (row, levels) in rows.chunks_exact_mut(SAMPLE_LEVELS).zip(levels) {
                    for &level in &levels[..trials] {
                        row[usize::from(level)] += 1;
                    }
                }
            }
        }
    }
}

fn raise(
    rows: &mut [u16; SIDE_BY_SIDE * SAMPLE_LEVELS],
    levels: &[SampleLevels; SIDE_BY_SIDE],
    trials: usize,
) {
    for lane in 0..trials {
        for (sample, levels) in levels.iter().enumerate() {
            rows[sample * SAMPLE_LEVELS + usize::from(levels[lane])] += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_side_by_side_and_the_last_ones_are_counted_alike() {
        let mut part = PartCounts::new(1, 6);
        let (low, high) = ([3; 2], [200; 2]);
        let rows: [[u8; 2]; 6] = [low, low, high, high, low, high];
        let mut levels = [[0; crate::engine::LANES]; 6];
        for (levels, row) in levels.iter_mut().zip(rows) {
            levels[..2].copy_from_slice(&row);
        }
        part.count(0, &levels, 2);
        let mut counts = SampleCounts::default();
        counts.add(&part);
        counts.add(&part);
        for (sample, level) in [0.015, 0.015, 1.0, 1.0, 0.015, 1.0].into_iter().enumerate() {
            let [median] = counts.quantiles(0, sample, [0.5]);
            assert!((median - level).abs() < 1e-12, "{sample}: {median}");
        }
        assert_eq!(counts.counts.iter().sum::<u32>(), 24);
    }
}
