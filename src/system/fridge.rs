//! A compressor fridge: cabinet, compressor and what opens its door.
//!
//! One job: the constants of one fridge and the heat balance of one step in averaged mode. Where
//! it stands is `surroundings`. Left out: start-up losses, controller draw, frost.

/// Share of Carnot's coefficient of performance that a small compressor fridge reaches.
/// Within the band of 0.25 to 0.45, from memory.
pub const SHARE_OF_CARNOT: f64 = 0.35;

/// The evaporator is so much colder than the cabinet, K. Ours.
pub const EVAPORATOR_BELOW_K: f64 = 14.0;

/// The condenser is so much warmer than its surroundings, K. Ours.
pub const CONDENSER_ABOVE_K: f64 = 15.0;

/// Least lift from evaporator to condenser that the compressor works against, K. Ours: in frost
/// Carnot's figure would run to infinity.
pub const LEAST_LIFT_K: f64 = 10.0;

/// Heat of one door opening, Wh per kelvin between inside and ambient: 1.5 Wh at 28 K. Ours.
pub const OPENING_WH_PER_K: f64 = 1.5 / 28.0;

/// Heat of warm food, Wh per kg and kelvin (water: 1.16). Ours.
pub const FOOD_WH_PER_KG_K: f64 = 1.0;

/// Above this, food in a fridge spoils sooner, °C. Common practice, no source: the upper edge of
/// what public food-safety advice tolerates.
pub const FOOD_LIMIT_C: f64 = 8.0;

/// A fridge with a set point below this is a freezer, °C.
pub const FREEZER_BELOW_C: f64 = -5.0;

/// A freezer's limit above its set point, K.
pub const FREEZER_LIMIT_K: f64 = 6.0;

const ZERO_C_IN_K: f64 = 273.15;

/// Coefficient of performance between a cabinet and its surroundings:
/// `0.35 · Te / (Tc − Te)` with Te 14 K below the cabinet and Tc 15 K above the surroundings.
///
/// Cabinet -40 to 60 °C, surroundings -60 to 80 °C.
#[must_use]
#[inline]
pub fn performance(inside_c: f64, around_c: f64) -> f64 {
    let (evaporator_k, lift_k) = evaporator_and_lift_k(inside_c, around_c);
    SHARE_OF_CARNOT * evaporator_k / lift_k
}

/// The two temperatures that [`performance`] depends on: of the evaporator, K, and how far the condenser
/// is above it. Ranges as there; both are above 0.
#[must_use]
#[inline]
fn evaporator_and_lift_k(inside_c: f64, around_c: f64) -> (f64, f64) {
    let evaporator_k = inside_c + (ZERO_C_IN_K - EVAPORATOR_BELOW_K);
    let lift_k = around_c - inside_c + (CONDENSER_ABOVE_K + EVAPORATOR_BELOW_K);
    let lift_k = if lift_k > LEAST_LIFT_K {
        lift_k
    } else {
        LEAST_LIFT_K
    };
    (evaporator_k, lift_k)
}

/// Heat leak of the cabinet in W/K, from its data-sheet point: mean electrical power times
/// performance over the temperature difference. `ambient_c` above `inside_c`.
#[must_use]
pub fn leak_w_per_k(average_w: f64, ambient_c: f64, inside_c: f64) -> f64 {
    average_w * performance(inside_c, ambient_c) / (ambient_c - inside_c)
}

/// Heat let in by use, W/K, mean over the day: door openings and food at ambient temperature.
#[must_use]
pub fn use_w_per_k(openings_per_day: f64, warm_food_kg_per_day: f64) -> f64 {
    (openings_per_day * OPENING_WH_PER_K + warm_food_kg_per_day * FOOD_WH_PER_KG_K) / 24.0
}

/// The temperature above which food is in doubt, °C.
#[must_use]
pub fn limit_c(set_c: f64) -> f64 {
    if set_c < FREEZER_BELOW_C {
        set_c + FREEZER_LIMIT_K
    } else {
        FOOD_LIMIT_C
    }
}

/// A compressor: its power as the formulas want it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compressor {
    /// Heat that it would take out at a temperature of the evaporator as large as the lift, W.
    ideal_w: f64,
    per_ideal_w: f64,
}

impl Compressor {
    /// A compressor of `running_w`, W, above 0.
    #[must_use]
    pub fn new(running_w: f64) -> Self {
        let ideal_w = running_w * SHARE_OF_CARNOT;
        Self {
            ideal_w,
            per_ideal_w: 1.0 / ideal_w,
        }
    }

    /// Share of a step that it runs for the cabinet to be at `set_c` at its end, 0 to 1; and the heat in W
    /// that it takes out while it runs: its power times [`performance`].
    ///
    /// `heat_w_per_k` is leak and use together, `store_w_per_k` the stored heat per kelvin over the step
    /// (Wh/K ÷ h).
    #[must_use]
    #[inline]
    pub fn duty(
        &self,
        inside_c: f64,
        around_c: f64,
        set_c: f64,
        heat_w_per_k: f64,
        store_w_per_k: f64,
    ) -> (f64, f64) {
        let (evaporator_k, lift_k) = evaporator_and_lift_k(inside_c, around_c);
        // The performance and its inverse, for one division.
        let over_both = 1.0 / (evaporator_k * lift_k);
        let capacity_w = self.ideal_w * evaporator_k * evaporator_k * over_both;
        let per_capacity_w = self.per_ideal_w * lift_k * lift_k * over_both;
        let heat_w = store_w_per_k * (inside_c - set_c) + heat_w_per_k * (around_c - set_c);
        let share = heat_w * per_capacity_w;
        let share = if share > 0.0 { share } else { 0.0 };
        (if share < 1.0 { share } else { 1.0 }, capacity_w)
    }
}

/// Cabinet temperature in °C after a step in which `cooling_w` of heat was taken out (implicit in
/// the temperature, so that any step is stable). `k_per_w` is the inverse of both heats per kelvin together.
#[must_use]
#[inline]
pub fn inside_after_c(
    inside_c: f64,
    around_c: f64,
    heat_w_per_k: f64,
    store_w_per_k: f64,
    cooling_w: f64,
    k_per_w: f64,
) -> f64 {
    (store_w_per_k * inside_c + heat_w_per_k * around_c - cooling_w) * k_per_w
}
