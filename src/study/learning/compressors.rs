//! Several compressors on one bank.
//!
//! One job: the steps of current with which they start and stop, in clusters, and how much each ran in a
//! span. Where the steps are alike they cannot be told apart, and only their sum is.

use super::ground::Ground;
use super::meter::{Meter, middle, step_of};
use super::spans::{CYCLE_ROWS_S, ONE_LEVEL_A, mean_of};
use crate::units::Whole;

/// Steps nearer each other than this share are of one compressor.
const ALIKE: f64 = 0.12;

/// Steps of a cluster over those of the largest one, at least.
const LEAST_STEPS: f64 = 0.15;

/// A compressor has started after so long, s.
const START_S: f64 = 10.0;

/// Rows by which the levels of a span are sought; more say no more.
const ROWS: usize = 300;

/// The compressors of a bank by their steps.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Compressors {
    /// How many there are by the file.
    pub(super) count: usize,
    /// Current of each while it runs, A, the least first; one entry where all are alike.
    pub(super) each_a: Vec<f64>,
    /// Steps of each, A, with their nights by number.
    pub(super) steps: Vec<Vec<(chrono::NaiveDate, f64)>>,
}

impl Compressors {
    /// What may run together: the sum, and each one's part of it.
    fn together(&self) -> Vec<(f64, Vec<f64>)> {
        if let [only] = self.each_a[..] {
            let running = (0..=u32::try_from(self.count).unwrap_or(8)).map(f64::from);
            return running.map(|n| (n * only, vec![n * only])).collect();
        }
        (0..1_usize << self.each_a.len())
            .map(|set| {
                let part = |(place, amps): (usize, &f64)| {
                    f64::from(u8::from(set >> place & 1 == 1)) * amps
                };
                let parts: Vec<f64> = self.each_a.iter().enumerate().map(part).collect();
                (parts.iter().sum(), parts)
            })
            .collect()
    }

    /// The draw with all at rest, and the mean draw of each, A; `None` where the rows do not show it.
    pub(super) fn levels(&self, draws: &[f64]) -> Option<(f64, Vec<f64>)> {
        let mut sorted = draws.to_vec();
        sorted.sort_by(f64::total_cmp);
        if sorted.len() < 20 {
            return None;
        }
        let sample: Vec<f64> =
            (sorted.iter().copied().step_by(sorted.len().div_ceil(ROWS))).collect();
        let together = self.together();
        let nearest = |draw: f64, base: f64| -> (f64, &Vec<f64>) {
            let off = together
                .iter()
                .map(|(sum, parts)| (draw - base - sum, parts));
            off.min_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
                .unwrap_or((draw - base, &together[0].1))
        };
        let cost = |base: f64| -> f64 {
            let off = sample
                .iter()
                .map(|&draw| nearest(draw, base).0.abs().min(1.0));
            mean_of(&off.collect::<Vec<_>>())
        };
        let quantiles = (0..=40).map(|q| sample[(sample.len() - 1) * q / 40]);
        let bases: Vec<(f64, f64)> = quantiles
            .flat_map(|draw| together.iter().map(move |(sum, _)| draw - sum))
            .filter(|base| *base > -ONE_LEVEL_A)
            .map(|base| (base, cost(base)))
            .collect();
        let least = bases
            .iter()
            .map(|base| base.1)
            .fold(f64::INFINITY, f64::min);
        if least > 0.1 + 0.12 * self.each_a[0] {
            return None;
        }
        // Of two that fit alike, that in which less runs.
        let fits = bases.iter().filter(|base| base.1 <= 1.1 * least + 0.01);
        let base = fits.map(|base| base.0).fold(f64::NEG_INFINITY, f64::max);
        let mut off: Vec<f64> = sample.iter().map(|&draw| nearest(draw, base).0).collect();
        let base = base + middle(&mut off);
        let mut each = vec![0.0; self.each_a.len()];
        for &draw in draws {
            for (sum, part) in each.iter_mut().zip(nearest(draw, base).1) {
                *sum += part;
            }
        }
        let rows = draws.len().real();
        Some((base, each.into_iter().map(|sum| sum / rows).collect()))
    }

    /// What each drew of a mean draw above rest: by how much it ran; what nothing explains is of the one
    /// that seemed to rest all through.
    pub(super) fn shared(&self, each_a: &[f64], total_a: f64) -> Vec<f64> {
        let seen: f64 = each_a.iter().sum();
        let more_a = total_a - seen;
        let all_through = (0..each_a.len()).find(|&place| {
            each_a[place] < 0.02 * self.each_a[place]
                && (more_a - self.each_a[place]).abs() < 0.3 * self.each_a[place]
        });
        let mut parts = each_a.to_vec();
        match all_through {
            Some(place) => parts[place] += more_a,
            None if seen > 0.01 => parts.iter_mut().for_each(|part| *part *= total_a / seen),
            None => {}
        }
        parts
    }
}

