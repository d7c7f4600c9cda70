//! What stands under a verdict: tables and the sentences between them.
//!
//! One job: answers as parts that a terminal or a page lays out, and the tables of their files. The sentence above
//! a table is in `words`.

mod budget;
mod budget_lines;
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
mod wiring;

pub(super) use budget::{BUDGET_KEY, bank_table};
pub use budget::{budget_file, budget_tables};
pub(super) use budget_lines::{BudgetItem, Total, budget_rows, live_word};
pub(super) use choosing::shed_steps;
pub use choosing::{shed_file, shed_tables, topup_file, topup_tables, why_file, why_tables};
pub use compare::{compare_table, compare_tables};
#[cfg(feature = "cli")]
pub use frame::laid_out;
pub use learn::learn_tables;
pub(super) use learn::{learn_tables_of, log_lines};
pub(super) use mend::change_table;
pub use mend::mend_tables;
pub use nights::nights_file;
pub(super) use nights::{chance, dawn};
pub use part::Part;
pub use places::{places_json, places_tables};
pub use sky::sky_tables;
pub use stay::stay_tables;
pub use trip::trip_tables;
pub(super) use trip::{banks_table, fridge_table};
pub(super) use wiring::runs_table;
pub use wiring::{wiring_file, wiring_tables};
