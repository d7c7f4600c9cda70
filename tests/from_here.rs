//! A trip or a stay that begins on the way: nights, charges, positions, what is left of the trip.
//!
//! One job: hand arithmetic for a steady load without sun, and laws that hold wherever a trip is taken up.
//! Invented systems.

mod one_run;
mod small_trip;

use std::sync::Arc;

use one_run::{BASE, Tideover};
use serde_json::{Value, json};
use small_trip::checked;
use tideover::engine::{Unobserved, carry_batch};
use tideover::scenario::Scenario;
use tideover::study::answer::StayAnswer;
use tideover::study::choosing::shed::shed;
use tideover::study::from_here::{HereWords, from_here, from_stop};
use tideover::study::settings::Settings;
use tideover::study::stay::{StayQuestion, stay};
use tideover::study::trip::trip;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::{NominalCalendar, Plan};
use tideover::timeline::here::Here;
use tideover::trials::{Drawing, RunSettings, Silent, run_trials, run_typical};

/// What the bank gives each hour: 1 A of load, and 3 % of 100 Ah in 720 h by itself.
const TAKES_A: f64 = 1.0 + 3.0 / 720.0;

/// Ten nights at a stop next door, a second one behind it.
fn steady(zone: &str, start: &str) -> Value {
    small_trip::steady(zone, start, [10, 2], 2.0)
}

/// The file of the base system.
fn base() -> Value {
    serde_json::from_str(BASE).expect("JSON")
}

/// The desert example of the scenarios.
fn desert() -> Value {
    serde_json::from_str(include_str!("../scenarios/desert-crossing.json")).expect("JSON")
}

fn settings(trials: u64, step_minutes: u32) -> Settings {
    Settings {
        step_minutes,
        run: RunSettings {
            trials,
            threads: Some(1),
            precision: None,
        },
        ..Settings::default()
    }
}

fn words(now: &str, soc: &[&str]) -> HereWords {
    HereWords {
        now: Some(now.to_owned()),
        soc: soc.iter().map(|&soc| soc.to_owned()).collect(),
        ..HereWords::default()
    }
}

/// A stay from a time with charge for so many hours above the reserve.
fn stay_of_hours(scenario: &Scenario, now: &str, hours: f64) -> StayAnswer {
    let soc = format!("bank={}", 0.1 + TAKES_A * hours / 100.0);
    let here = from_stop(scenario, &words(now, &[&soc])).expect("a moment of the trip");
    let question = StayQuestion {
        horizon_days: 8,
        ..StayQuestion::of(here)
    };
    stay(scenario, &question, &settings(64, 5), &Silent).expect("weather")
}

/// Nights at the aim, and the morning until which one can stay.
fn nights(scenario: &Scenario, now: &str, hours: f64) -> (u32, Option<String>) {
    let answer = stay_of_hours(scenario, now, hours);
    (answer.nights_at_aim, answer.result.stay_until)
}

/// By hand. From 08:00 a charge of 6.5 h is gone at 14:30: no night. From noon 49.8 h go to 13:48 two days
/// later, past two noons. From 20:00 the rest of the night to 08:00, then one noon 40 h on, not that 64 h
/// on. From half past midnight 19.9 h take one to 20:24: the rest of the night that is running, no more.
#[test]
fn by_hand_nights_of_a_steady_load() {
    let scenario = checked(&steady("Africa/Gaborone", "2027-07-03T08:00"));
    let until = |date: &str| Some(date.to_owned());
    assert_eq!(nights(&scenario, "2027-07-04T08:00", 6.5), (0, None));
    assert_eq!(
        nights(&scenario, "2027-07-04T12:00", 49.8),
        (2, until("2027-07-06"))
    );
    assert_eq!(
        nights(&scenario, "2027-07-04T20:00", 49.8),
        (2, until("2027-07-06"))
    );
    assert_eq!(
        nights(&scenario, "2027-07-05T00:30", 19.9),
        (1, until("2027-07-05"))
    );
}

