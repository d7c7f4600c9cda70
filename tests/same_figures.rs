//! One figure, one value: what several outputs tell of the same thing is the same.
//!
//! One job: one scenario through trip, budget, stay, shed and report; their JSON, screens, pages and
//! pictures side by side.

mod one_run;

use one_run::{Tideover, texts};
use serde_json::{Value, json};

/// A bank too small for its loads, with sun by day that it cannot always hold.
fn scenario() -> Value {
    json!({
        "format": 1, "title": "Same figures", "seed": 3,
        "itinerary": { "start": "2027-07-03T08:00", "time_zone": "UTC",
            "from": { "name": "Town", "lat": -20, "lon": 0 },
            "legs": [
                { "to": "Pan", "lat": -20, "lon": 0.1, "depart": "08:00", "drive_hours": 2, "nights": 3 },
                { "to": "Hill", "lat": -20, "lon": 0.4, "depart": "08:00", "drive_hours": 3, "nights": 2 } ] },
        "climate": { "kind": "monthly", "months": [
            { "month": 7, "sun_hours": 5.5, "day_min_c": 12, "day_max_c": 26 } ] },
        "alternator": { "rated_a": 120 },
        "banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 22 } ],
        "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 20 } ],
        "solar": [ { "id": "roof", "to": "main", "panel_w": 200, "mount": "flat" } ],
        "loads": [
            { "id": "fridge", "bank": "main", "kind": "fridge", "running_w": 45,
              "rated": { "average_a": 1.3, "at_ambient_c": 32, "at_inside_c": 4 } },
            { "id": "node", "bank": "main", "kind": "steady", "current_a": 1.4 },
            { "id": "lights", "bank": "main", "kind": "steady", "power_w": 20, "where": "camp",
              "when": { "window": ["sunset", "22:00"] } } ]
    })
}

/// What a command says: its JSON, its screen, and its files.
struct Said {
    json: Value,
    screen: String,
    files: Vec<(String, String)>,
}

impl Said {
    fn file(&self, name: &str) -> &str {
        let found = self.files.iter().find(|file| file.0 == name);
        &found.unwrap_or_else(|| panic!("no {name}")).1
    }
}

fn said(scenario: &Value, command: &str, more: &[&str]) -> Said {
    let run = |json: bool| {
        let mut run = Tideover::new().scenario(&scenario.to_string()).args([
            command,
            "base.json",
            "--trials",
            "200",
            "--step",
            "10",
        ]);
        for argument in more {
            run = run.args([argument]);
        }
        if json { run.args(["--json"]) } else { run }.succeeds()
    };
    let ran = run(false);
    let folder = ran.folder().join("output/base");
    Said {
        json: run(true).json(),
        screen: ran.stdout_text(),
        files: texts(&folder),
    }
}

fn of(value: &Value, path: &str) -> f64 {
    let found = value.pointer(path);
    found
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{path} in {value}"))
}

fn same(what: &str, figures: &[f64]) {
    for figure in figures {
        assert!((figure - figures[0]).abs() < 2e-6, "{what}: {figures:?}");
    }
}

#[test]
fn law_one_figure_is_the_same_in_every_output() {
    let scenario = scenario();
    let trip = said(&scenario, "trip", &[]);
    let budget = said(&scenario, "budget", &[]);
    let shed = said(&scenario, "shed", &[]);
    let report = said(&scenario, "report", &[]);

    let in_budget = &budget.json["banks"][0];
    let loads = in_budget["loads"].as_array().expect("loads");
    let of_load = |id: &str| loads.iter().find(|load| load["id"] == id).expect("there");
    let by_load = |list: &Value, id: &str| -> f64 {
        let all = list.as_array().expect("a list");
        let load = all.iter().find(|load| load["load"] == id).expect("there");
        of(load, "/wh_per_day")
    };
    for id in ["node", "lights"] {
        let figures = [
            of(of_load(id), "/wh_per_day"),
            of(&trip.json, &format!("/banks/0/per_day_wh/asked/{id}")),
            of(&report.json, &format!("/banks/0/per_day_wh/asked/{id}")),
            by_load(&shed.json["alone"], id),
            by_load(&shed.json["steps"], id),
            by_load(&report.json["shed"]["steps"], id),
        ];
        same(&format!("{id}, Wh a day"), &figures);
    }
    let of_loads: f64 = loads
        .iter()
        .map(|load| of(load, "/not_supplied_wh_per_day"))
        .sum();
    let not_supplied = of(in_budget, "/unserved_wh_per_day");
    assert!(
        not_supplied > 1.0,
        "the scenario is short: {not_supplied} Wh"
    );
    same(
        "not supplied",
        &[
            not_supplied,
            of_loads,
            of(&trip.json, "/banks/0/per_day_wh/unserved"),
            of(&report.json, "/budget/banks/0/unserved_wh_per_day"),
            of(in_budget, "/asked_wh_per_day") - of(in_budget, "/out_wh_per_day"),
        ],
    );
    same(
        "sun left over",
        &[
            of(in_budget, "/curtailed_wh_per_day"),
            of(&trip.json, "/banks/0/per_day_wh/curtailed"),
            of(&report.json, "/budget/banks/0/curtailed_wh_per_day"),
        ],
    );
    same(
        "lost inside the bank",
        &[
            of(in_budget, "/losses_wh_per_day"),
            of(&trip.json, "/banks/0/per_day_wh/losses"),
        ],
    );
    same(
        "chance of no shortfall",
        &[
            of(&trip.json, "/chance_no_shortfall/value"),
            of(&shed.json, "/chance_no_shortfall/value"),
            of(&report.json, "/chance_no_shortfall/value"),
            of(&report.json, "/shed/chance_no_shortfall/value"),
        ],
    );
    same(
        "days",
        &[
            of(&shed.json, "/days_p10/value"),
            of(&report.json, "/shed/days_p10/value"),
        ],
    );
    let topup = said(&scenario, "topup", &[]);
    for key in ["alone", "steps", "days_p10"] {
        assert_eq!(report.json["shed"][key], shed.json[key], "{key}");
    }
    for key in [
        "hours_per_day",
        "hours_per_camp_day",
        "binds",
        "banks",
        "idling",
    ] {
        assert_eq!(report.json["topup"][key], topup.json[key], "{key}");
    }
}

