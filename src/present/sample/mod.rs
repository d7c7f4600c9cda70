//! Sample answers for the tests of this folder.
//!
//! One job: made-up, plausible answers of any number of banks and days. No figure here was
//! computed by the model.

mod budget;
mod stay;
mod trip;

pub(crate) use budget::budget;
pub(crate) use stay::stay;
pub(crate) use stay::stay_of;
pub(crate) use trip::trip;
pub(crate) use trip::trip_of;

use crate::study::answer::{Calendar, Chance, Heading, SocBand, Span, SurvivalCurve};

/// 2027-07-03 00:00 at UTC+2.
pub(crate) const FIRST_MIDNIGHT_S: i64 = 1_814_565_600;
const DAY_S: i64 = 86_400;

/// A chance with an interval of about two points either way.
fn chance(value: f64) -> Chance {
    Chance {
        value,
        low: (value - 0.02).max(0.0),
        high: (value + 0.02).min(1.0),
    }
}

fn heading() -> Heading {
    Heading {
        format: 1,
        tool: "tideover 0.1.0".to_owned(),
        scenario: "Dry-season salt pans".to_owned(),
        seed: 1,
        trials: 2000,
        step_minutes: 5,
        currency: None,
        units: crate::units::Units::Si,
        typical: false,
        start: "2027-07-03T07:30:00+02:00".to_owned(),
        end: "2027-07-15T08:00:00+02:00".to_owned(),
        from: None,
    }
}

fn span(from_s: i64, to_s: i64) -> Span {
    Span { from_s, to_s }
}

/// ISO date of a day counted from the first.
fn date(day: i64) -> String {
    chrono::DateTime::from_timestamp(FIRST_MIDNIGHT_S + DAY_S * day + DAY_S / 2, 0)
        .unwrap()
        .format("%Y-%m-%d")
        .to_string()
}

/// Days from `first` with a drive every third day, to stops in turn.
fn calendar(first: i64, days: i64, stops: &[&str]) -> Calendar {
    let midnight = |day: i64| FIRST_MIDNIGHT_S + DAY_S * day;
    let label = |day: i64| {
        chrono::DateTime::from_timestamp(midnight(day) + DAY_S / 2, 0)
            .unwrap()
            .format("%-d %b")
            .to_string()
    };
    let days_of_trip = first..=first + days;
    let nights = days_of_trip
        .clone()
        .map(|day| span(midnight(day) + 64_000, midnight(day + 1) + 24_300))
        .collect();
    let mut drives = Vec::new();
    let mut stays = Vec::new();
    if !stops.is_empty() {
        let leave = |day: i64| midnight(day) + 8 * 3600;
        for (leg, day) in (first..first + days).step_by(3).enumerate() {
            let arrive = leave(day) + 5 * 3600;
            drives.push(span(leave(day), arrive));
            let until = leave((day + 3).min(first + days));
            let stop = stops[leg % stops.len()];
            stays.push((span(arrive, until), stop.to_owned()));
            if day + 1 < first + days {
                let local = midnight(day + 1) + 10 * 3600;
                drives.push(span(local, local + 1800));
            }
        }
    }
    Calendar {
        units: crate::units::Units::Si,
        midnights: days_of_trip
            .map(|day| (midnight(day), label(day)))
            .collect(),
        nights,
        drives,
        stays,
    }
}

/// A bank that falls by `fall` a day with a daily swing, and whose trials spread by `spread` a day.
fn band(bank: &str, is_start: bool, first: i64, days: f64, fall: f64, spread: f64) -> SocBand {
    let from_s = FIRST_MIDNIGHT_S + DAY_S * first + 27_000;
    #[expect(clippy::cast_possible_truncation, reason = "a few thousand steps")]
    let steps = (days * 48.0) as i64;
    let (reserve_soc, cutoff_soc) = if is_start { (0.5, 0.2) } else { (0.1, 0.02) };
    let mut out = SocBand {
        bank: bank.to_owned(),
        is_start,
        reserve_soc,
        cutoff_soc,
        cold_cutoff: Vec::new(),
        utc_s: Vec::new(),
        p10: Vec::new(),
        p25: Vec::new(),
        p50: Vec::new(),
        p75: Vec::new(),
        p90: Vec::new(),
    };
    for step in 0..=steps {
        #[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
        let day = step as f64 / 48.0;
        let swing = 0.08 * ((day + 0.3 - 0.5) * std::f64::consts::TAU).cos();
        let middle = 0.9 - fall * day + swing * (day * 4.0).min(1.0);
        let reach = spread * day.sqrt();
        let at = |deviation: f64| (middle + deviation * reach).clamp(cutoff_soc, 1.0);
        out.utc_s.push(from_s + step * 1800);
        out.p10.push(at(-1.28));
        out.p25.push(at(-0.67));
        out.p50.push(at(0.0));
        out.p75.push(at(0.67));
        out.p90.push(at(1.28));
    }
    out
}

/// A chance that falls from 1 round `half_days`, over `days`.
fn survival(bank: &str, days: f64, half_days: f64) -> SurvivalCurve {
    let mut curve = SurvivalCurve {
        bank: bank.to_owned(),
        days: Vec::new(),
        chance: Vec::new(),
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few hundred"
    )]
    let points = (days * 24.0) as u32;
    for point in 0..=points {
        let day = f64::from(point) / 24.0;
        let value = 1.0 / (1.0 + (day / half_days).powi(6));
        let value = if value > 0.999 { 1.0 } else { value };
        curve.days.push(day);
        curve.chance.push(chance(value));
    }
    curve
}