/// By hand: a charge of 6.5 h at 08:00 is gone at 14:30, and the first sentence says so.
#[test]
fn by_hand_a_charge_that_does_not_last_to_the_evening() {
    let scenario = checked(&steady("Africa/Gaborone", "2027-07-03T08:00"));
    let answer = stay_of_hours(&scenario, "2027-07-04T08:00", 6.5);
    let until = answer
        .result
        .lasts_until
        .as_deref()
        .expect("within the horizon");
    assert!(
        until.starts_with("2027-07-04T14:2") || until.starts_with("2027-07-04T14:3"),
        "{until}"
    );
    let verdict = tideover::present::words::stay_verdict(&answer);
    assert!(
        verdict.contains("the charge lasts until Sunday 4 July, 14:"),
        "{verdict}"
    );
}

/// By hand: in the night of 30 October 2027 the clocks of Oslo go back, so that it is 25 h from noon to noon
/// and 13 h from 20:00 to 08:00; the night before 24 and 12.
#[test]
fn by_hand_a_night_in_which_the_clocks_go_back_is_an_hour_longer() {
    let mut whole = steady("Europe/Oslo", "2027-10-28T08:00");
    let mut november = whole["climate"]["months"][0].clone();
    november["month"] = json!(11);
    whole["climate"]["months"][0]["month"] = json!(10);
    whole["climate"]["months"] = json!([whole["climate"]["months"][0], november]);
    let scenario = checked(&whole);
    let count = |now: &str, hours: f64| nights(&scenario, now, hours).0;
    assert_eq!(count("2027-10-29T12:00", 24.5), 1);
    assert_eq!(count("2027-10-30T12:00", 24.5), 0);
    assert_eq!(count("2027-10-30T12:00", 25.5), 1);
    assert_eq!(count("2027-10-29T20:00", 12.5), 1);
    assert_eq!(count("2027-10-30T20:00", 12.5), 0);
    assert_eq!(count("2027-10-30T20:00", 13.5), 1);
}

/// By hand: full at 08:00 on the 3rd, one ampere for ten days and two hours takes 242 h · 1.0042 A beyond the
/// 90 Ah: nothing is left at the second stop. Two nights at the first leave 1 − 50 h · 1.0042 / 100 on arrival.
#[test]
fn by_hand_a_stay_begins_with_what_the_trip_brings_there() {
    let mut whole = steady("Africa/Gaborone", "2027-07-03T08:00");
    whole["itinerary"]["legs"][0]["nights"] = json!(2);
    let scenario = checked(&whole);
    let here = from_stop(
        &scenario,
        &HereWords {
            at: Some("Hill".to_owned()),
            ..HereWords::default()
        },
    );
    let question = StayQuestion::of(here.expect("a stop"));
    let answer = stay(&scenario, &question, &settings(64, 5), &Silent).expect("weather");
    assert!(answer.result.heading.start.starts_with("2027-07-05T10:00"));
    let by_hand = 1.0 - 50.0 * TAKES_A / 100.0;
    let found = answer.bands[0].p50[0];
    assert!(
        (found - by_hand).abs() < 0.004,
        "{found}, by hand {by_hand}"
    );
}

/// By hand: five days behind the plan, still at the first stop on the 15th at 10:00, the next 08:00 is that of
/// the 16th; two hours and two nights later the trip ends on the 18th at 08:00. With three nights more, on the
/// 20th. Ahead of it, at the second stop on the 4th, its two nights end on the 6th.
#[test]
fn by_hand_behind_and_ahead_of_the_plan() {
    let scenario = checked(&steady("Africa/Gaborone", "2027-07-03T08:00"));
    let end = |now: &str, at: &str, nights: Option<u32>| {
        let said = HereWords {
            at: Some(at.to_owned()),
            nights,
            ..words(now, &["bank=90%"])
        };
        let mut settings = settings(16, 30);
        settings.here = from_here(&scenario, &settings, &said).expect("a moment");
        let answer = trip(&scenario, &settings, &Silent).expect("weather");
        let from = answer.result.heading.from.expect("begins on the way");
        assert_eq!(from.stop.as_deref(), Some(at));
        answer.result.heading.end
    };
    assert_eq!(
        end("2027-07-15T10:00", "Pan", None),
        "2027-07-18T08:00:00+02:00"
    );
    assert_eq!(
        end("2027-07-15T10:00", "Pan", Some(3)),
        "2027-07-20T08:00:00+02:00"
    );
    assert_eq!(
        end("2027-07-04T10:00", "Hill", None),
        "2027-07-06T08:00:00+02:00"
    );
}

