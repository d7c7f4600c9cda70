//! Which column holds what.
//!
//! One job: the documented column names, and finding them in a header. The `columns` map of a
//! scenario says, for a documented name, what the file calls it; the name carries the unit.

use std::collections::BTreeMap;

use super::error::{HistoryError, HistoryFault};

/// What a column can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Quantity {
    Date,
    HourStart,
    HourEnd,
    Month,
    Day,
    HourEnding,
    Global,
    Direct,
    Diffuse,
    Air,
    AirMin,
    AirMax,
    Wind,
}

impl Quantity {
    pub(super) fn said(self) -> &'static str {
        match self {
            Self::Date => "the date",
            Self::HourStart | Self::HourEnd => "the time",
            Self::Month => "the month",
            Self::Day => "the day of the month",
            Self::HourEnding => "the hour",
            Self::Global => "global horizontal irradiation",
            Self::Direct => "direct normal irradiation",
            Self::Diffuse => "diffuse horizontal irradiation",
            Self::Air => "air temperature",
            Self::AirMin => "the day's minimum temperature",
            Self::AirMax => "the day's maximum temperature",
            Self::Wind => "wind speed",
        }
    }
}

/// How a number becomes Wh/m² (sun) or stays what it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Unit {
    /// As it is.
    Plain,
    /// Times this factor: a sum.
    Sum(f64),
    /// W/m²: times the hours of the row.
    Mean,
}

/// A documented column name.
pub(super) struct Name {
    pub(super) text: &'static str,
    pub(super) quantity: Quantity,
    pub(super) unit: Unit,
    /// Whether the name says that the times are UTC.
    pub(super) is_utc: bool,
}

const fn plain(text: &'static str, quantity: Quantity) -> Name {
    Name {
        text,
        quantity,
        unit: Unit::Plain,
        is_utc: false,
    }
}

const fn utc(text: &'static str, quantity: Quantity) -> Name {
    Name {
        is_utc: true,
        ..plain(text, quantity)
    }
}

const fn sun(text: &'static str, quantity: Quantity, unit: Unit) -> Name {
    Name {
        unit,
        ..plain(text, quantity)
    }
}

/// Wh in a megajoule.
const MJ: f64 = 1000.0 / 3.6;

/// Every documented name. A timestamp is the beginning of its hour unless the name says `end`.
pub(super) const NAMES: &[Name] = &[
    plain("date", Quantity::Date),
    plain("timestamp", Quantity::HourStart),
    utc("timestamp_utc", Quantity::HourStart),
    plain("timestamp_end", Quantity::HourEnd),
    utc("timestamp_end_utc", Quantity::HourEnd),
    plain("month", Quantity::Month),
    plain("day", Quantity::Day),
    plain("hour_ending", Quantity::HourEnding),
    utc("hour_ending_utc", Quantity::HourEnding),
    sun("ghi_kwh_m2", Quantity::Global, Unit::Sum(1000.0)),
    sun("ghi_wh_m2", Quantity::Global, Unit::Sum(1.0)),
    sun("ghi_w_m2", Quantity::Global, Unit::Mean),
    sun("ghi_mj_m2", Quantity::Global, Unit::Sum(MJ)),
    sun("ghi_kj_m2", Quantity::Global, Unit::Sum(MJ / 1000.0)),
    sun("ghi_j_cm2", Quantity::Global, Unit::Sum(MJ / 100.0)),
    sun("dni_wh_m2", Quantity::Direct, Unit::Sum(1.0)),
    sun("dni_w_m2", Quantity::Direct, Unit::Mean),
    sun("dni_kwh_m2", Quantity::Direct, Unit::Sum(1000.0)),
    sun("dni_mj_m2", Quantity::Direct, Unit::Sum(MJ)),
    sun("dhi_wh_m2", Quantity::Diffuse, Unit::Sum(1.0)),
    sun("dhi_w_m2", Quantity::Diffuse, Unit::Mean),
    sun("dhi_kwh_m2", Quantity::Diffuse, Unit::Sum(1000.0)),
    sun("dhi_mj_m2", Quantity::Diffuse, Unit::Sum(MJ)),
    plain("air_c", Quantity::Air),
    plain("temp_air_c", Quantity::Air),
    plain("air_temperature_c", Quantity::Air),
    plain("temp_c", Quantity::Air),
    plain("min_c", Quantity::AirMin),
    plain("day_min_c", Quantity::AirMin),
    plain("temp_min_c", Quantity::AirMin),
    plain("tmin_c", Quantity::AirMin),
    plain("max_c", Quantity::AirMax),
    plain("day_max_c", Quantity::AirMax),
    plain("temp_max_c", Quantity::AirMax),
    plain("tmax_c", Quantity::AirMax),
    plain("wind_m_s", Quantity::Wind),
    plain("wind_speed_m_s", Quantity::Wind),
];

