//! Input side of a charger behind a cable.

/// Voltage in V at the end of a cable of `ohm` (both ways) that carries `power_w` from a source at
/// `source_v`: `(Vs + √(Vs² − 4 R P)) / 2`. `None` where the cable cannot carry it at all.
#[must_use]
pub fn input_v(source_v: f64, ohm: f64, power_w: f64) -> Option<f64> {
    let (volts, carries) = input_v_if_carried(source_v, ohm, power_w);
    carries.then_some(volts)
}

/// The same as a voltage and whether the cable carries the power; half the source's voltage where not.
#[must_use]
#[inline]
pub fn input_v_if_carried(source_v: f64, ohm: f64, power_w: f64) -> (f64, bool) {
    let under_root = source_v * source_v - 4.0 * ohm * power_w;
    let root = if under_root > 0.0 { under_root } else { 0.0 };
    (0.5 * (source_v + root.sqrt()), under_root > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drop_equals_current_times_resistance() {
        let end_v = input_v(14.2, 0.02, 600.0).expect("the cable can carry it");
        assert!((14.2 - end_v - 600.0 / end_v * 0.02).abs() < 1e-9);
        assert!(input_v(12.0, 0.1, 600.0).is_none());
    }
}
