//! Voltage drop along a pair of conductors.
//!
//! One job: length, area, temperature and current in, volts out. Which size follows is in
//! [`super::sizing`].
//! Left out: inductance, the fuse and its holder (some 0.05 to 0.1 V at full current; common
//! practice, no source), return through the chassis.

use super::conductors::resistance_20c_ohm_per_km;

/// Temperature coefficient of copper's resistance at 20 °C, 1/K.
///
/// # Source
/// Annealed copper, IEC 60028.
pub const COPPER_PER_K: f64 = 0.00393;

/// Conductor to which the four terminations of a run come together, m.
///
/// Ours: a sound crimp is no worse than its own length of conductor; four lugs of 25 mm.
pub const CONNECTIONS_M: f64 = 0.1;

/// Resistance at a temperature of what is known at 20 °C: `R20 (1 + 0.00393 (T − 20))`.
///
/// Valid from -40 to 200 °C; the unit is that of `at_20c`.
#[must_use]
pub fn at_temperature(at_20c: f64, conductor_c: f64) -> f64 {
    at_20c * (1.0 + COPPER_PER_K * (conductor_c - 20.0))
}

/// Resistance of a run both ways, terminations included, Ω.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `area_mm2` | conductor of class 5 plain copper | mm² | above 0 |
/// | `one_way_m` | length of the run | m | 0 or more |
/// | `conductor_c` | temperature of the copper | °C | -40 to 200 |
///
/// # Example
/// ```
/// use tideover::wiring::voltage_drop::loop_resistance_ohm;
/// // By hand: 16 mm², 1.21 Ω/km; 2 · 4.5 + 0.1 = 9.1 m; 40 °C: 1.0786 → 11.876 mΩ.
/// let ohm = loop_resistance_ohm(16.0, 4.5, 40.0);
/// assert!((ohm - 0.011_876).abs() < 1e-6);
/// ```
#[must_use]
pub fn loop_resistance_ohm(area_mm2: f64, one_way_m: f64, conductor_c: f64) -> f64 {
    let per_m = at_temperature(resistance_20c_ohm_per_km(area_mm2), conductor_c) / 1000.0;
    per_m * (2.0 * one_way_m + CONNECTIONS_M)
}

/// Drop along the copper of a pair, terminations apart, V: `I · 2 L · R(T) / 1000`.
#[must_use]
pub fn pair_drop_v(current_a: f64, one_way_m: f64, ohm_per_km_20c: f64, conductor_c: f64) -> f64 {
    current_a * 2.0 * one_way_m * at_temperature(ohm_per_km_20c, conductor_c) / 1000.0
}

/// Area that the small-craft rule asks for, circular mils: `CM = 10.75 · I · L / E`, with L the
/// length there **and back** in feet and E the drop allowed in volts. K = 10.75 is copper at 29 °C.
///
/// # Source
/// ABYC E-11, clause 11.14.2.6, as quoted in public. Kept as a cross-check, not used for sizing.
#[must_use]
pub fn small_craft_rule_cmil(current_a: f64, round_trip_ft: f64, allowed_drop_v: f64) -> f64 {
    10.75 * current_a * round_trip_ft / allowed_drop_v
}
