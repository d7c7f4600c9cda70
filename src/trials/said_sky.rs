//! Days of which a forecast says what their sky is.
//!
//! One job: from a word or a clearness to the deviate, or to the day of a record, that a trial meets. The days
//! after follow from it like from any other: that is in `trials::weather_draws`.

use crate::sky::clearness::KtQuantile;
use crate::sky::history::Series;
use crate::sky::normal::normal_quantile;
use crate::timeline::here::SkyWord;
use crate::units::{Whole, bisected};

/// Deviates beyond this are not told apart.
const LARGEST_Z: f64 = 4.0;

/// Of the days of a season, one in so many is near a clearness that was said.
const NEAR_SHARE: usize = 10;

/// The normal deviate of a day's clearness, at a uniform number; the middle of what was said at a half.
pub(super) fn said_deviate(said: SkyWord, kt: &KtQuantile, uniform: f64) -> f64 {
    match said {
        SkyWord::Ranks(low, high) => {
            normal_quantile(low + uniform * (high - low)).clamp(-LARGEST_Z, LARGEST_Z)
        }
        SkyWord::Kt(said) => {
            let (low, high) = bisected(-LARGEST_Z, LARGEST_Z, 40, |z| kt.kt(z) < said);
            f64::midpoint(low, high)
        }
    }
}

/// The clearness of a day of which something was said, whose deviate is `deviate`.
pub(super) fn said_kt(said: SkyWord, kt: &KtQuantile, deviate: f64) -> f64 {
    match said {
        SkyWord::Ranks(..) => kt.kt(deviate),
        SkyWord::Kt(said) => said,
    }
}

/// Days of a record that fit what was said, of those of the season: the third by clearness, or the tenth
/// nearest to a figure.
pub(super) fn said_days(said: SkyWord, series: &Series, season: &[usize]) -> Vec<usize> {
    let mut days = season.to_vec();
    let kt = |day: usize| series.days[day].kt;
    match said {
        SkyWord::Ranks(low, high) => {
            days.sort_by(|&a, &b| kt(a).total_cmp(&kt(b)));
            let place = |rank: f64| usize::cut((rank * days.len().real()).round());
            let (first, end) = (place(low), place(high));
            days[first.min(days.len().saturating_sub(1))..end.max(first + 1).min(days.len())]
                .to_vec()
        }
        SkyWord::Kt(said) => {
            days.sort_by(|&a, &b| (kt(a) - said).abs().total_cmp(&(kt(b) - said).abs()));
            days.truncate(days.len().div_ceil(NEAR_SHARE));
            days
        }
    }
}
