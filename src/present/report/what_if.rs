//! What to do if the banks run low: what to switch off, how much to drive, when to turn for home.
//!
//! One job: the answers one looks up on the road.

use super::parts::{Passage, Section};
use super::shed::{shed_parts, topup_parts};
use crate::present::table::Table;
use crate::present::words::chance::{percent, share_in_words, soc};
use crate::present::words::duration::short_date;
use crate::present::words::figure::{energy, rounded};
use crate::scenario::counted;
use crate::study::driving_gain::DrivingGain;
use crate::study::nights_left::{DAWN_SOC, NightsLeft};
use crate::study::report::ReportAnswer;
use crate::units::Units;

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let mut parts = shed_parts(&answer.shed);
    parts.extend(driving(&answer.driving, answer.trip.result.heading.units));
    parts.extend(topup_parts(&answer.topup));
    parts.extend(turn_home(&answer.nights_left));
    Section {
        id: "what-if",
        title: "What to do if the banks run low",
        parts,
    }
}

fn driving(gains: &[DrivingGain], units: Units) -> Vec<Passage> {
    let hours = |hours: Option<f64>| match hours {
        None => "driving does not charge it".to_owned(),
        Some(hours) if hours < 0.05 => "the sun is enough".to_owned(),
        Some(hours) => format!("{} h", rounded(hours)),
    };
    let table = Table::of(gains, units)
        .words("bank", |gain| gain.bank.clone())
        .shown("use a day", |gain| energy(gain.use_wh_per_day))
        .shown("sun a day, at most", |gain| energy(gain.sun_wh_per_day))
        .shown("charge per hour of driving", |gain| {
            let legs = if gain.legs_only { " (legs only)" } else { "" };
            format!("{}{legs}", energy(gain.gain_wh_per_hour))
        })
        .shown("to win back a day without sun", |gain| hours(gain.hours_without_sun))
        .shown("to win back a day with usual sun", |gain| hours(gain.hours_with_sun))
        .done()
        .titled(
            "Hours at the wheel that win back one day of use.",
            "Charge per hour: with the bank half full and every charger on the alternator asking at once; a nearly \
             full bank takes less.",
        );
    vec![
        Passage::sub("win-back", "How much driving wins back a day"),
        table.into(),
    ]
}

/// How many nights are left at each stop, by the charge at dawn.
pub(super) fn turn_home(left: &NightsLeft) -> Vec<Passage> {
    let mut parts = vec![Passage::sub("turn-home", "When to turn for home")];
    if left.stops.is_empty() {
        parts.push(Passage::text("No stop of this trip has a night."));
        return parts;
    }
    let trust = if left.typical {
        "Figured for ordinary days without surprises.".to_owned()
    } else {
        format!(
            "Each number is the last with which {} of {} of its own ({}) hold.",
            percent(left.aim_chance),
            counted(left.trials, "trial"),
            share_in_words(left.aim_chance)
        )
    };
    let sharing = if left.banks_share {
        " A bank here feeds another: the lines hold when all banks stand at about the same charge."
    } else {
        ""
    };
    parts.push(Passage::text(&format!(
        "Read each bank’s charge at dawn, before the sun is on the panels, and take the column at or below it. The \
         bank’s line says how many more nights it stays above its reserve without any driving; the smallest \
         number of all banks counts. “All of them” has every house bank at that charge and none short. At most \
         {} looked at. {trust}{sharing}",
        match left.most_nights {
            1 => "1 night is".to_owned(),
            most => format!("{most} nights are"),
        }
    )));
    parts.push(turn_table(left).into());
    parts
}

/// One table: a line for each bank of each stop, a column for each charge at dawn.
fn turn_table(left: &NightsLeft) -> Table {
    let nights = |nights: u32| {
        if nights >= left.most_nights {
            format!("{nights} or more")
        } else {
            nights.to_string()
        }
    };
    let mut lines: Vec<Vec<String>> = Vec::new();
    for stop in &left.stops {
        let name = format!("{}, {}", stop.stop, short_date(&stop.from, left.units));
        for (at, bank) in left.banks.iter().enumerate() {
            let cells = stop.rows.iter().map(|row| nights(row.nights[at]));
            lines.push(
                [name.clone(), bank.clone()]
                    .into_iter()
                    .chain(cells)
                    .collect(),
            );
        }
        if left.banks.len() > 1 {
            let cells = stop.rows.iter().map(|row| nights(row.all));
            lines.push(
                [name, "all of them".to_owned()]
                    .into_iter()
                    .chain(cells)
                    .collect(),
            );
        }
    }
    let names = ["stop, from", "bank"].map(str::to_owned).into_iter();
    let names: Vec<String> = names
        .chain(DAWN_SOC.iter().map(|share| soc(*share)))
        .collect();
    Table::shown(&names, 2, lines).titled(
        "More nights from the charge at dawn.",
        "Counted from the first dawn at each stop; of charges between two columns the lower counts.",
    )
}
