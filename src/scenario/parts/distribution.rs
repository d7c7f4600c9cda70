//! What stands between banks and consumers: buses, fuse blocks, switches, the plug to the trailer.

use super::section::{section, words};

words! {
    /// What such a thing is.
    pub PointKind {
        /// A bar with several bolts and no fuses.
        Bus = "bus",
        /// A block with a blade fuse for each circuit.
        FuseBlock = "fuse-block",
        /// A plug and socket, to a trailer or a portable panel.
        Plug = "plug",
        /// A switch that parts a bank from the rest.
        Switch = "switch",
    }
}

impl PointKind {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::FuseBlock => "fuse block",
            other => other.word(),
        }
    }
}

section! {
    /// A bus, fuse block, plug or switch between banks and consumers.
    Point from PointFile(file, path, notes) {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must else String::new();
        /// What it is.
        kind: PointKind [] must else PointKind::Bus;
        /// Current that it carries.
        rated_a: f64 [above 0 to 5000] may;
        /// Resistance of its contacts, both poles together, mΩ.
        contact_mohm: f64 [0 to 1000] or match kind {
            PointKind::Plug => (2.0, "sound contacts of both poles (common practice)"),
            PointKind::Switch => (0.3, "sound contacts (common practice)"),
            PointKind::Bus | PointKind::FuseBlock => (0.0, "bolted joints count with the runs"),
        };
        /// Largest conductor that its terminals take, mm².
        largest_mm2: f64 [0.2 to 400] may;
    }
}
