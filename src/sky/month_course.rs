//! Values of the days of a year whose means over the months are given.
//!
//! One job: twelve means in, a course through the days out that has them. What the values are is the caller's
//! matter: `sky::monthly` and `sky::world_climate`.
//! Left out: spreads, which have no mean to keep and run straight between mid-months.

use chrono::{Datelike, NaiveDate};

use super::day_sun::DaySun;
use super::extraterrestrial::normal_w_m2;
use super::memo::Memo;
use crate::units::Whole;

/// Months of the year.
pub(super) const MONTHS: usize = 12;

/// A year as its days, each between the middles of two months.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct YearDays {
    /// For each day: the months (0 to 11) whose middles it lies between and the share of the second.
    places: Vec<(usize, usize, f64)>,
    /// First day of each month, counted from 0, and the one after the last.
    begins: [usize; MONTHS + 1],
}

impl YearDays {
    /// The days of a year; one that the calendar cannot hold is as 2027.
    pub(super) fn new(year: i32) -> Self {
        let first = |month0: u32| NaiveDate::from_ymd_opt(year, month0 + 1, 1);
        let length = if NaiveDate::from_ymd_opt(year, 2, 29).is_some() {
            366
        } else {
            365
        };
        let mut begins = [length; MONTHS + 1];
        for (month0, begin) in (0..12).zip(&mut begins) {
            let date = first(month0).or(NaiveDate::from_ymd_opt(2027, month0 + 1, 1));
            *begin = date.map_or(0, |date| date.ordinal0() as usize);
        }
        let middle = |month: usize| 0.5 * (begins[month].real() + begins[month + 1].real());
        let places = (0..length)
            .map(|day| {
                let noon = day.real() + 0.5;
                let second = (0..MONTHS).find(|&month| noon < middle(month));
                let (first, second, from, to) = match second {
                    Some(0) => (11, 0, middle(11) - length.real(), middle(0)),
                    Some(second) => (second - 1, second, middle(second - 1), middle(second)),
                    None => (11, 0, middle(11), middle(0) + length.real()),
                };
                (first, second, (noon - from) / (to - from))
            })
            .collect();
        Self { places, begins }
    }

    /// The months around a day (from 0) and the share of the second.
    pub(super) fn place(&self, day: usize) -> (usize, usize, f64) {
        self.places[day.min(self.places.len() - 1)]
    }

    fn days(&self, month: usize) -> std::ops::Range<usize> {
        self.begins[month]..self.begins[month + 1]
    }

    /// Mean of some values of the days over each month.
    pub(super) fn month_means(&self, days: &[f64]) -> [f64; MONTHS] {
        std::array::from_fn(|month| {
            let of_month = &days[self.days(month)];
            of_month.iter().sum::<f64>() / of_month.len().real()
        })
    }

    /// Radiation on the horizontal outside the air of each day at a place, kWh/m².
    pub(super) fn outside_kwh_m2(&self, year: i32, lat_deg: f64, lon_deg: f64) -> Vec<f64> {
        static KNOWN: Memo<(i32, u64, u64), Vec<f64>> = Memo::new();
        let key = (year, lat_deg.to_bits(), lon_deg.to_bits());
        KNOWN.get_or(key, || self.work_out_kwh_m2(year, lat_deg, lon_deg))
    }

    fn work_out_kwh_m2(&self, year: i32, lat_deg: f64, lon_deg: f64) -> Vec<f64> {
        let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or_default();
        let noon_s = first.and_hms_opt(12, 0, 0).unwrap_or_default().and_utc();
        let mut noon_s = noon_s.timestamp().real() - lon_deg * 240.0;
        let days = self.places.iter().map(|_| {
            let lit = DaySun::at(noon_s).horizontal(lat_deg, 0.0, 24.0);
            // The trips' own distance of the sun, from which the day's differs by 0.1 %.
            let kwh_m2 = lit.wh_m2 / lit.normal_w_m2 * normal_w_m2(noon_s) / 1000.0;
            noon_s += 86_400.0;
            kwh_m2
        });
        days.collect()
    }

