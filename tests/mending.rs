//! `mend`: the least change found by trying, held to figures by hand.
//!
//! One job: sizes that arithmetic knows, a move that nobody thinks of, and what no size helps.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use tideover::scenario::{Changes, Scenario, read};
use tideover::study::first_shortfalls::Meeting;
use tideover::study::mending::{MendResult, mend, solve};
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

/// What is proposed of one size alone stands in the map: least there, no less before it, no more beyond.
#[test]
fn law_the_map_holds_what_was_decided() {
    let mut found = [0, 0];
    for (capacity_ah, panel_w, current_a, per_ah, per_w) in CAMPS {
        let text = priced(capacity_ah, panel_w, current_a, per_ah, per_w);
        let result = mend(&scenario(&text), &settings(500), &Silent).unwrap();
        let map = result.map.expect("two sizes");
        assert!(map.least.is_sorted_by(|a, b| a.0 < b.0), "{map:?}");
        let known = map.least.iter().filter_map(|pair| pair.1);
        assert!(known.is_sorted_by(|a, b| a >= b), "{map:?}");
        for mend in result.mends.iter().filter(|mend| mend.meets_aim) {
            let [change] = mend.changes.as_slice() else {
                continue;
            };
            let of = [&map.x_key, &map.y_key];
            let Some(axis) = of.iter().position(|key| **key == change.key) else {
                continue;
            };
            found[axis] += 1;
            let mut at = map.now;
            at[axis] = change.to.as_f64().expect("a size");
            assert!(
                map.least.contains(&(at[0], Some(at[1]))),
                "{at:?} in {map:?}"
            );
            let before = map.least.iter().filter(|pair| pair.0 <= map.now[0]);
            let mut before = before.filter_map(|pair| pair.1);
            assert!(before.all(|y| y > map.now[1]), "as it is: {map:?}");
        }
    }
    assert!(found.iter().all(|found| *found >= 3), "{found:?}");
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

/// Forty days in camp that use two amperes and drive two hours a day, or have a panel, by what `parts` says.
fn long_camp(drives: &str, parts: &str) -> String {
    format!(
        r#"{{ "format": 1,
        "itinerary": {{ "start": "2027-07-03T08:00", "time_zone": "UTC",
            "from": {{ "name": "A", "lat": 50, "lon": 10 }},
            "legs": [{{ "to": "B", "lat": 50.2, "lon": 10, "depart": "08:00", "drive_hours": 1, "nights": 40{drives} }}] }},
        "climate": {{ "kind": "monthly", "months": [
            {{ "month": 7, "sun_hours": 5.5, "kt_sd": 0, "day_min_c": 5, "day_max_c": 12 }},
            {{ "month": 8, "sun_hours": 5.5, "kt_sd": 0, "day_min_c": 5, "day_max_c": 12 }}] }},
        "banks": [{{ "id": "main", "chemistry": "lfp", "capacity_ah": 100, "standby_ma": 0 }}],
        "loads": [{{ "id": "load", "bank": "main", "kind": "steady", "current_a": 2, "use_spread": 0, "keep": true }}],
        {parts} }}"#
    )
}

/// By hand: 40 days take 48 Ah each and 4 Ah by self-discharge; 90 Ah are above the reserve and the first leg puts back
/// its own 2 Ah, so that 39 drives of two hours bring 1832 Ah: 23.5 A, and 23.7 A since 0.99 is kept of what is taken
/// in above the load's 2 A. Where the alternator has 20 A, some 284 W, a charger can give 18 A at most: of the steps of
/// 5 A the 15 is the last that is tried, and none does.
#[test]
fn by_hand_the_least_charger_until_the_alternator_binds() {
    let text = |rated_a: u32| {
        long_camp(
            r#", "local_drive_hours": 2, "local_depart": "10:00""#,
            &format!(
                r#""alternator": {{ "rated_a": {rated_a}, "idle_share": 0, "hot_derate": 1, "vehicle_load_a": 0 }},
            "chargers": [{{ "id": "dcdc", "kind": "dc-dc", "from": "alternator", "to": "main", "output_a": 10 }}]"#
            ),
        )
    };
    let key = "chargers.dcdc.output_a";
    let solved =
        |rated_a: u32| solve(&scenario(&text(rated_a)), key, &settings(64), &Silent).unwrap();
    let least = solved(150).least.unwrap();
    let by_hand = 2.0 + ((40.0 * 48.0 + 4.0 - 90.0 - 2.0) / 78.0 - 2.0) / 0.99;
    assert!(
        (least.value / by_hand - 1.0).abs() < 0.02,
        "{least:?}, by hand {by_hand}"
    );
    let bound = solved(20);
    assert!(
        bound.least.is_none() && (bound.most - 15.0).abs() < 1e-9,
        "{bound:?}"
    );
}

