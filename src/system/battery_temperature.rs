//! What temperature does to a battery's capacity and to lithium's charging.

use super::open_circuit_voltage::nearest_below;

/// Temperatures of [`CELL_SIZE_FACTOR`], °C.
const FACTOR_AT_C: [f64; 21] = [
    -3.9, -1.1, 1.7, 4.4, 7.2, 10.0, 12.8, 15.6, 18.3, 21.1, 25.0, 26.7, 29.4, 32.2, 35.0, 37.8,
    40.6, 43.3, 46.1, 48.9, 51.7,
];

/// Cell size factors of IEEE 485, table 1: needed capacity is multiplied by them.
///
/// # Source
/// IEEE Std 485, table 1, from memory; four rows agree with three published sizing worksheets.
const CELL_SIZE_FACTOR: [f64; 21] = [
    1.52, 1.43, 1.35, 1.30, 1.25, 1.19, 1.15, 1.11, 1.08, 1.04, 1.00, 0.98, 0.96, 0.94, 0.93, 0.91,
    0.89, 0.88, 0.87, 0.86, 0.85,
];

/// Cell size factor of lead-acid at a temperature, linear between the rows of IEEE 485 and held at
/// its ends upwards; below the table the slope of the last two rows goes on, down to -40 °C (ours:
/// colder batteries must not look better than the last row).
#[must_use]
pub fn cell_size_factor(battery_c: f64) -> f64 {
    let battery_c = battery_c.clamp(-40.0, FACTOR_AT_C[FACTOR_AT_C.len() - 1]);
    let right = FACTOR_AT_C
        .iter()
        .position(|&at_c| battery_c <= at_c)
        .unwrap_or(FACTOR_AT_C.len() - 1)
        .max(1);
    let (low_c, high_c) = (FACTOR_AT_C[right - 1], FACTOR_AT_C[right]);
    let share = (battery_c - low_c) / (high_c - low_c);
    CELL_SIZE_FACTOR[right - 1] + share * (CELL_SIZE_FACTOR[right] - CELL_SIZE_FACTOR[right - 1])
}

/// Capacity of lead-acid over its capacity at 25 °C: the inverse of [`cell_size_factor`].
#[must_use]
pub fn capacity_share(battery_c: f64) -> f64 {
    1.0 / cell_size_factor(battery_c)
}

/// [`capacity_share`] as straight segments half a degree wide: the step loop's form.
#[derive(Debug, Clone, PartialEq)]
pub struct CapacityTable {
    segments: [[f64; 2]; ENTRIES],
}

const TABLE_FROM_C: f64 = -40.0;
const TABLE_TO_C: f64 = 60.0;
const SEGMENTS_PER_C: f64 = 2.0;
const ENTRIES: usize = 256;

impl Default for CapacityTable {
    fn default() -> Self {
        let segments = std::array::from_fn(|segment| {
            #[expect(clippy::cast_precision_loss, reason = "a few hundred segments")]
            let low_c = TABLE_FROM_C + segment as f64 / SEGMENTS_PER_C;
            let (low, high) = (
                capacity_share(low_c),
                capacity_share(low_c + 1.0 / SEGMENTS_PER_C),
            );
            let slope = (high - low) * SEGMENTS_PER_C;
            [low - slope * low_c, slope]
        });
        Self { segments }
    }
}

impl CapacityTable {
    /// Capacity share at a temperature, held at -40 and 60 °C; within 0.002 of [`capacity_share`].
    #[must_use]
    #[inline]
    pub fn share(&self, battery_c: f64) -> f64 {
        let battery_c = if battery_c > TABLE_FROM_C {
            battery_c
        } else {
            TABLE_FROM_C
        };
        let battery_c = if battery_c < TABLE_TO_C {
            battery_c
        } else {
            TABLE_TO_C
        };
        let segment = nearest_below((battery_c - TABLE_FROM_C) * SEGMENTS_PER_C);
        #[expect(clippy::cast_possible_truncation, reason = "masked to the table")]
        let [intercept, slope] = self.segments[segment as usize & (ENTRIES - 1)];
        intercept + slope * battery_c
    }
}

/// Below this a lithium battery takes no charge, °C.
pub const LITHIUM_NO_CHARGE_C: f64 = 0.0;

/// From here on it takes its full charge current, °C.
pub const LITHIUM_FULL_CHARGE_C: f64 = 5.0;

/// Share of the charge current that a lithium iron phosphate battery takes at its own temperature:
/// none at and below 0 °C, all from 5 °C on, linear between.
///
/// # Source
/// No charging below 0 °C: cell and pack specifications (makers withheld); lithium plating. The
/// ramp to 5 °C is common practice, no source.
#[must_use]
#[inline]
pub fn lithium_charge_share(battery_c: f64) -> f64 {
    ((battery_c - LITHIUM_NO_CHARGE_C) / (LITHIUM_FULL_CHARGE_C - LITHIUM_NO_CHARGE_C))
        .clamp(0.0, 1.0)
}

/// Time in which a battery follows its surroundings, hours. Ours: some 15 kg of battery in a box.
pub const FOLLOWS_IN_H: f64 = 4.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_follows_the_function() {
        let table = CapacityTable::default();
        for tenth in -450..600 {
            let battery_c = f64::from(tenth) / 10.0;
            assert!((table.share(battery_c) - capacity_share(battery_c)).abs() < 0.002);
        }
        assert!((capacity_share(25.0) - 1.0).abs() < 1e-12);
        assert!(capacity_share(-20.0) < capacity_share(-3.9));
    }

    #[test]
    fn lithium_takes_nothing_in_frost() {
        assert!(lithium_charge_share(-5.0).abs() < 1e-12);
        assert!((lithium_charge_share(2.5) - 0.5).abs() < 1e-12);
        assert!((lithium_charge_share(20.0) - 1.0).abs() < 1e-12);
    }
}