    /// A value for each day, so that the mean over each month, weighted by `weights` of the days, is the
    /// one given.
    ///
    /// | argument | meaning | accepted |
    /// |---|---|---|
    /// | `means` | of the months; `None`: not known | within `limits` |
    /// | `weights` | of the days | 0 or more |
    /// | `limits` | of the values | ascending; infinite: none |
    ///
    /// Values run straight between one node at the middle of each month; the nodes solve the twelve equations
    /// that the means make, December joined to January. A straight line between the means themselves would cut
    /// the corners: it has too much of a minimum's month and too little of a maximum's. A month without a mean or
    /// without weight takes the node of the nearest month that has both, the earlier of two. Days that leave the
    /// limits are held to them, and the month's others are stretched in proportion so that the mean stays.
    ///
    /// # Source
    /// J. Sheng, F. W. Zwiers, "An improved scheme for time-dependent boundary conditions in atmospheric
    /// general circulation models", Climate Dynamics 14, 609-613, 1998; the same aim: E. S. Epstein, "On
    /// obtaining daily climatological values from monthly means", J. Climate 4(3), 365-368, 1991 (both from
    /// memory). The stretching is ours.
    pub(super) fn course(
        &self,
        means: &[Option<f64>; MONTHS],
        weights: &[f64],
        limits: (f64, f64),
    ) -> Vec<f64> {
        let Some(nodes) = self.nodes(means, weights) else {
            return vec![0.0; self.places.len()];
        };
        let (low, high) = limits;
        let mut course: Vec<f64> = self
            .places
            .iter()
            .map(|&(first, second, share)| {
                (nodes[first] + (nodes[second] - nodes[first]) * share).clamp(low, high)
            })
            .collect();
        for (month, mean) in means.iter().enumerate() {
            if let Some(mean) = *mean {
                let days = self.days(month);
                stretch(&mut course[days.clone()], &weights[days], mean, limits);
            }
        }
        course
    }

    fn nodes(&self, means: &[Option<f64>; MONTHS], weights: &[f64]) -> Option<[f64; MONTHS]> {
        let known: [Option<f64>; MONTHS] = std::array::from_fn(|month| {
            means[month].filter(|_| weights[self.days(month)].iter().sum::<f64>() > 0.0)
        });
        let mut equations = [[0.0; MONTHS + 1]; MONTHS];
        for (month, equation) in equations.iter_mut().enumerate() {
            if let Some(mean) = known[month] {
                for day in self.days(month) {
                    let (first, second, share) = self.places[day];
                    equation[first] += (1.0 - share) * weights[day];
                    equation[second] += share * weights[day];
                    equation[MONTHS] += mean * weights[day];
                }
            } else {
                let near = nearest(month, |other| known[other].is_some())?;
                equation[month] = 1.0;
                equation[near] = -1.0;
            }
        }
        Some(solved(equations))
    }
}

/// The month nearest to one for which something holds, around the year, the earlier of two; itself first.
pub(super) fn nearest(month: usize, holds: impl Fn(usize) -> bool) -> Option<usize> {
    (0..=MONTHS / 2)
        .flat_map(|apart| [(month + MONTHS - apart) % MONTHS, (month + apart) % MONTHS])
        .find(|&other| holds(other))
}

/// Twelve linear equations, the right side last in each; Gauss's elimination with the largest pivot.
fn solved(mut equations: [[f64; MONTHS + 1]; MONTHS]) -> [f64; MONTHS] {
    for column in 0..MONTHS {
        let largest = (column..MONTHS)
            .max_by(|&a, &b| {
                let (a, b) = (equations[a][column], equations[b][column]);
                a.abs().total_cmp(&b.abs())
            })
            .unwrap_or(column);
        equations.swap(column, largest);
        let pivot = equations[column];
        for (row, equation) in equations.iter_mut().enumerate() {
            if row == column {
                continue;
            }
            let factor = equation[column] / pivot[column];
            for (value, above) in equation.iter_mut().zip(&pivot) {
                *value -= factor * above;
            }
        }
    }
    std::array::from_fn(|month| equations[month][MONTHS] / equations[month][month])
}

