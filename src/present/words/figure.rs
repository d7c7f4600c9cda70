//! Figures in text: rounding and grouping.
//!
//! One job: numbers as a reader wants them, no more precise than they are. Chances are in
//! `chance`, times in `duration`.

use crate::units::{Amount, Units};

/// A number rounded to whole units with commas between thousands: `1,234`.
///
/// A value that is not finite is shown as a dash.
#[must_use]
pub fn whole(value: f64) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let digits = format!("{:.0}", value.abs());
    let mut grouped = String::with_capacity(digits.len() + digits.len() / 3 + 1);
    if value < 0.0 && digits != "0" {
        grouped.push('-');
    }
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// A number to about three significant figures: `0.4`, `12.5`, `437`, `1,230`.
#[must_use]
pub fn rounded(value: f64) -> String {
    let size = value.abs();
    if !size.is_finite() {
        "–".to_owned()
    } else if size < 0.05 {
        "0".to_owned()
    } else if size < 99.95 {
        let text = format!("{value:.1}");
        text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
    } else if size < 999.5 {
        whole(value)
    } else {
        whole((value / 10.0).round() * 10.0)
    }
}

/// Energy: `437 Wh`, from 10 kWh on `12.3 kWh`.
#[must_use]
pub fn energy(wh: f64) -> String {
    if wh.abs() < 9_995.0 {
        format!("{} Wh", rounded(wh))
    } else {
        format!("{} kWh", rounded(wh / 1000.0))
    }
}

/// A price with its currency, where that is known: `CAD 900`.
#[must_use]
pub fn money(price: f64, currency: Option<&str>) -> String {
    match currency {
        Some(letters) => format!("{letters} {}", whole(price)),
        None => whole(price),
    }
}

/// A mass: `12.5 kg`.
#[must_use]
pub fn mass(mass_kg: f64, units: Units) -> String {
    let value = units.value(Amount::Kilograms, mass_kg);
    format!("{} {}", rounded(value), units.symbol(Amount::Kilograms))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_grouped_and_rounded() {
        assert_eq!(whole(1_234_567.4), "1,234,567");
        assert_eq!(whole(-0.3), "0");
        assert_eq!(whole(-1234.0), "-1,234");
        assert_eq!(rounded(0.0), "0");
        assert_eq!(rounded(12.46), "12.5");
        assert_eq!(rounded(12.0), "12");
        assert_eq!(rounded(99.97), "100");
        assert_eq!(rounded(437.4), "437");
        assert_eq!(rounded(1234.0), "1,230");
        assert_eq!(rounded(f64::NAN), "–");
        assert_eq!(energy(12_340.0), "12.3 kWh");
    }
}
