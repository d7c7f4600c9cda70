//! Sun of days in a row at a place, by month: what one stay in ten does not exceed.
//!
//! One job: days of a climate drawn as a trip draws them, and the percentile of their means. Whose climate it is
//! and how it is told is in `study::sky_table`.

use chrono::{Datelike, NaiveDate};

use super::chance::Chances;
use super::day_draws::{ClimateKeys, DayDraws};
use super::order_statistic::{of_ranks, rank};
use crate::sky::day_climate::DayClimate;
use crate::sky::day_persistence::DayPersistence;
use crate::units::Whole;

/// Trials side by side.
const SIDE_BY_SIDE: usize = 64;

/// A day of a place.
#[derive(Debug, Clone)]
pub struct PlaceDate {
    /// Local date.
    pub date: NaiveDate,
    /// What it is drawn from.
    pub climate: DayClimate,
    /// Sun on the flat outside the air, kWh/m².
    pub outside_kwh_m2: f64,
}

/// Mean sun a day, kWh/m², that a share `p` of the stays of each length do not exceed, for stays whose middle day is in
/// each month (0 to 11) of the days given.
///
/// `days` follow one another; a stay that would leave them is not counted. A month without one has 0. The draws
/// are those of a trip under the same seed, some 64 × `batches` of them.
#[must_use]
pub fn low_sun_of_runs<const L: usize>(
    days: &[PlaceDate],
    persistence: &DayPersistence,
    (seed, batches): (u64, u64),
    (lengths, p): ([usize; L], f64),
) -> [[f64; L]; 12] {
    let mut means: [[Vec<f64>; L]; 12] =
        std::array::from_fn(|_| std::array::from_fn(|_| Vec::new()));
    for batch in 0..batches {
        let chances: Chances<SIDE_BY_SIDE> = Chances::Trials(std::array::from_fn(|lane| {
            batch * SIDE_BY_SIDE as u64 + lane as u64
        }));
        let mut draws = DayDraws::<SIDE_BY_SIDE>::new(ClimateKeys::new(seed, seed), persistence);
        let mut so_far: Vec<[f64; SIDE_BY_SIDE]> = vec![[0.0; SIDE_BY_SIDE]];
        for day in days {
            let kt = draws.next(day.date, &day.climate, None, &chances).kt;
            let before = so_far[so_far.len() - 1];
            so_far.push(std::array::from_fn(|lane| {
                before[lane] + kt[lane] * day.outside_kwh_m2
            }));
        }
        for first in 0..days.len() {
            for (run, &length) in lengths.iter().enumerate() {
                let Some(end) = so_far.get(first + length) else {
                    continue;
                };
                let middle = &days[first + length / 2];
                let means = &mut means[middle.date.month0() as usize][run];
                let count = length.real();
                let begin = &so_far[first];
                means.extend(
                    end.iter()
                        .zip(begin)
                        .map(|(end, begin)| (end - begin) / count),
                );
            }
        }
    }
    means.map(|lengths| {
        lengths.map(|mut means| {
            let count = means.len();
            if count == 0 {
                return 0.0;
            }
            let [low] = of_ranks(&mut means, [rank(p, count)], f64::total_cmp);
            low
        })
    })
}
