//! What must hold in every scenario, over random ones.
//!
//! One job: the laws. The scenarios come from `random_scenario`; a failing case prints the number it
//! was drawn from, and `random_scenario::text` of it is the file.

mod drawn_kinds;
mod random_scenario;

use proptest::prelude::{ProptestConfig, any, proptest};
use random_scenario::{Numbers, checked, text, value};
use serde_json::{Value, json};
use tideover::engine::{Figures, Outcome, SAMPLE_LEVELS, Unobserved, run_batch};
use tideover::scenario::Scenario;
use tideover::study::settings::Settings;
use tideover::study::trip::trip;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::{Drawing, RunSettings, Silent};

const STEP_MINUTES: u32 = 15;
const STEP_S: f64 = 900.0;
const TRIALS: usize = 6;

fn outcome_from(scenario: &Scenario, first: u64, count: usize) -> Outcome {
    let timeline = Timeline::new(scenario, Plan::Trip, STEP_MINUTES).expect("weather");
    let drawing = Drawing::new(scenario, &timeline, 1, &[]);
    let (draws, _) = drawing.batch(first, count);
    run_batch(&timeline, &draws, &mut Unobserved)
}

fn outcome(scenario: &Scenario) -> Outcome {
    outcome_from(scenario, 0, TRIALS)
}

fn entries<'a>(whole: &'a mut Value, key: &str) -> &'a mut Vec<Value> {
    whole[key].as_array_mut().expect("a list")
}

fn times(entry: &mut Value, key: &str, factor: f64) {
    if let Some(number) = entry[key].as_f64() {
        entry[key] = json!(number * factor);
    }
}

/// No charger, no panel, no alternator, no cable; banks that give whatever is asked.
fn without_charging(whole: &mut Value) {
    for key in ["chargers", "solar", "runs"] {
        whole[key] = json!([]);
    }
    whole
        .as_object_mut()
        .expect("an object")
        .remove("alternator");
    for bank in entries(whole, "banks") {
        bank["max_discharge_a"] = json!(1000);
    }
}

/// Every bank ends alike, whatever comes first in the file.
fn hold_in_any_order(seed: u64) {
    let mut whole = value(&mut Numbers::new(seed));
    let scenario = checked(&whole.to_string());
    let before = outcome(&scenario);
    for key in ["banks", "chargers", "solar", "loads", "inverters", "runs"] {
        entries(&mut whole, key).reverse();
    }
    let turned = checked(&whole.to_string());
    let after = outcome(&turned);
    for (index, bank) in scenario.banks.iter().enumerate() {
        let other = turned
            .banks
            .iter()
            .position(|b| b.id == bank.id)
            .expect("there");
        for lane in 0..TRIALS {
            let (a, b) = (
                before.banks[index].end_soc[lane],
                after.banks[other].end_soc[lane],
            );
            assert!((a - b).abs() < 1e-7, "{}: {a} and {b}", bank.id);
        }
    }
}

/// Found by the law below: two panels, one of them on a PWM controller, in the box of one charger.
#[test]
fn law_panels_in_one_box_are_cut_back_in_any_order() {
    hold_in_any_order(14_195_964_071_663_903_447);
}

