//! Units of the land: how figures, sentences, dates and times are written for a reader.
//!
//! One job: the rule for each quantity that lands measure differently, and for dates. What a unit comes to in
//! another one is in `measure`; conductors, which the trade sells by gauge, are in `gauge`.
//! Left out: watts, amperes, hours and kWh/m², which are written alike everywhere.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use schemars::JsonSchema;
use serde::Deserialize;

use super::gauge::{Awg, cmil};
use super::marked::filled;
use super::measure::{Unit, trimmed};
use super::sister::sister_to;

/// Whose units a reader is used to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// Metres, kilograms, °C; `Thursday 8 July, 17:00`.
    #[default]
    Si,
    /// Those of the United States: feet, miles, pounds, °F; `Thursday, July 8, 5:00 PM`.
    Us,
}

/// A quantity that lands measure differently; values are in the unit of its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Amount {
    /// A temperature.
    Celsius,
    /// A difference of temperatures.
    Kelvin,
    /// A fall of temperature with height.
    KelvinPerKm,
    /// A length or a height.
    Metres,
    /// A short length.
    Millimetres,
    /// A way.
    Kilometres,
    /// A mass.
    Kilograms,
    /// A speed.
    KilometresAnHour,
    /// Fuel.
    Litres,
    /// A conductor's cross-section, a gauge where it is one.
    SquareMillimetres,
    /// Heat that a mass takes up.
    WhPerKgK,
}

/// What a date or a time is written for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateForm {
    /// `Thursday 8 July`.
    Weekday,
    /// `Thursday 8 July, 17:00`.
    WeekdayTime,
    /// `Thu 8 Jul`.
    Short,
    /// `Thu 8 Jul 17:00`.
    ShortTime,
    /// `8 Jul`.
    DayMonth,
    /// `2027-07-08`.
    Full,
    /// `17:00`.
    Clock,
}

/// End of keys of a conductor's cross-section.
const AREA_KEY: &str = "mm2";

/// Feet in which a fall of temperature with height is told.
const LAPSE_FEET: f64 = 1000.0;

impl Amount {
    const ALL: [Self; 11] = [
        Self::WhPerKgK,
        Self::KelvinPerKm,
        Self::KilometresAnHour,
        Self::SquareMillimetres,
        Self::Celsius,
        Self::Kelvin,
        Self::Kilometres,
        Self::Kilograms,
        Self::Millimetres,
        Self::Metres,
        Self::Litres,
    ];

    /// Symbols of the units in which it is shown: the program's, and that of the United States.
    fn symbols(self) -> (&'static str, &'static str) {
        match self {
            Self::Celsius => ("°C", "°F"),
            Self::Kelvin => ("K", "°F"),
            Self::KelvinPerKm => ("K/km", "°F per 1,000 ft"),
            Self::Metres => ("m", "ft"),
            Self::Millimetres => ("mm", "in"),
            Self::Kilometres => ("km", "mi"),
            Self::Kilograms => ("kg", "lb"),
            Self::KilometresAnHour => ("km/h", "mph"),
            Self::Litres => ("litres", "gal"),
            Self::SquareMillimetres => ("mm²", "kcmil"),
            Self::WhPerKgK => ("Wh per kg and K", "Wh per lb and °F"),
        }
    }

    fn us_value(self, value: f64) -> f64 {
        match self {
            Self::Kelvin => Self::Celsius.us_value(value) - Self::Celsius.us_value(0.0),
            Self::KelvinPerKm => {
                LAPSE_FEET * Self::Kelvin.us_value(value) / Self::Metres.us_value(1000.0)
            }
            Self::WhPerKgK => value / (Self::Kilograms.us_value(1.0) * Self::Kelvin.us_value(1.0)),
            Self::SquareMillimetres => cmil(value) / 1000.0,
            _ => {
                let (ours, theirs) = self.symbols();
                let units = Unit::named(ours).zip(Unit::named(theirs));
                let converted = units.and_then(|(ours, theirs)| ours.to(theirs, value));
                converted.unwrap_or(value)
            }
        }
    }
}

