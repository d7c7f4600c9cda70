//! What counts as a shortfall.
//!
//! One job: an outage is one, wherever the reserve lies. When loads are dropped is held against
//! published figures in `outside_sizing.rs`.

mod one_run;

use one_run::Tideover;

/// Every outage is a shortfall: of lead-acid whose cut-off the cold has moved above its reserve,
/// and with a reserve of nothing. Neither trip ends with its loads on, so neither may be counted as one that works.
#[test]
fn law_an_outage_is_a_shortfall() {
    for (name, text) in [
        (
            "cold",
            include_str!("scenarios/sizing/s3-cold-battery.json"),
        ),
        (
            "no reserve",
            include_str!("scenarios/sizing/s6-storage-days.json"),
        ),
    ] {
        let trip = Tideover::new()
            .scenario(text)
            .args(["trip", "base.json", "--typical", "--json", "--quiet"])
            .succeeds()
            .json();
        let bank = &trip["banks"][0];
        let none = Some(0.0);
        assert_eq!(bank["chance_no_outage"]["value"].as_f64(), none, "{name}");
        let days = bank["autonomy_days"]["p50"]["value"].as_f64();
        assert!(
            days.is_some_and(|days| (2.4..3.1).contains(&days)),
            "{name}: {days:?}"
        );
        let chance = bank["chance_no_shortfall"]["value"].as_f64();
        assert_eq!(chance, none, "{name}");
    }
}
