//! Units by name: of a text such as `12 ft`, and of a key such as `one_way_m`.

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Metres.
    Length,
    /// Kilograms.
    Mass,
    /// Degrees Celsius.
    Temperature,
    /// Kilometres an hour.
    Speed,
    /// Litres.
    Volume,
    /// Hours.
    Time,
    /// Watts.
    Power,
    /// Watt-hours.
    Energy,
    /// Ampere-hours.
    Charge,
    /// Amperes.
    Current,
    /// Volts.
    Voltage,
    /// Milliohms.
    Resistance,
    /// A share of the whole.
    Share,
}

/// A unit: a value in it, times its factor and plus its offset, is in the first unit of its quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As it is shown.
    pub symbol: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    factor: f64,
    offset: f64,
}

const fn unit(symbol: &'static str, quantity: Quantity, factor: f64) -> Unit {
    Unit {
        symbol,
        quantity,
        factor,
        offset: 0.0,
    }
}

/// Units with the names they are written by, in lower case; the first is that of keys.
///
/// # Source
/// Foot, mile, pound: exact by the international yard and pound agreement of 1959; gallon: 231 cubic inches, exact
/// (NIST Handbook 44, appendix C). Fahrenheit: by its definition.
const UNITS: [(&[&str], Unit); 33] = {
    use Quantity::{
        Charge, Current, Energy, Length, Mass, Power, Resistance, Share, Speed, Temperature, Time,
        Voltage, Volume,
    };
    let fahrenheit = Unit {
        symbol: "°F",
        quantity: Temperature,
        factor: 1.0 / 1.8,
        offset: -32.0 / 1.8,
    };
    [
        (
            &["m", "metre", "metres", "meter", "meters"],
            unit("m", Length, 1.0),
        ),
        (&["ft", "foot", "feet", "'"], unit("ft", Length, 0.3048)),
        (&["in", "inch", "inches", "\""], unit("in", Length, 0.0254)),
        (&["cm"], unit("cm", Length, 0.01)),
        (&["mm"], unit("mm", Length, 0.001)),
        (&["km"], unit("km", Length, 1000.0)),
        (&["mi", "mile", "miles"], unit("mi", Length, 1609.344)),
        (&["kg", "kgs", "kilo", "kilos"], unit("kg", Mass, 1.0)),
        (
            &["lb", "lbs", "pound", "pounds"],
            unit("lb", Mass, 0.453_592_37),
        ),
        (&["g", "gram", "grams"], unit("g", Mass, 0.001)),
        (
            &["c", "°c", "celsius", "deg c"],
            unit("°C", Temperature, 1.0),
        ),
        (&["f", "°f", "fahrenheit", "deg f"], fahrenheit),
        (
            &["l", "litre", "litres", "liter", "liters"],
            unit("litres", Volume, 1.0),
        ),
        (
            &["gal", "gallon", "gallons"],
            unit("gal", Volume, 3.785_411_784),
        ),
        (&["kmh", "km/h", "kph"], unit("km/h", Speed, 1.0)),
        (&["mph", "mi/h"], unit("mph", Speed, 1.609_344)),
        (&["hours", "h", "hr", "hrs", "hour"], unit("h", Time, 1.0)),
        (
            &["min", "minutes", "mins", "minute"],
            unit("min", Time, 1.0 / 60.0),
        ),
        (&["s", "sec", "seconds"], unit("s", Time, 1.0 / 3600.0)),
        (&["w", "watt", "watts"], unit("W", Power, 1.0)),
        (&["kw"], unit("kW", Power, 1000.0)),
        (&["wh"], unit("Wh", Energy, 1.0)),
        (&["kwh"], unit("kWh", Energy, 1000.0)),
        (&["ah"], unit("Ah", Charge, 1.0)),
        (&["mah"], unit("mAh", Charge, 0.001)),
        (
            &["a", "amp", "amps", "ampere", "amperes"],
            unit("A", Current, 1.0),
        ),
        (&["ma", "milliamps"], unit("mA", Current, 0.001)),
        (&["v", "volt", "volts"], unit("V", Voltage, 1.0)),
        (&["mv"], unit("mV", Voltage, 0.001)),
        (&["mohm", "mω", "milliohms"], unit("mΩ", Resistance, 1.0)),
        (&["ohm", "ω", "ohms"], unit("Ω", Resistance, 1000.0)),
        (
            &["soc", "share", "duty", "shade", "efficiency"],
            unit("", Share, 1.0),
        ),
        (&["%", "percent", "per cent"], unit("%", Share, 0.01)),
    ]
};

