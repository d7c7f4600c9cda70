//! Batteries against published figures: the kinetic model, capacity by rate and by warmth, rested
//! voltage, charge acceptance, self-discharge.
//!
//! One job: the functions of `system` and the defaults of `scenario`. Whole trips are in
//! `outside_sizing.rs`. Figures and their sources: `tests/reference/electrical`.

mod electrical_reference;

use electrical_reference::{Row, number, rows};
use tideover::scenario::Chemistry;
use tideover::scenario::defaults::self_discharge_per_month;
use tideover::system::battery_temperature::{
    LITHIUM_NO_CHARGE_C, capacity_share, cell_size_factor, lithium_charge_share,
};
use tideover::system::charge_acceptance::lead_acid_efficiency;
use tideover::system::open_circuit_voltage::{Curve, VoltageTable};
use tideover::system::terminal_voltage::terminal_v;
use tideover::system::two_tank::{RATE_PER_H, SHARE_AT_HAND, TwoTankStep, full_over_rated};

fn lead_acid(group: &str) -> Vec<Row> {
    let found: Vec<Row> = rows("battery_lead_acid.csv")
        .into_iter()
        .filter(|row| row["group"] == group)
        .collect();
    assert!(!found.is_empty(), "{group}");
    found
}

/// Currents in A of a named load and how long each is held, repeated: 1 stands for a minute.
fn pattern(load: &str) -> &'static [(f64, f64)] {
    match load {
        "CL250" => &[(0.25, 1.0)],
        "CL500" => &[(0.5, 1.0)],
        "CLalt" => &[(0.5, 1.0), (0.25, 1.0)],
        "ILs250" => &[(0.25, 1.0), (0.0, 1.0)],
        "ILs500" => &[(0.5, 1.0), (0.0, 1.0)],
        "ILsalt" => &[(0.5, 1.0), (0.0, 1.0), (0.25, 1.0), (0.0, 1.0)],
        "ILl250" => &[(0.25, 1.0), (0.0, 2.0)],
        "ILl500" => &[(0.5, 1.0), (0.0, 2.0)],
        other => panic!("load {other}"),
    }
}

