//! `report.html`: every answer in one file to print, send and carry.
//!
//! One job: answers to sections, sections to a page. A section is a function from an answer to
//! `Section`; the page numbers tables and figures and makes the contents. The file
//! needs neither network nor script. The pictures are those of `charts` and `diagram`.
//! Left out: what is worked out, which is in `study::report`.

mod budget;
mod cautions;
mod days;
mod glance;
mod grounds;
mod log;
mod mend;
mod nights;
mod options;
mod page;
mod parts;
mod shed;
mod trust;
mod what_if;
mod wiring;

pub use nights::nights_left_html;
pub use page::{Imprint, report_html, report_style};
