//! Outages as a table: of each bank that has any, those of the median trip.
//!
//! One job: from when, how long, which loads, how much.

use super::part::{Part, note};
use crate::present::plain_text::{capitalised, shortened};
use crate::present::table::{Align, Table, Value};
use crate::present::words::chance::percent;
use crate::present::words::duration::short_time;
use crate::present::words::figure::{energy, rounded};
use crate::present::words::outage::cold_in_words;
use crate::study::answer::{BankOutages, Heading, Outage, TripResult};

/// Outages of one trip that are listed; the others are counted.
const MOST_LISTED: usize = 12;

/// A sentence and a table for each bank with outages.
pub(super) fn outage_parts(result: &TripResult) -> Vec<Part> {
    let of_bank = |outages: &BankOutages| {
        let mut parts = vec![note(sentence(outages, &result.heading))];
        let listed = &outages.median_trip[..outages.median_trip.len().min(MOST_LISTED)];
        let units = result.heading.units;
        let table = Table::of(listed, units)
            .name("", "loads off from", |of| short_time(&of.from, units))
            .figure("", "hours", |of| Value::Number(of.hours))
            .shown("not supplied", |of| energy(of.unserved_wh))
            .column("", "to", Align::Left, |of| Value::Text(loads(of)));
        parts.push(Part::Table(table.done()));
        parts
    };
    result.outages.iter().flat_map(of_bank).collect()
}

fn sentence(outages: &BankOutages, heading: &Heading) -> String {
    let bank = shortened(&outages.bank, 24);
    let cold = outages.median_trip.iter().find_map(|of| of.cold.as_ref());
    let cold = cold.map_or_else(String::new, |cold| {
        format!(" {}.", capitalised(&cold_in_words(cold, heading.units)))
    });
    let more = match outages.median_trip.len().saturating_sub(MOST_LISTED) {
        0 => String::new(),
        more => format!(" The first {MOST_LISTED}; {more} more follow."),
    };
    if heading.typical {
        return format!("Outages of {bank}.{cold}{more}");
    }
    format!(
        "Outages of {bank}: in {} of trips; of these half are without supply for {} h or more in all, \
         1 in 10 for more than {} h.{cold} The median one by what is not supplied:{more}",
        percent(outages.chance.value),
        rounded(outages.hours.p50),
        rounded(outages.hours.p90),
    )
}

fn loads(outage: &Outage) -> String {
    let loads = outage.loads.iter().map(|load| {
        let keep = if load.keep { ", to keep" } else { "" };
        format!(
            "{} ({} h, {}{keep})",
            shortened(&load.load, 24),
            rounded(load.hours),
            energy(load.unserved_wh)
        )
    });
    loads.collect::<Vec<String>>().join(", ")
}
