//! Choosing: what compare, topup, shed and why answer.
//!
//! One job: figures against closed forms and laws, through the public door. Refusals are in
//! `refuses_choosing`.

mod one_run;

use one_run::Tideover;
use serde_json::Value;

/// A camp with one bank, one charger from the alternator, no sun and a constant load.
/// `place` is what differs: the parts after the climate.
fn camp(parts: &str) -> String {
    format!(
        r#"{{ "format": 1, "title": "Camp", "seed": 5,
  "itinerary": {{ "start": "2027-07-03T08:00", "time_zone": "UTC",
    "from": {{ "name": "Town", "lat": -20, "lon": 0 }}, "lived_in": ["00:00", "24:00"],
    "legs": [ {{ "to": "Pan", "lat": -20, "lon": 0.1, "depart": "08:00", "drive_hours": 0.2, "nights": 6,
      "local_drive_hours": {{ "min": 0.5, "likely": 1, "max": 1.5 }} }} ] }},
  "climate": {{ "kind": "monthly", "months": [ {{ "month": 7, "sun_hours": 5.0, "day_min_c": 18, "day_max_c": 26 }} ] }},
  "alternator": {{ "rated_a": 200, "idle_a": 100 }},
  {parts} }}"#
    )
}

fn json_of(text: &str, args: &[&str]) -> Value {
    let mut run = Tideover::new().scenario(text);
    for arg in args {
        run = run.args([arg]);
    }
    run.succeeds().json()
}

const TRIALS: [&str; 5] = ["--json", "--trials", "200", "--step", "10"];

fn asked<'a>(command: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&[command, "base.json"], &TRIALS[..], more].concat()
}

/// Closed form: a bank keeps its charge when hours × charger amperes make up for the load's 36 Ah a day.
/// Charge efficiency 0.99 (the model's LFP figure) lengthens it by 1 %, losses in the resistance are
/// set to nearly none. Two points of 400 Ah between the ends of the first and the fifth day in camp may
/// be missing: 8 / 4 = 2 Ah a day.
#[test]
fn law_topup_is_daily_energy_over_charger_power() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 400, "start_soc": 0.5,
              "resistance_mohm": 0.01, "standby_ma": 0 } ],
          "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 10 } ],
          "loads": [ { "id": "pump", "bank": "main", "kind": "steady", "current_a": 1.5, "use_spread": 0 } ]"#,
    );
    let found = json_of(&text, &asked("topup", &[]));
    // In ampere-hours: 1.5 A × 24 h ÷ 10 A ÷ 0.99; self-discharge 3 % a month of 400 Ah is 0.4 Ah a day.
    let expected = (1.5 * 24.0 + 400.0 * 0.03 / 30.0 - 2.0) / 0.99 / 10.0;
    let in_camp = found["hours_per_camp_day"].as_f64().expect("hours");
    assert!(
        (in_camp / expected - 1.0).abs() < 0.02,
        "{in_camp} {expected}"
    );
    let hours = found["hours_per_day"]["value"].as_f64().expect("hours");
    let low = found["hours_per_day"]["low"].as_f64().expect("low");
    let high = found["hours_per_day"]["high"].as_f64().expect("high");
    assert!(low <= hours && hours <= high, "{low} {hours} {high}");
    assert_eq!(found["binds"]["bank"], "main");
    assert_eq!(found["binds"]["condition"], "end-soc");
    assert!(found["idling"]["hours_per_day"].as_f64().expect("idling") > 0.0);
    assert_eq!(found["map"]["chance"].as_array().map(Vec::len), Some(6));
}

const SMALL_CHARGER: &str = r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 100, "start_soc": 0.9 } ],
  "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 2 } ],
  "solar": [ { "id": "roof", "to": "main", "panel_w": 100, "mount": "flat" } ],
  "loads": [ { "id": "pump", "bank": "main", "kind": "steady", "power_w": 40 },
             { "id": "lamp", "bank": "main", "kind": "steady", "power_w": 15, "shed_order": 1 },
             { "id": "radio", "bank": "main", "kind": "steady", "power_w": 10, "keep": true } ]"#;