/// The ledger closes and no figure comes from nothing with this resistance and with loads so much larger.
fn hold_at_the_summit(seed: u64, times_more: f64, mohm: f64) {
    let mut whole = value(&mut Numbers::new(seed));
    for bank in entries(&mut whole, "banks") {
        bank["resistance_mohm"] = json!(mohm);
        bank["max_discharge_a"] = json!(1000);
    }
    for load in entries(&mut whole, "loads") {
        times(load, "power_w", times_more);
        times(load, "current_a", times_more);
    }
    let scenario = checked(&whole.to_string());
    let outcome = outcome(&scenario);
    let ledgers = outcome.totals.banks.iter();
    for ((bank, ledger), plan) in outcome.banks.iter().zip(ledgers).zip(&scenario.banks) {
        assert!(bank.worst_gap < 1e-9, "{}: gap {}", plan.id, bank.worst_gap);
        for figure in [
            ledger.in_wh,
            ledger.out_wh,
            ledger.loss_wh,
            ledger.unserved_wh,
            ledger.standby_wh,
            ledger.curtailed_wh,
            ledger.conversion_wh,
        ] {
            assert!(
                figure.is_finite() && figure > -1e-9,
                "{}: {ledger:?}",
                plan.id
            );
        }
        for lane in 0..TRIALS {
            assert!((0.0..=1.0).contains(&bank.end_soc[lane]));
        }
    }
    let totals = &outcome.totals;
    let chargers = totals.chargers.iter().map(|charger| charger.wh);
    for given_wh in totals.loads.iter().map(|load| load.wh).chain(chargers) {
        assert!(given_wh.is_finite() && given_wh > -1e-9, "{given_wh}");
    }
    let panels = totals.panels.iter().map(|panel| panel.wh);
    for (sun_wh, panel) in panels.zip(&scenario.solar) {
        // In frost a panel gives more than its rating, by 0.35 % a kelvin.
        let most_wh = 1.3 * panel.panel_w * outcome.totals.hours;
        assert!((-1e-9..most_wh).contains(&sun_wh), "{sun_wh}");
    }
}

/// Found by the law below: a starter behind 3.7 Ω whose loads of constant current ask more than the
/// alternator has. What it left of them was cut by half of the 290 V that its current would have made
/// of that resistance.
#[test]
fn law_a_current_that_an_alternator_cannot_give_is_no_voltage() {
    hold_at_the_summit(
        288_547_396_393_606_098,
        57.716_809_462_843_58,
        3_739.099_385_465_691_7,
    );
}

/// Found by the law below: a starter behind 3.2 Ω with a load of 3.4 kW at each departure. In the part of the step
/// that is driven the alternator was let in for all of it, and lifted the terminals to 100 V.
#[test]
fn law_an_event_makes_no_more_room_than_can_be_served() {
    hold_at_the_summit(
        15_653_413_292_268_884_755,
        32.534_781_705_901_516,
        3_160.987_385_163_938,
    );
}

