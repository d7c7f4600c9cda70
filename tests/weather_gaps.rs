//! Weather records: gaps, stretches, and where a run of days may begin.
//!
//! One job: the order of days. Formats are in `weather_formats.rs`.

mod typical_years;

use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate};
use tideover::sky::history::{Series, read};
use typical_years::{STATIONS, at, daily};

#[test]
fn a_missing_day_is_filled_and_two_split() {
    let text = daily(&[
        ("2014-07-01", 4.0),
        ("2014-07-03", 6.0),
        ("2014-07-06", 5.0),
        ("2014-07-07", 5.0),
    ]);
    let series = read(text.as_bytes(), "a.csv", &at(45.0, 10.0)).unwrap();
    assert_eq!(series.filled_days, 1);
    assert_eq!(
        series.notices(),
        [
            "1 of the 5 days of the record were missing and took the mean of their neighbours",
            "the record has gaps: it is in 2 stretches, and no run of days crosses from one to the next",
        ]
    );
    assert_eq!(series.stretches, vec![0..3, 3..5]);
    let middle = f64::midpoint(series.days[0].kt, series.days[2].kt);
    assert!((series.days[1].kt - middle).abs() < 1e-12);
    let date = NaiveDate::from_ymd_opt(2020, 7, 3).unwrap();
    assert_eq!(series.block_starts(date, 20, 2), vec![0, 1, 3]);
    assert_eq!(series.block_starts(date, 20, 3), vec![0]);
    assert_eq!(series.block_starts(date, 1, 1), vec![1, 2]);
    assert_eq!(series.replay_start(2014, date), Some(2));
    assert_eq!(series.replay_start(2015, date), None);
}

#[test]
fn a_typical_year_is_a_ring() {
    let station = &STATIONS[0];
    let series = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    let eve = NaiveDate::from_ymd_opt(2027, 12, 31).unwrap();
    let starts = series.block_starts(eve, 20, 8);
    assert_eq!(starts.len(), 41);
    assert!(
        starts.contains(&364)
            && starts.contains(&0)
            && starts.contains(&19)
            && starts.contains(&344)
    );
    let dates: Vec<u32> = series.block(364, 3).map(|day| day.date.ordinal()).collect();
    assert_eq!(dates, vec![365, 1, 2]);
    assert_eq!(series.replay_start(2001, eve), None);
}

/// Hours torn out of a year: up to 3 in a row are filled and counted, more cost the day, which is filled if
/// it stands alone.
#[test]
fn law_gaps_of_hours() {
    let station = &STATIONS[0];
    let lines: Vec<&str> = station.csv.lines().collect();
    let whole = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    // (first missing hour of the year, how many, filled hours, filled days, stretches)
    for (from, length, hours, days, stretches) in [
        (4000, 1, 1, 0, 1),
        (4001, 3, 3, 0, 1),
        (24 * 100 + 10, 4, 0, 1, 1),
        (24 * 100 + 10, 12, 0, 1, 1),
        // Of the last day under two hours are gone: filled.
        (24 * 100 + 2, 48, 2, 0, 2),
        (24 * 100 + 2, 700, 0, 0, 2),
    ] {
        let text: Vec<&str> = lines
            .iter()
            .enumerate()
            .filter(|(index, _)| !(from + 1..=from + length).contains(index))
            .map(|(_, line)| *line)
            .collect();
        let series = read(text.join("\n").as_bytes(), "a.csv", &station.options()).unwrap();
        assert_eq!(
            (
                series.filled_hours,
                series.filled_days,
                series.stretches.len()
            ),
            (hours, days, stretches),
            "{length} hours from {from}"
        );
        // A filled day's mean is no fixed part of the whole: it stays within the range of clearness.
        let mean = |series: &Series| {
            series.days.iter().map(|day| day.kt).sum::<f64>()
                / f64::from(u16::try_from(series.days.len()).unwrap())
        };
        assert!((mean(&series) - mean(&whole)).abs() < 0.02);
    }
}

/// Polar night has no clearness of its own and takes its neighbour's.
#[test]
fn sunless_days_take_the_nearest_clearness() {
    let text = daily(&[
        ("2014-11-10", 0.11),
        ("2014-11-11", 0.09),
        ("2014-12-20", 0.0),
        ("2014-12-21", 0.0),
    ]);
    let series = read(text.as_bytes(), "a.csv", &at(70.0, 25.0)).unwrap();
    assert!(series.days[0].kt > 0.1);
    assert!((series.days[3].kt - series.days[1].kt).abs() < 1e-12);
}

mod any_gaps {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

        /// Whatever days are left out, blocks are days in a row, and no day is lost but filled ones.
        #[test]
        fn law_blocks_are_days_in_a_row(kept in proptest::collection::vec(any::<bool>(), 3..120), block in 1..9_u32) {
            let first = NaiveDate::from_ymd_opt(2016, 2, 1).unwrap();
            let mut text = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
            for (date, kept) in first.iter_days().zip(&kept) {
                if *kept {
                    writeln!(text, "{date},2,1,9").unwrap();
                }
            }
            prop_assume!(kept.contains(&true));
            let series = read(text.as_bytes(), "a", &at(50.0, 0.0)).unwrap();
            let given = kept.iter().filter(|kept| **kept).count();
            prop_assert_eq!(series.days.len(), given + series.filled_days);
            prop_assert_eq!(series.stretches.iter().map(ExactSizeIterator::len).sum::<usize>(), series.days.len());
            let starts = series.block_starts(first, 200, block);
            for start in &starts {
                let dates: Vec<NaiveDate> = series.block(*start, block).map(|day| day.date).collect();
                prop_assert_eq!(dates.len(), block as usize);
                prop_assert!(dates.windows(2).all(|pair| pair[0].succ_opt() == Some(pair[1])));
            }
            let room: usize = series.stretches.iter().map(|s| (s.len() + 1).saturating_sub(block as usize)).sum();
            prop_assert_eq!(starts.len(), room);
        }
    }
}