#[test]
fn law_no_hours_suffice_where_the_charger_is_too_small() {
    let text = camp(SMALL_CHARGER);
    let found = json_of(&text, &asked("topup", &[]));
    assert!(found["hours_per_day"].is_null());
    let why = found["why_not"].as_str().expect("a reason");
    assert!(why.contains("its chargers give at most 2 A"), "{why}");
    assert!(why.contains("the alternator has"), "{why}");
    Tideover::new()
        .scenario(&text)
        .args([
            "topup",
            "base.json",
            "--trials",
            "100",
            "--step",
            "20",
            "--strict",
        ])
        .fails(1)
        .stdout_has("No number of hours");
}

/// More of anything never lowers the chance on the same trials.
#[test]
fn law_more_never_lowers_the_chance() {
    let text = camp(SMALL_CHARGER);
    for (key, values) in [
        ("banks.main.capacity_ah", "100,150,200,300"),
        ("solar.roof.panel_w", "100,200,300,400"),
        ("chargers.dcdc.output_a", "2,5,10,20"),
        ("itinerary.legs.Pan.local_drive_hours", "0,1,3,6"),
    ] {
        let vary = format!("{key}={values}");
        let found = json_of(&text, &asked("compare", &["--vary", &vary]));
        let options = found["options"].as_array().expect("options");
        assert_eq!(options.len(), 5);
        assert_eq!(options[0]["name"], "as it is");
        assert!(options[0]["difference"].is_null());
        let chances: Vec<f64> = options[1..]
            .iter()
            .map(|option| {
                option["chance_no_shortfall"]["value"]
                    .as_f64()
                    .expect("chance")
            })
            .collect();
        assert!(
            chances.windows(2).all(|pair| pair[0] <= pair[1]),
            "{key}: {chances:?}"
        );
        let days: Vec<f64> = options[1..]
            .iter()
            .map(|option| {
                option["autonomy_days"]["p50"]["value"]
                    .as_f64()
                    .unwrap_or(99.0)
            })
            .collect();
        assert!(
            days.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9),
            "{key}: {days:?}"
        );
    }
}

/// `why` moves a key as `compare` sets it: on the same trials both give the same, with what the file
/// leaves to the defaults following. A bank of 40 Ah takes 20 A by default, one of 32 Ah 16 A: behind
/// a charger of 60 A that decides.
#[test]
fn law_why_and_compare_agree_on_every_key() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 40,
              "start_soc": { "min": 0.5, "likely": 0.8, "max": 1 } } ],
          "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 60 } ],
          "loads": [ { "id": "pump", "bank": "main", "kind": "steady", "power_w": 9 },
                     { "id": "lamp", "bank": "main", "kind": "hours", "power_w": 10,
                       "hours_per_day": { "min": 1, "likely": 2, "max": 5 } } ]"#,
    );
    let found = json_of(&text, &asked("why", &["--of", "chance"]));
    let inputs = found["inputs"].as_array().expect("inputs");
    assert!(inputs.len() >= 6, "{inputs:#?}");
    let mut spans = 0;
    for input in inputs {
        let key = input["path"].as_str().expect("a key");
        let vary = format!("{key}={},{}", input["low"], input["high"]);
        let compared = json_of(&text, &asked("compare", &["--vary", &vary]));
        let chance = |at: &str| {
            let options = compared["options"].as_array().expect("options").iter();
            let mut set = options.filter(|option| option["set"][key] == input[at]);
            set.next().expect("the option")["chance_no_shortfall"]["value"].as_f64()
        };
        assert_eq!(
            input["at_low"].as_f64(),
            chance("low"),
            "{key} at {}",
            input["low"]
        );
        assert_eq!(
            input["at_high"].as_f64(),
            chance("high"),
            "{key} at {}",
            input["high"]
        );
        spans += u32::from(input["at_low"] != input["at_high"]);
    }
    assert!(spans > 0, "nothing moves the chance");
}

