//! Solar panel and controller: irradiance in, power or current out.

/// Loss of power per kelvin of cell temperature above 25 °C, per K.
/// Typical of crystalline silicon data sheets, from memory.
pub const POWER_PER_K: f64 = -0.0035;

/// Output over input of a tracking controller. Common practice, no source: 0.93 to 0.97.
pub const MPPT_EFFICIENCY: f64 = 0.97;

/// Voltage at maximum power of a "12 V" panel at standard test conditions, V; doubled at 24 V.
/// Common practice, no source.
pub const MAX_POWER_V: f64 = 18.0;

/// Wind over a parked vehicle's panel, m/s. Ours: a sheltered camp.
pub const WIND_PARKED_M_S: f64 = 1.0;

/// Wind over a driving vehicle's panel, m/s. Ours: some 45 km/h.
pub const WIND_DRIVING_M_S: f64 = 12.0;

/// Power in W at the panel's maximum power point.
///
/// | argument | meaning | unit |
/// |---|---|---|
/// | `panel_w` | rated power at 1000 W/m² and 25 °C | W |
/// | `plane_w_m2` | irradiance in the panel's plane, 0 or more | W/m² |
/// | `cell_c` | cell temperature | °C |
///
/// Never negative.
#[must_use]
#[inline]
pub fn max_power_w(panel_w: f64, plane_w_m2: f64, cell_c: f64) -> f64 {
    let share = 1.0 + POWER_PER_K * (cell_c - 25.0);
    panel_w * 0.001 * plane_w_m2 * if share > 0.0 { share } else { 0.0 }
}

/// Current in A for each W/m² of a panel held at the battery's voltage: rated power over the voltage at
/// maximum power, in proportion to the irradiance. Temperature hardly moves it.
#[must_use]
pub fn pwm_a_per_w_m2(panel_w: f64, voltage_factor: f64) -> f64 {
    panel_w / (MAX_POWER_V * voltage_factor) / 1000.0
}
