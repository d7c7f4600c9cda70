//! Runs of the program's own days against those of a station that it is told in full.
//!
//! One job: whether runs of dark and of bright days are as long as the real ones, given the station's own months and
//! persistence. What comes true of chances without having seen the years is in `weather_calibration.rs`; the
//! stations' figures are in `tests/reference/weather/`.
//!
//! A typical year (NREL, TMY3) is made of months of different years, each near the long-term mean of its
//! month. Its days are real ones, their spread within the month too, but its months have no good and bad
//! years, so that a week or more strays less than in measured years; days that lie five to ten days
//! apart even counter each other a little. The persistence taken here from such a year is that one year's, with
//! a standard error of 0.05 a lag, and no climate's: it shows that the drawn days follow a station that
//! is told in full.

mod typical_years;
mod weather_records;

use std::fmt::Write as _;

use chrono::Datelike;
use tideover::sky::history::HistoryDay;
use weather_records::{
    DrawnYear, Record, de_bilt, honolulu, hourly_typical_years, percentile, runs,
};

const TRIALS: u64 = 600;
const LENGTHS: [usize; 5] = [1, 3, 5, 7, 10];

/// The spread of a sum of `n` days depends on the autocorrelations at lags 1 to `n - 1` and on no other:
/// nine for the ten days of the longest run. (Three to ten all hold the mark.)
const LAGS: usize = 9;

/// Mean and standard deviation of the clearness of each month.
fn months(days: &[HistoryDay]) -> [(f64, f64); 12] {
    std::array::from_fn(|month0| {
        let kt: Vec<f64> = days
            .iter()
            .filter(|day| day.date.month0() as usize == month0)
            .map(|day| day.kt)
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "some hundred")]
        let count = kt.len() as f64;
        let mean = kt.iter().sum::<f64>() / count;
        let square: f64 = kt.iter().map(|k| (k - mean).powi(2)).sum();
        (mean, (square / (count - 1.0)).sqrt())
    })
}

/// Autocorrelation at each lag of the days, each as its distance from its month's mean in standard
/// deviations of that month.
fn autocorrelation(days: &[HistoryDay], months: &[(f64, f64); 12]) -> [f64; LAGS] {
    let anomaly: Vec<f64> = days
        .iter()
        .map(|day| {
            let (mean, sd) = months[day.date.month0() as usize];
            (day.kt - mean) / sd
        })
        .collect();
    let products = |lag: usize| -> f64 {
        let pairs = anomaly.iter().zip(&anomaly[lag..]);
        pairs.map(|(earlier, later)| earlier * later).sum()
    };
    std::array::from_fn(|index| products(index + 1) / products(0))
}

/// The table of months of a station, with its persistence.
fn climate(months: &[(f64, f64); 12], autocorrelation: &[f64; LAGS]) -> String {
    let mut rows = Vec::new();
    for (month, (mean, sd)) in (1..).zip(months) {
        let mut row = String::new();
        write!(
            row,
            r#"{{ "month": {month}, "kt": {mean:.4}, "kt_sd": {sd:.4}, "day_min_c": 5, "day_max_c": 15 }}"#
        )
        .expect("a string takes all");
        rows.push(row);
    }
    format!(
        r#"{{ "kind": "monthly", "kt_autocorrelation": {autocorrelation:.3?}, "months": [ {} ] }}"#,
        rows.join(", ")
    )
}

/// Share of the real sums below the 10th and the 90th percentile of the drawn ones, for each length. Runs
/// lie within a calendar year, and a real one is held against the drawn ones of its own dates.
fn shares(record: &Record) -> [(f64, f64); 5] {
    let months = months(&record.days);
    let climate = climate(&months, &autocorrelation(&record.days, &months));
    let drawn = DrawnYear::new((record.lat_deg, record.lon_deg), &climate, "", TRIALS);
    LENGTHS.map(|length| {
        let marks: Vec<(f64, f64)> = (0..=365 - length)
            .map(|first| {
                let sums = drawn.sums(first, length);
                (percentile(&sums, 0.1), percentile(&sums, 0.9))
            })
            .collect();
        let (mut below_10, mut below_90, mut count) = (0.0, 0.0, 0.0);
        for (first, run) in runs(&record.days, length) {
            let (at_10, at_90) = marks[first];
            let real = drawn.real_sum(run, first);
            below_10 += f64::from(u8::from(real < at_10));
            below_90 += f64::from(u8::from(real < at_90));
            count += 1.0;
        }
        (below_10 / count, below_90 / count)
    })
}

fn assert_within(record: &Record) {
    for (length, (low, high)) in LENGTHS.iter().zip(shares(record)) {
        let is_few = *length == 10 && record.days.len() < 400;
        let points = if is_few { 0.05 } else { 0.04 };
        assert!(
            (low - 0.1).abs() <= points && (high - 0.9).abs() <= points,
            "{}, {length} days: {low:.3} and {high:.3}",
            record.name
        );
    }
}

/// Outside figures: the days of three typical years (NREL, TMY3). Given the station's own months and
/// autocorrelations, 10 % and 90 % of its runs lie below the tenth and the ninetieth percentile of what
/// trials draw, to 4 points; the runs of ten days to 5, since a year has but 36 of them side by side, which alone makes
/// 5 points of chance, `√(0.1 · 0.9 / 36)`.
///
/// | below the tenth, the ninetieth, % | 1 day | 3 days | 5 days | 7 days | 10 days |
/// |---|---|---|---|---|---|
/// | Greensboro | 11.0, 93.2 | 9.1, 87.9 | 6.4, 87.3 | 6.4, 88.0 | 8.1, 89.0 |
/// | Sand Point | 8.2, 89.3 | 9.6, 88.4 | 12.5, 88.1 | 11.1, 87.2 | 14.3, 87.4 |
/// | Honolulu | 11.0, 92.9 | 8.8, 89.8 | 8.6, 89.8 | 8.1, 90.8 | 9.3, 91.9 |
///
/// Left out, since it fails: Phoenix of the same source. Its clear days are all alike, at 0.72 to 0.78 of the sun
/// outside the air, and the distribution by mean and spread goes on beyond 0.80: nearly all of its single
/// days lie below the drawn ninetieth percentile, which is 4.6 % above the real one on the average of the months;
/// the median is 3.0 % too low.
#[test]
fn outside_days_in_a_row_of_typical_years() {
    let [greensboro, sand_point] = hourly_typical_years();
    for record in [greensboro, sand_point, honolulu()] {
        assert_within(&record);
    }
}

/// Outside figures: 21 measured years at De Bilt (Source: KNMI), with its own months and
/// autocorrelations; the same mark.
///
/// | 1 day | 3 days | 5 days | 7 days | 10 days |
/// |---|---|---|---|---|
/// | 9.6, 89.2 | 8.5, 88.1 | 8.4, 88.5 | 8.5, 88.5 | 8.7, 88.1 |
///
/// These are the years the figures come from. Years differ by more: by the months and autocorrelations of
/// 2003 to 2013 the brighter years from 2014 on have some 6 % and 81 % of their runs of ten days below the marks.
#[test]
fn outside_days_in_a_row_of_measured_years() {
    let record = de_bilt();
    assert_eq!(record.days.len(), 21 * 365);
    assert_within(&record);
}
