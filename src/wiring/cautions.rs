//! The cautions that every wiring output carries.
//!
//! One job: their wording, in one place.

/// Shown with the table, the csv, the JSON, the diagram and the report; quantities marked as [`Units::sentence`] takes
/// them.
///
/// [`Units::sentence`]: crate::units::Units::sentence
pub const CAUTIONS: [&str; 7] = [
    "Local codes and licensed practice come first: where they ask for more than this plan, they rule.",
    "These figures come from tables and your own numbers. They are a plan, not a certificate: have the work checked.",
    "Fuse every cable at its source, and at both ends where both can feed it. The fuse protects the cable.",
    "Disconnect the batteries before you work, the negative first, and keep tools and rings off live terminals.",
    "A lithium bank can drive thousands of amperes into a short circuit: its main fuse must be able to break them.",
    "Never charge a lithium battery below ‹0 °C› of the battery itself.",
    "230/120 V work, shore inlets and inverter outputs included, is for a licensed person.",
];
