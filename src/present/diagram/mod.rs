//! `wiring.svg`: the one-line diagram, and the same in parts for paper.
//!
//! A layered drawing of our own: `graph` says what is joined to what, `order` keeps lines from
//! crossing, `place` gives heights, `route` draws orthogonal lines with room for their labels,
//! `svg` draws on the sheet of all pictures, `measure` has its sizes, `paper` cuts it to sides of A4. Sources stand left, chargers and banks in the middle, loads right. One line
//! stands for a pair of conductors. Lengths are in user units of the picture, scaled by its
//! view box. Left out: the negative side, switches, earths.

mod bands;
mod foot;
mod graph;
mod graph_edges;
mod measure;
mod order;
mod paper;
mod place;
mod route;
mod svg;
mod symbols;

pub use bands::Band;
pub use graph::{Circuit, Edge, Graph, Label, Node, NodeKind};
pub use paper::{paper_layouts, paper_svgs};
pub use route::{Layout, Outline, PlacedLabel, Point, Rect, Wire, layout};
pub use svg::wiring_svg;
