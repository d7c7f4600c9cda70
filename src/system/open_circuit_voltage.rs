//! Open-circuit voltage of a battery by its state of charge.
//!
//! One job: the rested voltage of a 12 V battery of each kind. Resistance is in
//! `terminal_voltage`. Left out: hysteresis and surface charge.

/// Kinds of battery with a voltage curve of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Curve {
    /// Lithium iron phosphate, four cells in series.
    Lfp,
    /// Flooded lead-acid, six cells in series.
    Flooded,
    /// Sealed lead-acid (glass mat or gel), six cells in series.
    Sealed,
}

/// Whole part of a small number, 0 or more, in the lowest bits of the result; at a whole number it
/// may be one less. Unlike a cast it is a single addition, which the compiler can do for many.
#[must_use]
#[inline]
pub fn nearest_below(x: f64) -> u64 {
    const UNITS_IN_LOWEST_BITS: f64 = 4_503_599_627_370_496.0;
    let below = x - 0.5;
    let below = if below > 0.0 { below } else { 0.0 };
    (below + UNITS_IN_LOWEST_BITS).to_bits()
}

/// Rested cell voltage of an iron phosphate cell at 0, 10, … 100 %.
///
/// # Source
/// Data-sheet column of an 18650 cell, eleven points, from an open-source device-tree header
/// (read second-hand; the maker is withheld).
const LFP_CELL_V: [f64; 11] = [
    2.013, 3.068, 3.159, 3.194, 3.21, 3.221, 3.229, 3.246, 3.256, 3.262, 3.348,
];

/// Rested 12 V flooded battery at 0, 25, … 100 %: an industry table, from memory.
const FLOODED_V: [f64; 5] = [11.89, 12.06, 12.24, 12.45, 12.65];

/// Rested 12 V sealed battery at 0, 25, … 100 %: trade tables, from memory, ±0.1 V.
const SEALED_V: [f64; 5] = [11.8, 12.0, 12.35, 12.65, 12.85];

/// Entries of a [`VoltageTable`]: a power of two no smaller than the intervals of any curve, so that any
/// masked index is inside.
pub const ENTRIES: usize = 16;

/// Straight lines between the published points, over equal parts of the state of charge:
/// `intercept + slope · soc`.
#[derive(Debug, Clone, PartialEq)]
pub struct VoltageTable {
    intercept_v: [f64; ENTRIES],
    slope_v: [f64; ENTRIES],
    intervals: f64,
    least_v: f64,
}

impl VoltageTable {
    /// The curve of a battery of `voltage_factor` × 12 V (1 or 2).
    #[must_use]
    pub fn new(curve: Curve, voltage_factor: f64) -> Self {
        let points: Vec<f64> = match curve {
            Curve::Lfp => LFP_CELL_V.iter().map(|cell_v| cell_v * 4.0).collect(),
            Curve::Flooded => FLOODED_V.to_vec(),
            Curve::Sealed => SEALED_V.to_vec(),
        };
        let last = points.len() - 2;
        #[expect(clippy::cast_precision_loss, reason = "a dozen intervals")]
        let intervals = (last + 1) as f64;
        let line = |entry: usize| {
            let left = entry.min(last);
            let (low_v, high_v) = (points[left], points[left + 1]);
            let slope_v = (high_v - low_v) * intervals;
            #[expect(clippy::cast_precision_loss, reason = "a dozen intervals")]
            let left_soc = left as f64 / intervals;
            (low_v - slope_v * left_soc, slope_v)
        };
        let least_v = points.iter().copied().fold(f64::INFINITY, f64::min);
        Self {
            intercept_v: std::array::from_fn(|entry| line(entry).0 * voltage_factor),
            slope_v: std::array::from_fn(|entry| line(entry).1 * voltage_factor),
            intervals,
            least_v: least_v * voltage_factor,
        }
    }

    /// Open-circuit voltage in V at a state of charge from 0 to 1.
    #[must_use]
    #[inline]
    pub fn volts(&self, soc: f64) -> f64 {
        #[expect(clippy::cast_possible_truncation, reason = "masked to the table")]
        let entry = self.entry(soc) as usize & (ENTRIES - 1);
        self.intercept_v[entry] + self.slope_v[entry] * soc
    }

    /// The entry of a state of charge from 0 to 1, in the lowest bits. At a node either of its two lines
    /// may come out: they meet there.
    #[must_use]
    #[inline]
    pub(crate) fn entry(&self, soc: f64) -> u64 {
        nearest_below(soc * self.intervals)
    }

    /// Intercepts and slopes by entry, V.
    #[cfg(target_arch = "x86_64")]
    pub(crate) fn lines(&self) -> (&[f64; ENTRIES], &[f64; ENTRIES]) {
        (&self.intercept_v, &self.slope_v)
    }

    /// The lowest open-circuit voltage in V at any state of charge from 0 to 1.
    #[must_use]
    pub fn least_volts(&self) -> f64 {
        self.least_v
    }

    /// Mean open-circuit voltage between two states of charge, by the trapezoids of the table.
    #[must_use]
    pub fn mean_volts(&self, from_soc: f64, to_soc: f64) -> f64 {
        const PARTS: u32 = 400;
        let width = (to_soc - from_soc) / f64::from(PARTS);
        let sum: f64 = (0..PARTS)
            .map(|part| self.volts(from_soc + (f64::from(part) + 0.5) * width))
            .sum();
        sum / f64::from(PARTS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_point_is_met_and_the_curve_is_continuous() {
        let table = VoltageTable::new(Curve::Lfp, 1.0);
        for (node, cell_v) in LFP_CELL_V.iter().enumerate() {
            let soc = f64::from(u32::try_from(node).expect("small")) / 10.0;
            assert!((table.volts(soc) - 4.0 * cell_v).abs() < 1e-9);
            assert!((table.volts(soc - 1e-9) - table.volts(soc)).abs() < 1e-6);
        }
        let double = VoltageTable::new(Curve::Flooded, 2.0);
        assert!((double.volts(0.5) - 24.48).abs() < 1e-12);
    }
}
