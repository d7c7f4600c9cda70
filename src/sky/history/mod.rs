//! Weather records read from files.

/// A weather record: days in order, in unbroken stretches.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {}
