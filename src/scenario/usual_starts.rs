//! What things usually draw when they start, where the file gives no peak.
//!
//! One job: appliance and running draw in, peak and its length out. What a fuse makes of it is in
//! `wiring`.
//! Left out: the decay within the start, which is taken at its full height.

use super::{Appliance, Peak, Power};

/// Start of a fuel-burning air heater: its glow pin, A per 12 V system, for this long.
///
/// # Source
/// Common practice, no source: 8 to 10 A for two to five minutes at 12 V.
pub const GLOW_A: f64 = 10.0;
/// See [`GLOW_A`].
pub const GLOW_S: f64 = 180.0;

/// Start of a fridge's compressor over its running draw, and its length.
///
/// # Source
/// Common practice, no source: two to four times. Electronics that start softly draw less.
pub const FRIDGE_TIMES: f64 = 3.0;
/// See [`FRIDGE_TIMES`].
pub const FRIDGE_S: f64 = 0.5;

/// Stall current of a direct-current motor over the current of its best efficiency:
/// `1 / (1 − √η)`.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `best_efficiency` | best efficiency of the motor | share | above 0, below 1 |
///
/// # Source
/// A permanent-magnet motor, torque and current linear in speed: with no-load current `I0` and stall
/// current `Is` the best efficiency is `(1 − √(I0/Is))²` at `√(I0 Is)`. Any textbook of electric
/// machines; here from memory.
///
/// # Example
/// ```
/// use tideover::scenario::usual_starts::stall_times;
/// // By hand: √0.64 = 0.8, 1 / 0.2 = 5.
/// assert!((stall_times(0.64) - 5.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn stall_times(best_efficiency: f64) -> f64 {
    1.0 / (1.0 - best_efficiency.sqrt())
}

/// Best efficiency of the motor and length of its start, s. Common practice, no source.
const fn motor(appliance: Appliance) -> Option<(f64, f64)> {
    match appliance {
        Appliance::Pump => Some((0.5, 0.1)),
        Appliance::AirCompressor => Some((0.65, 0.15)),
        Appliance::Fan => Some((0.4, 0.1)),
        Appliance::FuelHeater | Appliance::Fridge | Appliance::Other => None,
    }
}

/// The usual start of an appliance that runs with `running`; `None` where it is no more than that.
/// `voltage_factor` is the system voltage over 12 V.
#[must_use]
pub fn usual_start(appliance: Appliance, running: Power, voltage_factor: f64) -> Option<Peak> {
    match appliance {
        Appliance::Other => None,
        Appliance::FuelHeater => {
            let glow_a = GLOW_A / voltage_factor;
            (running.current_a(12.0 * voltage_factor) < glow_a).then_some(Peak {
                power: Power::Amps(glow_a),
                seconds: GLOW_S,
                basis: "the glow pin of a fuel heater; common practice, no source",
            })
        }
        Appliance::Fridge => Some(Peak {
            power: running.times(FRIDGE_TIMES),
            seconds: FRIDGE_S,
            basis: "3 times its running draw; common practice, no source",
        }),
        Appliance::Pump | Appliance::AirCompressor | Appliance::Fan => {
            let (efficiency, seconds) = motor(appliance)?;
            Some(Peak {
                power: running.times(stall_times(efficiency)),
                seconds,
                basis: "a motor that starts from rest; its efficiency is common practice, no source",
            })
        }
    }
}

/// Words of an id by which an appliance is known, singular and plural.
const NAMES: [(Appliance, &[&str]); 4] = [
    (Appliance::FuelHeater, &["heater", "heating"]),
    (
        Appliance::AirCompressor,
        &[
            "compressor",
            "air",
            "tyre",
            "tyres",
            "tire",
            "tires",
            "inflator",
        ],
    ),
    (Appliance::Pump, &["pump", "water", "shower"]),
    (Appliance::Fan, &["fan", "fans", "vent"]),
];

/// The appliance that a name says, if any.
#[must_use]
pub fn by_name(id: &str) -> Option<Appliance> {
    let id = id.to_ascii_lowercase();
    let words: Vec<&str> = id.split(|c: char| !c.is_ascii_alphabetic()).collect();
    NAMES
        .into_iter()
        .find(|(_, names)| words.iter().any(|word| names.contains(word)))
        .map(|(appliance, _)| appliance)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form, see [`stall_times`]: between 3.4 and 6.1 for efficiencies of 50 to 70 %.
    #[test]
    fn law_a_better_motor_starts_with_more() {
        assert!((stall_times(0.5) - 3.414_2).abs() < 1e-3);
        assert!((stall_times(0.7) - 6.122_5).abs() < 1e-3);
    }

    #[test]
    fn names_are_read_word_by_word() {
        assert_eq!(by_name("diesel-heater"), Some(Appliance::FuelHeater));
        assert_eq!(by_name("Tyre_air2"), Some(Appliance::AirCompressor));
        assert_eq!(by_name("repair-lamp"), None);
        assert_eq!(by_name("water"), Some(Appliance::Pump));
    }

    /// Common practice, no source: 8 to 10 A at 12 V while a fuel heater lights, half at 24 V.
    #[test]
    fn by_hand_a_heater_lights_with_ten_amperes() {
        let running = Power::Watts(28.0);
        let peak = usual_start(Appliance::FuelHeater, running, 1.0).expect("a start");
        assert_eq!(peak.power, Power::Amps(10.0));
        assert!((peak.seconds - 180.0).abs() < 1e-9);
        let peak = usual_start(Appliance::FuelHeater, running, 2.0).expect("a start");
        assert_eq!(peak.power, Power::Amps(5.0));
        // An electric heater is none of that kind.
        assert_eq!(
            usual_start(Appliance::FuelHeater, Power::Watts(300.0), 1.0),
            None
        );
    }
}
