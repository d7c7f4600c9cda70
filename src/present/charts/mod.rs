//! Pictures: answers as self-contained SVG.

mod sky_year;
mod year_panel;

pub use sky_year::sky_year_svg;
