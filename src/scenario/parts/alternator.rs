//! The vehicle's alternator.

use super::section::section;
use crate::system::alternator::spare_a;

section! {
    /// The vehicle's alternator.
    Alternator from AlternatorFile(file, path, notes, factor: f64) {
        /// Rated output, cold.
        rated_a: f64 [above 0 to 2000] must else 1.0;
        /// Output at idle, cold.
        idle_a: f64 [0 to 2000] or (0.5 * rated_a, "half of the rating at idle (from memory: 0.4 to 0.6, after ISO 8854)");
        /// Share of the output left when hot.
        hot_derate: f64 [above 0 to 1] or (0.85, "output at ‹90 to 100 °C› over output at ‹23 °C› (from memory: 0.75 to 0.85)");
        /// Voltage it stands at: 12 to 16 per 12 V of system voltage.
        volts: f64 [12 to 32] or (14.2 * factor, "a fixed regulator holds 13.8 to 14.7 V (common practice)");
        /// What the running vehicle itself takes.
        vehicle_load_a: f64 [0 to 2000]
            or (35.0 / factor, "engine, lamps and blower: 350 to 750 W (EU 2017/785) at 14.3 V are 24 to 52 A");
        /// Share of engine time spent at idle.
        idle_share: f64 [0 to 1] or (0.1, "a tenth of engine time: gates, towns, slow tracks");
        /// Mechanical to electrical, for fuel.
        efficiency: f64 [above 0 to 1] or (0.6, "between a typical 0.55 and the baseline 0.67 of EU 2020/728");
    }
}

impl Alternator {
    /// What it has left when hot, of an output cold, for batteries and chargers, A.
    #[must_use]
    pub fn spare_a(&self, output_a: f64) -> f64 {
        spare_a(output_a, self.hot_derate, self.vehicle_load_a)
    }
}
