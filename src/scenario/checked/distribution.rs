//! What stands between banks and consumers: buses, fuse blocks, switches, the plug to the trailer.

use schemars::JsonSchema;
use serde::Deserialize;

/// What such a thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PointKind {
    /// A bar with several bolts and no fuses.
    Bus,
    /// A block with a blade fuse for each circuit.
    FuseBlock,
    /// A plug and socket, to a trailer or a portable panel.
    Plug,
    /// A switch that parts a bank from the rest.
    Switch,
}

impl PointKind {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Bus => "bus",
            Self::FuseBlock => "fuse block",
            Self::Plug => "plug",
            Self::Switch => "switch",
        }
    }
}

/// One of them with every default filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Unique id.
    pub id: String,
    /// What it is.
    pub kind: PointKind,
    /// Current that it carries, if given.
    pub rated_a: Option<f64>,
    /// Resistance of its contacts, both poles together, mΩ.
    pub contact_mohm: f64,
    /// Largest conductor that its terminals take, if given.
    pub largest_mm2: Option<f64>,
}
