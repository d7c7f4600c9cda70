//! Tests of the persistence of days.

use proptest::prelude::*;

use super::*;

/// Covariances of the first days, exactly: a run is linear in its fresh deviates, so that its answers to
/// each of them alone are the columns of a root of the covariance matrix.
fn covariances(persistence: &DayPersistence, days: usize) -> Vec<Vec<f64>> {
    let columns: Vec<Vec<f64>> = (0..days)
        .map(|lit| {
            let mut runs = persistence.runs();
            (0..days)
                .map(|day| runs.next(&[f64::from(u8::from(day == lit))])[0])
                .collect()
        })
        .collect();
    (0..days)
        .map(|a| {
            (0..days)
                .map(|b| columns.iter().map(|column| column[a] * column[b]).sum())
                .collect()
        })
        .collect()
}

/// Outside figures: G. E. P. Box, G. M. Jenkins, *Time Series Analysis*, 1970, section 3.2.4, the
/// autoregression with φ₁ = 0.75, φ₂ = -0.5 (from memory): ρ₁ = φ₁ / (1 - φ₂) = 0.5, ρ₂ = φ₁ ρ₁ + φ₂ = -0.125, and
/// their variance of the shocks, (1 + φ₂) ((1 - φ₂)² - φ₁²) / (1 - φ₂) = 0.5625.
#[test]
fn outside_second_order_box_jenkins() {
    let persistence = DayPersistence::new(&[0.5, -0.125]).unwrap();
    let last = persistence.predictors.last().unwrap();
    assert!((last.weights[0] - 0.75).abs() < 1e-12 && (last.weights[1] + 0.5).abs() < 1e-12);
    assert!((last.open_sd * last.open_sd - 0.5625).abs() < 1e-12);
    // Beyond the given lags by the difference equation: ρ₃ = 0.75 ρ₂ - 0.5 ρ₁.
    let all = covariances(&persistence, 8);
    assert!((all[0][3] + 0.343_75).abs() < 1e-12 && (all[4][7] + 0.343_75).abs() < 1e-12);
}

/// Outside figure: the same book, section 3.2.4: a second-order autoregression needs -1 < ρ₂ < 1 and
/// ρ₁² < (ρ₂ + 1) / 2.
#[test]
fn outside_limits_of_the_second_lag_box_jenkins() {
    for lag1 in [-0.9, -0.3, 0.0, 0.29, 0.8] {
        let least = 2.0 * lag1 * lag1 - 1.0;
        for (lag2, is_possible) in [
            (least + 1e-9, true),
            (least - 1e-9, false),
            (1.0 - 1e-9, true),
            (1.0, false),
        ] {
            let found = DayPersistence::new(&[lag1, lag2]);
            assert_eq!(found.is_ok(), is_possible, "{lag1} {lag2}");
            if let Err(error) = found {
                assert_eq!(error.lag, 2);
                assert!((error.above - least).abs() < 1e-12 && (error.below - 1.0).abs() < 1e-12);
            }
        }
    }
}

/// By hand: 1 + 2 Σ ρ = 1 + 2 · 0.915 = 2.83, which a first-order process of 0.29 brings to 1.29 / 0.71 = 1.82.
/// A month of 30 days weighs the lags by 1 - lag / 30 and goes on beyond the tenth.
#[test]
fn by_hand_the_default_lets_months_stray_as_said() {
    let persistence = DayPersistence::default();
    assert_eq!(persistence.given(), DEFAULT_AUTOCORRELATIONS);
    let all = covariances(&persistence, 30);
    for (lag, wanted) in (1..).zip(DEFAULT_AUTOCORRELATIONS) {
        assert!((all[0][lag] - wanted).abs() < 1e-12 && (all[29 - lag][29] - wanted).abs() < 1e-12);
    }
    let of_mean = |all: &[Vec<f64>]| all.iter().flatten().sum::<f64>() / 30.0;
    let first_order = covariances(&DayPersistence::new(&[0.29]).unwrap(), 30);
    let ratio = of_mean(&all) / of_mean(&first_order);
    assert!((ratio - 1.53).abs() < 0.05, "{ratio}");
}

#[test]
fn law_none_given_makes_independent_days() {
    let persistence = DayPersistence::new(&[]).unwrap();
    let mut runs = persistence.runs();
    for fresh in [[1.5], [-0.25], [0.125]] {
        assert!((runs.next(&fresh)[0] - fresh[0]).abs() < f64::EPSILON);
    }
}

#[test]
fn refuses_what_cannot_be_and_says_what_can() {
    let words = |given: &[f64]| DayPersistence::new(given).unwrap_err().to_string();
    assert_eq!(words(&[1.0]), "is 1, but must be above -1 and below 1");
    assert_eq!(
        words(&[0.8, 0.2]),
        "is 0.2, but must be above 0.29 and below 1 at a lag of 2 days, given that of 1 day"
    );
    // By hand: φ₂₂ = 0.01 / 0.91, φ₂₁ = 0.3 (1 - φ₂₂), so that 0.0330 ± 0.9099 is possible.
    assert_eq!(
        words(&[0.3, 0.1, -0.95]),
        "is -0.95, but must be above -0.87 and below 0.94 at a lag of 3 days, given those of fewer days"
    );
    // So narrow that two decimals would leave nothing.
    assert_eq!(
        words(&[0.9999, 0.9, 0.9]),
        "is 0.9, but must be above 0.9997 and below 1 at a lag of 2 days, given that of 1 day"
    );
    assert!(DayPersistence::new(&[0.3, f64::NAN]).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever partial autocorrelations: the autocorrelations made of them are accepted, and any days
    /// of the run, the first ones too, have them exactly.
    #[test]
    fn law_every_stretch_of_days_has_what_was_given(
        partials in prop::collection::vec(-0.95_f64..0.95, 1..=MOST_LAGS),
    ) {
        let mut predictor = Predictor::alone();
        let mut given: Vec<f64> = Vec::new();
        for &partial in &partials {
            let (middle, half) = predictor.limits(&given);
            given.push(middle + partial * half);
            predictor = predictor.longer(partial);
        }
        let persistence = DayPersistence::new(&given).unwrap();
        let all = covariances(&persistence, 26);
        for (day, row) in all.iter().enumerate() {
            prop_assert!((row[day] - 1.0).abs() < 1e-6, "day {day}: variance {}", row[day]);
            for (other, covariance) in row.iter().enumerate() {
                let apart = day.abs_diff(other);
                let wanted = match apart {
                    0 => 1.0,
                    lag => given.get(lag - 1).copied().unwrap_or(all[0][lag]),
                };
                prop_assert!((covariance - wanted).abs() < 1e-6, "{day} {other}: {covariance} {wanted}");
            }
        }
    }

    /// A refusal names limits of which the inside is accepted and the outside is not.
    #[test]
    fn law_the_limits_of_a_refusal_are_the_limits(
        given in prop::collection::vec(-1.0_f64..=1.0, 1..=MOST_LAGS),
        share in 0.001_f64..0.999,
    ) {
        if let Err(error) = DayPersistence::new(&given) {
            let mut mended = given[..error.lag].to_vec();
            mended[error.lag - 1] = error.above + share * (error.below - error.above);
            prop_assert!(DayPersistence::new(&mended).is_ok(), "{mended:?}");
            let (above, below) = error.shown_limits();
            prop_assert!(above >= error.above && below <= error.below && above < below);
        }
    }
}