/// Where the charger is the bottleneck more sun beats a bigger battery, and the verdict says so.
#[test]
fn law_more_sun_beats_more_battery_at_a_small_charger() {
    let text = camp(SMALL_CHARGER);
    let args = [
        "compare",
        "base.json",
        "--trials",
        "200",
        "--step",
        "10",
        "--option",
        "as now:banks.main.capacity_ah=100",
        "--option",
        "more battery:banks.main.capacity_ah=150",
        "--option",
        "more sun:solar.roof.panel_w=450",
    ];
    let ran = Tideover::new().scenario(&text).args(args).succeeds();
    let shown = ran.stdout_text();
    let verdict = shown.lines().next().expect("a verdict");
    assert!(verdict.contains("more sun buys most: +"), "{verdict}");
    assert!(
        verdict.contains("With the file as it is, bank main falls short because"),
        "{verdict}"
    );
    let written =
        std::fs::read_to_string(ran.folder().join("output/base/compare.json")).expect("written");
    let found: Value = serde_json::from_str(&written).expect("JSON");
    assert_eq!(found["best"], "more sun");
    assert_eq!(found["options"][3]["difference"]["clear"], true);
    assert_eq!(found["options"][3]["set"]["solar.roof.panel_w"], 450);
    for file in ["compare.svg", "compare.csv"] {
        assert!(
            ran.folder().join("output/base").join(file).is_file(),
            "{file}"
        );
    }
}

/// Common random numbers: an option that changes nothing that matters meets the same trials.
#[test]
fn law_both_options_meet_the_same_trials() {
    let text = camp(SMALL_CHARGER);
    let args = [
        "--option",
        "one:title=\"A\"",
        "--option",
        "two:title=\"B\",banks.main.mass_kg=9",
    ];
    let found = json_of(&text, &asked("compare", &args));
    let (one, two) = (&found["options"][1], &found["options"][2]);
    for key in [
        "chance_no_shortfall",
        "autonomy_days",
        "lowest_soc",
        "charge_wh_per_day",
        "curtailed_wh_per_day",
    ] {
        assert_eq!(one[key], two[key], "{key}");
    }
    assert_eq!(two["difference"]["value"], 0.0);
    assert_eq!(two["difference"]["clear"], false);
    assert_eq!(two["difference_lowest_soc"]["high"], 0.0);
}

#[test]
fn law_the_least_option_is_by_price_where_all_give_one() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 200, "price": 2000, "mass_kg": 20 } ],
          "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 40 } ],
          "loads": [ { "id": "lamp", "bank": "main", "kind": "steady", "power_w": 10 } ]"#,
    );
    let args = [
        "--option",
        "dear:banks.main.price=3000,banks.main.mass_kg=10",
        "--option",
        "cheap:banks.main.price=900,banks.main.mass_kg=30",
    ];
    let found = json_of(&text, &asked("compare", &args));
    assert_eq!(found["least"], "cheap");
    assert_eq!(found["least_by"], "price");
    assert_eq!(found["options"][0]["meets_aim"], true);
}

/// Both sizes count: where every pair reaches the aim and nothing has a price, the smaller of both
/// wins, whichever was given first.
#[test]
fn law_of_two_sizes_the_smaller_of_both_wins() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 200 } ],
          "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 40 } ],
          "loads": [ { "id": "lamp", "bank": "main", "kind": "steady", "power_w": 5 } ]"#,
    );
    for (banks, chargers) in [("100,200", "20,40"), ("200,100", "40,20")] {
        let (banks, chargers) = (
            format!("banks.main.capacity_ah={banks}"),
            format!("chargers.dcdc.output_a={chargers}"),
        );
        let found = json_of(
            &text,
            &asked("compare", &["--vary", &banks, "--vary", &chargers]),
        );
        assert_eq!(found["least"], "main.capacity_ah 100 · dcdc.output_a 20");
        assert_eq!(found["least_by"], "sizes");
        assert_eq!(found["ranking"][0], found["least"]);
    }
}

