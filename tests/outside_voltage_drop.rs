//! Voltage drop against published and computed examples. Source and status of each figure stand in
//! `tests/reference/electrical/README.md`.

mod electrical_reference;

use electrical_reference::{gauge, number, rows};
use tideover::wiring::conductors::{Awg, resistance_20c_ohm_per_km};
use tideover::wiring::voltage_drop::{
    CONNECTIONS_M, at_temperature, loop_resistance_ohm, pair_drop_v, small_craft_rule_cmil,
};

/// Worked examples: VD1 to VD3 published (status verified), the others from IEC 60228 by the formula
/// (status computed). 0.1 %, or half of the last digit printed where that is more.
#[test]
fn outside_worked_examples() {
    let mut seen = 0;
    for row in rows("voltage_drop_examples.csv") {
        let (amps, metres) = (number(&row, "current_A"), number(&row, "one_way_length_m"));
        let (ohm, copper_c) = (
            number(&row, "resistance_20C_ohm_per_km"),
            number(&row, "conductor_temp_C"),
        );
        let printed = number(&row, "drop_V");
        let ours = pair_drop_v(amps, metres, ohm, copper_c);
        assert!(
            (ours - printed).abs() <= (0.001 * printed).max(0.000_051),
            "{}: {ours}",
            row["id"]
        );
        let volts = number(&row, "system_voltage_V");
        let percent = number(&row, "drop_percent");
        assert!(
            (100.0 * ours / volts - percent).abs() <= (0.001 * percent).max(0.000_51),
            "{}",
            row["id"]
        );
        if row["status"] == "computed" {
            let table = resistance_20c_ohm_per_km(number(&row, "area_mm2"));
            assert!((table - ohm).abs() < 1e-12, "{}", row["id"]);
            // The run's own resistance is this and four terminations.
            let whole = amps * loop_resistance_ohm(number(&row, "area_mm2"), metres, copper_c);
            let expected = ours * (1.0 + CONNECTIONS_M / (2.0 * metres));
            assert!((whole / expected - 1.0).abs() < 1e-9, "{}", row["id"]);
        }
        seen += 1;
    }
    assert_eq!(seen, 29);
}

/// VD2 prints 0.265 V for 4.17 A over 5 m of 1.5 mm² at 12.7 Ω/km (status verified; ISO 6722).
#[test]
fn outside_published_example_of_five_metres() {
    let ours = pair_drop_v(4.17, 2.5, 12.7, 20.0);
    assert!((ours - 0.265).abs() < 0.000_5, "{ours}");
}

/// ABYC E-11, 11.14.2.6, as quoted: K = 10.75, round trip (rows computed from it). 0.1 cmil; the
/// gauge by ASTM area is the smallest of the trade's that has it.
#[test]
fn outside_round_trip_rule() {
    let mut seen = 0;
    for row in rows("voltage_drop_cm_rule.csv") {
        let allowed = number(&row, "allowed_drop_V");
        let ours = small_craft_rule_cmil(
            number(&row, "current_A"),
            number(&row, "round_trip_length_ft"),
            allowed,
        );
        assert!(
            (ours - number(&row, "cm_required_K10.75")).abs() < 0.1,
            "{row:?}: {ours}"
        );
        let area_mm2 = ours * 5.067_075e-4;
        let smallest = Awg::not_smaller_than(area_mm2).expect("up to 4/0");
        assert_eq!(
            smallest.number(),
            gauge(&row["smallest_trade_AWG_by_ASTM_area"]),
            "{row:?}"
        );
        seen += 1;
    }
    assert_eq!(seen, 9);
}

/// The rule's K is copper at 29.3 °C: 10.371 Ω·cmil/ft at 20 °C (status computed).
#[test]
fn outside_rule_holds_copper_at_29_degrees() {
    assert!((at_temperature(10.371, 29.3) - 10.75).abs() < 0.001);
}
