//! The sun that a day is expected to bring.
//!
//! One job: the mean of a day's sun hours over everything its weather may be. What one trial meets
//! is drawn in `trials`.

use super::daily_windows::DayTimes;
use super::weather_days::{WeatherSource, day_extraterrestrial_wh_m2};

/// Mean sun hours of day `day` of a plan: kWh/m² on the flat, before any shade.
///
/// A record gives the mean over the days of its season; a replayed year gives that very day. A day
/// beyond the plan has none.
#[must_use]
pub fn expected_sun_hours(weather: &WeatherSource, days: &[DayTimes], day: usize) -> f64 {
    let Some(times) = days.get(day) else {
        return 0.0;
    };
    let kt = match weather {
        WeatherSource::Synthetic(of) => of.climates.get(day).map_or(0.0, |of| of.kt.mean()),
        WeatherSource::Record(record) => {
            let of = |index: usize| record.series.days.get(index).map(|day| day.kt);
            if let Some(replayed) = &record.replay {
                replayed
                    .get(day)
                    .and_then(|&index| of(index))
                    .unwrap_or(0.0)
            } else {
                let starts = record.starts.get(day).map_or(&[][..], Vec::as_slice);
                mean(starts.iter().filter_map(|&start| of(start)))
            }
        }
    };
    kt * day_extraterrestrial_wh_m2(times) / 1000.0
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (count, sum) = values.fold((0_u32, 0.0), |(count, sum), value| (count + 1, sum + value));
    if count == 0 {
        0.0
    } else {
        sum / f64::from(count)
    }
}
