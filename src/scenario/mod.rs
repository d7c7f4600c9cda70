//! The scenario file: types, defaults, checks, templates, schema.
//!
//! Read → check → use: the types that mirror the file differ from the checked [`Scenario`] that
//! the rest of the program sees.

mod checked;
mod zone;

pub use checked::*;
pub use zone::{LocalInstant, Zone};
