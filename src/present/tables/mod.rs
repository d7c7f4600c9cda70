//! What stands under a verdict: tables and the sentences between them.
//!
//! One job: answers as parts that a terminal or a page lays out. Files of the same rows are in `csv`; the
//! sentence above a table is in `words`.

mod budget;
mod choosing;
mod compare;
#[cfg(feature = "cli")]
mod frame;
mod learn;
mod mend;
mod nights;
mod outages;
mod part;
mod places;
mod sky;
mod stay;
mod trip;

pub use budget::budget_tables;
pub use choosing::{shed_tables, topup_tables, why_tables};
pub use compare::compare_tables;
#[cfg(feature = "charts")]
pub(super) use compare::mass_heading;
#[cfg(feature = "cli")]
pub use frame::laid_out;
pub use learn::learn_tables;
#[cfg(feature = "charts")]
pub(super) use learn::{LearnTable, learn_tables_of, log_lines};
pub use mend::mend_tables;
#[cfg(feature = "charts")]
pub(super) use mend::{change_columns, change_rows};
pub use part::{Align, Part, Table, table_of};
pub use places::{places_json, places_tables};
pub use sky::sky_tables;
pub use stay::stay_tables;
pub use trip::trip_tables;
