//! Percentiles as order statistics, with their intervals.
//!
//! One job: ranks, and the values that have them. The percentile of `N` values is always the one of
//! rank ⌈pN⌉, no mixture of two.

use crate::units::Whole;

use std::cmp::Ordering;

/// Rank, from 1, of the `p` quantile among `count` values: ⌈p·count⌉, at least 1.
///
/// `p` from 0 to 1, `count` 1 or more.
#[must_use]
pub fn rank(p: f64, count: usize) -> usize {
    let rank = usize::cut((p * count.real() - 1e-9).ceil().max(1.0));
    rank.min(count)
}

/// The values of some ranks, from 1, among values in any order, which are put in another.
///
/// `ranks` ascend, from 1 to the number of values. Only what lies between ranks is told apart, so this
/// takes a fraction of the time of sorting.
///
/// # Source
/// C. A. R. Hoare, "Algorithm 65: Find", Communications of the ACM 4(7), 321-322, 1961.
#[must_use]
pub fn of_ranks<T: Copy, const N: usize>(
    values: &mut [T],
    ranks: [usize; N],
    compare: impl Fn(&T, &T) -> Ordering + Copy,
) -> [T; N] {
    debug_assert!(ranks.is_sorted(), "{ranks:?}");
    set_ranks(values, 0, &ranks, compare);
    ranks.map(|rank| values[rank - 1])
}

/// Puts the values of some ranks where they are in order; `values` begin after `before` smaller ones.
fn set_ranks<T>(
    values: &mut [T],
    before: usize,
    ranks: &[usize],
    compare: impl Fn(&T, &T) -> Ordering + Copy,
) {
    let Some(&middle) = ranks.get(ranks.len() / 2) else {
        return;
    };
    let (low, _, high) = values.select_nth_unstable_by(middle - 1 - before, compare);
    let below = ranks.partition_point(|&rank| rank < middle);
    let above = ranks.partition_point(|&rank| rank <= middle);
    set_ranks(low, before, &ranks[..below], compare);
    set_ranks(high, middle, &ranks[above..], compare);
}

/// Ranks, from 1, between which the true `p` quantile lies with at least 95 %: the number of values
/// below it is binomial. Where the sample is too small for one side, that side is the end.
///
/// # Source
/// H. A. David, H. N. Nagaraja, "Order Statistics", 3rd ed., Wiley, 2003, section 7.1.
#[must_use]
pub fn rank_interval(p: f64, count: usize) -> (usize, usize) {
    let n = count.real();
    let mean = n * p;
    let reach = 8.0 * (n * p * (1.0 - p)).sqrt() + 8.0;
    let first = (mean - reach).floor().max(0.0);
    let last = (mean + reach).ceil().min(n);
    let log_pmf = |k: f64| {
        libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0)
            + k * libm::log(p)
            + (n - k) * libm::log1p(-p)
    };
    let (mut low, mut high) = (1, count);
    let mut pmf = libm::exp(log_pmf(first));
    let mut below = 0.0;
    let mut k = first;
    while k <= last {
        // `below` is the chance of fewer than k values under the quantile.
        let rank = usize::cut(k);
        if below <= 0.025 {
            low = rank.max(1);
        }
        if below >= 0.975 {
            high = rank.max(1);
            break;
        }
        below += pmf;
        pmf *= (n - k) / (k + 1.0) * p / (1.0 - p);
        k += 1.0;
    }
    (low.min(count), high.min(count))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_of_ranks_are_those_of_the_sorted_list() {
        for count in [1, 2, 9, 500] {
            let values: Vec<u32> = (0..count).map(|index| index * 7919 % 101).collect();
            let mut sorted = values.clone();
            sorted.sort_unstable();
            for p in [0.0, 0.1, 0.45, 0.5] {
                let ranks = [p, p, 0.5, 0.5, 0.9, 1.0].map(|p| rank(p, values.len()));
                let found = of_ranks(&mut values.clone(), ranks, u32::cmp);
                assert_eq!(found, ranks.map(|rank| sorted[rank - 1]), "{count} {p}");
            }
        }
    }

    /// Outside figure: for the median of 10 values the ranks 2 and 9 cover with 97.9 % (binomial
    /// tables; the next narrower pair, 3 and 8, with 89.1 %).
    #[test]
    fn outside_interval_of_the_median_of_ten() {
        assert_eq!(rank_interval(0.5, 10), (2, 9));
    }

    #[test]
    fn the_interval_holds_the_percentile() {
        for count in [1, 2, 20, 100, 2000, 100_000] {
            for p in [0.05, 0.1, 0.5, 0.9] {
                let (low, high) = rank_interval(p, count);
                let middle = rank(p, count);
                assert!(
                    low <= middle && middle <= high,
                    "{count} {p}: {low} {middle} {high}"
                );
            }
        }
    }
}
