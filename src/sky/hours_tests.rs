//! Checks of `hours`: the table against the exact inverse, and the day's total.
//!
//! One job: laws of the functions there. Published figures are in `tests/outside_clearness.rs`.
//! Left out: the draw of the deviates.

use super::*;

#[test]
fn law_day_total_is_exact_and_caps_hold() {
    let weight = [0.0, 0.2, 0.7, 1.0, 1.1, 0.8, 0.3];
    let cap = [0.1, 0.45, 0.62, 0.74, 0.76, 0.72, 0.5];
    let start = [0.0, 0.1, 0.5, 0.9, 0.2, 0.7, 0.3];
    let total: f64 = weight.iter().sum();
    let room: f64 = cap.iter().zip(weight).map(|(c, w)| c * w).sum();
    for step in 0..=100 {
        let kt_day = f64::from(step) / 100.0;
        let mut kt = start;
        hold_day_total(&mut kt, &weight, &cap, kt_day);
        let sum: f64 = kt.iter().zip(weight).map(|(k, w)| k * w).sum();
        assert!((sum - kt_day * total).abs() < 1e-12, "{kt_day}: {sum}");
        for (index, k) in kt.iter().enumerate() {
            let most = if room >= kt_day * total {
                cap[index]
            } else {
                1.0
            };
            assert!(*k <= most && *k >= 0.0, "{kt_day} {index}");
        }
    }
}

#[test]
fn law_days_side_by_side_are_those_alone_to_the_bit() {
    let weight = [0.0, 0.2, 0.7, 1.0, 1.1, 0.8];
    let cap = [0.1, 0.45, 0.62, 0.74, 0.76, 0.5];
    let kt_day = [0.0, 0.05, 0.4, 0.6, 0.68, 0.95];
    // A day without light of its own beside others, dark hours in the rest.
    let start: [[f64; 6]; 6] = std::array::from_fn(|hour| {
        std::array::from_fn(|day| {
            let k = f64::from(u32::try_from((5 * hour + 3 * day) % 7).expect("small"));
            if day == 2 { 0.0 } else { 0.15 * k }
        })
    });
    let mut together = start;
    hold_day_totals(&mut together, &weight, &cap, &kt_day);
    for day in 0..6 {
        let mut alone = start.map(|hour| hour[day]);
        hold_day_total(&mut alone, &weight, &cap, kt_day[day]);
        for hour in 0..6 {
            assert_eq!(alone[hour].to_bits(), together[hour][day].to_bits());
        }
    }
}

#[test]
fn law_untouched_hours_keep_their_ratio() {
    let mut kt = [0.2, 0.3, 0.6];
    hold_day_total(&mut kt, &[1.0, 2.0, 1.0], &[0.9, 0.9, 0.5], 0.4);
    assert!((kt[2] - 0.5).abs() < 1e-12);
    assert!((kt[1] / kt[0] - 1.5).abs() < 1e-12);
}

#[test]
fn law_a_day_of_dark_hours_gets_its_light_by_the_caps() {
    let mut kt = [0.0, 0.0];
    hold_day_total(&mut kt, &[1.0, 3.0], &[0.4, 0.8], 0.35);
    assert!((kt[0] + 3.0 * kt[1] - 4.0 * 0.35).abs() < 1e-12);
    assert!((kt[1] / kt[0] - 2.0).abs() < 1e-12);
    let mut night = [0.3, 0.3];
    hold_day_total(&mut night, &[0.0, 0.0], &[0.5, 0.5], 0.5);
    assert!(night.iter().all(|k| k.is_finite()));
}

#[test]
fn law_infeasible_hours_are_the_trend_itself() {
    assert!((hour_kt(0.95, 0.7, 1.0) - 0.7).abs() < 1e-12);
    assert!((hour_kt(0.45, 1.2, -1.0) - 1.0).abs() < 1e-12);
    assert!(hour_kt(0.0, 0.0, 2.0).abs() < 1e-12);
    assert!((hour_kt(0.45, 0.01, 1.0) - 0.01).abs() < 1e-12);
}

#[test]
fn law_hours_rise_with_their_deviate_across_the_table_s_edge() {
    for kt_day in [0.1, 0.45, 0.8] {
        for trend in [0.03, 0.06, 0.17, 0.18, 0.4, 0.63, 0.64, 0.9, 0.97] {
            let mut last = 0.0;
            for step in -50..=50 {
                let now = hour_kt(kt_day, trend, f64::from(step) / 10.0);
                assert!(now >= last - 1e-12 && now <= 1.0, "{kt_day} {trend} {step}");
                last = now;
            }
        }
    }
}
