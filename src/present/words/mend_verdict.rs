//! The verdict of `mend`.
//!
//! One job: the cheapest change, what it costs, and what will not help, in a few sentences.

use super::chance::{between, percent};
use super::compare_verdict::points;
use super::figure::{money, rounded};
use crate::present::plain_text::neutral;
use crate::study::mending::{Mend, MendResult};

/// Kinds named in the sentence of what does not help at most.
const NAMED: usize = 4;

/// What would mend the trip, in a few sentences.
#[must_use]
pub fn mend_verdict(result: &MendResult) -> String {
    let aim = percent(result.aim_chance);
    let now = format!(
        "{}, between {}",
        percent(result.now.value),
        between(result.now)
    );
    if result.meets_aim {
        return format!(
            "Nothing has to be mended: the trip reaches your aim of {aim} as it is ({now}). The picture shows how much \
             of it is needed."
        );
    }
    let reaching: Vec<&Mend> = result.mends.iter().filter(|mend| mend.meets_aim).collect();
    let currency = result.heading.currency.as_deref();
    let mut parts = Vec::new();
    match (reaching.first(), result.mends.first()) {
        (Some(best), _) => {
            let word = if best.free { "Without buying anything" } else { "The cheapest change that was found" };
            parts.push(format!(
                "{word}: {}. That brings {} ({}) where it is {} now{}",
                neutral(&best.text),
                percent(best.chance.value),
                between(best.chance),
                percent(result.now.value),
                cost_words(best, currency)
            ));
            if let Some(bought) = reaching.iter().find(|mend| !mend.free).filter(|_| best.free) {
                parts.push(format!(
                    "Or bought: {}{}",
                    neutral(&bought.text),
                    cost_words(bought, currency)
                ));
            }
        }
        (None, Some(nearest)) => parts.push(format!(
            "No change that was tried, alone or in pairs, reaches your aim of {aim} (now {now}); the nearest is {} with {}",
            neutral(&nearest.text),
            percent(nearest.chance.value)
        )),
        (None, None) => parts.push(format!(
            "No change that was tried helps: {now} against your aim of {aim}"
        )),
    }
    if let Some(mend) = reaching.first().filter(|mend| !mend.cables.is_empty()) {
        parts.push(format!(
            "For it the cable or fuse of {} must grow (`tideover wiring`)",
            mend.cables.join(", ")
        ));
    }
    let bought = result.useless.iter();
    let names: Vec<&str> = bought
        .filter(|useless| {
            matches!(
                useless.kind,
                "bank" | "panel" | "charger" | "chemistry" | "drive" | "mains"
            )
        })
        .map(|useless| useless.text.as_str())
        .collect();
    if !names.is_empty() {
        let more = names.len().saturating_sub(NAMED);
        let shown: Vec<String> = names
            .iter()
            .take(NAMED)
            .map(|name| neutral(name).into_owned())
            .collect();
        let rest = if more > 0 {
            format!("; and {more} more below")
        } else {
            String::new()
        };
        parts.push(format!(
            "No help, however much of it: {}{rest}",
            shown.join("; ")
        ));
    }
    parts.join(". ") + "."
}

/// `, for 400 and 5 kg more`; nothing where nothing is bought.
fn cost_words(mend: &Mend, currency: Option<&str>) -> String {
    if mend.free {
        return String::new();
    }
    match (mend.price, mend.mass_kg) {
        (Some(price), Some(mass)) => {
            format!(
                ", for {} and {} kg more",
                money(price, currency),
                rounded(mass)
            )
        }
        (Some(price), None) => format!(", for {} more", money(price, currency)),
        (None, Some(mass)) => format!(", for {} kg more", rounded(mass)),
        (None, None) => String::new(),
    }
}

/// What a mend gains in chance and days: `+12 points (10 to 14)`.
#[must_use]
pub fn mend_gain(mend: &Mend) -> String {
    points(mend.chance_gained)
}