/// From the departure the answer is that of the plain trip, to the byte.
#[test]
fn law_from_the_departure_it_is_the_plain_trip() {
    let run = |more: &[&str]| {
        let run = Tideover::new().scenario(BASE);
        let args = ["trip", "base.json", "--trials", "64", "--json"];
        more.iter()
            .fold(run.args(args), |run, word| run.args([*word]))
            .succeeds()
            .stdout_text()
    };
    let plain = run(&[]);
    assert!(!plain.contains("\"from\""));
    assert_eq!(run(&["--now", "2027-07-03T07:30"]), plain);
    assert_eq!(run(&["--now", "2027-07-03T08:00"]), plain);
}

/// Split at any noon, each trial ends where it ends in one go. On the road the trials that had arrived by
/// then are still driving, by the plan: those alone may differ.
#[test]
fn law_a_trip_split_at_any_noon_ends_alike() {
    let scenario = checked(&desert());
    let settings = settings(64, 30);
    let run = |plan: Plan| {
        let timeline = Timeline::new(&scenario, plan, settings.step_minutes).expect("weather");
        let drawing = Drawing::new(&scenario, &timeline, settings.seed, &[]);
        run_trials(&timeline, &drawing, &settings.run, &Silent)
    };
    let calendar = NominalCalendar::new(&scenario, &Plan::Trip);
    let once = run(Plan::Trip);
    let mut noons_in_camp = 0;
    for night in &calendar.nights {
        let noon_s = night.from_s.max(calendar.start_s + 3600);
        let on_road = calendar
            .legs
            .iter()
            .any(|leg| leg.depart_s <= noon_s && noon_s < leg.arrive_s);
        let split = run(Plan::Onward(Arc::new(Here::at(noon_s))));
        for (bank, other) in once.banks.iter().zip(&split.banks) {
            let ends = bank.end_soc.iter().zip(&other.end_soc);
            let apart = ends
                .filter(|(one, two)| (**one - **two).abs() > 2e-6)
                .count();
            assert!(
                apart == 0 || on_road && apart < 20,
                "{apart} at {}",
                night.date
            );
        }
        noons_in_camp += u32::from(!on_road);
    }
    assert!(noons_in_camp > 5);
}

/// The planned row of `stay` is what `trip` answers from the same moment.
#[test]
fn law_the_planned_row_is_the_trip_from_here() {
    let scenario = checked(&desert());
    let said = HereWords {
        at: Some("Dalhousie Springs".to_owned()),
        ..words("2027-07-15T18:00", &["main=62%"])
    };
    let mut settings = settings(128, 30);
    let question = StayQuestion {
        horizon_days: 3,
        ..StayQuestion::of(from_stop(&scenario, &said).expect("a stop"))
    };
    let stay = stay(&scenario, &question, &settings, &Silent).expect("weather");
    settings.here = from_here(&scenario, &settings, &said).expect("a moment");
    let trip = trip(&scenario, &settings, &Silent).expect("weather");
    assert_eq!(stay.nights_planned, 3);
    let row = stay.result.rest.iter().find(|row| row.nights_more == 3);
    let row = row.expect("a row of the planned nights");
    assert_eq!(row.chance_both, trip.result.chance_no_shortfall);
    assert!(row.chance_both.value <= row.chance_here.value.min(row.chance_rest.value));
    assert!(stay.result.rest.len() <= 10);
}

