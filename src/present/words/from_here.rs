//! From where on an answer goes: the line before the verdict of one that begins on the way.

use super::chance::percent;
use super::duration::weekday_time;
use crate::present::plain_text::{neutral, shortened};
use crate::study::answer::{FromHere, MeterShows};
use crate::units::Units;

/// The moment, the stop, the nights left there and what the meters show, in one sentence.
#[must_use]
pub fn from_line(from: &FromHere, units: Units) -> String {
    let stop = match &from.stop {
        Some(stop) => format!(" at {}", shortened(stop, 40)),
        None => " on the road".to_owned(),
    };
    let nights = match from.nights {
        Some(1) => ", 1 more night there".to_owned(),
        Some(nights) if nights > 1 && from.stop.is_some() => {
            format!(", {nights} more nights there")
        }
        _ => String::new(),
    };
    let meters: Vec<String> = from.soc.iter().map(meter).collect();
    let charge = if meters.is_empty() {
        "the charge that the trip as planned brings".to_owned()
    } else {
        meters.join(", ")
    };
    format!(
        "From {}{stop}{nights}: {charge}.",
        weekday_time(&from.now, units)
    )
}

fn meter(shows: &MeterShows) -> String {
    let bank = neutral(&shows.bank);
    let range = if shows.low < shows.high {
        format!("{} to ", percent(shows.low))
    } else {
        String::new()
    };
    let short = match shows.reserve {
        Some(reserve) if shows.is_short => format!(
            " (below its reserve of {}, which is a shortfall already)",
            percent(reserve)
        ),
        Some(reserve) if shows.low < reserve => {
            format!(" (its reserve is {})", percent(reserve))
        }
        _ => String::new(),
    };
    format!("{bank} at {range}{}{short}", percent(shows.high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_lines() {
        let mut from = FromHere {
            now: "2027-07-05T18:00:00+02:00".to_owned(),
            stop: Some("Pan edge".to_owned()),
            soc: vec![MeterShows {
                bank: "main".to_owned(),
                low: 0.62,
                high: 0.62,
                reserve: Some(0.1),
                is_short: false,
            }],
            nights: Some(2),
        };
        assert_eq!(
            from_line(&from, Units::Si),
            "From Monday 5 July, 18:00 at Pan edge, 2 more nights there: main at 62 %."
        );
        let line_at = |low: f64, high: f64| {
            let mut from = from.clone();
            let shows = &mut from.soc[0];
            (shows.low, shows.high, shows.is_short) = (low, high, high < 0.1);
            from_line(&from, Units::Si)
        };
        assert!(
            line_at(0.05, 0.08).ends_with(
                ": main at 5 % to 8 % (below its reserve of 10 %, which is a shortfall already)."
            ),
            "{}",
            line_at(0.05, 0.08)
        );
        assert!(line_at(0.05, 0.15).ends_with(": main at 5 % to 15 % (its reserve is 10 %)."));
        from.stop = None;
        from.soc.clear();
        assert_eq!(
            from_line(&from, Units::Si),
            "From Monday 5 July, 18:00 on the road: the charge that the trip as planned brings."
        );
    }
}
