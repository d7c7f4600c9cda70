//! Checks of `clearness`: the table holds what it promises.
//!
//! One job: laws and refusals of `KtQuantile`. Published figures are in
//! `tests/outside_clearness.rs`.
//! Left out: speed.

use super::*;
use crate::sky::normal::normal_quantile;

/// Mean and standard deviation over even probabilities, without the table's own weights.
fn sampled(kt: &KtQuantile) -> (f64, f64) {
    let n = 20_000;
    let values: Vec<f64> = (0..n)
        .map(|i| kt.kt(normal_quantile((f64::from(i) + 0.5) / f64::from(n))))
        .collect();
    let mean = values.iter().sum::<f64>() / f64::from(n);
    let square = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / f64::from(n);
    (mean, square.sqrt())
}

#[test]
fn law_mean_holds_from_polar_night_to_desert() {
    for k in 0..=85 {
        let mean = f64::from(k) / 100.0;
        let kt = KtQuantile::from_mean(mean, None).unwrap();
        assert!((kt.mean() - mean).abs() < 1e-6, "{mean}: {}", kt.mean());
        assert!((sampled(&kt).0 - mean).abs() < 1e-4, "{mean}");
        assert!(kt.kt(-9.0) >= 0.0 && kt.kt(9.0) <= upper_limit(mean).max(0.0));
    }
}

#[test]
fn law_table_is_within_5e_4_of_the_distribution() {
    for k in [5, 15, 25, 40, 55, 70, 80, 84] {
        let mean = f64::from(k) / 100.0;
        let days = HollandsHuget::new(mean, upper_limit(mean)).unwrap();
        let kt = KtQuantile::from_mean(mean, None).unwrap();
        for step in -399..400 {
            let z = f64::from(step) / 100.0;
            let error = kt.kt(z) - days.quantile(normal_cdf(z));
            assert!(error.abs() < 5e-4, "{mean} {z}: {error}");
        }
    }
}

#[test]
fn law_given_spread_and_mean_hold() {
    for (mean, sd) in [
        (0.2, 0.08),
        (0.35, 0.25),
        (0.5, 0.05),
        (0.5, 0.22),
        (0.7, 0.1),
        (0.78, 0.03),
    ] {
        let kt = KtQuantile::from_mean(mean, Some(sd)).unwrap();
        let (got_mean, got_sd) = sampled(&kt);
        assert!((got_mean - mean).abs() < 1e-4, "{mean} {sd}: {got_mean}");
        assert!((got_sd - sd).abs() < 1e-3, "{mean} {sd}: {got_sd}");
        assert!(kt.kt(-9.0) >= DARKEST_KT && kt.kt(9.0) <= upper_limit(mean));
    }
}

#[test]
fn law_impossible_spread_gives_the_largest_and_keeps_the_mean() {
    let kt = KtQuantile::from_mean(0.6, Some(3.0)).unwrap();
    let most = ((0.6 - DARKEST_KT) * (upper_limit(0.6) - 0.6)).sqrt();
    assert!((kt.mean() - 0.6).abs() < 1e-4);
    assert!(
        kt.sd() > 0.95 * most && kt.sd() < 1.01 * most,
        "{}",
        kt.sd()
    );
}

#[test]
fn law_percentiles_mean_and_spread_come_back() {
    for (mean, sd) in [(0.3, 0.12), (0.5, 0.163), (0.65, 0.1)] {
        let days = KtQuantile::from_mean(mean, Some(sd)).unwrap();
        let points = [0.1, 0.25, 0.5, 0.75, 0.9].map(|p| (p, days.kt(normal_quantile(p))));
        let kt = KtQuantile::from_percentiles(mean, sd, &points).unwrap();
        let (got_mean, got_sd) = sampled(&kt);
        assert!((got_mean - mean).abs() < 1e-4, "{mean}: {got_mean}");
        assert!((got_sd - sd).abs() < 1e-3, "{sd}: {got_sd}");
        for (p, k) in points {
            let got = kt.kt(normal_quantile(p));
            assert!((got - k).abs() < 0.003, "{mean} {p}: {got} for {k}");
        }
        for step in -50..=50 {
            let z = f64::from(step) / 20.0;
            assert!((kt.kt(z) - days.kt(z)).abs() < 0.03, "{mean} {z}");
        }
    }
}

#[test]
fn law_contradicting_percentiles_give_way_to_mean_then_spread() {
    let points = [(0.1, 0.2), (0.5, 0.3), (0.9, 0.4)];
    let kt = KtQuantile::from_percentiles(0.5, 0.15, &points).unwrap();
    let (mean, sd) = sampled(&kt);
    assert!((mean - 0.5).abs() < 1e-4 && (sd - 0.15).abs() < 1e-3);
}

#[test]
fn law_table_never_falls() {
    let tables = [
        KtQuantile::from_mean(0.4, Some(0.3)).unwrap(),
        KtQuantile::from_percentiles(0.5, 0.2, &[(0.1, 0.2), (0.5, 0.55), (0.9, 0.7)]).unwrap(),
        KtQuantile::from_mean(0.02, None).unwrap(),
    ];
    for kt in tables {
        let mut last = 0.0;
        for step in -500..=500 {
            let now = kt.kt(f64::from(step) / 100.0);
            assert!(now >= last && now <= 1.0);
            last = now;
        }
    }
}

#[test]
fn law_polar_night_and_no_spread_are_fixed() {
    assert_eq!(
        KtQuantile::from_mean(0.0, None).unwrap(),
        KtQuantile::fixed(0.0)
    );
    assert_eq!(
        KtQuantile::from_mean(0.4, Some(0.0)).unwrap(),
        KtQuantile::fixed(0.4)
    );
    assert!(KtQuantile::fixed(0.4).sd() < 1e-9);
}

#[test]
fn refuses_what_no_distribution_can_hold() {
    for (mean, sd) in [(0.86, None), (-0.1, None), (f64::NAN, None)] {
        let error = KtQuantile::from_mean(mean, sd).unwrap_err();
        assert!(matches!(error, KtError::Mean { .. }));
    }
    for sd in [-0.1, f64::NAN, f64::INFINITY] {
        assert!(KtQuantile::from_mean(0.5, Some(sd)).is_err());
    }
    for points in [
        [(0.5, 0.3), (0.1, 0.4)],
        [(0.1, 0.4), (0.5, 0.3)],
        [(0.0, 0.1), (0.5, 0.3)],
        [(0.1, 0.1), (0.5, 1.3)],
        [(0.1, f64::NAN), (0.5, 0.3)],
    ] {
        assert!(KtQuantile::from_percentiles(0.4, 0.1, &points).is_err());
    }
    assert_eq!(
        KtQuantile::from_mean(0.9, None).unwrap_err().to_string(),
        "mean clearness index is 0.900, but no spread of days can hold a mean outside 0 to 0.85"
    );
    assert_eq!(
        KtQuantile::from_mean(0.5, Some(-0.1))
            .unwrap_err()
            .to_string(),
        "standard deviation of the clearness index is -0.1, but must be 0 or more"
    );
    assert_eq!(
        KtError::Percentiles { index: 1 }.to_string(),
        "percentile 1 of the clearness index does not rise within 0 to 1"
    );
    assert_eq!(KtError::NoMonth.to_string(), "no month is given");
}
