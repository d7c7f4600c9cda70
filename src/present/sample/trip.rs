//! A sample of `trip`.
//!
//! One job: an answer of any number of banks and days.

use super::{band, calendar, chance, date, heading, survival};
use crate::study::answer::{
    AlternatorUse, AutonomyDays, Cause, CauseKind, DawnSoc, Days, FridgeUse, Named, Night, P50P90,
    PerDayWh, SocBand, SocPercentiles, TripAnswer, TripBank, TripResult, Warning, WeakNight,
    WeakPoint, Why,
};

const STOPS: [&str; 4] = ["Pan edge", "Baobab island", "River camp", "Old mission"];

/// Two house banks, a trailer bank and the starter over 12 days.
pub(crate) fn trip() -> TripAnswer {
    trip_of(&["main", "canopy", "trailer"], 12)
}

/// These house banks and a starter over this many days.
pub(crate) fn trip_of(houses: &[&str], days: i64) -> TripAnswer {
    #[expect(clippy::cast_precision_loss, reason = "a few days")]
    let length_days = days as f64 + 0.02;
    let mut bands: Vec<SocBand> = houses
        .iter()
        .enumerate()
        .map(|(index, id)| {
            let rank = f64::from(u32::try_from(index % 3).unwrap());
            band(
                id,
                false,
                0,
                length_days,
                0.15 * rank / length_days,
                0.04 + 0.03 * rank,
            )
        })
        .collect();
    bands.push(band(
        "starter",
        true,
        0,
        length_days,
        0.01 / length_days,
        0.004,
    ));
    let of_banks: Vec<TripBank> = bands.iter().map(|band| bank(band, days)).collect();
    let weak_point = WeakPoint {
        bank: "trailer".to_owned(),
        night: WeakNight {
            date: "2027-07-10".to_owned(),
            stop: "Pan edge".to_owned(),
            chance_shortfall: 0.14,
        },
        dominant_load: Some(("freezer".to_owned(), 0.61)),
        cause: Some(Cause {
            kind: CauseKind::TooSmall,
            share: 0.72,
            needed_wh: 1293.0,
            had_wh: 1152.0,
            missing_ah: 11.0,
            why: Why::TooSmall {
                nights: 3.0,
                asked_ah: 101.0,
                has_ah: 90.0,
            },
        }),
    };
    let survival = houses
        .iter()
        .enumerate()
        .map(|(index, id)| {
            let half_days = length_days * (1.6 - 0.22 * f64::from(u32::try_from(index).unwrap()));
            survival(id, length_days, half_days)
        })
        .collect();
    TripAnswer {
        mend: None,
        result: TripResult {
            heading: heading(),
            chance_no_shortfall: chance(0.78),
            banks: of_banks,
            overloads: Vec::new(),
            outages: Vec::new(),
            alternator: Some(AlternatorUse {
                oversubscribed_hours: 3.2,
                peak_a: 141.0,
            }),
            fridges: vec![FridgeUse {
                id: "fridge".to_owned(),
                hours_above_8c: P50P90 { p50: 0.0, p90: 2.4 },
                duty: 0.41,
            }],
            delays: None,
            late: None,
            warnings: vec![Warning {
                path: "/banks/2".to_owned(),
                text: "trailer is charged by nothing but the tow".into(),
            }],
        },
        aim_chance: 0.9,
        length_days,
        weak_point: Some(weak_point),
        bands,
        survival,
        calendar: calendar(0, days, &STOPS),
    }
}

fn bank(band: &SocBand, days: i64) -> TripBank {
    let at = |values: &[f64], day: i64| {
        let step = usize::try_from(day * 48 + 46)
            .unwrap()
            .min(values.len() - 1);
        values[step]
    };
    let last = |values: &[f64]| *values.last().unwrap();
    let lowest = |values: &[f64]| values.iter().copied().fold(1.0, f64::min);
    let nights = (0..days)
        .map(|day| Night {
            date: date(day),
            stop: STOPS[usize::try_from(day / 3).unwrap() % STOPS.len()].to_owned(),
            dawn_soc: DawnSoc {
                p10: at(&band.p10, day),
                p50: at(&band.p50, day),
                p90: at(&band.p90, day),
            },
            chance_no_shortfall: chance(1.0 - 0.3 * (0.4 - at(&band.p10, day)).max(0.0)),
            chance_so_far: chance(1.0 - 0.6 * (0.4 - at(&band.p10, day)).max(0.0)),
            under_way: None,
        })
        .collect();
    let beyond = Days {
        value: None,
        low: Some(8.2),
        high: None,
        beyond_horizon: true,
    };
    let p10 = if band.bank == "trailer" {
        Days {
            value: Some(7.4),
            low: Some(7.2),
            high: Some(7.7),
            beyond_horizon: false,
        }
    } else {
        beyond
    };
    TripBank {
        id: band.bank.clone(),
        chance_no_shortfall: chance(if band.bank == "trailer" { 0.78 } else { 0.98 }),
        chance_no_outage: chance(0.99),
        lowest_soc: SocPercentiles {
            p05: lowest(&band.p10),
            p10: lowest(&band.p10),
            p50: lowest(&band.p50),
            p90: lowest(&band.p90),
        },
        end_soc: SocPercentiles {
            p05: last(&band.p10),
            p10: last(&band.p10),
            p50: last(&band.p50),
            p90: last(&band.p90),
        },
        autonomy_days: AutonomyDays {
            p10,
            p50: beyond,
            p90: beyond,
        },
        nights,
        per_day_wh: PerDayWh {
            inward: Named(vec![
                ("roof".to_owned(), 620.0),
                ("main-dcdc".to_owned(), 380.0),
            ]),
            outward: Named(vec![
                ("fridge".to_owned(), 540.0),
                ("lights".to_owned(), 438.0),
            ]),
            asked: Named(vec![
                ("fridge".to_owned(), 540.0),
                ("lights".to_owned(), 438.0),
            ]),
            losses: 12.0,
            conversion: 64.0,
            curtailed: 210.0,
            unserved: 0.0,
            stored_change: 10.0,
        },
        weakest: None,
    }
}
