//! Voltage at a battery's terminals under constant powers and currents.

/// Terminal voltage in V of a battery with open-circuit voltage `open_v` and resistance `ohm`, into
/// which flow a constant current `current_a` and a constant power `power_w` (out of it: negative).
///
/// The exact root of `(V − open_v) / ohm = current_a + power_w / V`. Where no voltage can carry the
/// power (four times power × resistance beyond the square of the voltage) the summit is returned; a bank
/// gives no more than [`most_a`].
#[must_use]
#[inline]
pub fn terminal_v(open_v: f64, ohm: f64, current_a: f64, power_w: f64) -> f64 {
    let driven_v = open_v + ohm * current_a;
    let under_root = driven_v * driven_v + 4.0 * ohm * power_w;
    let under_root = if under_root > 0.0 { under_root } else { 0.0 };
    0.5 * (driven_v + under_root.sqrt())
}

/// Current in A at which a battery gives all the power that it can, `open_v² / 4 ohm`, at half its
/// open-circuit voltage: more current is less power. `ohm` above 0.
#[must_use]
#[inline]
pub fn most_a(open_v: f64, ohm: f64) -> f64 {
    0.5 * open_v / ohm
}

/// Greatest power in W of loads that a battery and its sources together hold: twice what the battery gives
/// alone. With more, a source that gives just what is missing would find no voltage to stand at but one
/// far above its own. Ours; `per_ohm` is the inverse of the resistance.
#[must_use]
#[inline]
pub fn most_load_w(open_v: f64, per_ohm: f64) -> f64 {
    0.5 * open_v * open_v * per_ohm
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 12.8 V behind 8 mΩ: 5120 W at 800 A and 6.4 V; 1 % more current is less power, and 1 % more power
    /// has no voltage.
    #[test]
    fn by_hand_a_battery_gives_most_at_half_its_voltage() {
        let (open_v, ohm) = (12.8, 0.008);
        let amps = most_a(open_v, ohm);
        assert!((amps - 800.0).abs() < 1e-9);
        let given_w = |amps: f64| amps * (open_v - ohm * amps);
        assert!((given_w(amps) - 5120.0).abs() < 1e-9);
        assert!(given_w(1.01 * amps) < 5120.0 && given_w(0.99 * amps) < 5120.0);
        assert!((terminal_v(open_v, ohm, 0.0, -5120.0) - 6.4).abs() < 1e-6);
    }

    #[test]
    fn the_root_balances_current_and_power() {
        for (open_v, ohm, current_a, power_w) in [
            (13.1, 0.008, 12.0, -240.0),
            (12.4, 0.02, -3.0, -60.0),
            (13.3, 0.008, 40.0, 150.0),
        ] {
            let v = terminal_v(open_v, ohm, current_a, power_w);
            let into_a = (v - open_v) / ohm;
            assert!((into_a - current_a - power_w / v).abs() < 1e-9);
        }
        assert!((terminal_v(13.0, 0.01, 0.0, 0.0) - 13.0).abs() < 1e-12);
    }
}
