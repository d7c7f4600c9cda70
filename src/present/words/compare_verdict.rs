//! The verdict of `compare`.
//!
//! One job: which option will do, which buys most, and where more stops paying.

use super::cause::cause_in_words;
use super::chance::{between, percent};
use super::figure::{rounded, whole};
use crate::present::plain_text::neutral;
use crate::study::answer::Cause;
use crate::study::choosing::compare::{CompareResult, Limit, OptionAnswer};
use crate::study::choosing::options::shown;
use crate::study::choosing::paired::Difference;

/// A difference of chances in points: `+12 points (10 to 14)`, `no clear difference`.
#[must_use]
pub fn points(difference: Difference) -> String {
    if difference.clear {
        format!(
            "{} points ({} to {})",
            signed(difference.value),
            signed(difference.low),
            signed(difference.high)
        )
    } else {
        "no clear difference".to_owned()
    }
}

/// A share as points with its sign.
#[must_use]
pub fn signed(share: f64) -> String {
    let points = share.abs() * 100.0;
    let text = if points < 9.95 {
        rounded(points)
    } else {
        whole(points)
    };
    if text == "0" {
        text
    } else if share < 0.0 {
        format!("−{text}")
    } else {
        format!("+{text}")
    }
}

fn by_words(by: &str) -> &'static str {
    match by {
        "price" => "by price",
        "mass_kg" => "by mass",
        "capacity_ah" => "by capacity",
        "panel_w" => "by panel watts",
        _ => "in the order given",
    }
}

/// Which option meets the aim, and what buys most, in a sentence or two.
#[must_use]
pub fn compare_verdict(result: &CompareResult) -> String {
    let named = |name: &Option<String>| {
        let name = name.as_ref()?;
        result.options.iter().find(|option| option.name == *name)
    };
    let chance = |option: &OptionAnswer| {
        let chance = option.chance_no_shortfall;
        format!("{}, between {}", percent(chance.value), between(chance))
    };
    let aim = percent(result.aim_chance);
    let mut parts = vec![if let Some(least) = named(&result.least) {
        format!(
            "{} is the least option {} that reaches your aim of {aim} ({})",
            neutral(&least.name),
            by_words(result.least_by),
            chance(least)
        )
    } else {
        let most = result.options.iter().max_by(|a, b| {
            let value = |option: &OptionAnswer| option.chance_no_shortfall.value;
            value(a).total_cmp(&value(b))
        });
        let most = most.map_or_else(String::new, |most| {
            format!(
                "; the nearest is {} ({})",
                neutral(&most.name),
                chance(most)
            )
        });
        format!("No option reaches your aim of {aim}{most}")
    }];
    if let Some(best) = named(&result.best) {
        let gain = best.difference.map_or_else(String::new, points);
        parts.push(format!("{} buys most: {gain}", neutral(&best.name)));
    } else if result.options.len() > 1 {
        parts.push(format!(
            "none is clearly better than {}",
            neutral(&result.options[0].name)
        ));
    }
    if let Some(knee) = named(&result.knee) {
        let is_last = result
            .options
            .iter()
            .all(|option| !costs_more(option, knee, result.least_by));
        if !is_last {
            parts.push(format!(
                "beyond {} more buys nothing clear",
                neutral(&knee.name)
            ));
        }
    }
    let mut text = parts.join("; ");
    if let Some((limit, cause)) = limit_and_cause(result) {
        let limit = format!(
            ". With {}, bank {} falls short because {}",
            neutral(&result.options[0].name),
            neutral(&limit.bank),
            cause_in_words(cause)
        );
        text.push_str(&limit);
    }
    text + "."
}

fn limit_and_cause(result: &CompareResult) -> Option<(&Limit, &Cause)> {
    let limit = result.limit.as_ref()?;
    Some((limit, limit.cause.as_ref()?))
}

/// Whether one option is more than another by a measure.
#[must_use]
pub fn costs_more(option: &OptionAnswer, other: &OptionAnswer, by: &str) -> bool {
    cost(option, by) > cost(other, by)
}

/// An option's cost by a measure; 0 where it has none.
#[must_use]
pub fn cost(option: &OptionAnswer, by: &str) -> f64 {
    match by {
        "price" => option.price.unwrap_or(0.0),
        "mass_kg" => option.mass_kg.unwrap_or(0.0),
        "capacity_ah" => option.capacity_ah,
        "panel_w" => option.panel_w,
        _ => 0.0,
    }
}

/// Short labels of the options: where all set the same keys these make the title and the labels
/// hold the values alone; else the title is `option` and the labels are the names.
#[must_use]
pub fn labels(result: &CompareResult) -> (String, Vec<String>) {
    let keys = |option: &OptionAnswer| -> Vec<String> {
        let set = option.set.0.iter();
        set.map(|(key, _)| key.clone()).collect()
    };
    let shared = result.options.first().map(keys).unwrap_or_default();
    let vary = result
        .options
        .iter()
        .all(|option| keys(option) == shared && shared.iter().any(|_| option.name.contains(' ')));
    let named_by_values = result.options.iter().all(|option| {
        option.name.matches(" · ").count() + 1 == shared.len()
            && option
                .set
                .0
                .iter()
                .all(|(_, value)| option.name.contains(&shown(value)))
    });
    if shared.is_empty() || !vary || !named_by_values {
        let names = result
            .options
            .iter()
            .map(|option| neutral(&option.name).into_owned());
        return ("option".to_owned(), names.collect());
    }
    let title: Vec<&str> = shared
        .iter()
        .map(|key| key.split_once('.').map_or(key.as_str(), |(_, rest)| rest))
        .collect();
    let values = result.options.iter().map(|option| {
        let values: Vec<String> = option.set.0.iter().map(|(_, value)| shown(value)).collect();
        neutral(&values.join(" · ")).into_owned()
    });
    (neutral(&title.join(" · ")).into_owned(), values.collect())
}
