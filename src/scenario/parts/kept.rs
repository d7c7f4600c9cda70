//! Surroundings: where a bank or a fridge stands, through where a run goes.

use super::section::words;

words! {
    /// Surroundings in which a bank or a fridge stands.
    pub Kept {
        /// In the cabin with the people.
        Cabin = "cabin",
        /// In a canopy, trailer or outside locker.
        Box = "box",
        /// Beside the engine.
        EngineBay = "engine-bay",
    }
}