impl Unit {
    /// By one of its names, in any case.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let lower = name.to_lowercase();
        let found = UNITS
            .iter()
            .find(|(names, _)| names.contains(&lower.as_str()));
        found.map(|(_, unit)| *unit)
    }

    /// That of a key, by its last word, or the one before `per`: `one_way_m`, `mass_kg_per_ah`.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::named(unit_word(key)?)
    }

    /// A value in this unit, in another one of the same quantity.
    #[must_use]
    pub fn to(self, other: Self, value: f64) -> Option<f64> {
        let base = value * self.factor + self.offset;
        (self.quantity == other.quantity).then_some((base - other.offset) / other.factor)
    }
}

/// The word of a key that names its unit.
pub(super) fn unit_word(key: &str) -> Option<&str> {
    key.split("_per_").next()?.rsplit('_').next()
}

/// A figure with its unit, as people write it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
}

impl Measured {
    /// Reads `12 ft`, `38°F`, `-5 C`, `20%`; a comma may stand for the point.
    ///
    /// ```
    /// use tideover::units::{Measured, Unit};
    /// let found = Measured::parse("12 ft").expect("a measure");
    /// let metres = found.unit.to(Unit::named("m").expect("a unit"), found.value);
    /// assert!((metres.expect("a length") - 3.6576).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let end = text
            .find(|c: char| !(c.is_ascii_digit() || ".,+-".contains(c)))
            .unwrap_or(text.len());
        let value: f64 = text.get(..end)?.replace(',', ".").parse().ok()?;
        let unit = Unit::named(text.get(end..)?.trim())?;
        value.is_finite().then_some(Self { value, unit })
    }
}

/// A figure to four digits, without zeros that say nothing.
#[must_use]
pub fn tidy(value: f64) -> String {
    let digits = match value.abs() {
        1000.0.. => 0,
        100.0.. => 1,
        10.0.. => 2,
        _ => 3,
    };
    trimmed(&format!("{value:.digits$}"))
}

/// A decimal without zeros at its end, and without the sign of a zero.
#[must_use]
pub fn trimmed(decimal: &str) -> String {
    let text = if decimal.contains('.') {
        decimal.trim_end_matches('0').trim_end_matches('.')
    } else {
        decimal
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, from the definitions: 38 °F are 6/1.8 = 3.333 °C, 20 lb 9.0718 kg, 60 mph 96.56 km/h.
    #[test]
    fn by_hand_measures_in_units_of_keys() {
        for (text, key, wanted) in [
            ("38 °F", "set_c", "3.333"),
            ("-40F", "day_min_c", "-40"),
            ("20 lb", "mass_kg", "9.072"),
            ("0.5 lb", "warm_food_kg_per_day", "0.227"),
            ("60 mph", "speed_kmh", "96.56"),
            ("90 min", "drive_hours", "1.5"),
            ("12 ft", "one_way_m", "3.658"),
            ("100 mi", "distance_km", "160.9"),
            ("1.2 kW", "power_w", "1200"),
            ("20 %", "reserve_soc", "0.2"),
            ("3,5 m", "one_way_m", "3.5"),
        ] {
            let found = Measured::parse(text).expect(text);
            let wants = Unit::of_key(key).expect(key);
            let value = found.unit.to(wants, found.value).expect("one quantity");
            assert_eq!(tidy(value), wanted, "{text}");
        }
        for text in ["12", "ft", "12 parsecs", "", "AWG 10", "1-2 m"] {
            assert_eq!(Measured::parse(text), None, "{text}");
        }
        assert_eq!(Unit::of_key("seed"), None);
    }
}