/// Places whose clock is more than a day ahead of the sun, or as far behind, at every minute around
/// midnight: each step of the trip has its sun.
#[test]
fn law_every_minute_has_its_sun_on_both_sides_of_the_date_line() {
    for (zone, lat, lon) in [
        ("Pacific/Apia", -13.8, -171.8),
        ("Pacific/Kiritimati", 1.9, -157.4),
        ("Pacific/Chatham", -43.9, -176.5),
        ("Pacific/Auckland", -36.8, -174.8),
        ("Pacific/Fiji", -17.7, -179.9),
        ("Pacific/Pago_Pago", -14.3, 170.7),
    ] {
        let mut whole = value(&mut Numbers::new(3));
        whole["climate"] = json!({ "kind": "monthly", "months": [
            { "month": 1, "kt": 0.5, "day_min_c": 14, "day_max_c": 26 }] });
        whole["itinerary"]["time_zone"] = json!(zone);
        let place = json!({ "name": "Home", "lat": lat, "lon": lon });
        whole["itinerary"]["from"] = place;
        whole["itinerary"]["legs"] = json!([{ "to": "Camp", "lat": lat, "lon": lon,
            "depart": "07:00", "drive_hours": 1, "nights": 1 }]);
        for minute in (0..100).chain(1400..1440) {
            whole["itinerary"]["start"] =
                json!(format!("2027-01-09T{:02}:{:02}", minute / 60, minute % 60));
            let scenario = checked(&whole.to_string());
            let timeline = Timeline::new(&scenario, Plan::Trip, 60).expect("weather");
            let sun = &timeline.sun;
            for length in [sun.slot.len(), sun.limb.len(), sun.horizontal_w_m2.len()] {
                assert_eq!(length, timeline.steps, "{zone} minute {minute}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_the_ledger_closes_and_charge_stays_within_its_bounds(seed in any::<u64>()) {
        let scenario = checked(&text(seed));
        let outcome = outcome(&scenario);
        for (bank, plan) in outcome.banks.iter().zip(&scenario.banks) {
            assert!(bank.worst_gap < 1e-9, "{}: gap {}", plan.id, bank.worst_gap);
            for lane in 0..TRIALS {
                let (lowest, end) = (bank.lowest_soc[lane], bank.end_soc[lane]);
                assert!((0.0..=1.0).contains(&lowest) && (0.0..=1.0).contains(&end));
                assert!(lowest <= end, "{}: lowest {lowest}, end {end}", plan.id);
                assert!(bank.samples.iter().all(|level| usize::from(level[lane]) < SAMPLE_LEVELS));
                let short = bank.shortfall_s[lane].is_finite();
                if lowest < plan.reserve_soc {
                    assert!(short, "{}: below its reserve and not short", plan.id);
                }
                if bank.had_outage[lane] {
                    assert!(short, "{}: an outage at {lowest} is no shortfall", plan.id);
                }
                if short && !bank.had_outage[lane] {
                    assert!(lowest < plan.reserve_soc, "{}: short at {lowest}", plan.id);
                }
            }
        }
        let totals = &outcome.totals;
        let chargers = totals.chargers.iter().map(|of| of.wh);
        let figures = totals.loads.iter().map(|of| of.wh).chain(chargers);
        let mut figures = figures.chain(totals.panels.iter().map(|of| of.wh));
        assert!(figures.all(|wh| wh.is_finite() && wh >= -1e-9));
    }

    #[test]
    fn law_a_trial_alone_equals_itself_in_a_batch_to_the_bit(seed in any::<u64>()) {
        let scenario = checked(&text(seed));
        let (all, alone) = (outcome(&scenario), outcome_from(&scenario, 4, 1));
        for (bank, single) in all.banks.iter().zip(&alone.banks) {
            assert_eq!(bank.end_soc[4].to_bits(), single.end_soc[0].to_bits());
            assert_eq!(bank.lowest_soc[4].to_bits(), single.lowest_soc[0].to_bits());
            assert_eq!(bank.shortfall_s[4].to_bits(), single.shortfall_s[0].to_bits());
            for (soc, one) in bank.samples.iter().zip(&single.samples) {
                assert_eq!(soc[4], one[0]);
            }
        }
    }

    /// What is worked out for the charge alone is what a whole run has of it.
    #[test]
    fn law_the_charge_alone_equals_that_of_a_whole_run_to_the_bit(seed in any::<u64>()) {
        let scenario = checked(&text(seed));
        let timeline = Timeline::new(&scenario, Plan::Trip, STEP_MINUTES).expect("weather");
        let (draws, _) = Drawing::new(&scenario, &timeline, 1, &[]).batch(0, TRIALS);
        let [all, alone] = [Figures::All, Figures::Charge].map(|of| of.run(&timeline, &draws));
        for (all, alone) in all.banks.iter().zip(&alone.banks) {
            assert_eq!(all.end_soc, alone.end_soc);
            assert_eq!(all.shortfall_s, alone.shortfall_s);
            assert_eq!(all.last_short_s, alone.last_short_s);
            assert_eq!(all.samples, alone.samples);
        }
    }

    /// Resistances and loads up to where a bank can give no more, and beyond.
    #[test]
    fn law_no_figure_comes_from_nothing_at_the_summit_of_the_voltage(
        seed in any::<u64>(), times_more in 1.0..60.0_f64, mohm in 0.0..4000.0_f64
    ) {
        hold_at_the_summit(seed, times_more, mohm);
    }

    /// Loads are the same ampere-hours at most in the larger bank, whose voltage sags less.
    #[test]
    fn law_without_charging_more_capacity_never_shortens_autonomy(seed in any::<u64>()) {
        let mut whole = value(&mut Numbers::new(seed));
        without_charging(&mut whole);
        let small = outcome(&checked(&whole.to_string()));
        for bank in entries(&mut whole, "banks") {
            times(bank, "capacity_ah", 1.4);
        }
        let large = outcome(&checked(&whole.to_string()));
        for (small, large) in small.banks.iter().zip(&large.banks) {
            for lane in 0..TRIALS {
                let (small_s, large_s) = (small.shortfall_s[lane], large.shortfall_s[lane]);
                assert!(large_s >= small_s - 1e-6, "{large_s} s after {small_s} s");
            }
        }
    }

    /// Up to the first shortfall, which is as far as autonomy goes: afterwards a dropped load may
    /// well leave more in the bank than a lighter one that stayed on.
    #[test]
    fn law_adding_a_load_never_helps(seed in any::<u64>()) {
        let mut whole = value(&mut Numbers::new(seed));
        let without = outcome(&checked(&whole.to_string()));
        entries(&mut whole, "loads").push(json!(
            { "id": "more", "bank": "bank0", "kind": "steady", "power_w": 9, "when": "always" }
        ));
        let with = outcome(&checked(&whole.to_string()));
        for lane in 0..TRIALS {
            let (before_s, after_s) = (without.banks[0].shortfall_s[lane], with.banks[0].shortfall_s[lane]);
            assert!(after_s <= before_s + STEP_S, "{after_s} s with, {before_s} s without");
        }
    }

    #[test]
    fn law_the_order_of_entries_does_not_matter(seed in any::<u64>()) {
        hold_in_any_order(seed);
    }

    /// To a thousandth of a point: in a step with a moment of driving the engine takes the start bank's
    /// voltage as under 1000 A at most, which is not doubled.
    #[test]
    fn law_twice_of_everything_lasts_as_long(seed in any::<u64>()) {
        let mut whole = value(&mut Numbers::new(seed));
        whole["runs"] = json!([]);
        for bank in entries(&mut whole, "banks") {
            let capacity_ah = bank["capacity_ah"].as_f64().expect("given");
            bank["resistance_mohm"] = json!(900.0 / capacity_ah);
            bank["max_charge_a"] = json!(0.3 * capacity_ah);
            bank["max_discharge_a"] = json!(capacity_ah);
        }
        for panel in entries(&mut whole, "solar") {
            panel["controller_max_a"] = json!(8);
        }
        let once = outcome(&checked(&whole.to_string()));
        for bank in entries(&mut whole, "banks") {
            times(bank, "resistance_mohm", 0.5);
            times(bank, "max_charge_a", 2.0);
            times(bank, "max_discharge_a", 2.0);
            times(bank, "capacity_ah", 2.0);
            let standby_ma = bank["standby_ma"].as_f64().unwrap_or(f64::NAN);
            bank["standby_ma"] = if standby_ma.is_nan() { json!(60) } else { json!(2.0 * standby_ma) };
        }
        if whole.get("alternator").is_some() {
            for key in ["rated_a", "vehicle_load_a"] {
                times(&mut whole["alternator"], key, 2.0);
            }
        }
        for charger in entries(&mut whole, "chargers") {
            times(charger, "output_a", 2.0);
        }
        for panel in entries(&mut whole, "solar") {
            let watts = panel["panel_w"].as_f64().expect("given");
            panel["panel_w"] = json!(2.0 * watts);
            times(panel, "controller_max_a", 2.0);
        }
        for load in entries(&mut whole, "loads") {
            for key in ["power_w", "current_a", "running_w"] {
                times(load, key, 2.0);
            }
            if load["kind"] == "fridge" {
                times(&mut load["rated"], "average_a", 2.0);
                load["openings_per_day"] = json!(24);
                load["warm_food_kg_per_day"] = json!(3);
                load["contents_wh_per_k"] = json!(40);
            }
        }
        for unit in entries(&mut whole, "inverters") {
            times(unit, "idle_w", 2.0);
            times(unit, "rated_w", 2.0);
        }
        let twice_plan = checked(&whole.to_string());
        let twice = outcome(&twice_plan);
        for (index, (one, two)) in once.banks.iter().zip(&twice.banks).enumerate() {
            for lane in 0..TRIALS {
                let (a, b) = (one.end_soc[lane], two.end_soc[lane]);
                let id = &twice_plan.banks[index].id;
                assert!((a - b).abs() < 1e-5, "{id}: {a} and {b}");
            }
        }
    }
}

fn settings(threads: usize) -> Settings {
    Settings {
        step_minutes: STEP_MINUTES,
        run: RunSettings {
            trials: 150,
            threads: Some(threads),
            precision: None,
        },
        ..Settings::default()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_an_answer_hangs_on_no_thread_adds_up_and_is_in_order(seed in any::<u64>()) {
        let scenario = checked(&text(seed));
        let json = |threads| {
            let answer = trip(&scenario, &settings(threads), &Silent).expect("weather");
            serde_json::to_string(&answer.result).expect("JSON")
        };
        let one = json(1);
        assert_eq!(one, json(2));
        assert_eq!(one, json(8));
        let answer: Value = serde_json::from_str(&one).expect("JSON");
        for bank in answer["banks"].as_array().expect("banks") {
            let per_day = &bank["per_day_wh"];
            let sum = |side: &str| -> f64 {
                per_day[side].as_object().expect("named").values().filter_map(Value::as_f64).sum()
            };
            let (inward, outward) = (sum("in"), sum("out"));
            let figure = |key: &str| per_day[key].as_f64().expect("a number");
            let gap = inward - outward - figure("losses") - figure("stored_change");
            assert!(gap.abs() < 1e-6 * (inward + outward).max(1.0), "{}: {gap}", bank["id"]);
            for (key, names) in [
                ("lowest_soc", &["p05", "p10", "p50", "p90"][..]),
                ("end_soc", &["p05", "p10", "p50", "p90"][..]),
            ] {
                let levels: Vec<f64> = names.iter().filter_map(|p| bank[key][p].as_f64()).collect();
                assert!(levels.is_sorted() && levels.len() == names.len(), "{key} {levels:?}");
            }
            let days: Vec<f64> = ["p10", "p50", "p90"]
                .iter()
                .map(|p| bank["autonomy_days"][p]["value"].as_f64().unwrap_or(f64::INFINITY))
                .collect();
            assert!(days.is_sorted(), "{days:?}");
            for chance in ["chance_no_shortfall", "chance_no_outage"] {
                let at = |key: &str| bank[chance][key].as_f64().expect("a number");
                assert!(0.0 <= at("low") && at("low") <= at("value"));
                assert!(at("value") <= at("high") && at("high") <= 1.0);
            }
            let never = bank["chance_no_shortfall"]["value"].as_f64().expect("a number");
            let beyond = bank["autonomy_days"]["p10"]["beyond_horizon"].as_bool().expect("a word");
            assert_eq!(beyond, never > 0.9, "{}: {never} and {beyond}", bank["id"]);
        }
    }
}

/// A place where the sun does not rise: 78° north in December.
#[test]
fn law_polar_night_gives_no_sun() {
    let text = include_str!("one_run/base.json")
        .replace("2027-07-03", "2027-12-03")
        .replace("Africa/Gaborone", "Arctic/Longyearbyen")
        .replace("-19.98", "78.22")
        .replace("23.42", "15.65")
        .replace("-20.49", "78.30")
        .replace("25.18", "16.10")
        .replace(
            "\"month\": 7, \"sun_hours\": 5.6",
            "\"month\": 12, \"sun_hours\": 0",
        );
    let outcome = outcome(&checked(&text));
    assert!(outcome.totals.panels[0].wh.abs() < f64::EPSILON);
    assert!(
        outcome.totals.chargers[0].wh > 0.0,
        "the alternator works in the dark"
    );
}
