//! The verdict of `shed`.

use super::chance::percent;
use super::compare_verdict::points;
use super::duration::{Horizon, days_in_words, lasting};
use crate::present::plain_text::{neutral, shortened};
use crate::study::choosing::paired::Difference;
use crate::study::choosing::shed::ShedResult;

/// A gain in days: `+0.6 days (0.4 to 0.8)`, `no clear gain`.
#[must_use]
pub fn days_gained(gain: Difference) -> String {
    if gain.clear {
        format!(
            "{:+.1} days ({:.1} to {:.1})",
            gain.value, gain.low, gain.high
        )
    } else {
        "no clear gain".to_owned()
    }
}

/// What to switch off first, and what it buys.
#[must_use]
pub fn shed_verdict(result: &ShedResult) -> String {
    let horizon = Horizon::Days(result.horizon_days);
    let now = format!(
        "with everything on, 9 in 10 stays at {} last {} and {} of trips are without a shortfall",
        shortened(&result.stop, 40),
        lasting(result.days_p10, horizon),
        percent(result.chance_no_shortfall.value)
    );
    let clear = result
        .alone
        .iter()
        .find(|shed| shed.gain_days_p10.clear || shed.gain_chance.clear);
    match clear {
        Some(first) => {
            let gain = if first.gain_days_p10.clear {
                let gain = first.gain_days_p10;
                format!("{} more in camp", days_in_words(gain.value))
            } else {
                points(first.gain_chance)
            };
            format!(
                "Switch off {} first: it buys {gain}; {now}.",
                neutral(&first.load)
            )
        }
        None => format!("Switching off any one load gains nothing clear; {now}."),
    }
}
