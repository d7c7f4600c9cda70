//! Tables on the screen.
//!
//! One job: answers as plain text in a given width. Files of the same rows are in `csv`; the
//! sentence above a table is in `words`.

mod budget;
mod choosing;
mod compare;
mod frame;
mod mend;
mod nights;
mod places;
mod sky;
mod stay;
mod trip;

pub use budget::budget_tables;
pub use choosing::{shed_tables, topup_tables, why_tables};
pub use compare::compare_tables;
pub use mend::mend_tables;
pub use places::{places_json, places_text};
pub use sky::sky_text;
pub use stay::stay_tables;
pub use trip::trip_tables;
