//! What an alternator can give, and the fuel it costs.

/// Current in A left for batteries and chargers: `output · hot_derate − vehicle`, at least 0.
#[must_use]
pub fn spare_a(output_a: f64, hot_derate: f64, vehicle_load_a: f64) -> f64 {
    (output_a * hot_derate - vehicle_load_a).max(0.0)
}

/// Which share of the current that is asked of an alternator it gives, of what is `left` of it; that is taken.
#[inline]
pub fn share_taken(asked_a: f64, left_a: &mut f64) -> f64 {
    let share = if asked_a > *left_a {
        *left_a / asked_a
    } else {
        1.0
    };
    let after_a = *left_a - asked_a;
    *left_a = if after_a > 0.0 { after_a } else { 0.0 };
    share
}

/// Fuel of an engine for work at its shaft, litres per mechanical kWh.
///
/// # Source
/// Commission Implementing Decision (EU) 2020/728, annex: effective power consumption 0.264
/// (petrol), 0.28 (petrol, turbo) and 0.22 (diesel).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fuel {
    /// Naturally aspirated petrol engine.
    Petrol,
    /// Turbocharged petrol engine.
    PetrolTurbo,
    /// Diesel engine.
    Diesel,
}

impl Fuel {
    /// Litres per mechanical kWh.
    #[must_use]
    pub fn l_per_mechanical_kwh(self) -> f64 {
        match self {
            Self::Petrol => 0.264,
            Self::PetrolTurbo => 0.28,
            Self::Diesel => 0.22,
        }
    }

    /// Litres per kWh at the alternator's terminals; `efficiency` above 0 up to 1.
    #[must_use]
    pub fn l_per_electrical_kwh(self, efficiency: f64) -> f64 {
        self.l_per_mechanical_kwh() / efficiency
    }
}