/// A cable of 6 mm² and its 30 A fuse suit a charger of 10 A, whose input takes 12 A. One of 25 A takes 30 A, for which
/// the fuse would have to hold 1.25 times as much: the change says so, a larger bank asks for nothing. One of 50 A
/// would bring less than one of 25: what its 60 A drop over 20 mΩ leaves of 14.2 V is below the 13 V at which it stops.
#[test]
fn by_hand_a_larger_charger_names_the_cable_that_must_grow() {
    let text = long_camp(
        r#", "local_drive_hours": 2, "local_depart": "10:00""#,
        r#""alternator": { "rated_a": 150, "idle_share": 0, "vehicle_load_a": 0 },
        "chargers": [{ "id": "dcdc", "kind": "dc-dc", "from": "alternator", "to": "main", "output_a": 10 }],
        "runs": [{ "id": "feed", "from": "starter", "to": "dcdc", "one_way_m": 3, "mm2": 6, "fuse_a": 30 }]"#,
    );
    let starter = r#""banks": [{ "id": "starter", "role": "start", "chemistry": "flooded", "capacity_ah": 90 }, "#;
    let text = text.replace(r#""banks": ["#, starter);
    let result = mended(&text);
    let of = |key: &str| {
        let mut mends = result.mends.iter();
        let found = mends.find(|mend| mend.changes[0].key == key);
        found.unwrap_or_else(|| panic!("{key}: {:?}", result.mends))
    };
    let charger = of("chargers.dcdc.output_a");
    assert!(charger.meets_aim, "{charger:?}");
    assert_eq!(charger.cables, ["feed"]);
    assert!(of("banks.main.capacity_ah").cables.is_empty());
    let solved = solve(
        &scenario(&text),
        "chargers.dcdc.output_a",
        &settings(64),
        &Silent,
    )
    .unwrap();
    assert!(
        (solved.least.unwrap().value / 23.7 - 1.0).abs() < 0.02,
        "{solved:?}"
    );
    assert!((45.0..50.0).contains(&solved.most), "{solved:?}");
}

/// By hand: a day takes 48 Ah, some 634 Wh at 13.2 V, and 90 Ah above the reserve last through 40 days at 2.25 Ah a day,
/// so that the sun has to bring 604 Wh. A flat watt brings 5.5 sun hours less a tenth for dirt and wiring
/// at a tracker's 0.97, 4.80 Wh, its cells in the cool air about at 25 °C: 126 W.
#[test]
fn by_hand_the_least_panel_of_a_steady_load() {
    let text = long_camp(
        "",
        r#""solar": [{ "id": "roof", "to": "main", "panel_w": 40 }]"#,
    );
    let found = solve(
        &scenario(&text),
        "solar.roof.panel_w",
        &settings(64),
        &Silent,
    )
    .unwrap();
    let least = found.least.unwrap();
    let by_hand = (48.0 - 90.0 / 40.0) * 13.2 / (5.5 * 0.9 * 0.97);
    assert!(
        (least.value / by_hand - 1.0).abs() < 0.02,
        "{least:?}, by hand {by_hand}"
    );
}

/// By hand, as above: 533.3 Ah and what self-discharge takes of them in four days, 0.4 %; the steps in which a
/// bank is bought are of 10 Ah.
#[test]
fn by_hand_one_size_is_solved_for_alone() {
    let text = camp(
        r#""banks": [{ "id": "main", "chemistry": "lfp", "capacity_ah": 300, "standby_ma": 0 }],
        "loads": [{ "id": "load", "bank": "main", "kind": "steady", "current_a": 5, "use_spread": 0, "keep": true }]"#,
    );
    let scenario = scenario(&text);
    let key = "banks.main.capacity_ah";
    let found = solve(&scenario, key, &settings(200), &Silent).unwrap();
    let least = found.least.unwrap();
    assert!((533.0..=537.0).contains(&least.value), "{least:?}");
    assert!(least.low <= least.value && Some(least.value) <= least.high);
    let bought = found.bought.unwrap();
    assert!((bought.size - 540.0).abs() < 1e-9, "{bought:?}");
    assert!(bought.chance.value >= 0.9 && bought.other_draws.high >= 0.9);
    // What there is may be more than enough.
    let ample = scenario.with(&Changes::one(key, 700)).unwrap();
    let found = solve(&ample, key, &settings(200), &Silent).unwrap();
    let least = found.least.unwrap();
    assert!((533.0..=537.0).contains(&least.value), "{least:?}");
    assert!((found.bought.unwrap().size - 540.0).abs() < 1e-9);
    let refused = solve(&scenario, "banks.main.reserve_soc", &settings(64), &Silent);
    let text = refused.unwrap_err().to_string();
    assert!(text.contains("these can: banks.main.capacity_ah"), "{text}");
}

/// A camp with sun, whose bank and panel have prices; what is asked for decides which is the cheaper.
fn priced(capacity_ah: u32, panel_w: u32, current_a: f64, per_ah: f64, per_w: f64) -> String {
    camp(&format!(
        r#""banks": [{{ "id": "main", "chemistry": "lfp", "capacity_ah": {capacity_ah}, "price": 500,
            "price_per_ah": {per_ah} }}],
        "solar": [{{ "id": "roof", "to": "main", "panel_w": {panel_w}, "price": 100, "price_per_w": {per_w} }}],
        "loads": [{{ "id": "load", "bank": "main", "kind": "steady", "current_a": {current_a}, "keep": true }}]"#
    ))
}

