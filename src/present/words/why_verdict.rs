//! The verdict of `why`.

use super::chance::percent;
use super::compare_verdict::signed;
use super::figure::rounded;
use crate::present::plain_text::neutral;
use crate::study::choosing::why::{InputAnswer, Of, Shares, WhyResult};

/// What is looked at.
#[must_use]
pub fn of_words(of: Of) -> &'static str {
    match of {
        Of::Chance => "the chance of no shortfall",
        Of::LowestSoc => "the lowest state of charge",
    }
}

/// The two ends of an input: `96 to 144`.
#[must_use]
pub fn ends(input: &InputAnswer) -> String {
    let figure = |value: f64| {
        if value.abs() < 2.0 {
            format!("{:.2}", value)
        } else {
            rounded(value)
        }
    };
    format!("{} to {}", figure(input.low), figure(input.high))
}

/// Groups with their shares, the largest first.
#[must_use]
pub fn by_share(shares: &Shares) -> Vec<(&'static str, f64)> {
    let mut groups = vec![
        ("weather", shares.weather),
        ("driving", shares.driving),
        ("habits", shares.habits),
        ("charge at the start", shares.start),
        ("several together", shares.together),
    ];
    groups.sort_by(|a, b| b.1.total_cmp(&a.1));
    groups
}

/// On which input the answer hangs most, and where its uncertainty comes from.
#[must_use]
pub fn why_verdict(result: &WhyResult) -> String {
    let of = of_words(result.of);
    let first = result.inputs.first().filter(|input| input.difference.clear);
    let most = match first {
        Some(input) => format!(
            "{} hangs most on {}: from {} it moves by {} points",
            of.replacen("the", "The", 1),
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
        let (name, share) = by_share(shares)[0];
        let cure = match name {
            "weather" => ": more sun or a bigger battery helps more than better plans",
            "driving" => ": firmer driving plans, or a source that needs none, help most",
            "habits" => ": firmer habits help most",
            "charge at the start" => ": starting full helps most",
            _ => "",
        };
        format!(
            "; {} of the spread of the lowest charge comes from {name}{cure}",
            percent(share)
        )
    });
    format!("{most}{group}.")
}