impl Units {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Si, Self::Us];

    /// Its name in the file and on the command line.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.either("si", "us")
    }

    /// By the name of the file and the command line.
    ///
    /// # Errors
    /// What is allowed.
    pub fn named(name: &str) -> Result<Self, String> {
        let found = Self::ALL.into_iter().find(|known| known.name() == name);
        found.ok_or_else(|| "must be si or us".to_owned())
    }

    /// One of two that go with its names.
    fn either<T>(self, si: T, us: T) -> T {
        match self {
            Self::Si => si,
            Self::Us => us,
        }
    }

    /// Symbol of the unit in which a quantity is shown.
    #[must_use]
    pub fn symbol(self, amount: Amount) -> &'static str {
        let (si, us) = amount.symbols();
        self.either(si, us)
    }

    /// A value in the unit in which its quantity is shown.
    ///
    /// # Source
    /// NIST SP 811 (2008), appendix B; NIST Handbook 44, appendix C. Circular mils: ASTM B258.
    ///
    /// # Example
    /// ```
    /// use tideover::units::{Amount, Units};
    /// assert!((Units::Us.value(Amount::Celsius, 20.0) - 68.0).abs() < 1e-12);
    /// assert!((Units::Us.value(Amount::Kelvin, 20.0) - 36.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn value(self, amount: Amount, value: f64) -> f64 {
        match self {
            Self::Si => value,
            Self::Us => amount.us_value(value),
        }
    }

    /// Decimals that tell as much as so many of the SI unit.
    fn decimals(self, amount: Amount, decimals: usize) -> usize {
        // A gallon is nearly four litres; of conductors small differences count.
        let is_coarse = matches!(amount, Amount::Litres | Amount::SquareMillimetres);
        decimals + usize::from(self == Self::Us && is_coarse)
    }

    /// A value with its unit, to so many decimals of the SI unit: `38 °F`.
    #[must_use]
    pub fn shown(self, amount: Amount, value: f64, decimals: usize) -> String {
        format!(
            "{} {}",
            self.figure(amount, value, decimals),
            self.symbol(amount)
        )
    }

    /// The same without its unit, which stands in a heading.
    ///
    /// # Example
    /// ```
    /// use tideover::units::{Amount, Units};
    /// assert_eq!(Units::Si.figure(Amount::Celsius, -0.3, 0), "0");
    /// assert_eq!(Units::Us.figure(Amount::Celsius, -17.9, 0), "0");
    /// assert_eq!(Units::Si.figure(Amount::Celsius, -0.6, 0), "-1");
    /// ```
    #[must_use]
    pub fn figure(self, amount: Amount, value: f64, decimals: usize) -> String {
        let digits = self.decimals(amount, decimals);
        let text = format!("{:.digits$}", self.value(amount, value));
        // What rounds to nothing has no sign.
        let is_nothing = text.chars().all(|c| "-0.".contains(c));
        let unsigned = if is_nothing {
            text.trim_start_matches('-')
        } else {
            &text
        };
        unsigned.to_owned()
    }

    /// A sentence whose quantities stand between `‹` and `›` as the program writes them: `below ‹0 °C›`, `‹5 to 8 m›`,
    /// `‹24 °C above› the air`, `from ‹17:00› on`, and with their decimals where they are to be rounded: `‹81.437 km:0›`.
    ///
    /// What stands there and is no quantity, such as somebody's name, stays as it is.
    ///
    /// # Example
    /// ```
    /// use tideover::units::Units;
    /// let sentence = "no charge below ‹0 °C›, less up to ‹5 °C›";
    /// assert_eq!(Units::Si.sentence(sentence), "no charge below 0 °C, less up to 5 °C");
    /// assert_eq!(Units::Us.sentence(sentence), "no charge below 32 °F, less up to 41 °F");
    /// assert_eq!(Units::Si.sentence("nights fall to ‹-0 °C›"), "nights fall to 0 °C");
    /// ```
    #[must_use]
    pub fn sentence(self, marked: &str) -> String {
        filled(marked, ("‹", "›"), &|inside| self.quantity(inside))
    }

    /// `5 m`, `5 to 8 m`, `2027-07-08` or `17:00`; `None` where it is nothing that lands write differently.
    fn quantity(self, text: &str) -> Option<String> {
        if let Ok(date) = NaiveDate::parse_from_str(text, "%Y-%m-%d") {
            return Some(self.date(DateForm::Full, date.into()));
        }
        if let Ok(time) = NaiveTime::parse_from_str(text, "%H:%M") {
            return Some(self.date(DateForm::Clock, NaiveDate::default().and_time(time)));
        }
        let (text, above) = match text.strip_suffix(" above") {
            Some(text) => (text, " above"),
            None => (text, ""),
        };
        let (text, decimals) = match text.rsplit_once(':') {
            Some((text, decimals)) => (text, Some(decimals.parse::<usize>().ok()?)),
            None => (text, None),
        };
        let (amount, figures) = Amount::ALL.into_iter().find_map(|amount| {
            let figures = text.strip_suffix(amount.symbols().0)?.strip_suffix(' ')?;
            Some((amount, figures))
        })?;
        if let (Self::Us, Amount::SquareMillimetres) = (self, amount)
            && let Some(gauge) = figures.parse().ok().and_then(Awg::of_area)
        {
            return Some(gauge.to_string());
        }
        // So many degrees above something are a difference.
        let by = match amount {
            Amount::Celsius if !above.is_empty() => Amount::Kelvin,
            other => other,
        };
        let figures: Option<Vec<String>> = figures
            .split(" to ")
            .map(|figure| {
                let value: f64 = figure.replace(',', "").parse().ok()?;
                Some(match (self, decimals) {
                    (_, Some(decimals)) => self.figure(by, value, decimals),
                    // Zero has no sign, whatever the file has.
                    (Self::Si, None) if value == 0.0 => figure.trim_start_matches('-').to_owned(),
                    (Self::Si, None) => figure.to_owned(),
                    (Self::Us, None) => {
                        let decimals = figure.split_once('.').map_or(0, |(_, part)| part.len());
                        trimmed(&self.figure(by, value, decimals.min(2)))
                    }
                })
            })
            .collect();
        let symbol = self.symbol(amount);
        Some(format!("{} {symbol}{above}", figures?.join(" to ")))
    }

    /// The key, with its unit, and the value of a figure in a table: `one_way_m` and metres, or `one_way_ft` and feet.
    #[must_use]
    pub fn keyed(self, key: &str, value: f64) -> (String, f64) {
        let value = match self {
            Self::Us if key.ends_with(AREA_KEY) => Amount::SquareMillimetres.us_value(value),
            Self::Us => {
                let sister = sister_to(key);
                let in_sister = sister.and_then(|it| it.from.to(it.to, value));
                in_sister.unwrap_or(value)
            }
            Self::Si => value,
        };
        (self.key(key), value)
    }

    /// The key of [`keyed`](Self::keyed).
    #[must_use]
    pub fn key(self, key: &str) -> String {
        if self == Self::Si {
            return key.to_owned();
        }
        match (key.strip_suffix(AREA_KEY), sister_to(key)) {
            (Some(stem), _) => format!("{stem}{}", Amount::SquareMillimetres.symbols().1),
            (None, Some(sister)) => sister.key,
            (None, None) => key.to_owned(),
        }
    }

    /// A local date or time.
    #[must_use]
    pub fn date(self, form: DateForm, local: NaiveDateTime) -> String {
        let (si, us) = match form {
            DateForm::Weekday => ("%A %-d %B", "%A, %B %-d"),
            DateForm::WeekdayTime => ("%A %-d %B, %H:%M", "%A, %B %-d, %-I:%M %p"),
            DateForm::Short => ("%a %-d %b", "%a, %b %-d"),
            DateForm::ShortTime => ("%a %-d %b %H:%M", "%a, %b %-d, %-I:%M %p"),
            DateForm::DayMonth => ("%-d %b", "%b %-d"),
            DateForm::Full => ("%Y-%m-%d", "%b %-d, %Y"),
            DateForm::Clock => ("%H:%M", "%-I:%M %p"),
        };
        local.format(self.either(si, us)).to_string()
    }

    /// A full hour of the day, 0 to 23, on an axis.
    #[must_use]
    pub fn hour(self, hour: u32) -> String {
        let time = NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or_default();
        self.date(DateForm::Clock, NaiveDate::default().and_time(time))
    }

    /// The key, with its unit, and the figure of a value that is written already; what is no figure, and what
    /// lands write alike, stays as it is.
    #[must_use]
    pub fn as_written(self, key: &str, value: &str, decimals: usize) -> (String, String) {
        let shown = self.key(key);
        match value.parse().ok().filter(|_| shown != key) {
            Some(figure) => {
                let (_, figure) = self.keyed(key, figure);
                (shown, trimmed(&format!("{figure:.decimals$}")))
            }
            None => (key.to_owned(), value.to_owned()),
        }
    }
}
