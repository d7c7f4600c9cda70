//! The verdict of `why`.

use super::chance::percent;
use super::compare_verdict::signed;
use super::figure::{rounded, whole};
use crate::present::plain_text::neutral;
use crate::study::choosing::why::{InputAnswer, Of, Shares, WhyResult};
use crate::units::trimmed;

/// The group of what is not known of the built-in climate.
const CLIMATE_TABLE: &str = "the climate table itself";

/// What is looked at.
#[must_use]
pub fn of_words(of: Of) -> &'static str {
    match of {
        Of::Chance => "the chance of no shortfall",
        Of::LowestSoc => "the lowest state of charge",
    }
}

/// A value of an input, small ones to two decimals: `0.62`, `1.5`, `144`.
#[must_use]
pub fn end_figure(value: f64) -> String {
    if value.abs() < 2.0 {
        trimmed(&format!("{value:.2}"))
    } else {
        rounded(value)
    }
}

/// The two ends of an input: `96 to 144 Ah`.
#[must_use]
pub fn ends(input: &InputAnswer) -> String {
    let ends = format!("{} to {}", end_figure(input.low), end_figure(input.high));
    if input.unit.is_empty() {
        ends
    } else {
        format!("{ends} {}", input.unit)
    }
}

/// Whether the largest share is known to be the largest: its interval lies above the others'.
#[must_use]
pub fn is_known(shares: &Shares) -> bool {
    let [mut first, mut second] = [0.0_f64; 2];
    let mut lowest = 0.0;
    for share in &shares.intervals {
        if share.value > first {
            second = second.max(first);
            (first, lowest) = (share.value, share.low);
        } else {
            second = second.max(share.value);
        }
    }
    let others = shares.intervals.iter().filter(|share| share.value < first);
    others.map(|share| share.high).fold(second, f64::max) < lowest
}

/// Groups with their shares, the largest first.
#[must_use]
pub fn by_share(shares: &Shares) -> Vec<(&'static str, f64)> {
    let mut groups = vec![
        ("weather", shares.weather),
        ("driving", shares.driving),
        ("habits", shares.habits),
        ("starting charge", shares.start),
        ("several at once", shares.together),
    ];
    if shares.climate_table > 0.0 {
        groups.push((CLIMATE_TABLE, shares.climate_table));
    }
    groups.sort_by(|a, b| b.1.total_cmp(&a.1));
    groups
}

/// The groups with their intervals: `weather 62 % (55 to 69)`.
#[must_use]
pub fn shares_with_intervals(shares: &Shares) -> String {
    let names = [
        "weather",
        "driving",
        "habits",
        "starting charge",
        CLIMATE_TABLE,
    ];
    let mut groups: Vec<_> = names.into_iter().zip(shares.intervals).collect();
    groups.retain(|&(name, share)| name != CLIMATE_TABLE || share.high > 0.0);
    groups.sort_by(|a, b| b.1.value.total_cmp(&a.1.value));
    let words: Vec<String> = groups
        .into_iter()
        .map(|(name, share)| {
            format!(
                "{name} {} ({} to {})",
                percent(share.value),
                whole(share.low * 100.0),
                whole(share.high * 100.0)
            )
        })
        .collect();
    words.join(", ")
}

/// On which input the answer depends most, and where its uncertainty comes from.
#[must_use]
pub fn why_verdict(result: &WhyResult) -> String {
    let of = of_words(result.of);
    let first = result.inputs.first().filter(|input| input.difference.clear);
    let most = match first {
        Some(input) => format!(
            "{} depends most on {} ({}): from {} it moves by {} points",
            of.replacen("the", "The", 1),
            neutral(&input.name),
            neutral(&input.path),
            ends(input),
            signed(input.swing)
        ),
        None => format!(
            "No input moves {of} clearly (it stands at {})",
            percent(result.answer)
        ),
    };
    let group = result.shares.as_ref().map_or_else(String::new, |shares| {
        if !is_known(shares) {
            return "; where the spread of the lowest charge comes from is not known well enough: more trials \
                    tell"
                .to_owned();
        }
        let (name, share) = by_share(shares)[0];
        let cure = match name {
            "weather" if result.has_sun => {
                ": more sun or a bigger battery helps more than better plans"
            }
            "weather" => ": a bigger battery helps more than better plans",
            CLIMATE_TABLE => ": your own months or a weather file would tell",
            "driving" => ": firmer driving plans, or a source that needs none, help most",
            "habits" => ": firmer habits help most",
            "starting charge" => ": starting full helps most",
            _ => "",
        };
        format!(
            "; {} of the spread of the lowest charge comes from {name}{cure}",
            percent(share)
        )
    });
    let moved = if result.moved_to_soc {
        format!(
            "The chance of no shortfall stands at {}, so this looks at the lowest charge. ",
            percent(result.chance_no_shortfall.value)
        )
    } else {
        String::new()
    };
    format!("{moved}{most}{group}.")
}
