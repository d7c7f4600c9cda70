//! Departures that may be put off, and the date by which a trip should end.
//!
//! One job: hand arithmetic for a steady load without sun, and laws that hold for every delay. Invented
//! systems.

mod small_trip;

use serde_json::{Value, json};
use small_trip::{checked, refused};
use tideover::present::trip_document::TripDocument;
use tideover::present::words::trip_verdict;
use tideover::study::answer::TripAnswer;
use tideover::study::from_here::{HereWords, from_here};
use tideover::study::settings::Settings;
use tideover::study::trip::trip;
use tideover::trials::{RunSettings, Silent};

/// Two nights at a stop, one at the next: 72 h from the departure at 1 A, and 3 % of 100 Ah a month by itself.
/// 90 Ah above the reserve last 89.6 h, so one day of delay is too much.
fn steady(delay: &Value) -> Value {
    let mut whole = small_trip::steady("UTC", "2027-07-03T08:00", [2, 1], 0.0);
    if !delay.is_null() {
        whole["itinerary"]["legs"][1]["delay"] = delay.clone();
    }
    whole
}

fn run_with(whole: &Value, settings: &Settings) -> TripAnswer {
    trip(&checked(whole), settings, &Silent).expect("has a climate")
}

fn settings(threads: usize) -> Settings {
    Settings {
        step_minutes: 30,
        run: RunSettings {
            trials: 500,
            threads: Some(threads),
            precision: None,
        },
        ..Settings::default()
    }
}

fn document(answer: &TripAnswer) -> String {
    serde_json::to_string(&TripDocument::from(answer)).expect("serialises")
}

fn run(whole: &Value) -> TripAnswer {
    run_with(whole, &settings(1))
}

/// The desert example of the scenarios with delays on three of its legs, one at its start.
fn desert() -> Value {
    let text = include_str!("../scenarios/desert-crossing.json");
    let mut whole: Value = serde_json::from_str(text).expect("sound");
    let legs = &mut whole["itinerary"]["legs"];
    legs[0]["delay"] = json!({ "chance": 0.2, "days": 1 });
    legs[1]["delay"] = json!({ "chance": 0.3, "days": { "min": 0, "likely": 1, "max": 4 } });
    legs[2]["delay"] = json!({ "chance": 0.5, "days": { "min": 1, "likely": 1, "max": 3 } });
    whole
}

#[test]
fn by_hand_one_day_more_is_one_too_many() {
    let answer = run(&steady(&json!({ "chance": 0.3, "days": 1 })));
    let result = &answer.result;
    let delays = result.delays.expect("delays");
    // Five standard errors of a share of 0.3 in 500 trials.
    assert!((delays.share - 0.3).abs() < 0.103, "{delays:?}");
    assert!((delays.mean_days - 1.0).abs() < 1e-9);
    assert_eq!(delays.share_of_shortfalls, Some(1.0));
    assert_eq!(delays.short_with_delay, Some(1.0));
    assert!((result.chance_no_shortfall.value - (1.0 - delays.share)).abs() < 1e-9);
    // The night after the planned end belongs to the trips that are put off, and all of these fail in it.
    let nights = &result.banks[0].nights;
    let dates: Vec<&str> = nights.iter().map(|night| night.date.as_str()).collect();
    assert_eq!(
        dates,
        ["2027-07-03", "2027-07-04", "2027-07-05", "2027-07-06"]
    );
    let last = &nights[3];
    assert!((last.under_way.expect("told") - delays.share).abs() < 1e-9);
    assert!((last.chance_no_shortfall.value - (1.0 - delays.share)).abs() < 1e-9);
    assert!((nights[0].under_way.expect("told") - 1.0).abs() < 1e-9);
    let verdict = trip_verdict(&answer);
    assert!(
        verdict.contains(
            "of trips are put off, by 1 day on average; 100 % of those that fall short had been"
        ),
        "{verdict}"
    );
}

/// 98 Ah down to the cut-off last 97.6 h from 3 July, 08:00: to 7 July, 09:35, which two days of delay go beyond.
#[test]
fn by_hand_the_outage_of_a_delay_is_told_on_its_own_dates() {
    let mut whole = steady(&json!({ "chance": 0.3, "days": 2 }));
    whole["banks"][0]["cutoff_soc"] = json!(0.02);
    let result = run(&whole).result;
    let share = result.delays.expect("delays").share;
    let told = &result.outages[0];
    assert!((told.chance.value - share).abs() < 1e-9, "{told:?}");
    let outage = &told.median_trip[0];
    assert!(outage.from.starts_with("2027-07-07T09:"), "{outage:?}");
    // From there to 8 July, 08:00: 22.4 h at 1 A.
    assert!((outage.hours - 22.4).abs() < 0.3, "{outage:?}");
}

