//! Copper conductors: metric sizes, American wire gauge, and the shop's "millimetre".
//!
//! One job: what a size holds and what a kilometre of it resists at 20 °C. Temperature and drop are
//! in [`super::voltage_drop`], current in [`super::ampacity`].
//! Left out: tinned and solid conductors, aluminium, road-vehicle gauge (SAE), whose areas are
//! smaller than AWG at the same number.

pub use crate::units::Awg;
use crate::units::Units;

/// Metric sizes and the greatest resistance of a flexible plain copper conductor of each at 20 °C:
/// (mm², Ω/km), ascending.
///
/// # Source
/// IEC 60228, class 5, plain; read on three cable makers' pages that quote it and agree.
pub const CLASS_5_PLAIN: [(f64, f64); 15] = [
    (0.5, 39.0),
    (0.75, 26.0),
    (1.0, 19.5),
    (1.5, 13.3),
    (2.5, 7.98),
    (4.0, 4.95),
    (6.0, 3.3),
    (10.0, 1.91),
    (16.0, 1.21),
    (25.0, 0.78),
    (35.0, 0.554),
    (50.0, 0.386),
    (70.0, 0.272),
    (95.0, 0.206),
    (120.0, 0.161),
];

/// Greatest resistance at 20 °C of a class 5 plain copper conductor, Ω/km.
///
/// `area_mm2`: above 0. A size of [`CLASS_5_PLAIN`] gives the printed figure; between two sizes, or
/// beyond the ends, the worse of the neighbours' resistance × area is divided by the area, and never
/// more than the smaller neighbour's resistance.
///
/// # Source
/// IEC 60228 for the sizes. Between them: ours, on the safe side.
///
/// # Example
/// ```
/// use tideover::wiring::conductors::resistance_20c_ohm_per_km;
/// assert!((resistance_20c_ohm_per_km(2.5) - 7.98).abs() < 1e-12);
/// ```
#[must_use]
pub fn resistance_20c_ohm_per_km(area_mm2: f64) -> f64 {
    debug_assert!(area_mm2 > 0.0, "area {area_mm2}");
    let mut below = None;
    let mut above = None;
    for (size, ohm) in CLASS_5_PLAIN {
        if (size - area_mm2).abs() < 1e-9 {
            return ohm;
        }
        if size < area_mm2 {
            below = Some((size, ohm));
        } else if above.is_none() {
            above = Some((size, ohm));
        }
    }
    let worse = below.map_or(0.0, |(size, ohm)| size * ohm);
    let worse = worse.max(above.map_or(0.0, |(size, ohm)| size * ohm));
    // More copper than a standard size never resists more than that size.
    below
        .map_or(f64::INFINITY, |(_, ohm)| ohm)
        .min(worse / area_mm2)
}

/// The series in which conductors are bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Series {
    /// Metric sizes, IEC 60228.
    #[default]
    Metric,
    /// American wire gauge.
    Awg,
}

/// Smallest conductor that is proposed, mm².
///
/// # Source
/// 33 CFR 183.425: AWG 16 (1.31 mm²) for a single conductor; ISO 10133:2012, 7.7: 1 mm².
pub const LEAST_MM2: f64 = 1.3;

impl Series {
    /// Areas of its sizes from the smallest that is proposed, mm², ascending.
    #[must_use]
    pub fn areas_mm2(self) -> Vec<f64> {
        match self {
            Self::Metric => CLASS_5_PLAIN
                .into_iter()
                .map(|(area, _)| area)
                .filter(|area| *area >= LEAST_MM2)
                .collect(),
            Self::Awg => Awg::stocked()
                .map(Awg::area_mm2)
                .filter(|area| *area >= LEAST_MM2)
                .collect(),
        }
    }

    /// An area as the shop writes it: `16 mm²`, `AWG 4`.
    #[must_use]
    pub fn label(self, area_mm2: f64) -> String {
        Units::Si.sentence(&self.marked(area_mm2))
    }

    /// The same for a sentence, with areas marked as [`Units::sentence`] takes them.
    pub(super) fn marked(self, area_mm2: f64) -> String {
        match (self, Awg::of_area(area_mm2)) {
            (Self::Awg, Some(gauge)) => gauge.to_string(),
            _ => format!("‹{} mm²›", (area_mm2 * 100.0).round() / 100.0),
        }
    }
}

/// Overall diameters by which shops sell vehicle cable, and the copper inside: (mm, mm²).
///
/// # Source
/// Common practice, no source: touring and trade pages, which differ only for 3 mm (0.85 to 1.13;
/// the smaller one stands here).
pub const SHOP_DIAMETERS: [(f64, f64); 6] = [
    (2.0, 0.56),
    (2.5, 0.64),
    (3.0, 0.85),
    (4.0, 1.84),
    (5.0, 2.9),
    (6.0, 4.59),
];

/// What a shop's "N mm" cable holds, when N is written like this area and can be mistaken for it;
/// mm². `None` where no such cable is sold.
#[must_use]
pub fn shop_diameter_trap_mm2(area_mm2: f64) -> Option<f64> {
    SHOP_DIAMETERS
        .into_iter()
        .find(|(label_mm, _)| (label_mm - area_mm2).abs() < 1e-9)
        .map(|(_, copper_mm2)| copper_mm2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_resistance_falls_with_area() {
        let mut last = f64::INFINITY;
        for step in 1..3000_u32 {
            let now = resistance_20c_ohm_per_km(f64::from(step) * 0.05);
            assert!(
                now <= last,
                "at {} mm²: {now} after {last}",
                f64::from(step) * 0.05
            );
            last = now;
        }
    }

    #[test]
    fn gauge_labels_and_the_largest() {
        let gauge = |number| Awg::new(number).expect("in range");
        assert_eq!(gauge(8).to_string(), "AWG 8");
        assert_eq!(gauge(0).to_string(), "AWG 1/0");
        assert_eq!(gauge(-3).to_string(), "AWG 4/0");
        assert_eq!(Series::Awg.label(gauge(4).area_mm2()), "AWG 4");
        assert_eq!(Series::Awg.label(25.0), "25 mm²");
        assert_eq!(Series::Metric.label(16.0), "16 mm²");
        assert_eq!(Awg::of_area(25.0), None);
        assert_eq!(Awg::new(-4), None);
    }

    #[test]
    fn a_six_millimetre_shop_cable_is_a_trap() {
        assert_eq!(shop_diameter_trap_mm2(6.0), Some(4.59));
        assert_eq!(shop_diameter_trap_mm2(16.0), None);
    }
}
