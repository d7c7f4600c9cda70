//! Chances in plain words: "9 in 10", "91 %", and how sure that is.
//!
//! One job: a share of trials as a phrase that promises no more than was found. A chance is
//! never rounded to certainty.

use super::figure::whole;
use crate::study::answer::Chance;

/// A share in so many parts, halves up as a reader rounds them: 0.985 in hundredths is 99, although the
/// nearest binary number lies below. Words and tables round here alone, so that they agree.
fn parts(share: f64, of: f64) -> f64 {
    ((share * of * 1e6).round() / 1e6).round()
}

/// A share as a phrase: `none`, `3 in 100`, `nearly 9 in 10`, `half`, `998 in 1,000`, `all`.
#[must_use]
pub fn share_in_words(share: f64) -> String {
    if share <= 0.0 {
        return "none".to_owned();
    }
    if share >= 1.0 {
        return "all".to_owned();
    }
    if share < 0.000_95 {
        return "fewer than 1 in 1,000".to_owned();
    }
    if share > 0.999_05 {
        return "more than 999 in 1,000".to_owned();
    }
    if !(0.0095..=0.9905).contains(&share) {
        return format!("{:.0} in 1,000", parts(share, 1000.0));
    }
    if !(0.085..=0.925).contains(&share) {
        return format!("{:.0} in 100", parts(share, 100.0));
    }
    let tenths = share * 10.0;
    let nearest = tenths.round();
    let beyond = tenths - nearest;
    if beyond.abs() <= 0.15 {
        tenths_in_words(nearest)
    } else if (-0.3..0.0).contains(&beyond) {
        format!("nearly {}", tenths_in_words(nearest))
    } else {
        format!("more than {}", tenths_in_words(tenths.floor()))
    }
}

fn tenths_in_words(tenths: f64) -> String {
    if (tenths - 5.0).abs() < 0.5 {
        "half".to_owned()
    } else {
        format!("{tenths:.0} in 10")
    }
}

/// Words to begin a sentence about that share of the trips: `9 in 10 trips`, `Half the trips`.
#[must_use]
pub fn trips_in_words(share: f64) -> String {
    match share_in_words(share).as_str() {
        "none" => "no trip".to_owned(),
        "all" => "every trip".to_owned(),
        half if half.ends_with("half") => format!("{half} the trips"),
        words => format!("{words} trips"),
    }
}

/// A share in per cent, never rounded to certainty: `91 %`, `<1 %`, `>99 %`.
#[must_use]
pub fn percent(share: f64) -> String {
    let points = parts(share, 100.0);
    if !points.is_finite() {
        "–".to_owned()
    } else if points < 1.0 && share > 0.0 {
        "<1 %".to_owned()
    } else if points > 99.0 && share < 1.0 {
        ">99 %".to_owned()
    } else {
        format!("{} %", whole(points))
    }
}

/// A state of charge in per cent, plainly rounded: `62 %`.
#[must_use]
pub fn soc(share: f64) -> String {
    if share.is_finite() {
        format!("{} %", whole(share * 100.0))
    } else {
        "–".to_owned()
    }
}

/// The 95 % interval, opened to whole per cent: `90 to 93 %`.
#[must_use]
pub fn interval(chance: Chance) -> String {
    let (low, high) = opened(chance);
    format!("{low} to {high} %")
}

/// The interval after the word "between": `90 and 93 %`.
#[must_use]
pub fn between(chance: Chance) -> String {
    let (low, high) = opened(chance);
    format!("{low} and {high} %")
}

fn opened(chance: Chance) -> (String, String) {
    // A thousandth of a point keeps 0.29 × 100 = 28.999… from opening to 28.
    let low = (chance.low * 100.0 + 1e-3).floor().max(0.0);
    let high = (chance.high * 100.0 - 1e-3).ceil().min(100.0);
    (whole(low), whole(high))
}

/// Value and interval in a table: `91 % (90–93)`; the value alone where nothing is left to chance.
#[must_use]
pub fn compact(chance: Chance) -> String {
    if is_certain(chance) {
        return percent(chance.value);
    }
    let (low, high) = opened(chance);
    format!("{} ({low}–{high})", percent(chance.value))
}

/// Whether a figure has no interval: that of one trip without chance.
fn is_certain(chance: Chance) -> bool {
    chance.high - chance.low <= 0.0
}

/// Value and interval together: `91 % (90 to 93 %)`; the value alone where nothing is left to chance.
#[must_use]
pub fn with_interval(chance: Chance) -> String {
    if is_certain(chance) {
        return percent(chance.value);
    }
    format!("{} ({})", percent(chance.value), interval(chance))
}

/// Whether so few trials stand behind a chance that it is only a rough one: wider than 10 points.
#[must_use]
pub fn is_rough(chance: Chance) -> bool {
    chance.high - chance.low > 0.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_shares_in_words() {
        for (share, words) in [
            (0.0, "none"),
            (0.0004, "fewer than 1 in 1,000"),
            (0.003, "3 in 1,000"),
            (0.04, "4 in 100"),
            (0.31, "3 in 10"),
            (0.49, "half"),
            (0.55, "more than half"),
            (0.83, "more than 8 in 10"),
            (0.88, "nearly 9 in 10"),
            (0.91, "9 in 10"),
            (0.92, "more than 9 in 10"),
            (0.97, "97 in 100"),
            (0.985, "99 in 100"),
            (0.998, "998 in 1,000"),
            (0.9996, "more than 999 in 1,000"),
            (1.0, "all"),
        ] {
            assert_eq!(share_in_words(share), words, "{share}");
        }
        assert_eq!(trips_in_words(0.5), "half the trips");
        assert_eq!(trips_in_words(0.88), "nearly 9 in 10 trips");
    }

    #[test]
    fn law_words_never_claim_certainty_for_a_chance() {
        for step in 1..10_000 {
            let share = f64::from(step) / 10_000.0;
            let words = share_in_words(share);
            assert!(words != "all" && words != "none", "{share}");
            assert!(
                !words.contains("10 in 10") && !words.contains("100 in 100"),
                "{share} {words}"
            );
            assert!(
                !words.starts_with("0 in") && !words.contains("1000 in"),
                "{share} {words}"
            );
            assert!(
                percent(share) != "100 %" && percent(share) != "0 %",
                "{share}"
            );
        }
    }

    /// Words in hundredths and the per cent of a table are one figure, halves too: 0.985 was 98 in the
    /// verdict and 99 in the table under it.
    #[test]
    fn law_words_and_per_cent_round_alike() {
        for step in 1..2000 {
            let share = f64::from(step) / 2000.0;
            let words = share_in_words(share);
            if let Some(count) = words.strip_suffix(" in 100") {
                assert_eq!(format!("{count} %"), percent(share), "{share}");
            }
        }
        assert_eq!(percent(0.285), "29 %");
    }

    #[test]
    fn intervals_open_outwards() {
        let chance = Chance {
            value: 0.91,
            low: 0.896,
            high: 0.9203,
        };
        assert_eq!(with_interval(chance), "91 % (89 to 93 %)");
        assert_eq!(compact(chance), "91 % (89–93)");
        let exact = Chance {
            value: 0.29,
            low: 0.29,
            high: 0.29,
        };
        assert_eq!(interval(exact), "29 to 29 %");
    }
}
