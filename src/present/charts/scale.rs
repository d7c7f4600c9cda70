//! Scales: a quantity to a place on the picture.
//!
//! One job: linear maps with their ends, and round steps along them.

/// A linear map from a quantity to pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    from: f64,
    to: f64,
    at_from_px: f64,
    at_to_px: f64,
}

impl Scale {
    /// Maps `from` to `at_from_px` and `to` to `at_to_px`. Equal or unordered ends are widened
    /// to one unit, so that a flat quantity has a place.
    pub(super) fn new(from: f64, to: f64, at_from_px: f64, at_to_px: f64) -> Self {
        let from = if from.is_finite() { from } else { 0.0 };
        let to = if to.is_finite() && to > from {
            to
        } else {
            from + 1.0
        };
        Self {
            from,
            to,
            at_from_px,
            at_to_px,
        }
    }

    /// From 0 to the least round value above `most` that makes at most `count` steps.
    pub(super) fn to_round(most: f64, count: f64, at_from_px: f64, at_to_px: f64) -> Self {
        let step = round_step(most, count);
        Self::new(0.0, (most / step).ceil() * step, at_from_px, at_to_px)
    }

    /// The place of a value, held within the ends.
    pub(super) fn at(&self, value: f64) -> f64 {
        let value = if value.is_finite() {
            value.clamp(self.from, self.to)
        } else {
            self.from
        };
        let share = (value - self.from) / (self.to - self.from);
        self.at_from_px + share * (self.at_to_px - self.at_from_px)
    }

    /// Whether a value lies within the ends.
    pub(super) fn holds(&self, value: f64) -> bool {
        (self.from..=self.to).contains(&value)
    }

    /// Lower end.
    pub(super) fn from(&self) -> f64 {
        self.from
    }

    /// Upper end.
    pub(super) fn to(&self) -> f64 {
        self.to
    }

    /// Pixels a unit.
    pub(super) fn px_per_unit(&self) -> f64 {
        ((self.at_to_px - self.at_from_px) / (self.to - self.from)).abs()
    }

    /// Points of a curve within the ends, with the values where it crosses an end, at most about
    /// `limit` of them.
    fn clipped(&self, xs: &[f64], ys: &[f64], limit: usize) -> Vec<(f64, f64)> {
        let count = xs.len().min(ys.len());
        let stride = count.div_ceil(limit.max(2)).max(1);
        let kept = |index: usize| index.is_multiple_of(stride) || index + 1 == count;
        let mut out: Vec<(f64, f64)> = Vec::new();
        let mut last: Option<(f64, f64)> = None;
        for index in (0..count).filter(|&index| kept(index)) {
            let point = (xs[index], ys[index]);
            if let Some(before) = last {
                for end in [self.from, self.to] {
                    if before.0 < end && end < point.0 {
                        let share = (end - before.0) / (point.0 - before.0);
                        out.push((end, before.1 + share * (point.1 - before.1)));
                    }
                }
            }
            if self.holds(point.0) {
                out.push(point);
            }
            last = Some(point);
        }
        out
    }
}

/// Points of a curve: more than a picture has pixels show nothing more.
const POINT_LIMIT: usize = 1200;

/// The curve of `ys` over `xs` in a panel, as far as `across` shows it.
pub(super) fn on_panel(across: &Scale, up: &Scale, xs: &[f64], ys: &[f64]) -> Vec<(f64, f64)> {
    let seen = across.clipped(xs, ys, POINT_LIMIT).into_iter();
    seen.map(|(x, y)| (across.at(x), up.at(y))).collect()
}

/// The least round step (1, 2, 2.5 or 5 times a power of ten) that makes at most `count` steps.
pub(super) fn round_step(range: f64, count: f64) -> f64 {
    if !(range.is_finite() && range > 0.0) {
        return 1.0;
    }
    let rough = range / count.max(1.0);
    let power = 10_f64.powf(rough.log10().floor());
    [1.0, 2.0, 2.5, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= rough * 0.999_999)
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_places_stay_within_the_ends() {
        let scale = Scale::new(0.0, 10.0, 100.0, 200.0);
        for value in [-5.0, 0.0, 3.0, 10.0, 99.0, f64::NAN, f64::INFINITY] {
            assert!((100.0..=200.0).contains(&scale.at(value)), "{value}");
        }
        assert!(Scale::new(5.0, 5.0, 0.0, 1.0).at(5.0).is_finite());
    }

    #[test]
    fn a_curve_is_cut_where_it_crosses_the_end() {
        let scale = Scale::new(1.0, 3.0, 0.0, 1.0);
        let points = scale.clipped(&[0.0, 2.0, 4.0], &[0.0, 2.0, 0.0], 100);
        assert_eq!(points, [(1.0, 1.0), (2.0, 2.0), (3.0, 1.0)]);
    }

    #[test]
    fn steps_are_round() {
        for (range, count, step) in [
            (1000.0, 5.0, 200.0),
            (30.0, 10.0, 5.0),
            (0.7, 4.0, 0.2),
            (0.0, 4.0, 1.0),
        ] {
            assert!((round_step(range, count) - step).abs() < 1e-9, "{range}");
        }
    }
}