/// One vocabulary, and the figures of the screen's rows in the report's table.
#[test]
fn law_one_thing_has_one_name_in_every_output() {
    let scenario = scenario();
    let budget = said(&scenario, "budget", &[]);
    let report = said(&scenario, "report", &[]);
    for (output, text) in [
        ("screen", budget.screen.as_str()),
        ("picture", budget.file("budget.svg")),
        ("report", report.file("report.html")),
    ] {
        for words in ["not supplied", "lost inside the bank"] {
            assert!(text.contains(words), "no `{words}` in the {output}");
        }
        for other in ["not served", "unserved", "curtailed", "losses inside"] {
            assert!(!text.contains(other), "`{other}` in the {output}");
        }
    }
    let row = |name: &str| {
        let line = budget
            .screen
            .lines()
            .find(|line| line.split_whitespace().any(|word| word == name));
        let cells = line.expect("a row").split("  ").map(str::trim);
        let cells: Vec<String> = cells
            .filter(|cell| !cell.is_empty())
            .map(str::to_owned)
            .collect();
        cells
    };
    for id in ["node", "lights", "fridge"] {
        let cells = row(id);
        let place = cells.iter().position(|cell| cell == id).expect("its name");
        for cell in cells[place + 1..].iter().filter(|cell| !cell.contains('<')) {
            let page = report.file("report.html");
            assert!(
                page.contains(cell.as_str()),
                "{id}: `{cell}` is not in the report"
            );
        }
    }
}

/// The verdict's chance and the table's are one figure, in words, in per cent, in the report.
#[test]
fn law_verdict_and_table_round_a_chance_alike() {
    let trip = said(&scenario(), "trip", &[]);
    let value = of(&trip.json, "/banks/0/chance_no_shortfall/value");
    let per_cent = format!("{:.0} % (", (100.0 * value + 1e-9).round());
    let verdict = trip.screen.lines().next().expect("a verdict");
    let row = trip
        .screen
        .lines()
        .find(|line| line.starts_with("main "))
        .expect("a row");
    if value > 0.01 && value < 0.99 {
        assert!(
            verdict.contains(per_cent.trim_end_matches(" (")),
            "{verdict}"
        );
        assert!(row.contains(&per_cent), "{row}");
    }
}

/// A full bank without sun or driving lasts as long in `budget` as in `stay`: usable over asked for on a day in
/// camp, within what self-discharge and resistance take.
#[test]
fn law_a_full_bank_lasts_as_long_in_budget_as_in_stay() {
    let mut scenario = scenario();
    scenario["solar"] = json!([]);
    scenario["banks"][0]["capacity_ah"] = json!(200);
    for load in scenario["loads"].as_array_mut().expect("loads") {
        load["use_spread"] = json!(0);
    }
    let budget = said(&scenario, "budget", &[]);
    let stay = said(&scenario, "stay", &["--soc", "main=1"]);
    let in_budget = of(&budget.json, "/banks/0/camp_day/days_without_charge");
    let in_stay = of(&stay.json, "/banks/0/autonomy_days/p50/value");
    assert!(
        (in_budget / in_stay - 1.0).abs() < 0.03,
        "{in_budget} and {in_stay} days"
    );
}
