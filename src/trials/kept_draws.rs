//! What was drawn for some trials, kept for the next scenario that meets them.
//!
//! One job: not to draw again what a change leaves as it is. It can change no figure: what is kept is what would
//! be drawn.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use super::draw::Drawing;
use crate::engine::{Draws, LANES, Lanes, Light};
use crate::scenario::Scenario;
use crate::timeline::Timeline;

/// Room for what is kept, bytes; what comes after is drawn each time.
const MOST_BYTES: usize = 48 << 20;

/// What was drawn, by the trials of a batch.
pub type DrawnBatches = BTreeMap<Vec<u64>, Arc<Draws>>;

/// Draws of a plan, by the trials of a batch.
#[derive(Debug)]
pub struct KeptDraws<'a> {
    drawing: Drawing<'a>,
    known: Mutex<DrawnBatches>,
}

impl<'a> KeptDraws<'a> {
    /// What is known of a plan under a seed: nothing yet, or what was taken out of the same before.
    #[must_use]
    pub fn new(
        scenario: &Scenario,
        timeline: &'a Timeline,
        seed: u64,
        known: DrawnBatches,
    ) -> Self {
        Self {
            drawing: Drawing::new(scenario, timeline, seed, &[]),
            known: Mutex::new(known),
        }
    }

    /// What was drawn, for the next time.
    #[must_use]
    pub fn into_known(self) -> DrawnBatches {
        self.known.into_inner().unwrap_or_default()
    }

    /// What `changed` draws for some trials, 1 to [`LANES`] of them: it must be of the same plan, seed and sky.
    pub(super) fn of(&self, changed: &Drawing<'_>, trials: &[u64]) -> Arc<Draws> {
        let own = self.own(trials);
        if changed.is_like(&self.drawing) {
            own
        } else {
            Arc::new(changed.under_sky_of(trials, &own))
        }
    }

    fn own(&self, trials: &[u64]) -> Arc<Draws> {
        if let Ok(known) = self.known.lock()
            && let Some(draws) = known.get(trials)
        {
            return Arc::clone(draws);
        }
        // The lock is free meanwhile: two threads may both draw them, to the same bits.
        let draws = Arc::new(self.drawing.chosen(trials).0);
        if let Ok(mut known) = self.known.lock()
            && known.len() < MOST_BYTES / bytes(&draws)
        {
            known.insert(trials.to_vec(), Arc::clone(&draws));
        }
        draws
    }
}

/// About how much room draws take: nearly all of it is light, use and temperature.
fn bytes(draws: &Draws) -> usize {
    let days: usize = draws.use_factor.iter().map(Vec::len).sum();
    let lanes = days + 2 * draws.day_min_c.len() + 2 * draws.events.len() + LANES;
    lanes * size_of::<Lanes>() + draws.light.len() * size_of::<Light>()
}
