//! The verdict of `mend`.
//!
//! One job: the cheapest change, what it costs, and what will not help, in a few sentences.

use super::chance::{between, percent};
use super::compare_verdict::points;
use super::figure::{mass, money, rounded};
use crate::present::plain_text::neutral;
use crate::study::answer::Heading;
use crate::study::mending::{LeastSize, Mend, MendResult, SolveResult};

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
    let mut parts = Vec::new();
    match (reaching.first(), result.mends.first()) {
        (Some(best), _) => {
            let word = if best.free { "Without buying anything" } else { "The cheapest change that was found" };
            parts.push(format!(
                "{word}: {}. That brings {} (between {}) where it is {} now{}",
                neutral(&best.text) + least_words(best).as_str(),
                percent(best.chance.value),
                between(best.chance),
                percent(result.now.value),
                cost_words(best, &result.heading)
            ));
            if let Some(bought) = reaching.iter().find(|mend| !mend.free).filter(|_| best.free) {
                parts.push(format!(
                    "Or bought: {}{}",
                    neutral(&bought.text) + least_words(bought).as_str(),
                    cost_words(bought, &result.heading)
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

/// The least of one size, in a sentence or two.
#[must_use]
pub fn solve_verdict(result: &SolveResult) -> String {
    let aim = percent(result.aim_chance);
    let part = neutral(&result.part);
    let Some(least) = result.least else {
        return format!(
            "No size of {part} up to {} reaches your aim of {aim}: with that it is {} (between {}).",
            rounded(result.most),
            percent(result.chance.value),
            between(result.chance)
        );
    };
    let unit = least.unit;
    let sized = |size: f64| format!("{} {unit}", exactly(size));
    let span = match least.high {
        Some(high) => format!("between {} and {}", exactly(least.low), sized(high)),
        None => format!("{} or more", sized(least.low)),
    };
    let now = if result.size_now <= 0.0 {
        format!("there is none now ({})", percent(result.now.value))
    } else {
        format!(
            "it has {} now ({})",
            sized(result.size_now),
            percent(result.now.value)
        )
    };
    let first = format!(
        "The least {part} that reaches your aim of {aim} is {} ({span}); {now}.",
        sized(least.value)
    );
    let second = match &result.bought {
        Some(bought) if (bought.size - result.size_now).abs() < 1e-9 => {
            " What is there is enough.".to_owned()
        }
        Some(bought) => {
            let cables = if bought.cables.is_empty() {
                String::new()
            } else {
                format!(
                    " For it the cable or fuse of {} must grow (`tideover wiring`).",
                    bought.cables.join(", ")
                )
            };
            format!(
                " The next to be bought has {}: {} (between {}){}.{cables}",
                sized(bought.size),
                percent(bought.chance.value),
                between(bought.chance),
                more_words(bought.price, bought.mass_kg, &result.heading)
            )
        }
        None => " None of that size or more can be bought by the file's `sizes`.".to_owned(),
    };
    first + &second
}

/// A size with its tenth, where it has one.
fn exactly(size: f64) -> String {
    format!("{}", (size * 10.0).round() / 10.0)
}

/// ` (the least lies between 140 and 160 Ah)`; nothing where the interval is one size.
#[must_use]
pub fn least_words(mend: &Mend) -> String {
    match mend.least {
        Some(LeastSize {
            low,
            high: Some(high),
            unit,
            ..
        }) if high > low => {
            format!(
                " (the least lies between {} and {} {unit})",
                exactly(low),
                exactly(high)
            )
        }
        Some(LeastSize {
            low,
            high: None,
            unit,
            ..
        }) => {
            format!(" (the least is {} {unit} or more)", exactly(low))
        }
        _ => String::new(),
    }
}

/// `, for 400 and 5 kg more`; nothing where nothing is bought.
fn cost_words(mend: &Mend, heading: &Heading) -> String {
    if mend.free {
        return String::new();
    }
    more_words(mend.price, mend.mass_kg, heading)
}

fn more_words(price: Option<f64>, mass_kg: Option<f64>, heading: &Heading) -> String {
    let price = price.map(|price| money(price, heading.currency.as_deref()));
    let mass = mass_kg.map(|mass_kg| mass(mass_kg, heading.units));
    match (price, mass) {
        (Some(price), Some(mass)) => format!(", for {price} and {mass} more"),
        (Some(one), None) | (None, Some(one)) => format!(", for {one} more"),
        (None, None) => String::new(),
    }
}

/// What a mend gains in chance and days: `+12 points (10 to 14)`.
#[must_use]
pub fn mend_gain(mend: &Mend) -> String {
    points(mend.chance_gained)
}