/// A meter that is not sure is drawn evenly between its ends; a lead-acid bank begins at rest at what it shows.
#[test]
fn law_what_the_meter_shows_is_where_the_trials_begin() {
    let scenario = checked(&base());
    let said = words("2027-07-04T12:00", &["main=58..66%", "spare=0.7"]);
    let settings = settings(256, 60);
    let here = from_here(&scenario, &settings, &said)
        .expect("a moment")
        .expect("not the departure");
    let timeline = Timeline::new(&scenario, Plan::Onward(here), 60).expect("weather");
    let drawing = Drawing::new(&scenario, &timeline, 1, &[]);
    let (draws, _) = drawing.batch(0, 64);
    assert!(
        draws.start_soc[0]
            .iter()
            .all(|soc| (0.58..=0.66).contains(soc))
    );
    let mean = draws.start_soc[0].iter().sum::<f64>() / 64.0;
    assert!((mean - 0.62).abs() < 0.01, "{mean}");
    assert!(
        draws.start_soc[1]
            .iter()
            .all(|soc| (soc - 0.7).abs() < 1e-12)
    );
    let carried = draws.carried.as_ref().expect("begins on the way");
    assert!(carried.banks[0].is_none() && carried.banks[1].is_none() && carried.banks[2].is_some());
    let ensemble = run_typical(&timeline, &drawing, &mut Unobserved);
    assert!((ensemble.banks[1].lowest_soc[0] - 0.7).abs() < 0.4);
    let past = timeline.past.as_ref().expect("begins on the way");
    let before = Drawing::new(&scenario, &past.timeline, 1, &[]);
    let again = carry_batch(&past.timeline, &before.batch(0, 64).0);
    assert_eq!(again.banks[2], carried.banks[2]);
}

/// By hand: two loads of an ampere for twenty hours, and one of them switched off then: what is past took both.
#[test]
fn by_hand_what_is_switched_off_now_was_on_before() {
    let mut whole = steady("Africa/Gaborone", "2027-07-05T08:00");
    let mut lamp = whole["loads"][0].clone();
    lamp["id"] = json!("lamp");
    whole["loads"][0]["keep"] = json!(true);
    small_trip::pushed(&mut whole["loads"], lamp);
    whole["itinerary"]["legs"][0]["nights"] = json!(3);
    whole["itinerary"]["legs"]
        .as_array_mut()
        .expect("legs")
        .truncate(1);
    let scenario = checked(&whole);
    let mut settings = settings(16, 60);
    let said = words("2027-07-06T04:00", &[]);
    settings.here = from_here(&scenario, &settings, &said).expect("a moment");
    let found = shed(&scenario, &settings, &Silent).expect("an answer");
    let left_ah = 90.0 - 20.0 * (TAKES_A + 1.0);
    let hours = found.alone[0].days_p10.value.expect("within the month") * 24.0;
    assert!((hours - left_ah / TAKES_A).abs() < 1.0, "{hours}");
    assert!(
        found.alone[0].chance_no_shortfall.value < 0.01,
        "the trip takes longer"
    );
}

/// One clear sentence for each kind of nonsense, and nothing written.
#[test]
fn refuses_moments_that_do_not_fit_the_trip() {
    let legs = r#""nights": 3, "mains": true }"#;
    let twice = BASE.replace(
        legs,
        r#""nights": 1 }, { "to": "Hill", "lat": -20.5, "lon": 25.2, "drive_hours": 1, "nights": 1 },
        { "to": "Pan edge", "lat": -20.49, "lon": 25.18, "drive_hours": 1, "nights": 1 }"#,
    );
    let cases = [
        (
            BASE,
            "--now,2031-07-04T12:00",
            "`--now 2031-07-04T12:00`: must be within the trip, from 2027-07-03T07:30 to 2027-07-06T08:00",
        ),
        (BASE, "--now,2027-07-03T06:00", "must be within the trip"),
        (
            BASE,
            "--now,yesterday",
            "must be a local time such as 2027-07-05T18:00",
        ),
        (
            BASE,
            "--at,Nowhere",
            "must be a stop (Pan edge) or its number, 1 to 1",
        ),
        (
            BASE,
            "--soc,mian=62%",
            "there is no bank `mian`: the banks are main, spare, starter",
        ),
        (
            BASE,
            "--soc,main=62",
            "a share goes from 0 to 1: write main=62% for per cent",
        ),
        (
            BASE,
            "--soc,main=0.62%",
            "is less than 1 %: write main=0.62 for a share",
        ),
        (
            BASE,
            "--soc,main=162%",
            "the charge must be from 0 to 100 %",
        ),
        (BASE, "--soc,main=66..58%", "the lower charge comes first"),
        (
            BASE,
            "--soc,main=full",
            "the charge must be like main=0.62, main=62% or main=58..66%",
        ),
        (
            BASE,
            "--soc,main=62%,--soc,main=0.6",
            "bank main is given twice",
        ),
        (
            BASE,
            "--now,2027-07-04T12:00,--nights,400",
            "but it may have 366",
        ),
        (
            BASE,
            "--now,2027-07-04T12:00,--nights,0",
            "nothing of the trip is left",
        ),
        (
            BASE,
            "--now,2027-07-04T12:00,--sky,2027-07-03=dull",
            "this day is past: now is 2027-07-04",
        ),
        (
            BASE,
            "--now,2027-07-04T12:00,--sky,2027-07-05=grey",
            "the sky must be bright, mixed, dull or a clearness index from 0.02 to 0.85",
        ),
        (
            &twice,
            "--at,Pan edge",
            "several stops have this name: give the number, 1 or 3",
        ),
    ];
    for (scenario, given, sentence) in cases {
        for command in ["trip", "stay"] {
            let run =
                Tideover::new()
                    .scenario(scenario)
                    .args([command, "base.json", "--trials", "16"]);
            let run = given.split(',').fold(run, |run, word| run.args([word]));
            run.fails(2).stderr_has(sentence);
        }
    }
}