/// Multiplies the days of a month that are not held by the limits until the weighted mean is the one given.
fn stretch(days: &mut [f64], weights: &[f64], mean: f64, (low, high): (f64, f64)) {
    let wanted = mean * weights.iter().sum::<f64>();
    for _ in 0..days.len() {
        let (mut held, mut free) = (0.0, 0.0);
        for (&day, weight) in days.iter().zip(weights) {
            if day < high {
                free += day * weight;
            } else {
                held += day * weight;
            }
        }
        if (held + free - wanted).abs() <= 1e-9 * wanted.abs().max(1.0) {
            return;
        }
        let factor = if free > 0.0 {
            (wanted - held) / free
        } else {
            wanted / held
        };
        for day in days.iter_mut().filter(|day| **day < high || free <= 0.0) {
            *day = (*day * factor).clamp(low, high);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FREE: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

    fn weighted_means(days: &YearDays, course: &[f64], weights: &[f64]) -> [f64; MONTHS] {
        let product: Vec<f64> = course.iter().zip(weights).map(|(c, w)| c * w).collect();
        let (sums, weights) = (days.month_means(&product), days.month_means(weights));
        std::array::from_fn(|month| sums[month] / weights[month])
    }

    /// By hand: in a year of equal months `1/8, 3/4, 1/8` is what a month's mean has of three nodes; a wave of one
    /// year keeps its shape and its nodes are higher by 1 / (3/4 + 1/4 · cos 30°) = 1.034.
    #[test]
    fn by_hand_a_wave_of_a_year_needs_nodes_three_per_cent_higher() {
        let days = YearDays::new(2027);
        let means: [f64; MONTHS] = std::array::from_fn(|month| {
            let turn = month.real() / 12.0 * core::f64::consts::TAU;
            10.0 * turn.cos()
        });
        let nodes = days.nodes(&means.map(Some), &[1.0; 365]).unwrap();
        for (node, mean) in nodes.iter().zip(means) {
            assert!((node - 1.034 * mean).abs() < 0.06, "{node} {mean}");
        }
    }

    #[test]
    fn law_means_are_kept_whatever_they_and_the_weights_are() {
        for year in [2027, 2028] {
            let days = YearDays::new(year);
            let count = days.places.len();
            assert_eq!(count, if year == 2028 { 366 } else { 365 });
            let outside = days.outside_kwh_m2(year, 66.0, 25.0);
            let means = [
                0.03, 0.6, 0.03, 0.5, 0.8, 0.84, 0.2, 0.7, 0.1, 0.84, 0.05, 0.5,
            ];
            for (weights, limits) in [
                (&vec![1.0; count], FREE),
                (&vec![1.0; count], (0.0, 0.85)),
                (&outside, (0.0, 0.85)),
            ] {
                let course = days.course(&means.map(Some), weights, limits);
                let found = weighted_means(&days, &course, weights);
                for (month, (found, mean)) in found.iter().zip(means).enumerate() {
                    assert!(
                        (found - mean).abs() < 1e-6,
                        "{year} {month}: {found} {mean}"
                    );
                }
                assert!(course.iter().all(|&day| day >= limits.0 && day <= limits.1));
            }
        }
    }

    #[test]
    fn law_months_not_known_are_as_the_nearest() {
        let days = YearDays::new(2027);
        let mut means = [None; MONTHS];
        assert!(
            days.course(&means, &[1.0; 365], FREE)
                .iter()
                .all(|&day| day.abs() < 1e-12)
        );
        means[2] = Some(4.0);
        let flat = days.course(&means, &[1.0; 365], FREE);
        assert!(flat.iter().all(|&day| (day - 4.0).abs() < 1e-9));
        means[4] = Some(6.0);
        let course = days.course(&means, &[1.0; 365], FREE);
        let found = weighted_means(&days, &course, &[1.0; 365]);
        assert!((found[2] - 4.0).abs() < 1e-9 && (found[4] - 6.0).abs() < 1e-9);
        // The earlier of two: April's node is March's, which the rise to May begins from.
        assert!(found[3] < 5.0 && found[5] > 5.9);
        assert_eq!(nearest(3, |month| month == 2 || month == 4), Some(2));
        assert_eq!(nearest(0, |month| month == 11), Some(11));
    }
}