/// By hand: 20 W all day are 480 Wh; 100 Ah of lithium above its reserve hold 90 Ah × 13.2 V =
/// 1.19 kWh, 2.4 days of it; 200 Ah twice that. Six nights are too long for both: the chance is 0
/// and 0, and twice the days is clear all the same.
#[test]
fn by_hand_days_tell_apart_what_no_chance_does() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 100 } ],
          "loads": [ { "id": "lamp", "bank": "main", "kind": "steady", "power_w": 20 } ]"#,
    );
    for values in ["100,200", "200,100"] {
        let vary = format!("banks.main.capacity_ah={values}");
        let found = json_of(&text, &asked("compare", &["--vary", &vary]));
        let larger = "main.capacity_ah 200";
        assert_eq!(found["ranking"][0], larger, "{}", found["ranking"]);
        assert_eq!(
            (&found["best"], &found["knee"]),
            (&larger.into(), &larger.into())
        );
        assert!(found["least"].is_null());
        let options = found["options"].as_array().expect("options");
        let of = |name: &str| options.iter().find(|option| option["name"] == name);
        let larger = of(larger).expect("an option");
        let days = larger["autonomy_days"]["p50"]["value"]
            .as_f64()
            .expect("days");
        assert!((days - 4.9).abs() < 0.3, "{days}");
        assert_eq!(larger["difference"]["clear"], false);
        assert_eq!(larger["difference_days"]["clear"], true);
    }
}

