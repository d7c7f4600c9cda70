//! The verdict of `topup`, and its lines about idling.
//!
//! One job: how many hours a day, what binds, and what else would do as well.

use super::chance::percent;
use super::figure::rounded;
use crate::present::plain_text::neutral;
use crate::study::choosing::topup::{Condition, DrivingBy, HoursPerDay, TopupResult};
use crate::units::Amount;

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

/// The least driving in a sentence or two, or why none does.
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
    let alone = if result.like_days.is_none() {
        " The trip has no two like days whose ends could be compared: only the chance of no shortfall was asked for."
    } else {
        ""
    };
    if result.binds.is_none() {
        return format!(
            "No driving is needed to keep the banks topped up at your aim of {aim}.{alone}"
        );
    }
    let binds = result.binds.as_ref().map_or_else(String::new, |binds| {
        let what = match binds.condition {
            Condition::Chance => "its chance of no shortfall",
            Condition::EndSoc => "its charge from one day to the next like it",
        };
        format!("; bank {} binds, by {what}", neutral(&binds.bank))
    });
    format!(
        "{} keep the banks topped up at your aim of {aim}: {} a day on average, {} (the itinerary has {}){binds}.{alone}",
        by_kind_of_day(result, hours),
        hours_in_words(hours.value),
        interval(hours),
        hours_in_words(result.now.per_day),
    )
}

/// `1 h 5 min of driving on each day in camp, legs as they are,`
fn by_kind_of_day(result: &TopupResult, hours: HoursPerDay) -> String {
    let (camp, driving) = (result.hours_per_camp_day, result.hours_per_driving_day);
    match (result.driving_by, camp, driving) {
        (Some(DrivingBy::LocalDrives), Some(camp), Some(driving)) => format!(
            "{} of driving on each day in camp, and the legs as they are ({} on a driving day),",
            hours_in_words(camp),
            hours_in_words(driving)
        ),
        (_, Some(camp), Some(driving)) => format!(
            "{} of driving on each day in camp and {} on a driving day",
            hours_in_words(camp),
            hours_in_words(driving)
        ),
        (_, Some(camp), None) => format!("{} of driving on each day in camp", hours_in_words(camp)),
        (_, None, Some(driving)) => {
            format!("{} of driving on each driving day", hours_in_words(driving))
        }
        (_, None, None) => format!("{} of driving a day", hours_in_words(hours.value)),
    }
}

/// The interval, in two numbers.
fn interval(hours: HoursPerDay) -> String {
    format!(
        "between {} and {}{}",
        hours_in_words(hours.low),
        hours_in_words(hours.high),
        if hours.high_is_most {
            ", the most that was looked at"
        } else {
            ""
        }
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
    let spare = rounded(idling.spare_a);
    let units = result.heading.units;
    let fuel_figure = |litres: f64| rounded(units.value(Amount::Litres, litres));
    let hours = idling.hours_per_camp_day.or(idling.hours_per_day);
    let fuel = idling.fuel_l_per_day_low.zip(idling.fuel_l_per_day_high);
    let line = match (hours, fuel) {
        (Some(hours), Some((low, high))) => format!(
            "Idling instead: {} {} with {spare} A to spare at idle, some {} to {} of fuel for it.",
            hours_in_words(hours),
            if idling.hours_per_camp_day.is_some() {
                "on each day in camp"
            } else {
                "a day"
            },
            fuel_figure(low),
            format_args!("{} {}", fuel_figure(high), units.symbol(Amount::Litres))
        ),
        _ if idling.spare_a > 0.0 => format!(
            "Idling instead does not do: with {spare} A to spare at idle no number of hours brings as much."
        ),
        _ => {
            "Idling brings nothing: the vehicle itself takes all that the alternator gives at idle."
                .to_owned()
        }
    };
    vec![line, CAUTION.to_owned()]
}