const CAMPS: [(u32, u32, f64, f64, f64); 5] = [
    (60, 60, 2.5, 8.0, 1.0),
    (60, 60, 2.5, 1.0, 8.0),
    (80, 100, 3.0, 6.0, 2.0),
    (50, 40, 1.6, 5.0, 1.5),
    (100, 20, 2.2, 3.0, 4.0),
];

/// The cheapest purchase is that of a whole grid of every size of bank and panel, run one by one on the run's own
/// trials.
#[test]
fn law_the_cheapest_purchase_is_that_of_a_whole_grid() {
    for (capacity_ah, panel_w, current_a, per_ah, per_w) in CAMPS {
        let scenario = scenario(&priced(capacity_ah, panel_w, current_a, per_ah, per_w));
        let settings = settings(200);
        let base = Simulation::trip(&scenario, &settings, &Silent).unwrap();
        let mut best: Option<(f64, &str, f64)> = None;
        for (key, now, per) in [
            ("banks.main.capacity_ah", f64::from(capacity_ah), per_ah),
            ("solar.roof.panel_w", f64::from(panel_w), per_w),
        ] {
            let sizes = (1..=40).map(|step| now + f64::from(step) * 10.0);
            let least = sizes.into_iter().find(|size| {
                let changed = scenario.with(&Changes::one(key, *size)).unwrap();
                let run = base.changed(&changed, &Silent).unwrap();
                run.chance_no_shortfall().value >= scenario.aim_chance
            });
            let Some(size) = least else { continue };
            let price = (size - now) * per;
            if best.is_none_or(|(known, ..)| price < known) {
                best = Some((price, key, size));
            }
        }
        let result = mend(&scenario, &settings, &Silent).unwrap();
        let mut bought = result
            .mends
            .iter()
            .filter(|mend| !mend.free && mend.meets_aim);
        let first = bought
            .next()
            .unwrap_or_else(|| panic!("{:?}", result.mends));
        let (price, key, size) = best.unwrap();
        assert_eq!(first.changes[0].key, key, "{first:?}");
        assert!(
            (first.changes[0].to.as_f64().unwrap() - size).abs() < 1e-9,
            "{first:?}, not {size}"
        );
        assert!(
            (first.price.unwrap() - price).abs() < 1e-6,
            "{first:?}, not {price}"
        );
    }
}

