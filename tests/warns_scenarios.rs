//! Scenarios that are legal but doubtful, and the words that say so.
//!
//! One job: each warning once, and none for the sound scenario of `one_run`.

mod one_run;

use one_run::{BASE, base_with};

/// Path and text of every warning.
fn warnings_of(text: &str) -> Vec<(String, String)> {
    let none = |_: &str| Err(String::new());
    match tideover::scenario::read(text, "base.json", &none) {
        Ok(reading) => reading
            .warnings
            .iter()
            .map(|warning| (warning.path.clone(), warning.text.to_string()))
            .collect(),
        Err(refusal) => panic!("{refusal}"),
    }
}

fn assert_warns(text: &str, path: &str, words: &str) {
    let warnings = warnings_of(text);
    let wanted = (path.to_owned(), words.to_owned());
    assert!(warnings.contains(&wanted), "{warnings:#?}");
}

#[test]
fn a_sound_scenario_raises_no_doubt() {
    assert_eq!(warnings_of(BASE), []);
}

#[test]
fn lithium_in_the_cold() {
    assert_warns(
        &base_with(r#""day_min_c": 6"#, r#""day_min_c": -4"#),
        "/banks/0",
        "may get too cold to charge: lithium takes nothing below 0 °C of the battery itself and \
         less up to 5 °C, and nights fall to -4 °C on average",
    );
}

/// 0.8 Ω·Ah of lithium over 120 Ah are 6.7 mΩ, half a C is 60 A of charge.
#[test]
fn figures_far_from_those_of_chemistry_and_capacity() {
    for (from, to, path, words) in [
        (
            r#""reserve_soc": 0.1"#,
            r#""reserve_soc": 0.1, "resistance_mohm": 7000"#,
            "/banks/0/resistance_mohm",
            "is 7000 mΩ, and 120 Ah of lfp usually have about 6.7 mΩ: is it a slip?",
        ),
        (
            r#""reserve_soc": 0.1"#,
            r#""reserve_soc": 0.1, "max_charge_a": 6"#,
            "/banks/0/max_charge_a",
            "is 6 A, and 120 Ah of lfp usually have about 60 A: is it a slip?",
        ),
    ] {
        assert_warns(&base_with(from, to), path, words);
    }
}

#[test]
fn a_charger_beyond_the_bank() {
    assert_warns(
        &base_with(r#""output_a": 40"#, r#""output_a": 70"#),
        "/chargers/0/output_a",
        "gives 70 A, but `main` takes 60 A at most",
    );
}

#[test]
fn a_panel_beyond_the_bank() {
    assert_warns(
        &base_with(r#""panel_w": 200"#, r#""panel_w": 1200"#),
        "/solar/0/panel_w",
        "may give 100 A, but `main` takes 60 A at most",
    );
}

/// By hand: 40 A · 14.4 V ÷ (0.92 · 14.2 V) = 44.1 A asked; 90 · 0.85 − 35 = 41.5 A at cruise,
/// 45 · 0.85 − 35 = 3.25 A at idle.
#[test]
fn an_alternator_oversubscribed() {
    assert_warns(
        &base_with(r#""rated_a": 150"#, r#""rated_a": 90"#),
        "/alternator",
        "is oversubscribed: its chargers ask for 44 A together, and hot it has 42 A left at \
         cruise and 3 A at idle",
    );
    assert_warns(
        &base_with(r#""rated_a": 150"#, r#""rated_a": 150, "idle_share": 0.5"#),
        "/alternator",
        "is oversubscribed at idle: its chargers ask for 44 A together, and hot it has 29 A left \
         then (92 A at cruise)",
    );
}

#[test]
fn a_permanent_load_on_the_starting_battery() {
    assert_warns(
        &base_with(
            r#""bank": "main", "kind": "steady", "current_a": 0.6, "when": "ignition""#,
            r#""bank": "starter", "kind": "steady", "current_a": 0.6"#,
        ),
        "/loads/1/bank",
        "draws on the starting battery `starter` with the engine off: it may not start again",
    );
}

#[test]
fn a_charger_that_drains_the_starting_battery() {
    assert_warns(
        &base_with(r#""from": "main""#, r#""from": "starter""#),
        "/chargers/1/from",
        "takes from the starting battery `starter` with the engine off, down to its reserve",
    );
}

#[test]
fn a_portable_panel_without_camp() {
    let text = base_with(r#""mount": "flat""#, r#""mount": "portable""#)
        .replace(r#""nights": 3"#, r#""nights": 0"#);
    assert_warns(
        &text,
        "/solar/0/mount",
        "is portable, but the trip has no camp to set it up in",
    );
}

#[test]
fn a_start_below_the_reserve() {
    assert_warns(
        &base_with(
            r#""reserve_soc": 0.1"#,
            r#""reserve_soc": 0.3, "start_soc": 0.2"#,
        ),
        "/banks/0/start_soc",
        "may be 0.2 at the start, below the reserve of 0.3: that is a shortfall at 0 days",
    );
}

#[test]
fn nobody_in_the_vehicle() {
    assert_warns(
        &base_with("    \"lived_in\": [\"07:00\", \"21:00\"],\n", ""),
        "/itinerary",
        "says nothing of `lived_in` or `heated`: in camp the cabin counts as closed and empty, \
         warm in the sun and as cold as the air at night",
    );
    assert_warns(
        &base_with(r#""lived_in": ["07:00", "21:00"]"#, r#""heated": true"#),
        "/itinerary/heated",
        "is given without `lived_in`, so that it heats nothing",
    );
}

#[test]
fn loads_that_are_never_live() {
    assert_warns(
        &base_with(
            r#""when": "ignition""#,
            r#""when": "ignition", "where": "camp""#,
        ),
        "/loads/1",
        "is never live: in camp the engine is off",
    );
    assert_warns(
        &base_with(
            r#""when": "ignition""#,
            r#""when": "parked", "where": "driving""#,
        ),
        "/loads/1",
        "is never live: while driving it is not parked",
    );
}

#[test]
fn a_mains_charger_without_a_site() {
    assert_warns(
        &base_with(r#""mains": true"#, r#""mains": false"#),
        "/chargers/2",
        "never works: no stop has `\"mains\": true`",
    );
}

#[test]
fn a_bank_that_nothing_charges() {
    assert_warns(
        &base_with(r#""from": "main", "to": "spare""#, r#""to": "main""#),
        "/banks/1",
        "is never charged: no charger and no panel feeds it",
    );
}

#[test]
fn a_load_beyond_the_bank() {
    assert_warns(
        &base_with(r#""power_w": 600"#, r#""power_w": 1800"#),
        "/loads/3",
        "asks for about 150 A, but `main` gives 120 A at most: the rest is not supplied",
    );
}

#[test]
fn lithium_beside_the_engine() {
    assert_warns(
        &base_with(r#""reserve_soc": 0.1"#, r#""kept": "engine-bay""#),
        "/banks/0/kept",
        "stands beside the engine, where lithium gets hotter than its makers usually allow \
         (common practice)",
    );
}
