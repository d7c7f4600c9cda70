//! An uncertain quantity of the scenario file.
//!
//! One job: the three numbers and the mean. Drawing from it is `trials`' work.

/// A quantity known as a least, a likeliest and a greatest value; PERT distributed (beta, shape 4).
/// A fixed number has all three equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Least possible value.
    pub min: f64,
    /// Likeliest value, from `min` to `max`.
    pub likely: f64,
    /// Greatest possible value.
    pub max: f64,
}

/// As the file would write it.
impl From<Spread> for serde_json::Value {
    fn from(spread: Spread) -> Self {
        if spread.is_fixed() {
            return spread.likely.into();
        }
        serde_json::json!({ "min": spread.min, "likely": spread.likely, "max": spread.max })
    }
}

impl Spread {
    /// A quantity without chance.
    #[must_use]
    pub fn fixed(value: f64) -> Self {
        Self {
            min: value,
            likely: value,
            max: value,
        }
    }

    /// Mean of the PERT distribution: `(min + 4 likely + max) / 6`.
    ///
    /// # Source
    /// D. G. Malcolm et al., "Application of a technique for research and development program
    /// evaluation", Operations Research 7(5), 646-669, 1959, doi:10.1287/opre.7.5.646.
    #[must_use]
    pub fn mean(self) -> f64 {
        if self.is_fixed() {
            self.likely
        } else {
            (self.min + 4.0 * self.likely + self.max) / 6.0
        }
    }

    /// Whether there is nothing to draw.
    #[must_use]
    pub fn is_fixed(self) -> bool {
        self.max <= self.min
    }

    /// The same shape, every value multiplied by `factor` (0 or more).
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            min: self.min * factor,
            likely: self.likely * factor,
            max: self.max * factor,
        }
    }
}