/// Another seed finds the same purchase, and its size within the interval that the first gave.
#[test]
fn law_the_decision_holds_for_another_seed() {
    for (capacity_ah, panel_w, current_a, per_ah, per_w) in CAMPS {
        let scenario = scenario(&priced(capacity_ah, panel_w, current_a, per_ah, per_w));
        let of_seed = |seed: u64| {
            let mut settings = settings(400);
            settings.seed = seed;
            let result = mend(&scenario, &settings, &Silent).unwrap();
            let best = &result.mends[0];
            assert!(
                best.other_draws.unwrap().high >= result.aim_chance,
                "{best:?}"
            );
            let mut bought = result
                .mends
                .into_iter()
                .filter(|mend| !mend.free && mend.meets_aim);
            bought.next().unwrap()
        };
        let first = of_seed(1);
        let least = first.least.unwrap();
        for seed in [2, 3] {
            let other = of_seed(seed);
            assert_eq!(first.changes[0].key, other.changes[0].key, "seed {seed}");
            let own = other.least.unwrap();
            assert!(
                own.low <= least.high.unwrap() && least.low <= own.high.unwrap(),
                "{least:?}, by seed {seed} {own:?}"
            );
        }
    }
}

/// When trials first fall short is the same whether whole trials are run for it, in their order, or only as far as
/// that takes, in another order and with draws that were kept: for the bank, for draws that a change leaves and for
/// those that it moves, for other draws, and where departures may be put off.
#[test]
fn law_the_first_shortfall_alone_is_that_of_whole_trials() {
    let files = [
        include_str!("../scenarios/desert-crossing.json"),
        include_str!("../scenarios/plateau-camp.json"),
        include_str!("../scenarios/oasis-truck.json"),
    ];
    let mut short = 0;
    for text in files {
        let base = scenario(text);
        let settings = Settings {
            step_minutes: 30,
            ..settings(150)
        };
        let trip = Simulation::trip(&base, &settings, &Silent).unwrap();
        let drawn = trip.kept_draws();
        let order: Vec<u64> = (0..150).rev().collect();
        let bank = format!("banks.{}.capacity_ah", base.banks[0].id);
        let load = format!("loads.{}", base.loads[0].id);
        let mut flat = base
            .given("solar")
            .unwrap()
            .unwrap_or(serde_json::json!([]));
        flat.as_array_mut().unwrap().push(serde_json::json!(
            { "id": "more", "to": base.banks[0].id, "panel_w": 40, "mount": "flat" }));
        for changes in [
            Changes::default(),
            Changes::one(bank, base.banks[0].capacity_ah * 0.4),
            Changes::one(format!("{load}.use_spread"), 0.05),
            Changes::one(format!("{load}.off"), true),
            Changes::one("solar", flat),
            Changes::one("itinerary.legs.1.nights", 3),
        ] {
            let changed = base.with(&changes).unwrap();
            for seed in [settings.seed, 77] {
                let meeting = Meeting {
                    seed,
                    kept: Some(&drawn),
                    threads: Some(1),
                };
                let mut found = trip.days_of(&changed, &order, &meeting).unwrap();
                found.days.reverse();
                let whole = Settings {
                    seed,
                    ..settings.clone()
                };
                let whole = Simulation::trip(&changed, &whole, &Silent).unwrap();
                let days = &whole.ensemble.house_autonomy_days;
                assert_eq!(&found.days, days, "{changes:?} {seed}");
                assert!((found.horizon - whole.trip_days()).abs() < 1e-6);
                short += days.iter().filter(|days| days.is_finite()).count();
            }
        }
    }
    assert!(short > 500, "{short} fall short");
}
