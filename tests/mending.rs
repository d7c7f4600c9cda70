//! `mend`: the least change found by trying, held to figures by hand.
//!
//! One job: sizes that arithmetic knows, a move that nobody thinks of, and what no size helps.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use tideover::scenario::{Changes, Scenario, read};
use tideover::study::mending::{MendResult, mend};
use tideover::study::settings::Settings;
use tideover::study::simulation::Simulation;
use tideover::trials::Silent;

fn scenario(text: &str) -> Scenario {
    read(text, "mend.json", &|_| Err("no files here".to_owned()))
        .map_err(|refusal| refusal.to_string())
        .unwrap()
        .scenario
}

fn settings(trials: u64) -> Settings {
    let mut settings = Settings::default();
    settings.run.trials = trials;
    settings
}

fn mended(text: &str) -> MendResult {
    mend(&scenario(text), &settings(500), &Silent).unwrap()
}

/// Four nights in summer without sun on any panel; what stands in `parts` follows.
fn camp(parts: &str) -> String {
    format!(
        r#"{{ "format": 1,
        "itinerary": {{ "start": "2027-07-03T08:00", "time_zone": "UTC",
            "from": {{ "name": "A", "lat": 50, "lon": 10 }},
            "legs": [{{ "to": "B", "lat": 50.2, "lon": 10, "depart": "08:00", "drive_hours": 1, "nights": 4 }}] }},
        "climate": {{ "kind": "monthly", "months": [
            {{ "month": 7, "sun_hours": 5.5, "day_min_c": 22, "day_max_c": 26 }}] }},
        {parts} }}"#
    )
}

/// By hand: 5 A for the 96 hours of four days take 480 Ah at the terminals; above a reserve of 10 % a
/// bank of C holds 0.9 C, so that C must be 533.3 Ah, 540 in steps of 10. Standby and self-discharge
/// are set to nothing.
#[test]
fn by_hand_the_least_bank_of_a_steady_load() {
    let result = mended(&camp(
        r#""banks": [{ "id": "main", "chemistry": "lfp", "capacity_ah": 300, "standby_ma": 0 }],
        "loads": [{ "id": "load", "bank": "main", "kind": "steady", "current_a": 5, "use_spread": 0, "keep": true }]"#,
    ));
    let bank = result
        .mends
        .iter()
        .find(|mend| mend.changes[0].key == "banks.main.capacity_ah")
        .unwrap_or_else(|| panic!("{:?}", result.mends));
    let found = bank.changes[0].to.as_f64().unwrap();
    // Self-discharge of 3 % a month takes 0.4 % in four days.
    assert!((540.0..=550.0).contains(&found), "{bank:?}");
    assert!(bank.meets_aim && bank.price.is_none());
}

/// Seen in use: one bank runs flat, another throws its sun away; the mend is free.
#[test]
fn by_hand_a_load_is_moved_to_the_bank_that_has_more() {
    let result = mended(&camp(
        r#""banks": [{ "id": "small", "chemistry": "lfp", "capacity_ah": 40 },
                  { "id": "sunny", "chemistry": "lfp", "capacity_ah": 200 }],
        "solar": [{ "id": "roof", "to": "sunny", "panel_w": 300 }],
        "loads": [{ "id": "lamp", "bank": "small", "kind": "steady", "current_a": 0.2 },
                  { "id": "cooler", "bank": "small", "kind": "steady", "current_a": 2 }]"#,
    ));
    assert!(!result.meets_aim);
    let best = &result.mends[0];
    assert!(best.free && best.meets_aim, "{best:?}");
    assert_eq!(best.text, "cooler on bank sunny instead of small");
    assert!((best.price.unwrap()).abs() < 1e-9);
}

/// In the polar night no panel helps, and it is said.
#[test]
fn by_hand_no_panel_helps_in_the_polar_night() {
    let text = camp(
        r#""banks": [{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }],
        "solar": [{ "id": "roof", "to": "main", "panel_w": 100 }],
        "loads": [{ "id": "load", "bank": "main", "kind": "steady", "current_a": 2, "keep": true }]"#,
    );
    let text = text
        .replace("2027-07", "2027-12")
        .replace("\"lat\": 50", "\"lat\": 72")
        .replace(
            "\"month\": 7, \"sun_hours\": 5.5",
            "\"month\": 12, \"sun_hours\": 0",
        )
        .replace("72.2", "71.9");
    let result = mended(&text);
    assert!(
        result.useless.iter().any(|useless| useless.kind == "panel"),
        "{:?}",
        result.useless
    );
    assert!(result.mends.iter().all(|mend| !mend.text.contains("panel")));
    assert!(
        result
            .mends
            .iter()
            .any(|mend| mend.text.starts_with("bank main of"))
    );
}

/// The least of a row is that of the whole row, size by size, on the same trials.
#[test]
fn law_the_least_found_is_the_least_of_all_sizes() {
    for (capacity_ah, current_a) in [(60, 2.5), (80, 3.0), (50, 1.6)] {
        let text = camp(&format!(
            r#""banks": [{{ "id": "main", "chemistry": "lfp", "capacity_ah": {capacity_ah} }}],
            "solar": [{{ "id": "roof", "to": "main", "panel_w": 60 }}],
            "loads": [{{ "id": "load", "bank": "main", "kind": "steady", "current_a": {current_a}, "keep": true }}]"#
        ));
        let scenario = scenario(&text);
        let settings = settings(500);
        let base = Simulation::trip(&scenario, &settings, &Silent).unwrap();
        let result = mend(&scenario, &settings, &Silent).unwrap();
        for (key, step) in [
            ("banks.main.capacity_ah", 10.0),
            ("solar.roof.panel_w", 10.0),
        ] {
            let found = result
                .mends
                .iter()
                .find(|mend| mend.changes.len() == 1 && mend.changes[0].key == key);
            let Some(found) = found.filter(|found| found.meets_aim) else {
                continue;
            };
            let found = found.changes[0].to.as_f64().unwrap();
            let first = if key.starts_with("banks") {
                f64::from(capacity_ah)
            } else {
                60.0
            };
            let reaches = |size: f64| {
                let changed = scenario.with(&Changes::one(key, size)).unwrap();
                let run = base.changed(&changed, &Silent).unwrap();
                run.chance_no_shortfall().value >= scenario.aim_chance
            };
            let sizes = (1..).map(|count| (first / step).floor() * step + f64::from(count) * step);
            let least = sizes.into_iter().find(|size| reaches(*size)).unwrap();
            assert!((found - least).abs() < 1e-9, "{key}: {found}, not {least}");
        }
    }
}

/// What is kept is never proposed, nor what is fixed; what the checker refuses neither.
#[test]
fn law_kept_loads_and_fixed_parts_stay() {
    let result = mended(&camp(
        r#""banks": [{ "id": "main", "chemistry": "agm", "capacity_ah": 60, "fixed": true }],
        "loads": [{ "id": "fan", "bank": "main", "kind": "steady", "current_a": 1, "keep": true },
                  { "id": "radio", "bank": "main", "kind": "hours", "power_w": 20, "hours_per_day": 4 }]"#,
    ));
    for mend in &result.mends {
        assert!(
            mend.changes
                .iter()
                .all(|change| !change.key.starts_with("banks.")),
            "{mend:?}"
        );
        assert!(
            mend.changes
                .iter()
                .all(|change| !change.key.contains("fan")),
            "{mend:?}"
        );
    }
    assert!(
        result.mends.iter().any(|mend| mend.text.contains("radio")),
        "{:?}",
        result.mends
    );
}