/// Time until the tank at hand is empty, and the charge left: whole pieces of the pattern, the last
/// by bisection.
fn lifetime(share: f64, rate: f64, full: f64, pieces: &[(f64, f64)]) -> (f64, f64) {
    let (mut at_hand, mut total, mut time) = (share * full, full, 0.0);
    for &(current, length) in pieces.iter().cycle().take(1_000_000) {
        let after =
            |t: f64| TwoTankStep::new(share, rate, t).available_ah(at_hand, total, -current);
        if after(length) <= 0.0 {
            let (mut low, mut high) = (0.0, length);
            for _ in 0..80 {
                let middle = 0.5 * (low + high);
                if after(middle) > 0.0 {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            return (time + low, total - current * low);
        }
        at_hand = after(length);
        total -= current * length;
        time += length;
    }
    panic!("never empty")
}

/// Outside figures: sixteen lifetimes of M. Jongerden, B. Haverkort, H. Bohnenkamp, J.-P. Katoen,
/// "Maximizing system lifetime by battery scheduling", DSN 2009 (set A; published figures from memory,
/// all reproduced by the closed form), and six constant rates of set B. Tolerance: 0.1 % of the computed figure, and
/// half the last digit and a bit of the published one.
#[test]
fn outside_kinetic_model_lifetimes() {
    let mut seen = 0;
    for row in rows("kibam_check.csv") {
        let (share, rate) = (number(&row, "c"), number(&row, "k_rate"));
        let full = number(&row, "max_charge");
        let computed = number(&row, "time_to_empty");
        let constant: [(f64, f64); 1];
        let pieces = if row["set"] == "A" {
            pattern(&row["load_id"])
        } else {
            let words = row["load_description"].trim_end_matches(" A");
            let current = words.trim_start_matches("I = ").parse().expect("a current");
            constant = [(current, 0.25)];
            &constant
        };
        let (time, left) = lifetime(share, rate, full, pieces);
        assert!((time / computed - 1.0).abs() < 1e-3, "{time} of {row:?}");
        let left_wanted = number(&row, "charge_left_at_empty");
        assert!((left / left_wanted - 1.0).abs() < 2e-3, "{left} of {row:?}");
        if row["set"] == "A" {
            let published = number(&row, "published_time");
            assert!((time - published).abs() < 0.0056, "{time} of {row:?}");
        }
        seen += 1;
    }
    assert_eq!(seen, 22);
}

/// Doubling charge and current together leaves the lifetime the same (scaling law of the model).
#[test]
fn law_lifetime_does_not_depend_on_scale() {
    for load in ["CLalt", "ILl250"] {
        let doubled: Vec<(f64, f64)> = pattern(load).iter().map(|&(a, t)| (2.0 * a, t)).collect();
        let (once, _) = lifetime(0.166, 0.122, 5.5, pattern(load));
        let (twice, _) = lifetime(0.166, 0.122, 11.0, &doubled);
        assert!((once - twice).abs() < 1e-9, "{load}: {once} {twice}");
    }
}

/// Outside figures: set B through discharge, rest, discharge, charge and rest, computed by the closed
/// form of J. F. Manwell, J. G. McGowan, Solar Energy 50(5), 399-405, 1993; with the greatest currents of the next
/// hour. Tolerance: a tenth of the last digit's hundredfold, 0.001.
#[test]
fn outside_kinetic_model_step_walk() {
    let (share, rate, full) = (0.557_96, 0.285_55, 375.43);
    let hour = TwoTankStep::new(share, rate, 1.0);
    let (mut at_hand, mut total) = (share * full, full);
    for row in rows("kibam_steps.csv") {
        if !row["duration_h"].is_empty() {
            let current = -number(&row, "current_A_discharge_positive");
            let hours = number(&row, "duration_h");
            at_hand = TwoTankStep::new(share, rate, hours).available_ah(at_hand, total, current);
            total += current * hours;
        }
        for (found, column) in [
            (at_hand, "q1_available_Ah"),
            (total - at_hand, "q2_bound_Ah"),
            (total, "total_Ah"),
            (
                hour.max_discharge_a(at_hand, total, 0.0),
                "max_discharge_1h_A",
            ),
            (
                -hour.max_charge_a(at_hand, total, share * full),
                "max_charge_1h_A_negative",
            ),
        ] {
            let wanted = number(&row, column);
            assert!(
                (found - wanted).abs() < 1e-3,
                "{column}: {found} of {row:?}"
            );
        }
    }
}

/// Charge in Ah that a battery of this 20 h capacity gives at a constant rate of `hours`.
fn capacity_ah(rated_ah: f64, hours: f64) -> f64 {
    let full = rated_ah * full_over_rated(SHARE_AT_HAND, RATE_PER_H, 20.0);
    full / full_over_rated(SHARE_AT_HAND, RATE_PER_H, hours)
}

/// Hours that it lasts at a current.
fn hours_at(rated_ah: f64, current_a: f64) -> f64 {
    let (mut low, mut high) = (0.01, 1000.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if capacity_ah(rated_ah, middle) / middle > current_a {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Outside figures: capacity of a flooded deep-cycle battery at six rates, data sheet of March 2014,
/// maker withheld (verified). Tolerance 3.5 %: the fit's own worst residual is 3.4 %.
#[test]
fn outside_capacity_by_rate() {
    for row in lead_acid("capacity_vs_rate_flooded") {
        let (x, value) = (number(&row, "x"), number(&row, "value"));
        let (found, wanted) = match row["value_unit"].as_str() {
            "Ah" => (capacity_ah(330.0, x), value),
            _ => (hours_at(330.0, x) * 60.0, value),
        };
        // At a fixed current the time moves a little more than the charge at a fixed time.
        let tolerance = if row["value_unit"] == "Ah" {
            0.035
        } else {
            0.05
        };
        assert!(
            (found / wanted - 1.0).abs() < tolerance,
            "{found} of {row:?}"
        );
    }
}

/// Outside figures: Peukert exponents between the 20 h rate and 25 A, from a manual's table
/// (verified): flooded 1.14 to 1.28, gel 1.10 and 1.12. The program's one set of tanks is fitted to
/// a flooded battery: its exponents lie in the flooded band, and above gel's by 0.15 at most, on
/// the safe side.
#[test]
fn outside_peukert_exponents() {
    let mut seen = 0;
    for row in lead_acid("peukert_exponent") {
        if row["x_unit"] != "Ah_20h" {
            continue;
        }
        let (rated_ah, published) = (number(&row, "x"), number(&row, "value"));
        let hours = hours_at(rated_ah, 25.0);
        let exponent = (20.0_f64 / hours).ln() / (25.0 / (rated_ah / 20.0)).ln();
        if row["item"].contains("gel") {
            let above = exponent - published;
            assert!((0.0..0.15).contains(&above), "{exponent} of {row:?}");
        } else {
            assert!((1.13..1.30).contains(&exponent), "{exponent} of {row:?}");
        }
        seen += 1;
    }
    assert_eq!(seen, 7);
}

/// Outside figures: cell size factors of IEEE 485, table 1: the rows that published worksheets
/// corroborate to half the last digit, those from memory within 0.02; and the rows that three sizing worksheets
/// print (verified), within 2.5 % as they start from 26.7 °C.
#[test]
fn outside_capacity_by_temperature() {
    for row in lead_acid("temperature_sizing_factor_ieee485") {
        let tolerance = if row["status"] == "memory" {
            0.02
        } else {
            0.005
        };
        let found = cell_size_factor(number(&row, "x"));
        assert!(
            (found - number(&row, "value")).abs() < tolerance,
            "{found} of {row:?}"
        );
    }
    for row in lead_acid("temperature_sizing_factor_worksheet") {
        let found = cell_size_factor(number(&row, "x"));
        let ratio = found / number(&row, "value");
        assert!((ratio - 1.0).abs() < 0.025, "{found} of {row:?}");
    }
}

/// Outside figures: change of capacity with temperature at discharges of over an hour, a battery
/// maker's answers to questions (verified): from -16 % at 0 °C to +5 % at 40 °C. The program, after IEEE 485, is never the more
/// hopeful in the cold, by 13 points at most (0 °C), and by 7 in heat.
#[test]
fn outside_capacity_change_of_a_maker() {
    for row in lead_acid("capacity_change_with_temperature") {
        let at_c = number(&row, "x");
        let above = 100.0 * (capacity_share(at_c) - 1.0) - number(&row, "value");
        let band = if at_c < 25.0 { -13.0..0.0 } else { -0.5..7.0 };
        assert!(band.contains(&above), "{above} points of {row:?}");
    }
}

/// Outside figures: rested voltage of flooded batteries, a mailing list's table to one decimal and a
/// magazine's answer (verified): within 0.1 V; 0.3 V at 0 %, where they differ among themselves. Six times specific gravity plus
/// 0.84 (computed; rule from memory): within 0.14 V. Trade tables of sealed ones (memory): 0.1 V.
#[test]
fn outside_rested_voltage_of_lead_acid() {
    for (group, curve) in [("ocv_flooded", Curve::Flooded), ("ocv_agm", Curve::Sealed)] {
        let table = VoltageTable::new(curve, 1.0);
        for row in lead_acid(group)
            .iter()
            .filter(|row| row["value_unit"] == "V")
        {
            let share = number(row, "x") / 100.0;
            let tolerance = match row["status"].as_str() {
                "computed" => 0.14,
                _ if share < 0.2 => 0.3,
                _ => 0.101,
            };
            let found = table.volts(share);
            assert!(
                (found - number(row, "value")).abs() < tolerance,
                "{found} of {row:?}"
            );
        }
    }
}

/// Outside figures: rested voltage of iron phosphate: eleven points of a cell's data sheet
/// (verified) exactly; the composite of `PyBaMM` 26.10.1.1 (Prada2013, computed) as a band of 55 mV a cell
/// between 20 and 90 %, 0.1 V from 10 %, 0.26 V at full, where its cell stands at its 3.6 V limit.
/// Below 10 % its graphite is of another kind.
#[test]
fn outside_rested_voltage_of_iron_phosphate() {
    let (four, eight) = (
        VoltageTable::new(Curve::Lfp, 1.0),
        VoltageTable::new(Curve::Lfp, 2.0),
    );
    for row in rows("battery_lfp.csv") {
        let soc = number(&row, "state_of_charge");
        let cell_v = four.volts(soc) / 4.0;
        assert!((eight.volts(soc) / 8.0 - cell_v).abs() < 1e-9);
        if !row["datasheet_18650_cell_ocv_V"].is_empty() {
            let published = number(&row, "datasheet_18650_cell_ocv_V");
            assert!((cell_v - published).abs() < 1e-9, "{cell_v} of {row:?}");
        }
        let tolerance = match soc {
            s if s < 0.095 => continue,
            s if s < 0.195 => 0.1,
            s if s < 0.905 => 0.056,
            s if s < 0.96 => 0.06,
            _ => 0.26,
        };
        let composite = number(&row, "pybamm_cell_ocv_V");
        assert!(
            (cell_v - composite).abs() < tolerance,
            "{cell_v} of {row:?}"
        );
    }
    // Both columns: so flat that voltage cannot tell the charge.
    assert!(four.volts(0.9) / 4.0 - four.volts(0.4) / 4.0 < 0.07);
}

/// Outside figures: discharge of an iron phosphate cell at C/20, C/5 and 1C (`PyBaMM` 26.10.1.1,
/// computed): a resistance taken from the two slow rates foretells the fast one within 30 mV at each
/// depth, so that a rested voltage with a resistance is enough. That a cell ends sooner at 1C (1.88
/// of 2.23 Ah to 2.5 V) the program does not show.
#[test]
fn outside_voltage_under_load_of_iron_phosphate() {
    let rates = rows("battery_lfp_discharge.csv");
    for column in [
        "voltage_at_10pct_out_V",
        "voltage_at_50pct_out_V",
        "voltage_at_90pct_out_V",
    ] {
        let [slow, middle, fast] = [0, 1, 2].map(|rate: usize| &rates[rate]);
        let ohm = (number(slow, column) - number(middle, column))
            / (number(middle, "current_A") - number(slow, "current_A"));
        let rested_v = number(slow, column) + ohm * number(slow, "current_A");
        let found = terminal_v(rested_v, ohm, -number(fast, "current_A"), 0.0);
        let wanted = number(fast, column);
        assert!(
            (found - wanted).abs() < 0.03,
            "{column}: {found} for {wanted}"
        );
    }
}

/// Outside figures: an electrical teaching page gives 0.85 as typical coulombic efficiency of
/// lead-acid (verified); the mean from half to full at the 10 h current is that, within 0.02. J. B. Copetti, E. Lorenzo,
/// F. Chenlo, Prog. Photovolt. 1(4), 283-292, 1993 (behaviour; digits from memory): near 1 below
/// 70 %, 0 when full, lower at higher currents.
#[test]
fn outside_charge_efficiency_of_lead_acid() {
    let parts = 1000_u32;
    let mean: f64 = (0..parts)
        .map(|part| 0.5 + 0.5 * (f64::from(part) + 0.5) / f64::from(parts))
        .map(|soc| lead_acid_efficiency(soc, 1.0) / f64::from(parts))
        .sum();
    assert!((mean - 0.85).abs() < 0.02, "{mean}");
    assert!(lead_acid_efficiency(0.7, 1.0) > 0.97);
    assert!(lead_acid_efficiency(1.0, 1.0).abs() < 1e-12);
    for tenth in 0..10 {
        let soc = f64::from(tenth) / 10.0;
        assert!(lead_acid_efficiency(soc, 2.0) < lead_acid_efficiency(soc, 0.5));
        assert!(lead_acid_efficiency(soc + 0.1, 1.0) < lead_acid_efficiency(soc, 1.0));
    }
}

/// Outside figures: self-discharge a month: flooded 5 to 15 % (data sheet of March 2014, verified) and 4.7 to
/// 15.8 % between 10 and 26.7 °C (US Army TM 9-6140-200-14, first ten days, verified); sealed 1 to 4 % (memory);
/// iron phosphate at most 3 % (pack specification, verified).
#[test]
fn outside_self_discharge() {
    let of = |chemistry| self_discharge_per_month(chemistry).0;
    let army: Vec<f64> = lead_acid("self_discharge")
        .iter()
        .filter(|row| row["value_unit"] == "percent_per_day" && number(row, "x") < 30.0)
        .map(|row| 30.0 * number(row, "value") / 100.0)
        .collect();
    assert_eq!(army.len(), 2);
    let flooded = of(Chemistry::Flooded);
    assert!((0.05..=0.15).contains(&flooded));
    assert!((army[1]..=army[0]).contains(&flooded), "{army:?}");
    for sealed in [Chemistry::Agm, Chemistry::Gel] {
        assert!((0.01..=0.04).contains(&of(sealed)));
    }
    let limit = rows("battery_lfp_properties.csv")
        .iter()
        .find(|row| row["item"] == "self-discharge, total")
        .map(|row| number(row, "high") / 100.0);
    assert!(of(Chemistry::Lfp) <= limit.expect("a row"));
}

/// Outside figures: no charging of lithium below 0 °C: cell and pack specifications, makers withheld
/// (verified); CP19, common practice, no source: many packs cut charge between 0 and 5 °C.
#[test]
fn outside_no_lithium_charge_in_frost() {
    let forbidden = rows("battery_lfp_properties.csv")
        .iter()
        .find(|row| row["item"] == "no charging below")
        .map(|row| number(row, "low"));
    assert!((forbidden.expect("a row") - LITHIUM_NO_CHARGE_C).abs() < 1e-12);
    for at_c in [-30.0, -5.0, 0.0] {
        assert!(lithium_charge_share(at_c).abs() < 1e-12);
    }
    assert!((lithium_charge_share(5.0) - 1.0).abs() < 1e-12);
}
