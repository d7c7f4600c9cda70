//! A sample of `stay`.
//!
//! One job: an answer of any number of banks and nights.

use super::{band, calendar, chance, date, heading, survival};
use crate::study::answer::{
    AutonomyDays, DawnSoc, Days, NextDrive, Night, RestRow, SocBand, StayAnswer, StayBank,
    StayNight, StayResult,
};

/// Two house banks at one stop, looking 30 days ahead.
pub(crate) fn stay() -> StayAnswer {
    stay_of(&["main", "trailer"])
}

/// These house banks at one stop, looking 30 days ahead.
pub(crate) fn stay_of(houses: &[&str]) -> StayAnswer {
    let known = |value: f64| Days {
        value: Some(value),
        low: Some(value - 0.2),
        high: Some(value + 0.3),
        beyond_horizon: false,
    };
    let bands: Vec<SocBand> = houses
        .iter()
        .enumerate()
        .map(|(index, id)| {
            let rank = f64::from(u32::try_from(index % 4).unwrap());
            band(id, false, 2, 30.0, 0.07 + 0.08 * rank, 0.03)
        })
        .collect();
    let of_banks = bands
        .iter()
        .map(|band| StayBank {
            id: band.bank.clone(),
            autonomy_days: AutonomyDays {
                p10: known(3.2),
                p50: known(5.1),
                p90: Days {
                    value: None,
                    low: Some(28.0),
                    high: None,
                    beyond_horizon: true,
                },
            },
            nights: (0..30).map(|day| night(band, day)).collect(),
            per_day_wh: crate::present::sample::trip().result.banks[0]
                .per_day_wh
                .clone(),
        })
        .collect();
    let so_far = [0.995_f64, 0.96, 0.92, 0.81, 0.55, 0.3, 0.12, 0.04, 0.01];
    let nights = (0..30)
        .map(|day| {
            let so_far = so_far
                .get(usize::try_from(day).unwrap())
                .copied()
                .unwrap_or(0.0);
            StayNight {
                date: date(day + 2),
                chance_no_shortfall: chance(so_far.sqrt()),
                chance_so_far: chance(so_far),
            }
        })
        .collect();
    StayAnswer {
        result: StayResult {
            heading: crate::study::answer::Heading {
                start: "2027-07-05T07:30:00+02:00".to_owned(),
                ..heading()
            },
            stop: "Pan edge".to_owned(),
            horizon_days: 30,
            banks: of_banks,
            nights,
            lasts_until: Some("2027-07-08T11:20:00+02:00".to_owned()),
            rest: (0..5)
                .map(|nights_more| {
                    let both = [0.97, 0.95, 0.91, 0.8, 0.5][usize::try_from(nights_more).unwrap()];
                    RestRow {
                        nights_more,
                        leave: format!("2027-07-0{}T08:00:00+02:00", 5 + nights_more),
                        chance_here: chance(both + 0.02),
                        chance_rest: chance(both + 0.01),
                        chance_both: chance(both),
                    }
                })
                .collect(),
            next_drive: vec![NextDrive {
                bank: houses[0].to_owned(),
                soc_before: 0.52,
                soc_after: 0.81,
            }],
            stay_until: Some("2027-07-08".to_owned()),
            fridges: Vec::new(),
            warnings: Vec::new(),
        },
        aim_chance: 0.9,
        nights_at_aim: 3,
        nights_planned: 3,
        aim_beyond_horizon: false,
        binding_bank: Some("trailer".to_owned()),
        survival: houses
            .iter()
            .enumerate()
            .map(|(index, id)| {
                let half_days = 10.5 - 5.4 * f64::from(u32::try_from(index % 2).unwrap());
                survival(id, 30.0, half_days)
            })
            .collect(),
        bands,
        calendar: calendar(2, 30, &[]),
    }
}

fn night(band: &SocBand, day: i64) -> Night {
    let step = usize::try_from(day * 48 + 46)
        .unwrap()
        .min(band.p50.len() - 1);
    Night {
        date: date(day + 2),
        stop: "Pan edge".to_owned(),
        dawn_soc: DawnSoc {
            p10: band.p10[step],
            p50: band.p50[step],
            p90: band.p90[step],
        },
        chance_no_shortfall: chance(band.p10[step]),
        chance_so_far: chance(band.p10[step]),
        under_way: None,
    }
}
