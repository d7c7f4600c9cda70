//! Temperature of solar cells.
//!
//! One job: irradiance, air temperature and wind in, cell temperature out. What it does to the
//! power is in `system`.
//! Left out: thermal mass, rain, snow, partial shade.

/// Heat loss of the mounting in still air, `u0`, W/(m²·K).
pub const U0: f64 = 25.0;

/// Heat loss of the mounting per metre a second of wind, `u1`, W·s/(m³·K).
pub const U1: f64 = 6.84;

/// Cell temperature of a solar module in steady state: `t_air + G / (u0 + u1 · v)`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `plane_w_m2` | irradiance `G` in the module plane | W/m² | 0 to 2000 |
/// | `air_c` | air temperature | °C | -80 to 70 |
/// | `wind_m_s` | mean wind `v` at module height | m/s | 0 to 60 |
///
/// Returns °C, never below `air_c`.
///
/// # Validity
/// Fitted on open racks; a module flat on a roof runs hotter. Without thermal mass: at steps of a
/// minute or two the swing is overstated.
///
/// # Source
/// D. Faiman, "Assessing the outdoor operating temperature of photovoltaic modules", Prog.
/// Photovolt. 16(4), 307-315, 2008, doi:10.1002/pip.813.
///
/// # Example
/// ```
/// use tideover::sky::cell_temperature::cell_temperature_c;
///
/// // By hand: 25 + 800 / (25 + 6.84 · 3) = 42.575
/// assert!((cell_temperature_c(800.0, 25.0, 3.0) - 42.575).abs() < 0.001);
/// ```
#[must_use]
pub fn cell_temperature_c(plane_w_m2: f64, air_c: f64, wind_m_s: f64) -> f64 {
    debug_assert!((0.0..=2000.0).contains(&plane_w_m2), "{plane_w_m2} W/m²");
    debug_assert!((0.0..=60.0).contains(&wind_m_s), "{wind_m_s} m/s");
    warmed_c(plane_w_m2, air_c, heating_k_m2_per_w(wind_m_s))
}

/// Warming of the cell above the air for each W/m² in its plane: `1 / (U0 + U1 · v)`, K·m²/W.
#[must_use]
pub const fn heating_k_m2_per_w(wind_m_s: f64) -> f64 {
    1.0 / (U0 + U1 * wind_m_s)
}

/// [`cell_temperature_c`] by that warming.
#[must_use]
#[inline]
pub fn warmed_c(plane_w_m2: f64, air_c: f64, heating_k_m2_per_w: f64) -> f64 {
    air_c + plane_w_m2 * heating_k_m2_per_w
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_no_light_no_warming() {
        assert!((cell_temperature_c(0.0, -12.0, 0.0) + 12.0).abs() < f64::EPSILON);
    }
}
