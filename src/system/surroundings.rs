//! Temperatures of the places where things are kept.

/// Warming of a closed, parked cabin above ambient per W/m² of (shaded) irradiance, K·m²/W.
///
/// # Source
/// Fit to twelve trials of J. Null, "Study of Excessive Temperatures in Enclosed Vehicles", 2003,
/// table 1 (24.3 K), taken at 1000 W/m².
pub const CABIN_K_PER_W_M2: f64 = 24.0 / 1000.0;

/// Time constant of that warming, hours (same fit: 19.5 min).
pub const CABIN_FOLLOWS_IN_H: f64 = 20.0 / 60.0;

/// An outside box warms by half as much. Ours.
pub const BOX_SHARE: f64 = 0.5;

/// Bounds of the cabin while driving, °C. Ours: heater and cooling keep it there.
pub const DRIVING_CABIN_C: (f64, f64) = (18.0, 26.0);

/// A heated cabin is at this at least while people are in it, °C.
pub const HEATED_CABIN_C: f64 = 20.0;

/// The engine bay above ambient while driving, K. Ours.
pub const ENGINE_BAY_K: f64 = 40.0;

/// Time in which the engine bay falls back, hours. Ours.
pub const ENGINE_BAY_FALLS_IN_H: f64 = 1.0;

/// Share of the way that a first-order lag covers in `step_h` hours: `1 − e^(−step/τ)`.
#[must_use]
pub fn lag_share(step_h: f64, follows_in_h: f64) -> f64 {
    -libm::expm1(-step_h / follows_in_h)
}