/// The clusters of the steps of `count` compressors in the quiet hours; `None` where the rows show none.
pub(super) fn compressors(
    ground: &Ground<'_>,
    meter: &Meter,
    quiet: &[bool],
    count: usize,
) -> Option<Compressors> {
    if !meter.has_current || meter.every_s > CYCLE_ROWS_S {
        return None;
    }
    let amps = &meter.row_amps;
    let start = usize::cut((START_S / meter.every_s.max(1.0)).ceil());
    let most_s = (5.0 * meter.every_s).max(2.0 * START_S + 4.0 * meter.every_s);
    let mut steps: Vec<(chrono::NaiveDate, f64)> = Vec::new();
    for row in start + 1..amps.len().saturating_sub(start + 1) {
        let pairs = [
            (row - start - 1, row - start),
            (row + start, row + start + 1),
        ];
        let long_s = meter.row_s[pairs[1].1] - meter.row_s[pairs[0].0];
        let step = step_of(ground.timeline, meter.row_s[row]);
        if !quiet[step] || long_s > most_s {
            continue;
        }
        // Steady before and after: what lies between may hold both, and the start.
        let is_steady = |&(a, b): &(usize, usize)| (amps[a] - amps[b]).abs() < ONE_LEVEL_A;
        let level = |(a, b): (usize, usize)| 0.5 * (amps[a] + amps[b]);
        let size = (level(pairs[1]) - level(pairs[0])).abs();
        if pairs.iter().all(is_steady) && size > 2.0 * ONE_LEVEL_A {
            steps.push((ground.night[step], size));
        }
    }
    clusters(steps, count)
}

/// The steps about each of the `count` sizes that are most frequent; one size where there is no second.
fn clusters(mut steps: Vec<(chrono::NaiveDate, f64)>, count: usize) -> Option<Compressors> {
    steps.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut left = steps;
    let mut found: Vec<Vec<(chrono::NaiveDate, f64)>> = Vec::new();
    while found.len() < count {
        let within = |from: usize| {
            let most = left[from].1 * (1.0 + ALIKE) + 0.1;
            left[from..].partition_point(|step| step.1 <= most)
        };
        let best = (0..left.len()).max_by_key(|&from| within(from));
        let Some((from, size)) = best.map(|from| (from, within(from))) else {
            break;
        };
        let share = size.real() / found.first().map_or(size, Vec::len).real();
        if size < 12 || share < LEAST_STEPS {
            break;
        }
        let cluster: Vec<_> = left.drain(from..from + size).collect();
        // What lies beside a cluster is of its tails.
        let (low, high) = (cluster[0].1, cluster[size - 1].1);
        left.retain(|step| step.1 < low - ONE_LEVEL_A || step.1 > high + ONE_LEVEL_A);
        found.push(cluster);
    }
    if found.is_empty() || (found.len() > 1 && found.len() < count) {
        return None;
    }
    let size = |steps: &Vec<(chrono::NaiveDate, f64)>| {
        middle(&mut steps.iter().map(|step| step.1).collect::<Vec<_>>())
    };
    found.sort_by(|a, b| size(a).total_cmp(&size(b)));
    Some(Compressors {
        count,
        each_a: found.iter().map(size).collect(),
        steps: found,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps_of(sizes: &[f64]) -> Vec<(chrono::NaiveDate, f64)> {
        let night = chrono::NaiveDate::default();
        let noise = [-0.05, 0.0, 0.03, 0.05, -0.02];
        (0..100)
            .map(|n| (night, sizes[n % sizes.len()] + noise[n % 5]))
            .collect()
    }

    /// By hand: a compressor of 3 A in one row of three, one of 5 A in one of two, 0.4 A besides.
    #[test]
    fn by_hand_two_compressors_and_their_sum() {
        let found = clusters(steps_of(&[3.0, 5.0, 3.0]), 2).unwrap();
        assert!((found.each_a[0] - 3.0).abs() < 0.05, "{found:?}");
        assert!((found.each_a[1] - 5.0).abs() < 0.05, "{found:?}");
        let draws: Vec<f64> = (0..60)
            .map(|row| {
                let small = if row % 3 == 0 { 3.0 } else { 0.0 };
                let large = if row % 2 == 0 { 5.0 } else { 0.0 };
                0.4 + small + large
            })
            .collect();
        let (base, each) = found.levels(&draws).unwrap();
        assert!((base - 0.4).abs() < 0.06, "{base}");
        assert!(
            (each[0] - 1.0).abs() < 0.05 && (each[1] - 2.5).abs() < 0.05,
            "{each:?}"
        );
    }

    #[test]
    fn compressors_that_step_alike_are_one_sum() {
        let found = clusters(steps_of(&[4.0, 4.1]), 2).unwrap();
        assert_eq!(found.each_a.len(), 1);
        let draws: Vec<f64> = (0..60).map(|row| 0.4 + 4.0 * f64::from(row % 3)).collect();
        let (base, each) = found.levels(&draws).unwrap();
        assert!(
            (base - 0.4).abs() < 0.15 && (each[0] - 4.0).abs() < 0.3,
            "{base} {each:?}"
        );
    }
}
