//! Pictures: answers as self-contained SVG.
//!
//! One job: to draw what the answers hold. Lines carry their own labels; colours are in `palette`;
//! every label is placed clear of the others by its estimated size. A picture has no style sheet
//! and no ids, so that several can stand in one page. The sheet is the diagram's too. What draws is the plotting
//! library's interface for backends on every target, and where the library can go, itself in `year_panel`.

mod autonomy;
mod axes;
mod bars;
mod budget;
pub(super) mod canvas;
mod compare;
mod foot;
mod learn;
mod mend;
pub(super) mod palette;
mod scale;
#[cfg(feature = "cli")]
mod sky_year;
mod soc_panel;
mod spread_labels;
mod stay;
mod survival_panel;
mod svg;
pub(super) mod text_size;
mod topup;
mod trip;
#[cfg(feature = "cli")]
mod year_panel;

#[cfg(test)]
mod geometry;

pub use autonomy::autonomy_svg;
pub use bars::{shed_svg, why_svg};
pub use budget::budget_svg;
pub use compare::compare_svg;
pub(super) use learn::LEARN_LEGEND;
pub use learn::learn_svg;
pub use mend::mend_svg;
#[cfg(feature = "cli")]
pub use sky_year::sky_year_svg;
pub use stay::stay_svg;
pub use topup::topup_svg;
pub use trip::trip_svg;