/// A column found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    pub(super) index: usize,
    /// As the file calls it.
    pub(super) header: String,
    pub(super) unit: Unit,
    pub(super) is_utc: bool,
}

/// The columns of a file by what they hold.
#[derive(Debug)]
pub(super) struct Columns {
    found: BTreeMap<Quantity, Column>,
    header: String,
}

impl Columns {
    /// Finds the documented columns in a header; letters' case and outer blanks don't count.
    pub(super) fn find(
        header: &[String],
        overrides: &BTreeMap<String, String>,
    ) -> Result<Self, HistoryError> {
        let listed = list(header.iter().map(String::as_str));
        let same = |a: &str, b: &str| a.trim().eq_ignore_ascii_case(b.trim());
        let mut found: BTreeMap<Quantity, Column> = BTreeMap::new();
        let mut put = |name: &Name, index: usize| {
            let title = header[index].as_str();
            let column = Column {
                index,
                header: title.trim().to_owned(),
                unit: name.unit,
                is_utc: name.is_utc,
            };
            match found.insert(name.quantity, column) {
                None => Ok(()),
                Some(other) => {
                    let fault = HistoryFault::TwoColumns {
                        wanted: name.quantity.said(),
                        first: other.header,
                        second: title.to_owned(),
                    };
                    Err(fault.at(1))
                }
            }
        };
        let mut chosen = Vec::new();
        for (key, column) in overrides {
            let Some(name) = NAMES.iter().find(|name| same(name.text, key)) else {
                let names = list(NAMES.iter().map(|name| name.text));
                let found = key.clone();
                return Err(HistoryFault::UnknownName { found, names }.of_file());
            };
            let Some(index) = header.iter().position(|title| same(title, column)) else {
                let fault = HistoryFault::NoSuchColumn {
                    name: key.clone(),
                    column: column.clone(),
                    found: listed,
                };
                return Err(fault.of_file());
            };
            put(name, index)?;
            chosen.push(name.quantity);
        }
        for (index, title) in header.iter().enumerate() {
            let name = NAMES.iter().find(|name| same(name.text, title));
            if let Some(name) = name.filter(|name| !chosen.contains(&name.quantity)) {
                put(name, index)?;
            }
        }
        Ok(Self {
            found,
            header: listed,
        })
    }

    pub(super) fn get(&self, quantity: Quantity) -> Option<&Column> {
        self.found.get(&quantity)
    }

    pub(super) fn need(&self, quantity: Quantity) -> Result<&Column, HistoryError> {
        let of_it = NAMES.iter().filter(|name| name.quantity == quantity);
        let fault = || HistoryFault::MissingColumn {
            wanted: quantity.said(),
            names: list(of_it.map(|name| name.text)),
            found: self.header.clone(),
        };
        self.get(quantity).ok_or_else(|| fault().at(1))
    }
}

/// Names in backticks with commas; long lists are cut.
fn list<'a>(names: impl Iterator<Item = &'a str>) -> String {
    const MOST: usize = 40;
    let all: Vec<&str> = names.collect();
    let mut text = all
        .iter()
        .take(MOST)
        .map(|name| format!("`{}`", name.trim().chars().take(40).collect::<String>()))
        .collect::<Vec<_>>()
        .join(", ");
    if all.len() > MOST {
        text.push_str(", …");
    }
    text
}
