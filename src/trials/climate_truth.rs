//! What is not known of a climate: how far the true mean of a place lies from the table's.
//!
//! One job: one factor of clearness a trial and month. How wide it is comes with the climate of the day; the
//! days themselves are drawn in `trials::day_draws`.
//! Left out: the spread of the days, the temperatures.

use chrono::{Datelike, NaiveDate};

use super::chance::Chances;
use super::random::StreamKey;
use crate::sky::normal::normal_quantiles;

/// What a whole trial has in common, as a share of the deviate.
const OF_TRIAL: f64 = 0.58;

/// How far a month's own part is that of the month before.
const MONTH_LAG1: f64 = 0.66;

/// Months back that still count: 0.66⁹ is 2 %.
const MONTHS_BACK: i32 = 8;

/// Place of a trial's common part in the stream; months have their numbers.
const WHOLE_TRIAL: u64 = u64::MAX;

/// The truth of the climate in some trials: `exp(s·z − s²/2)`, of mean 1, with the climate's own relative standard
/// deviation `s` and a deviate `z` that the months of a trial share in part.
///
/// `z = 0.58·a + 0.81·b`: `a` one draw a trial, `b` one a month, first-order with 0.66. The errors of the table at 38
/// measured stations correlate by 0.74, 0.56 and 0.40 one, three and six months apart; these give 0.77, 0.53
/// and 0.39. `b` is a weighted sum of nine months' own draws, so that a month has the same truth whatever the plan
/// begins with.
///
/// Real months vary more than the days' persistence makes them: 1.7 times the variance of a first-order process
/// (see `sky::day_persistence`), of which the default persistence carries 1.56. The rest, a tenth of the variance
/// of a month's mean or 3 % of a mean whose days spread by a third, is not drawn apart: it goes with this
/// factor, whose median of 6.5 % was measured against stations' own years and holds their share of it.
pub(crate) struct ClimateTruth<const N: usize> {
    key: StreamKey,
    month: Option<u64>,
    deviate: [f64; N],
    rel_sd: f64,
    factor: [f64; N],
}

impl<const N: usize> ClimateTruth<N> {
    pub(crate) fn new(key: StreamKey) -> Self {
        Self {
            key,
            month: None,
            deviate: [0.0; N],
            rel_sd: 0.0,
            factor: [1.0; N],
        }
    }

    /// Factor of the clearness of a date, where the mean is known to `rel_sd`, a share of it.
    #[expect(clippy::float_cmp, reason = "the very number of the day before")]
    pub(crate) fn factor(
        &mut self,
        date: NaiveDate,
        rel_sd: f64,
        chances: &Chances<N>,
    ) -> &[f64; N] {
        let is_known = rel_sd <= 0.0 || matches!(chances, Chances::Mean);
        let month = (!is_known).then(|| month_number(date));
        if month == self.month && rel_sd == self.rel_sd {
            return &self.factor;
        }
        if let Some(month) = month.filter(|_| month != self.month) {
            self.deviate = deviates(self.key, month, chances);
        }
        (self.month, self.rel_sd) = (month, rel_sd);
        self.factor = if is_known {
            [1.0; N]
        } else {
            self.deviate
                .map(|z| libm::exp(rel_sd * z - 0.5 * rel_sd * rel_sd))
        };
        &self.factor
    }
}

fn month_number(date: NaiveDate) -> u64 {
    u64::try_from(date.year()).unwrap_or(0) * 12 + u64::from(date.month0())
}

fn deviates<const N: usize>(key: StreamKey, month: u64, chances: &Chances<N>) -> [f64; N] {
    let draw = |place| normal_quantiles(&chances.uniforms(key, place).0);
    let common = draw(WHOLE_TRIAL);
    let squared = MONTH_LAG1 * MONTH_LAG1;
    let sum_of_squares = (1.0 - squared.powi(MONTHS_BACK + 1)) / (1.0 - squared);
    let mut weight = ((1.0 - OF_TRIAL * OF_TRIAL) / sum_of_squares).sqrt();
    let mut deviate = common.map(|common| OF_TRIAL * common);
    for back in 0..=u64::from(MONTHS_BACK.unsigned_abs()) {
        let own = draw(month.wrapping_sub(back));
        for (deviate, own) in deviate.iter_mut().zip(own) {
            *deviate += weight * own;
        }
        weight *= MONTH_LAG1;
    }
    deviate
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(month: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, month, 15).unwrap()
    }

    /// Logarithms of the factors of 40,000 trials, as deviates of `s = 0.1`.
    fn deviates_of(month: u32) -> Vec<f64> {
        (0..40_000)
            .map(|trial| {
                let mut truth = ClimateTruth::new(StreamKey::new(1, "climate"));
                let [factor] = *truth.factor(date(month), 0.1, &Chances::Trials([trial]));
                (factor.ln() + 0.005) / 0.1
            })
            .collect()
    }

    /// Outside figures: the errors' correlations that the climate tables were published with, 0.74, 0.56
    /// and 0.40 at 1, 3 and 6 months (`tests/reference/climate/README.md`), to 0.04; and a mean of 1.
    #[test]
    fn outside_the_truths_of_two_months_go_together_as_the_tables_errors() {
        let first = deviates_of(1);
        let product =
            |other: &[f64]| first.iter().zip(other).map(|(a, b)| a * b).sum::<f64>() / 40_000.0;
        assert!((product(&first) - 1.0).abs() < 0.03);
        for (month, wanted) in [(2, 0.74), (4, 0.56), (7, 0.40)] {
            let found = product(&deviates_of(month));
            assert!((found - wanted).abs() < 0.045, "{month}: {found}");
        }
        let mean = first.iter().map(|z| (0.1 * z - 0.005).exp()).sum::<f64>() / 40_000.0;
        assert!((mean - 1.0).abs() < 0.002, "{mean}");
    }

    /// A month has its truth whatever month a plan begins with; without chance, or where all is known, it is 1.
    #[expect(clippy::float_cmp, reason = "the very same number")]
    #[test]
    fn law_a_months_truth_is_its_own() {
        let key = StreamKey::new(1, "climate");
        let chances = Chances::Trials([5]);
        let (mut early, mut late) = (ClimateTruth::new(key), ClimateTruth::new(key));
        early.factor(date(3), 0.1, &chances);
        assert_eq!(
            early.factor(date(4), 0.2, &chances),
            late.factor(date(4), 0.2, &chances)
        );
        assert_ne!(early.factor(date(4), 0.2, &chances), &[1.0]);
        assert_eq!(early.factor(date(4), 0.0, &chances), &[1.0]);
        assert_eq!(late.factor(date(4), 0.2, &Chances::Mean), &[1.0]);
    }
}