/// A size that the file gives no price for has none; with a price for each Ah it follows: 2000 for
/// 200 Ah less 100 Ah of 8 each is 1200.
#[test]
fn by_hand_price_and_mass_follow_the_size_or_are_unknown() {
    let parts = |more: &str| {
        camp(&format!(
            r#""banks": [ {{ "id": "main", "chemistry": "lfp", "capacity_ah": 200, "price": 2000, "mass_kg": 24{more} }} ],
              "loads": [ {{ "id": "lamp", "bank": "main", "kind": "steady", "power_w": 10 }} ]"#
        ))
    };
    let of = |more: &str, values: &str| {
        let vary = format!("banks.main.{values}");
        let found = json_of(&parts(more), &asked("compare", &["--vary", &vary]));
        let option = found["options"][1].clone();
        assert_eq!(found["options"][0]["price"], 2000.0);
        (option["price"].as_f64(), option["mass_kg"].as_f64())
    };
    assert_eq!(of("", "capacity_ah=100"), (None, None));
    assert_eq!(of("", "start_soc=0.9"), (Some(2000.0), Some(24.0)));
    assert_eq!(
        of(r#", "price_per_ah": 8"#, "capacity_ah=100"),
        (Some(1200.0), None)
    );
    let both = r#", "price_per_ah": 8, "mass_kg_per_ah": 0.11"#;
    assert_eq!(of(both, "capacity_ah=100"), (Some(1200.0), Some(13.0)));
    assert_eq!(of("", "price=900"), (Some(900.0), Some(24.0)));
    assert_eq!(of(both, "chemistry=agm"), (None, None));
}

#[test]
fn law_shed_never_proposes_food_or_what_is_kept() {
    let text = camp(SMALL_CHARGER).replace(
        r#"{ "id": "lamp""#,
        r#"{ "id": "fridge", "bank": "main", "kind": "fridge", "running_w": 45, "rated": { "average_a": 1.3, "at_ambient_c": 32, "at_inside_c": 4 } },
             { "id": "lamp""#,
    );
    let found = json_of(&text, &asked("shed", &[]));
    let loads = |list: &str| -> Vec<String> {
        let entries = found[list].as_array().expect("a list");
        let load = |entry: &Value| entry["load"].as_str().expect("a load").to_owned();
        entries.iter().map(load).collect()
    };
    // The pump takes most, so it leads alone; the order of the file puts the lamp first.
    assert_eq!(loads("alone"), ["pump", "lamp"]);
    assert_eq!(loads("steps"), ["lamp", "pump"]);
    assert_eq!(found["kept"], serde_json::json!(["fridge", "radio"]));
    for list in ["alone", "steps"] {
        for entry in found[list].as_array().expect("a list") {
            let gain = &entry["gain_days_p10"];
            assert!(gain["value"].as_f64().expect("a gain") > 0.0, "{entry}");
            assert!(gain["low"].as_f64() <= gain["value"].as_f64(), "{entry}");
        }
    }
}

/// A share is told with its interval from enough trials, and another seed's lies within what both
/// intervals allow. Where the chance says nothing the lowest charge is looked at, and where there is no
/// panel more sun is not proposed.
#[test]
fn law_why_knows_how_well_it_knows() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 400,
              "start_soc": { "min": 0.7, "likely": 0.8, "max": 1 } } ],
          "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 5 } ],
          "loads": [ { "id": "lamp", "bank": "main", "kind": "steady", "power_w": 10 } ]"#,
    );
    let of_seed = |seed: &str| {
        let found = json_of(&text, &asked("why", &["--seed", seed]));
        assert_eq!(
            (&found["of"], &found["moved_to_soc"]),
            (&"lowest-soc".into(), &true.into())
        );
        let shares = found["shares"].clone();
        assert!(shares["trials"].as_u64() >= Some(2000), "{shares}");
        let intervals = shares["intervals"].as_array().expect("intervals").iter();
        let figure = |share: &Value, key: &str| share[key].as_f64().expect("a number");
        let ends: Vec<[f64; 3]> = intervals
            .map(|share| ["low", "value", "high"].map(|key| figure(share, key)))
            .collect();
        assert!(
            ends.iter()
                .all(|ends| ends.is_sorted() && ends[2] - ends[0] < 0.2),
            "{ends:?}"
        );
        ends
    };
    for (one, other) in of_seed("1").iter().zip(of_seed("2")) {
        assert!(
            one[0] <= other[2] && other[0] <= one[2],
            "{one:?} {other:?}"
        );
    }
    let shown = Tideover::new()
        .scenario(&text)
        .args(["why", "base.json", "--trials", "200", "--step", "10"])
        .succeeds()
        .stdout_text();
    let verdict = shown.lines().next().expect("a verdict");
    assert!(
        verdict.starts_with("The chance of no shortfall stands at 100 %"),
        "{verdict}"
    );
    assert!(!shown.contains("more sun"), "{shown}");
    assert!(shown.contains("charge of main at the start"), "{shown}");
}

/// A bank that depends on one uncertain start depends on nothing else: its share of the variance is
/// nearly all, and moving the start moves the chance.
#[test]
fn law_why_finds_the_one_uncertain_input() {
    let text = camp(
        r#""banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 100,
              "start_soc": { "min": 0.3, "likely": 0.6, "max": 1 } } ],
          "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 1 } ],
          "loads": [ { "id": "lamp", "bank": "main", "kind": "steady", "current_a": 0.42, "use_spread": 0 } ]"#,
    );
    let found = json_of(&text, &asked("why", &["--of", "soc"]));
    let first = &found["inputs"][0];
    assert_eq!(first["path"], "banks.main.start_soc");
    assert!(first["swing"].as_f64().expect("a swing") > 0.3, "{first}");
    let share = |group: &str| found["shares"][group].as_f64().expect("a share");
    assert!(share("start") > 0.8, "{}", found["shares"]);
    assert!(
        ["weather", "climate_table", "habits"]
            .iter()
            .all(|group| share(group) < 0.1),
        "{}",
        found["shares"]
    );
    let warned = found["warnings"].as_array().expect("warnings").iter();
    assert!(
        warned.clone().any(|warning| warning["text"]
            .as_str()
            .is_some_and(|text| text.contains("banks.main.start_soc"))),
        "{found}"
    );
}
