//! The verdict of `compare`.
//!
//! One job: which option will do, which buys most, and where more stops paying.

use super::cause::cause_in_words;
use super::chance::{between, percent};
use super::duration::{Horizon, lasting};
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

/// What the least option is the least by.
fn least_words(by: &str) -> &'static str {
    match by {
        "price" => "is the least option by price that reaches",
        "mass_kg" => "is the least option by mass that reaches",
        "sizes" => "is the least option that reaches",
        "sizes_together" => "adds the least, sizes taken together, of the options that reach",
        _ => "reaches",
    }
}

/// Which option meets the aim, and what buys most, in a sentence or two.
#[must_use]
pub fn compare_verdict(result: &CompareResult) -> String {
    let named = |name: &Option<String>| option_named(result, name.as_ref()?);
    let chance = |option: &OptionAnswer| {
        let chance = option.chance_no_shortfall;
        format!("{}, between {}", percent(chance.value), between(chance))
    };
    let as_it_is = &result.options[0];
    let aim = percent(result.aim_chance);
    let mut parts = vec![if let Some(least) = named(&result.least) {
        format!(
            "{} {} your aim of {aim} ({})",
            neutral(&least.name),
            least_words(result.least_by),
            chance(least)
        )
    } else {
        let nearest = option_named(result, &result.ranking[0]);
        let nearest = nearest.map_or_else(String::new, |nearest| {
            format!(
                "; the nearest is {} ({}; half its trips last {})",
                neutral(&nearest.name),
                chance(nearest),
                lasting(nearest.autonomy_days.p50, Horizon::TripEnd(0.0))
            )
        });
        format!("No option reaches your aim of {aim}{nearest}")
    }];
    if let Some(best) = named(&result.best) {
        parts.push(format!("{} buys most: {}", neutral(&best.name), gain(best)));
    } else if result.options.len() > 1 {
        parts.push(format!(
            "none is clearly better than {}",
            neutral(&as_it_is.name)
        ));
    }
    if let Some(knee) = named(&result.knee)
        && has_more(result, knee)
    {
        parts.push(format!(
            "beyond {} more buys nothing clear",
            neutral(&knee.name)
        ));
    }
    let mut text = parts.join("; ");
    if let Some((limit, cause)) = limit_and_cause(result) {
        let limit = format!(
            ". With the file {}, bank {} falls short because {}",
            neutral(&as_it_is.name),
            neutral(&limit.bank),
            cause_in_words(cause, result.heading.units)
        );
        text.push_str(&limit);
    }
    text + "."
}

fn limit_and_cause(result: &CompareResult) -> Option<(&Limit, &Cause)> {
    let limit = result.limit.as_ref()?;
    Some((limit, limit.cause.as_ref()?))
}

fn option_named<'a>(result: &'a CompareResult, name: &str) -> Option<&'a OptionAnswer> {
    result.options.iter().find(|option| option.name == name)
}

/// What an option gains: in chance where that is clear, else in days.
#[must_use]
pub fn gain(option: &OptionAnswer) -> String {
    let by_chance = option.difference.filter(|difference| difference.clear);
    let by_days = option.difference_days.filter(|difference| difference.clear);
    match (by_chance, by_days) {
        (Some(difference), _) => points(difference),
        (None, Some(days)) => format!(
            "{}{} days on average ({} to {})",
            if days.value < 0.0 { "−" } else { "+" },
            rounded(days.value.abs()),
            rounded(days.low),
            rounded(days.high)
        ),
        (None, None) => "no clear difference".to_owned(),
    }
}

/// Whether any option is more than this one: dearer, heavier or larger.
#[must_use]
pub fn has_more(result: &CompareResult, option: &OptionAnswer) -> bool {
    let others = result.options.iter();
    others
        .map(|other| cost(result, other))
        .any(|other| other > cost(result, option))
}

/// By what options are put from less to more: price where all have one, then mass, then sizes.
#[must_use]
pub fn cost(result: &CompareResult, option: &OptionAnswer) -> f64 {
    let all = |of: fn(&OptionAnswer) -> Option<f64>| {
        let values: Option<Vec<f64>> = result.options.iter().map(of).collect();
        values.is_some_and(|values| values.iter().any(|value| (value - values[0]).abs() > 1e-9))
    };
    if all(|option| option.price) {
        option.price.unwrap_or(0.0)
    } else if all(|option| option.mass_kg) {
        option.mass_kg.unwrap_or(0.0)
    } else {
        option.size_together
    }
}

/// Short labels of the options: where all set the same keys these make the title and the labels
/// hold the values alone; else the title is `option` and the labels are the names. The scenario as
/// it is sets nothing and keeps its name.
#[must_use]
pub fn labels(result: &CompareResult) -> (String, Vec<String>) {
    let keys = |option: &OptionAnswer| -> Vec<String> {
        let set = option.set.0.iter();
        set.map(|(key, _)| key.clone()).collect()
    };
    let varied = || result.options.iter().skip(1);
    let shared = varied().next().map(keys).unwrap_or_default();
    let vary = varied()
        .all(|option| keys(option) == shared && shared.iter().any(|_| option.name.contains(' ')));
    let named_by_values = varied().all(|option| {
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
        if option.set.0.is_empty() {
            return option.name.clone();
        }
        let values: Vec<String> = option.set.0.iter().map(|(_, value)| shown(value)).collect();
        neutral(&values.join(" · ")).into_owned()
    });
    (neutral(&title.join(" · ")).into_owned(), values.collect())
}
