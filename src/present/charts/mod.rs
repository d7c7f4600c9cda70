//! Pictures: answers as self-contained SVG.
//!
//! One job: to draw what the answers hold. Lines carry their own labels; colours are in `palette`;
//! every label is placed clear of the others by its estimated size. A picture has no style sheet
//! and no ids, so that several can stand in one page.

mod autonomy;
mod bars;
mod budget;
mod canvas;
mod compare;
mod dashes;
mod foot;
mod learn;
mod mend;
mod palette;
mod scale;
#[cfg(feature = "cli")]
mod sky_year;
mod soc_panel;
mod spread_labels;
mod stay;
mod survival_panel;
mod svg;
mod text_size;
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
