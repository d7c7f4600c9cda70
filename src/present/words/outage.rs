//! Outages in words.
//!
//! One job: which loads go without, how often, from when and how long. The table is in `tables::outages`.

use super::chance::percent;
use super::duration::weekday_time;
use super::figure::{energy, rounded, whole};
use crate::present::plain_text::neutral;
use crate::study::answer::{BankOutages, ColdReach, InverterOverload, Outage, TripResult};
use crate::units::{Amount, Units, joined};

/// Outages in fewer trips than this are left to the table. Ours.
const WORTH_CHANCE: f64 = 0.01;

/// The loads to keep that go without, as a sentence of its own: it comes first.
#[must_use]
pub fn kept_loads_in_words(result: &TripResult) -> Option<String> {
    let banks = result.outages.iter().filter(|outages| is_worth(outages));
    let loads = banks.flat_map(|outages| outages.loads.iter().filter(|load| load.keep));
    let told: Vec<String> = loads
        .map(|load| {
            let name = neutral(&load.load).into_owned();
            if result.heading.typical {
                name
            } else {
                format!("{name} (in {} of trips)", percent(load.share))
            }
        })
        .collect();
    (!told.is_empty()).then(|| format!("Without supply, though marked to be kept: {}.", and(&told)))
}

/// The outages of the bank that has them most often, as a clause.
#[must_use]
pub fn outages_in_words(result: &TripResult, units: Units) -> Option<String> {
    let banks = result.outages.iter().filter(|outages| is_worth(outages));
    let outages = banks.max_by(|a, b| a.chance.value.total_cmp(&b.chance.value))?;
    let first = outages.median_trip.first()?;
    let bank = neutral(&outages.bank);
    let drops = if result.heading.typical {
        format!("bank {bank} drops its loads")
    } else {
        format!(
            "bank {bank} drops its loads in {} of trips, in the median one of these",
            percent(outages.chance.value)
        )
    };
    let hours: f64 = outages.median_trip.iter().map(|outage| outage.hours).sum();
    let times = match outages.median_trip.len() {
        1 => String::new(),
        count => format!(", {count} times,"),
    };
    let unserved_wh: f64 = outages
        .median_trip
        .iter()
        .map(|outage| outage.unserved_wh)
        .sum();
    let cold = first.cold.as_ref().map_or_else(String::new, |cold| {
        format!(" ({})", cold_in_words(cold, units))
    });
    Some(format!(
        "{drops} from {}{cold}{times} for {} h: {} not supplied, {}",
        weekday_time(&first.from, units),
        rounded(hours),
        energy(unserved_wh),
        loads_of(&outages.median_trip)
    ))
}

/// Inverters that are asked for more than they give, a sentence each.
#[must_use]
pub fn overloads_in_words(result: &TripResult, units: Units) -> String {
    let worth = |of: &&InverterOverload| of.chance.value >= WORTH_CHANCE;
    let told = result.overloads.iter().filter(worth).map(|of| {
        let often = if result.heading.typical {
            String::new()
        } else {
            format!(" in {} of trips", percent(of.chance.value))
        };
        let place = of.stop.as_deref().map_or_else(String::new, |stop| {
            format!(" ({})", neutral(stop))
        });
        let loads: Vec<String> = of.loads.iter().map(|id| neutral(id).into_owned()).collect();
        format!(
            " Inverter {} is asked for more than its {} W{often}, first {}{place}: {} not supplied to {}.",
            neutral(&of.inverter),
            whole(of.rated_w),
            weekday_time(&of.first, units),
            energy(of.unserved_wh.p50),
            or(&loads)
        )
    });
    told.collect()
}

/// What cold leaves of lead-acid: `a third of it is out of reach at -10 °C, its cut-off then at 47 %`.
#[must_use]
pub fn cold_in_words(cold: &ColdReach, units: Units) -> String {
    format!(
        "{} of it is out of reach at {}, its cut-off then at {}",
        part_in_words(cold.out_of_reach),
        units.shown(Amount::Celsius, cold.battery_c, 0),
        percent(cold.cutoff_soc)
    )
}

/// A part of a battery, by a plain fraction where one is near.
fn part_in_words(share: f64) -> String {
    let fractions = [
        (0.25, "a quarter"),
        (1.0 / 3.0, "a third"),
        (0.5, "half"),
        (2.0 / 3.0, "two thirds"),
    ];
    let near = fractions.iter().find(|(of, _)| (share - of).abs() <= 0.025);
    near.map_or_else(|| percent(share), |(_, words)| (*words).to_owned())
}

/// The loads without supply, those to keep first.
fn loads_of(outages: &[Outage]) -> String {
    let mut names: Vec<(bool, String)> = Vec::new();
    for load in outages.iter().flat_map(|outage| &outage.loads) {
        let name = (!load.keep, neutral(&load.load).into_owned());
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.sort_by_key(|(is_other, _)| *is_other);
    let names: Vec<String> = names.into_iter().map(|(_, name)| name).collect();
    if names.is_empty() {
        "no load asking".to_owned()
    } else {
        format!("to {}", and(&names))
    }
}

fn is_worth(outages: &BankOutages) -> bool {
    outages.chance.value >= WORTH_CHANCE
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn and(names: &[String]) -> String {
    joined(names, "and")
}

/// `a`, `a or b`, `a, b or c`.
fn or(names: &[String]) -> String {
    joined(names, "or")
}
