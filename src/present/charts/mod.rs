//! Pictures: answers as self-contained SVG.

mod sky_year;

pub use sky_year::sky_year_svg;
