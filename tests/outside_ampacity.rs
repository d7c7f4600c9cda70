//! Ampacity against 33 CFR 183.425 and its notes. Source and status of each figure stand in
//! `tests/reference/electrical/README.md`.

mod electrical_reference;

use electrical_reference::{gauge, number, rows};
use tideover::scenario::Insulation;
use tideover::wiring::ampacity::{
    Surroundings, TABLE_5, ambient_factor, bundling_factor, engine_space_factor, table_ampacity_a,
    table_gauge,
};
use tideover::wiring::conductors::Awg;

fn rated(text: &str) -> Insulation {
    Insulation::new(text.parse().expect("a number")).expect("a rating of Table 5")
}

/// 33 CFR 183.425, Table 5; status verified. Exact.
#[test]
fn outside_table_5_exactly() {
    let mut seen = 0;
    for row in rows("ampacity.csv") {
        if row["standard"] == "US_33CFR183.425_Table5" {
            assert_eq!(row["status"], "verified");
            let awg = Awg::new(gauge(&row["size_label"])).expect("a gauge");
            let ours = table_ampacity_a(awg, rated(&row["insulation_rating_C"]));
            let printed = number(&row, "allowable_current_A");
            assert!(
                (ours.expect("listed") - printed).abs() < 1e-12,
                "{row:?}: {ours:?}"
            );
            assert!((awg.area_mm2() / number(&row, "area_mm2") - 1.0).abs() < 1e-3);
            seen += 1;
        }
    }
    assert_eq!(seen, 7 * TABLE_5.len());
}

/// Notes 1 and 2 of Table 5; status `verified_secondhand`. Exact.
#[test]
fn outside_engine_space_and_bundling_exactly() {
    let mut seen = 0;
    for row in rows("ampacity_factors.csv") {
        let printed = number(&row, "factor");
        if row["standard"] == "US_33CFR183.425_Table5_note1" {
            let ours = engine_space_factor(rated(&row["insulation_rating_C"]));
            assert!((ours - printed).abs() < 1e-12, "{row:?}");
            seen += 1;
        } else if row["standard"] == "US_33CFR183.425_Table5_note2" {
            let (low, high) = row["conductor_count"].split_once("..").expect("a range");
            let low: u32 = low.parse().expect("a count");
            let high: u32 = high.parse().unwrap_or(100);
            for count in low..=high {
                assert!(
                    (bundling_factor(count) - printed).abs() < 1e-12,
                    "{row:?} at {count}"
                );
            }
            seen += 1;
        }
    }
    assert_eq!(seen, 12);
}

/// The heat balance against the engine-space factors of note 1 (`verified_secondhand`), within 0.007
/// up to 125 °C as the reference states, and against its own closed form (computed).
#[test]
fn outside_heat_balance_gives_the_printed_factors() {
    let mut seen = 0;
    for row in rows("ampacity_factors.csv") {
        if row["standard"] == "US_33CFR183.425_Table5_note1" {
            let ours = ambient_factor(rated(&row["insulation_rating_C"]), 50.0);
            assert!(
                (ours - number(&row, "closed_form_sqrt_rule")).abs() < 1e-4,
                "{row:?}: {ours}"
            );
            if row["insulation_rating_C"] != "200" {
                assert!(
                    (ours - number(&row, "factor")).abs() < 0.007,
                    "{row:?}: {ours}"
                );
            }
            seen += 1;
        }
    }
    assert_eq!(seen, 7);
}

/// Between two gauges a metric size takes the smaller one's row, so it is never over-rated.
#[test]
fn law_a_size_never_takes_the_row_of_a_larger_gauge() {
    for hundredths in 83..13_000_u32 {
        let area = f64::from(hundredths) / 100.0;
        let gauge = table_gauge(area).expect("AWG 18 and up");
        assert!(gauge.area_mm2() <= area + 1e-9, "{area} mm² took {gauge}");
    }
    assert!(
        table_gauge(0.82).is_none(),
        "below AWG 18 nothing is vouched for"
    );
}

/// Heat, bundling and the engine space only ever lower the current; more copper never does.
#[test]
fn law_surroundings_only_lower_and_copper_only_raises() {
    for rating in Insulation::ALL {
        let at = |ambient_c: f64, engine_space: bool, bundled: u32, area: f64| {
            let insulation = Insulation::new(rating).expect("a rating");
            let around = Surroundings {
                insulation,
                ambient_c,
                engine_space,
                bundled,
            };
            around.ampacity_a(area).expect("in the table")
        };
        for area in [1.0, 2.5, 6.0, 16.0, 35.0, 95.0] {
            for step in 0..30_u32 {
                let ambient = f64::from(step) * 5.0;
                assert!(at(ambient + 5.0, false, 1, area) <= at(ambient, false, 1, area));
                assert!(at(ambient + 5.0, true, 1, area) <= at(ambient, true, 1, area));
                assert!(at(ambient, false, step + 1, area) <= at(ambient, false, step, area));
                assert!(at(ambient, false, 1, area * 1.3) >= at(ambient, false, 1, area));
            }
        }
    }
}