#[test]
fn law_a_sure_delay_is_so_many_nights_more_at_the_stop_before() {
    let mut longer: Value = desert();
    let legs = longer["itinerary"]["legs"].as_array_mut().expect("legs");
    for leg in legs.iter_mut() {
        leg.as_object_mut().expect("a leg").remove("delay");
    }
    let mut sure = longer.clone();
    let nights = longer["itinerary"]["legs"][0]["nights"]
        .as_u64()
        .expect("nights");
    longer["itinerary"]["legs"][0]["nights"] = json!(nights + 2);
    sure["itinerary"]["legs"][1]["delay"] = json!({ "chance": 1, "days": 2 });
    let (longer, sure) = (run(&longer), run(&sure));
    let (longer, sure) = (&longer.result, &sure.result);
    assert_eq!(longer.chance_no_shortfall, sure.chance_no_shortfall);
    for (longer, sure) in longer.banks.iter().zip(&sure.banks) {
        assert_eq!(longer.lowest_soc, sure.lowest_soc);
        assert_eq!(longer.end_soc, sure.end_soc);
        assert_eq!(longer.autonomy_days.p50, sure.autonomy_days.p50);
        assert_eq!(longer.per_day_wh, sure.per_day_wh);
        for night in &longer.nights {
            let same = sure.nights.iter().find(|same| same.date == night.date);
            let same = same.expect("the night is there");
            assert_eq!(night.dawn_soc, same.dawn_soc, "{}", night.date);
            assert_eq!(night.chance_no_shortfall, same.chance_no_shortfall);
        }
    }
}

#[test]
fn law_a_delay_that_never_comes_changes_nothing() {
    let plain = run(&steady(&Value::Null));
    for never in [
        json!({ "chance": 0, "days": 3 }),
        json!({ "chance": 0.7, "days": { "min": 0, "likely": 0.1, "max": 0.4 } }),
    ] {
        let with = run(&steady(&never));
        assert_eq!(document(&plain), document(&with), "{never}");
    }
}

#[test]
fn law_threads_do_not_matter_and_trials_keep_their_numbers() {
    let whole = desert();
    let one = run_with(&whole, &settings(1));
    let two = run_with(&whole, &settings(2));
    assert_eq!(document(&one), document(&two));
    // What no delay touches is the same trial by trial: the chance falls by no more than the delays took.
    let mut plain = whole.clone();
    for leg in plain["itinerary"]["legs"].as_array_mut().expect("legs") {
        leg.as_object_mut().expect("a leg").remove("delay");
    }
    let plain = run(&plain);
    let share = one.result.delays.expect("delays").share;
    let change = one.result.chance_no_shortfall.value - plain.result.chance_no_shortfall.value;
    assert!(change.abs() <= share + 1e-9, "{change} {share}");
}

#[test]
fn by_hand_an_end_after_the_date_is_counted() {
    let mut whole = steady(&json!({ "chance": 0.3, "days": { "min": 1, "likely": 1, "max": 3 } }));
    whole["itinerary"]["no_later_than"] = json!("2027-07-06");
    let answer = run(&whole);
    let late = answer.result.late.as_ref().expect("a date");
    let delays = answer.result.delays.expect("delays");
    assert!((late.chance.value - delays.share).abs() < 1e-9, "{late:?}");
    let verdict = trip_verdict(&answer);
    assert!(verdict.contains("end after Tuesday 6 July"), "{verdict}");
    whole["itinerary"]["no_later_than"] = json!("2027-07-10");
    let answer = run(&whole);
    assert!((answer.result.late.expect("a date").chance.value).abs() < 1e-9);
    // The plan itself ends too late: that is doubted, and counted.
    whole["itinerary"]["no_later_than"] = json!("2027-07-05");
    let answer = run(&whole);
    assert!((answer.result.late.expect("a date").chance.value - 1.0).abs() < 1e-9);
    let told = answer.result.warnings.iter();
    let mut told = told.filter(|warning| warning.path == "/itinerary/no_later_than");
    let warning = told.next().expect("a doubt");
    assert!(
        warning.text.contains("ends on 2027-07-06 by its own plan"),
        "{warning:?}"
    );
}

#[test]
fn law_what_is_behind_is_not_put_off() {
    let scenario = checked(&steady(&json!({ "chance": 1, "days": 1 })));
    let mut settings = settings(1);
    let at = |now: &str, settings: &mut Settings| {
        let words = HereWords {
            now: Some(now.to_owned()),
            ..HereWords::default()
        };
        settings.here = from_here(&scenario, settings, &words).expect("sound");
        trip(&scenario, settings, &Silent)
            .expect("has a climate")
            .result
    };
    let plain = trip(&scenario, &settings, &Silent)
        .expect("has a climate")
        .result;
    let departure = at("2027-07-03T08:00", &mut settings);
    assert_eq!(plain.banks, departure.banks);
    let before = at("2027-07-04T12:00", &mut settings);
    assert_eq!(before.delays.map(|delays| delays.share), Some(1.0));
    let after = at("2027-07-05T12:00", &mut settings);
    assert_eq!(after.delays, None);
}

#[test]
fn refuses_what_no_delay_can_be() {
    for (delay, words) in [
        (json!({ "chance": 1.5, "days": 1 }), "delay/chance"),
        (json!({ "chance": 0.5 }), "days"),
        (json!({ "chance": 0.5, "days": 31 }), "from 0 to 30"),
        (
            json!({ "chance": 0.5, "days": { "min": 2, "likely": 1, "max": 3 } }),
            "in this order",
        ),
    ] {
        let refusal = refused(&steady(&delay));
        assert!(refusal.contains(words), "{refusal}");
    }
    let mut whole = steady(&Value::Null);
    whole["itinerary"]["no_later_than"] = json!("10 July");
    let refusal = refused(&whole);
    assert!(
        refusal.contains("is `10 July`, but must be a date such as `2027-07-19`"),
        "{refusal}"
    );
    let mut whole = steady(&json!({ "chance": 0.5, "days": 30 }));
    whole["itinerary"]["legs"][0]["nights"] = json!(340);
    let refusal = refused(&whole);
    assert!(refusal.contains("may have 366"), "{refusal}");
}