/// What was spent here is won back by the drive away from here: the planned four nights fall short here in one trip of
/// ten, and the rest of the trip bears no blame for it.
#[test]
fn law_what_was_spent_here_is_not_held_against_the_rest() {
    let scenario = checked(&desert());
    let said = HereWords {
        at: Some("Dalhousie Springs".to_owned()),
        ..HereWords::default()
    };
    let question = StayQuestion {
        horizon_days: 5,
        ..StayQuestion::of(from_stop(&scenario, &said).expect("a stop"))
    };
    let stay = stay(&scenario, &question, &settings(256, 5), &Silent).expect("weather");
    let rows = stay.result.rest.iter();
    let planned = rows
        .clone()
        .find(|row| row.nights_more == 4)
        .expect("planned");
    assert!(planned.chance_here.value < 0.95, "{planned:?}");
    for row in rows {
        assert!(row.chance_rest.value > 0.97, "{row:?}");
    }
}

/// Main is at 5 % and its reserve 10 %: that is short here, also for those who leave at once, and no chance of both
/// halves is above nothing; the drive away charges it, and the rest of the trip works.
#[test]
fn by_hand_a_bank_below_its_reserve_now_is_short_here() {
    let desert = include_str!("../scenarios/desert-crossing.json");
    let words = ["--now", "2027-07-14T17:00", "--soc", "main=5%"];
    let run = |command: &str| {
        let run = Tideover::new()
            .scenario(desert)
            .args([command, "base.json"]);
        run.args(words).args(["--trials", "64", "--step", "15"])
    };
    let found = run("stay").args(["--json"]).succeeds().json();
    for row in found["rest"].as_array().expect("rows") {
        assert_eq!(row["chance_here"]["value"], 0.0, "{row}");
        assert_eq!(row["chance_both"]["value"], 0.0, "{row}");
        assert!(
            row["chance_rest"]["value"].as_f64().expect("a chance") > 0.9,
            "{row}"
        );
    }
    run("stay")
        .succeeds()
        .stdout_has("main at 5 % (below its reserve of 10 %, which is a shortfall already).")
        .stdout_has("Bank main is below its reserve now: every night at Dalhousie Springs has a shortfall until it is charged.")
        .stdout_has("Once the next drive has charged, the rest of the trip works at your aim: leaving on Sunday 18 July");
    run("trip")
        .succeeds()
        .stdout_has("main at 5 % (below its reserve of 10 %, which is a shortfall already).");
    // What to switch off first is told by when main drops its loads, at 2 %.
    let found = run("shed").args(["--json"]).succeeds().json();
    assert_eq!(found["to_cutoff"], json!(["main"]));
    assert_eq!(found["chance_no_shortfall"]["value"], 0.0);
    let first = &found["alone"][0]["gain_days_p10"];
    assert!(
        first["clear"] == true && first["value"].as_f64() > Some(0.0),
        "{first}"
    );
    run("shed")
        .succeeds()
        .stdout_has(" until main drops its loads (below reserve already) and 0 % of trips");
}
