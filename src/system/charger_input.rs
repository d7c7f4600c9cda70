//! Input side of a charger behind a cable.

/// Voltage in V at the end of a cable of `ohm` (both ways) that carries `power_w` from a source at
/// `source_v`: `(Vs + √(Vs² − 4 R P)) / 2`. `None` where the cable cannot carry it at all.
#[must_use]
pub fn input_v(source_v: f64, ohm: f64, power_w: f64) -> Option<f64> {
    let under_root = source_v * source_v - 4.0 * ohm * power_w;
    (under_root >= 0.0).then(|| 0.5 * (source_v + under_root.sqrt()))
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
