//! Temperature through the day, and from day to day.
//!
//! One job: the curve between the lows and highs of successive days, and the constants of their
//! random part. The draws are in `trials`.
//! Left out: fronts, wind, the sea.

use core::f64::consts::TAU;

/// Local mean solar time of the day's lowest temperature, h: where [`shape`] is lowest.
pub const LOW_HOUR: f64 = 5.639_018_906;

/// Local mean solar time of the day's highest temperature, h: where [`shape`] is highest.
pub const HIGH_HOUR: f64 = 15.155_816_442;

/// [`shape`] at [`LOW_HOUR`] and [`HIGH_HOUR`].
const SHAPE_RANGE: (f64, f64) = (-0.454_501_944_911_377, 0.525_119_161_922_976);

/// How far the share of a limb is lifted between its ends, where it would be a half: a share `s` becomes
/// `s + LIFT · s · (1 − s)`, so that its mean over the day is a half, as that of the published curve.
///
/// Ours. Spanned between a day's own extremes without it the curve lies 0.036 of the range too low in the
/// mean: 0.13 to 0.55 K at four of five stations.
const LIFT: f64 = 0.273_836_220;

/// Lag-1 autocorrelation of that part of the day's temperature anomaly that does not go with clearness.
///
/// The whole follows by the two correlations below: with a lag-1 `r` of clearness the day's maximum has
/// `0.09 · r + 0.91 · 0.6` and its minimum `0.04 · r + 0.96 · 0.6`, which is 0.58 and 0.59 for the default of
/// [`DEFAULT_AUTOCORRELATIONS`](super::day_persistence::DEFAULT_AUTOCORRELATIONS), and 0.46 to 0.64 for any.
///
/// Ours: weather lasts some days; 0.6 to 0.7 is common for daily means of the temperate zones
/// (common practice, no source).
pub const ANOMALY_LAG1: f64 = 0.6;

/// Correlation of the clearness deviate with the anomaly of the day's maximum. Ours: a clear day is
/// a warm day, moderately.
pub const MAX_KT_CORRELATION: f64 = 0.3;

/// Correlation of the clearness deviate with the anomaly of the day's minimum. Ours: a clear night
/// is a cold night, a little.
pub const MIN_KT_CORRELATION: f64 = -0.2;

/// Standard deviation of the anomaly where the climate gives none, °C. Ours: between the tropics (1
/// to 2) and continental winters (5 and more).
pub const DEFAULT_ANOMALY_SD_C: f64 = 3.0;

/// Which low and which high the temperature lies between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limb {
    /// From yesterday's maximum to today's minimum.
    BeforeDawn,
    /// From today's minimum to today's maximum.
    Day,
    /// From today's maximum to tomorrow's minimum.
    Evening,
}

/// The lows and highs around a day, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayTemperatures {
    /// Yesterday's maximum.
    pub yesterday_max_c: f64,
    /// Today's minimum.
    pub min_c: f64,
    /// Today's maximum.
    pub max_c: f64,
    /// Tomorrow's minimum.
    pub tomorrow_min_c: f64,
}

/// Departure of the temperature from the day's mean, as a share of the day's range.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `solar_hour` | local mean solar time | h | any, period 24 |
///
/// Returns -0.455 to 0.525, with mean 0.
///
/// # Validity
/// The average day of a month; a single day, a coast or a fog bank may look quite different.
///
/// # Source
/// D. G. Erbs, S. A. Klein, W. A. Beckman, "Estimation of degree-days and ambient temperature bin
/// data from monthly-average temperatures", ASHRAE Journal 25(6), 60-65, 1983 (citation from
/// memory; the series was confirmed in independent published code).
#[must_use]
pub fn shape(solar_hour: f64) -> f64 {
    let t = TAU * (solar_hour - 1.0) / 24.0;
    0.4632 * libm::cos(t - 3.805)
        + 0.0984 * libm::cos(2.0 * t - 0.360)
        + 0.0168 * libm::cos(3.0 * t - 0.822)
        + 0.0138 * libm::cos(4.0 * t - 3.513)
}

/// Which limb of the daily curve an hour lies on, and how far up it, 0 at its low and 1 at its
/// high: `temperature = low + (high - low) · share`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `solar_hour` | local mean solar time | h | 0 to 24 |
///
/// # Validity
/// Ours: the [`shape`] is cut at its low and its high and each limb is spanned between the extremes
/// it joins, so that the curve through days of different lows and highs has no jump, at midnight
/// neither. Between its ends a limb is lifted by `LIFT`, so that the mean over days alike is that of
/// the low and the high, as in the [`shape`].
///
/// # Source
/// [`shape`].
#[must_use]
pub fn limb(solar_hour: f64) -> (Limb, f64) {
    debug_assert!((0.0..=24.0).contains(&solar_hour), "{solar_hour} h");
    let (low, high) = SHAPE_RANGE;
    let share = ((shape(solar_hour) - low) / (high - low)).clamp(0.0, 1.0);
    let share = share + LIFT * share * (1.0 - share);
    let limb = if solar_hour < LOW_HOUR {
        Limb::BeforeDawn
    } else if solar_hour < HIGH_HOUR {
        Limb::Day
    } else {
        Limb::Evening
    };
    (limb, share)
}

/// Air temperature at an hour of a day, °C, by [`limb`].
#[must_use]
pub fn temperature_c(solar_hour: f64, around: &DayTemperatures) -> f64 {
    let (limb, share) = limb(solar_hour);
    let (low, high) = match limb {
        Limb::BeforeDawn => (around.min_c, around.yesterday_max_c),
        Limb::Day => (around.min_c, around.max_c),
        Limb::Evening => (around.tomorrow_min_c, around.max_c),
    };
    low + (high - low) * share
}

#[cfg(test)]
mod tests {
    use super::*;

    const AROUND: DayTemperatures = DayTemperatures {
        yesterday_max_c: 30.0,
        min_c: 10.0,
        max_c: 20.0,
        tomorrow_min_c: -5.0,
    };

    #[test]
    fn law_the_curve_passes_through_the_extremes_and_has_no_jump() {
        assert!((temperature_c(LOW_HOUR, &AROUND) - 10.0).abs() < 1e-9);
        assert!((temperature_c(HIGH_HOUR, &AROUND) - 20.0).abs() < 1e-9);
        let tomorrow = DayTemperatures {
            yesterday_max_c: 20.0,
            min_c: -5.0,
            ..AROUND
        };
        let jump = temperature_c(24.0, &AROUND) - temperature_c(0.0, &tomorrow);
        assert!(jump.abs() < 1e-9, "{jump}");
        let mut last = temperature_c(0.0, &AROUND);
        for minute in 1..=1440 {
            let now = temperature_c(f64::from(minute) / 60.0, &AROUND);
            assert!((now - last).abs() < 0.12, "minute {minute}");
            last = now;
        }
    }

    #[test]
    fn law_days_alike_have_the_mean_of_their_low_and_high() {
        let shares = (0..1440).map(|minute| limb((f64::from(minute) + 0.5) / 60.0).1);
        let mean = shares.sum::<f64>() / 1440.0;
        assert!((mean - 0.5).abs() < 1e-6, "{mean}");
    }

    #[test]
    fn law_each_limb_runs_one_way() {
        let mut last = limb(0.0);
        for minute in 1..=1440 {
            let now = limb(f64::from(minute) / 60.0);
            if now.0 == last.0 {
                let rises = now.1 >= last.1;
                assert_eq!(rises, now.0 == Limb::Day, "minute {minute}");
            }
            last = now;
        }
    }
}
