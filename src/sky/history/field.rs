//! A field of a row that has a meaning.
//!
//! One job: where it stands, what it is called, and what may stand in it.

use super::error::{HistoryError, HistoryFault};
use super::rows::{AIR_RANGE_C, Rows, SUN_RANGE};
use crate::units::{Whole, narrow};

/// One field of each row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field<'a> {
    pub(super) index: usize,
    pub(super) name: &'a str,
    /// Numbers taken, bounds included.
    range: (f64, f64),
    /// The format's marks for "not measured".
    none: NoValue,
    /// Times this it is Wh/m² or °C.
    factor: f64,
}

/// Numbers that stand for "not measured".
#[derive(Debug, Clone, Copy)]
pub(super) enum NoValue {
    Never,
    From(f64),
    UpTo(f64),
}

impl NoValue {
    fn holds(self, number: f64) -> bool {
        match self {
            Self::Never => false,
            Self::From(least) => number >= least,
            Self::UpTo(most) => number <= most,
        }
    }
}

impl<'a> Field<'a> {
    /// A field of text.
    pub(super) fn text(index: usize, name: &'a str) -> Self {
        Self::new(index, name, (f64::NEG_INFINITY, f64::INFINITY))
    }

    /// A field of numbers in a range.
    pub(super) fn new(index: usize, name: &'a str, range: (f64, f64)) -> Self {
        Self {
            index,
            name,
            range,
            none: NoValue::Never,
            factor: 1.0,
        }
    }

    /// An irradiation, Wh/m² after the factor.
    pub(super) fn sun(index: usize, name: &'a str, none: NoValue, factor: f64) -> Self {
        Self {
            none,
            factor,
            ..Self::new(index, name, SUN_RANGE)
        }
    }

    /// An air temperature, °C.
    pub(super) fn air(index: usize, name: &'a str, none: NoValue) -> Self {
        Self {
            none,
            ..Self::new(index, name, AIR_RANGE_C)
        }
    }

    /// The same with another range.
    pub(super) fn within(self, range: (f64, f64)) -> Self {
        Self { range, ..self }
    }

    /// The number of the current row; NaN: none measured.
    ///
    /// # Errors
    /// What is no number, or one outside the range.
    pub(super) fn measured(&self, rows: &Rows<'_>) -> Result<f32, HistoryError> {
        let number = rows.ranged(self.index, self.name, self.range, |number| {
            self.none.holds(number)
        })?;
        Ok(number.map_or(f32::NAN, |number| narrow(number * self.factor)))
    }

    /// A whole number of the current row.
    ///
    /// # Errors
    /// What is none, or outside the range.
    pub(super) fn whole(&self, rows: &Rows<'_>) -> Result<i32, HistoryError> {
        let number = rows.ranged(self.index, self.name, self.range, |_| false)?;
        number
            .filter(|number| number.fract().abs() <= 0.0)
            .map(i32::cut)
            .ok_or_else(|| rows.bad_number(self.index, self.name))
    }

    /// The refusal of what is no date or time here.
    pub(super) fn bad_date(&self, rows: &Rows<'_>, allowed: &'static str) -> HistoryError {
        let fault = HistoryFault::BadDate {
            column: self.name.to_owned(),
            found: rows.shown(self.index),
            allowed,
        };
        fault.at(rows.line())
    }
}
