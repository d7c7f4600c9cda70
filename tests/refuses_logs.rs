//! Logs that are none: one clear sentence each, and nothing learned.
//!
//! One job: hostile and mistaken logs through the reader and `learn`, with their messages in full.

use std::fmt::Write as _;

use tideover::log::{ColumnWords, read_log};
use tideover::scenario::{Scenario, read};
use tideover::study::learning::{LearnQuestion, drives_of, learn};
use tideover::{Settings, Silent};

fn weekend() -> Scenario {
    let text = std::fs::read_to_string("scenarios/weekend.json").expect("there");
    match read(&text, "weekend.json", &|_| Err("no file".to_owned())) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// What is said of a log of the house bank.
fn said(bytes: &[u8]) -> String {
    let scenario = weekend();
    let zone = &scenario.itinerary.zone;
    let start_s = zone.first_utc_s(scenario.itinerary.start);
    let log = match read_log(bytes, "log.csv", &ColumnWords::default(), zone, start_s) {
        Ok(log) => log,
        Err(error) => return error.to_string(),
    };
    let question = LearnQuestion {
        logs: vec![(0, log)],
        drives: None,
    };
    let mut settings = Settings::default();
    settings.run.trials = 64;
    match learn(&scenario, &settings, &question, &Silent) {
        Ok((answer, _)) => format!("learned {} things", answer.found.len()),
        Err(error) => error.to_string(),
    }
}

/// Rows every ten minutes from a local date on, each from its hour.
fn rows(header: &str, date: &str, hours: f64, row: impl Fn(f64) -> String) -> String {
    let start = chrono::NaiveDateTime::parse_from_str(date, "%Y-%m-%d %H:%M").expect("a time");
    let separator = if header.contains(';') { ';' } else { ',' };
    let mut text = format!("{header}\n");
    let mut minutes = 0;
    while f64::from(minutes) < 60.0 * hours {
        let at = start + chrono::TimeDelta::minutes(i64::from(minutes));
        let _ = writeln!(
            text,
            "{}{separator}{}",
            at.format("%Y-%m-%d %H:%M"),
            row(f64::from(minutes) / 60.0)
        );
        minutes += 10;
    }
    text
}

fn usual(hour: f64) -> String {
    format!("{:.1},13.2,-1.1", 90.0 - 2.2 * hour / 1.2)
}

#[test]
fn refuses_what_is_no_log() {
    let head = "time,soc,volts,amps\n";
    let refused = |text: &str| said(text.as_bytes());
    assert_eq!(
        refused(""),
        "log.csv: is empty, but a log has a header and rows"
    );
    assert_eq!(
        said(&[0xff, 0xfe, 0x41]),
        "log.csv: is not UTF-8 text, but a log is a table in CSV"
    );
    assert_eq!(
        refused("2028-01-21 18:00,90,13.2,-1\n"),
        "log.csv:1: begins with `2028-01-21 18:00,90,13.2,-1`, but the first line must name the columns, such as time,soc,volts,amps"
    );
    assert_eq!(
        refused("Dear diary\nwe left at noon\n"),
        "log.csv:1: has no column of the time among `Dear diary`: name it time, datetime, date_time, date_and_time, timestamp, \
         local_time, utc, seconds, elapsed, or say which it is with --columns time=NAME"
    );
    assert_eq!(
        refused(&format!("{head}2028-01-21 18:00,90,13.2,-1\n")),
        "log.csv: has one row, but it takes a day of them at least to learn anything"
    );
    assert_eq!(
        refused(&format!("{head}yesterday,90,13.2,-1\n")),
        "log.csv:2: the time `yesterday` must be like 2027-07-03T07:30:00+02:00, 2027-07-03 07:30 (local) or a number of seconds"
    );
    assert_eq!(
        refused(&format!("{head}2028-01-21 18:00,90,13.2,lots\n")),
        "log.csv:2: `amps` is `lots`, but must be a number or empty"
    );
    assert_eq!(
        refused(&format!("{head}2028-01-21 18:00,90,13.2,1e999\n")),
        "log.csv:2: `amps` is `1e999`, but must be a number or empty"
    );
    assert_eq!(
        refused(&format!("{head}2028-01-21 18:00,90,1320,1\n")),
        "log.csv:2: `volts` is 1320, but must be from 0 to 100: is it another quantity?"
    );
    assert_eq!(
        refused(&format!("{head}2028-01-21 18:00,90\n")),
        "log.csv:2: has 2 values where the header names 4 columns"
    );
    assert_eq!(
        refused(&format!(
            "{head}2028-01-21 18:10,90,13.2,-1\n2028-01-21 18:00,90,13.2,-1\n"
        )),
        "log.csv:3: the clock goes back from 2028-01-21 18:10:00 to 2028-01-21 18:00:00: put right the times or split the log there"
    );
    let nothing = rows("time,amps", "2028-01-21 18:00", 30.0, |_| "NaN".to_owned());
    assert_eq!(refused(&nothing), "log.csv: has no number in `amps`");
}

#[test]
fn refuses_a_log_of_another_time_or_bank() {
    let head = "time,soc,volts,amps";
    let year = rows(head, "2027-01-21 18:00", 40.0, usual);
    assert_eq!(
        said(year.as_bytes()),
        "log.csv: the log runs from 2027-01-21 to 2027-01-23 and the trip from 2028-01-21 to 2028-01-23, so no hour of it lies \
         within: set the scenario's `start` and legs to the trip that was driven"
    );
    let short = rows(head, "2028-01-21 18:00", 10.0, usual);
    assert_eq!(
        said(short.as_bytes()),
        "log.csv: 10 h of the log lie within the trip, but it takes a day at least to learn anything"
    );
    let volts = rows(head, "2028-01-21 18:00", 40.0, |hour| {
        format!("{:.1},26.4,-1", 90.0 - hour)
    });
    assert_eq!(
        said(volts.as_bytes()),
        "log.csv: the voltage is 26.4 V in the middle, but bank house has from 11.0 to 15.0 V: is it another bank's log?"
    );
    // 400 Ah: a fall of one point in four hours at an ampere.
    let large = rows(head, "2028-01-21 18:00", 40.0, |hour| {
        format!(
            "{:.2},13.2,{:.2}",
            90.0 - 0.25 * hour,
            -1.0 - 0.01 * (hour % 3.0)
        )
    });
    assert!(
        said(large.as_bytes()).contains("and house has 50 Ah: is it another bank's log?"),
        "{}",
        said(large.as_bytes())
    );
    let volts = rows("time,volts", "2028-01-21 18:00", 40.0, |_| {
        "13.2".to_owned()
    });
    assert_eq!(
        said(volts.as_bytes()),
        "log.csv: has voltage only: it takes the charge, current, power or Ah to hold against the model"
    );
}

/// Semicolons, decimal commas, per cent signs, missing figures, a time in seconds: all are read.
#[test]
fn law_every_way_to_write_a_log_is_read() {
    let semicolons = rows(
        "Time;SOC (%);Voltage;Current [A]",
        "2028-01-21 18:00",
        40.0,
        |hour| {
            format!(
                "{:.1};13,2;{}",
                90.0 - hour,
                if hour > 3.0 { "-1,1" } else { "" }
            )
        },
    );
    assert!(
        said(semicolons.as_bytes()).starts_with("learned"),
        "{}",
        said(semicolons.as_bytes())
    );
    let mut seconds = String::from("\u{feff}seconds\tstate of charge\tcurrent mA\r\n");
    for minute in (0..2400).step_by(10) {
        let _ = write!(
            seconds,
            "{}\t{:.3}\t{}\r\n",
            60 * minute,
            0.9 - f64::from(minute) / 4000.0,
            1100
        );
    }
    assert!(
        said(seconds.as_bytes()).starts_with("learned"),
        "{}",
        said(seconds.as_bytes())
    );
}

#[test]
fn refuses_drives_that_are_none() {
    let scenario = weekend();
    let said = |text: &str| drives_of(text, "drives.csv", &scenario).map_err(|e| e.to_string());
    let good = "from,to\n2028-01-21 17:30,2028-01-21 20:10\n2028-01-22T11:00;2028-01-22T11:30\n";
    assert_eq!(said(good).map(|drives| drives.len()), Ok(2));
    let must = "must be departure and arrival, such as 2027-07-03 08:00,2027-07-03 13:30";
    for (text, line, found) in [
        ("noon,one\nnoon,one\n", 2, "noon,one"),
        (
            "2028-01-21 20:10,2028-01-21 17:30\n",
            1,
            "2028-01-21 20:10,2028-01-21 17:30",
        ),
        ("2028-01-21 17:30\n", 1, "2028-01-21 17:30"),
    ] {
        assert_eq!(
            said(text),
            Err(format!("drives.csv:{line}: `{found}` {must}"))
        );
    }
}
