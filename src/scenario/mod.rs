//! The scenario file: types, defaults, checks, templates, schema.
//!
//! Read → check → use: the types that mirror the file differ from the checked [`Scenario`] that
//! the rest of the program sees.

mod check;
pub mod defaults;
mod document;
mod edit;
mod file;
mod key;
mod parts;
mod problem;
mod structure;
mod subject;
pub mod templates;
pub mod usual_starts;
mod whole;
mod zone;

pub use check::{Assumed, ReadFile, Reading, Topic, Warning, lithium_behind_relay, read};
pub use edit::edited;
pub use file::json_schema;
pub use parts::*;
pub use problem::{Problem, Refusal, counted};
pub use subject::subject;
pub use whole::{ChangeError, Changes, Scenario};
pub use zone::{LocalInstant, Zone};
