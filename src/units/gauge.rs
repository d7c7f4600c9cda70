//! American wire gauge.

/// Area in circular mils, squares of a diameter in thousandths of an inch, of one in mm².
#[must_use]
pub fn cmil(area_mm2: f64) -> f64 {
    let mils_squared = 4.0 * area_mm2 / std::f64::consts::PI;
    mils_squared / (0.0254 * 0.0254)
}

/// An American wire gauge: 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Awg(i8);

impl Awg {
    /// Accepts -3 (4/0) to 36.
    #[must_use]
    pub fn new(number: i8) -> Option<Self> {
        (-3..=36).contains(&number).then_some(Self(number))
    }

    /// Reads `10 AWG`, `AWG 10`, `2/0 AWG`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase();
        let bare = lower
            .strip_suffix("awg")
            .or_else(|| lower.strip_prefix("awg"))?
            .trim();
        match bare.strip_suffix("/0") {
            Some(noughts) => {
                Self::new(1 - noughts.parse::<i8>().ok().filter(|n| (1..=4).contains(n))?)
            }
            None => Self::new(bare.parse().ok().filter(|n: &i8| *n >= 0)?),
        }
    }

    /// The gauge number; 0 and below for 1/0 and larger.
    #[must_use]
    pub fn number(self) -> i8 {
        self.0
    }

    /// Diameter of the solid wire, in: `0.005 · 92^((36 − n)/39)`.
    ///
    /// # Source
    /// ASTM B258.
    #[must_use]
    pub fn diameter_in(self) -> f64 {
        0.005 * libm::pow(92.0, (36.0 - f64::from(self.0)) / 39.0)
    }

    /// Area, mm².
    ///
    /// # Example
    /// ```
    /// use tideover::units::Awg;
    /// let four_noughts = Awg::new(-3).expect("in range");
    /// assert!((four_noughts.area_mm2() - 107.2193).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn area_mm2(self) -> f64 {
        let diameter_mm = 25.4 * self.diameter_in();
        std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm
    }

    /// Gauges that the trade stocks, smallest area first (common practice, no source): of the odd
    /// numbers only 1.
    pub fn stocked() -> impl Iterator<Item = Self> {
        [20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3]
            .into_iter()
            .map(Self)
    }

    /// The smallest trade gauge of at least this area; `None` above 4/0.
    #[must_use]
    pub fn not_smaller_than(area_mm2: f64) -> Option<Self> {
        Self::stocked().find(|gauge| gauge.area_mm2() >= area_mm2 - 1e-9)
    }

    /// The gauge of exactly this area, if it is one.
    #[must_use]
    pub fn of_area(area_mm2: f64) -> Option<Self> {
        Self::stocked().find(|gauge| (gauge.area_mm2() - area_mm2).abs() < 1e-6)
    }
}

impl std::fmt::Display for Awg {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.0 > 0 {
            write!(f, "AWG {}", self.0)
        } else {
            write!(f, "AWG {}/0", 1 - self.0)
        }
    }
}
