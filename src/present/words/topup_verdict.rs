//! The verdict of `topup`, and its lines about idling.
//!
//! One job: how many hours a day, what binds, and what else would bring the same.

use super::chance::percent;
use super::figure::rounded;
use crate::present::plain_text::neutral;
use crate::study::choosing::topup::{Condition, DrivingBy, TopupResult};

/// Hours and minutes: `1 h 25 min`, `40 min`.
#[must_use]
pub fn hours_in_words(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    let (whole, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    match (whole < 0.5, rest < 0.5) {
        (true, _) => format!("{rest:.0} min"),
        (false, true) => format!("{whole:.0} h"),
        _ => format!("{whole:.0} h {rest:.0} min"),
    }
}

/// The least driving in one sentence, or why none does.
#[must_use]
pub fn topup_verdict(result: &TopupResult) -> String {
    let aim = percent(result.aim_chance);
    let Some(hours) = result.hours_per_day else {
        let why = result
            .why_not
            .as_deref()
            .unwrap_or("the aim is out of reach");
        return format!(
            "No number of hours at the wheel keeps the banks topped up at your aim of {aim}: {}.",
            neutral(why)
        );
    };
    if result.binds.is_none() {
        return format!("No driving is needed to keep the banks topped up at your aim of {aim}.");
    }
    let how = match result.driving_by {
        Some(DrivingBy::LocalDrives) => ", legs as they are and the rest on the days in camp",
        _ => ", every drive in proportion",
    };
    let high = hours
        .high
        .map_or_else(|| "any number".to_owned(), hours_in_words);
    let binds = result.binds.as_ref().map_or_else(String::new, |binds| {
        let what = match binds.condition {
            Condition::Chance => "its chance of no shortfall",
            Condition::EndSoc => "its charge at the end",
        };
        format!("; bank {} binds, by {what}", neutral(&binds.bank))
    });
    format!(
        "{} of driving a day keep the banks topped up at your aim of {aim} (between {} and {high}{how}; the itinerary \
         has {}){binds}.",
        hours_in_words(hours.value),
        hours_in_words(hours.low),
        hours_in_words(result.now_hours_per_day)
    )
}

/// What idling would take instead, with its caution.
#[must_use]
pub fn idling_lines(result: &TopupResult) -> Vec<String> {
    const CAUTION: &str = "Caution: idling to charge is poor for engine and fuel. Never let an engine run in a closed \
        space: its exhaust kills.";
    let Some(idling) = &result.idling else {
        return Vec::new();
    };
    let line = match (
        idling.hours_per_day,
        idling.fuel_l_per_day_low,
        idling.fuel_l_per_day_high,
    ) {
        (Some(hours), Some(low), Some(high)) if hours <= 24.0 => format!(
            "Idling instead: {} a day with {} A to spare at idle, some {} to {} litres of fuel a day.",
            hours_in_words(hours),
            rounded(idling.spare_a),
            rounded(low),
            rounded(high)
        ),
        (Some(_), ..) => {
            "Idling instead: more than the whole day would not bring as much.".to_owned()
        }
        _ => {
            "Idling brings nothing: the vehicle itself takes all that the alternator gives at idle."
                .to_owned()
        }
    };
    vec![line, CAUTION.to_owned()]
}
