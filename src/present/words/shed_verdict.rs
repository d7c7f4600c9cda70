//! The verdict of `shed`.

use super::chance::percent;
use super::compare_verdict::points;
use super::duration::{Horizon, days_in_words, lasting};
use super::outage::and;
use crate::present::plain_text::{neutral, shortened};
use crate::study::choosing::paired::Difference;
use crate::study::choosing::shed::{Shed, ShedResult};

/// A gain in days: `+0.6 days (0.4 to 0.8)`, `at least +25 days`, `no clear gain`.
#[must_use]
pub fn days_gained(shed: &Shed) -> String {
    let gain = shed.gain_days_p10;
    if !gain.clear {
        "no clear gain".to_owned()
    } else if gain.value.abs() < LEAST_SHOWN_DAYS {
        "less than 0.1 days".to_owned()
    } else if shed.days_p10.beyond_horizon {
        format!("at least {:+.1} days", gain.value)
    } else {
        let [low, high] = [gain.low, gain.high].map(|days| match days {
            days if days.abs() < LEAST_SHOWN_DAYS => 0.0,
            days => days,
        });
        format!("{:+.1} days ({low:.1} to {high:.1})", gain.value)
    }
}

/// Less is nothing to a tenth of a day.
const LEAST_SHOWN_DAYS: f64 = 0.05;

fn buys(gain: Difference) -> bool {
    gain.clear && gain.value > 0.0
}

/// What to switch off first, and what it buys.
#[must_use]
pub fn shed_verdict(result: &ShedResult) -> String {
    let horizon = Horizon::Days(result.horizon_days);
    let cutoff: Vec<String> = result
        .to_cutoff
        .iter()
        .map(|bank| neutral(bank).into_owned())
        .collect();
    let until = if cutoff.is_empty() {
        String::new()
    } else {
        format!(
            " until {} {} loads (below reserve already)",
            and(&cutoff),
            if cutoff.len() == 1 {
                "drops its"
            } else {
                "drop their"
            }
        )
    };
    let now = format!(
        "with everything on, 9 in 10 stays at {} last {}{until} and {} of trips are without a shortfall",
        shortened(&result.stop, 40),
        lasting(result.days_p10, horizon),
        percent(result.chance_no_shortfall.value)
    );
    let clear = result
        .alone
        .iter()
        .find(|shed| buys(shed.gain_days_p10) || buys(shed.gain_chance));
    match clear {
        Some(first) => {
            let gain = if buys(first.gain_days_p10) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::answer::{Chance, Days};

    fn gained(value: f64, low: f64, high: f64) -> String {
        let gain = Difference {
            value,
            low,
            high,
            clear: true,
        };
        let chance = Chance {
            value: 0.5,
            low: 0.4,
            high: 0.6,
        };
        days_gained(&Shed {
            load: "lamp".to_owned(),
            gain_days_p10: gain,
            days_p10: Days {
                value: Some(2.0),
                low: Some(1.9),
                high: Some(2.1),
                beyond_horizon: false,
            },
            chance_no_shortfall: chance,
            gain_chance: gain,
            wh_per_day: 40.0,
        })
    }

    #[test]
    fn what_rounds_to_nothing_has_no_sign() {
        assert_eq!(gained(-0.02, -0.04, -0.01), "less than 0.1 days");
        assert_eq!(gained(0.06, -0.02, 0.2), "+0.1 days (0.0 to 0.2)");
        assert_eq!(gained(0.62, 0.4, 0.8), "+0.6 days (0.4 to 0.8)");
    }
}
