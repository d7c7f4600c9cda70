//! A batch of trials under way: what the step loop works on.
//!
//! One job: to hold it, and set it up before the first step. What happens in a step is in `run` and
//! the files it calls: `loads_step`, `sources_step`, `settling_step`; `closing` makes the `Outcome`.

use super::air::Air;
use super::availabilities::Availabilities;
use super::bank_flow::{Flow, Tables};
use super::day_book::DayBook;
use super::demand::Demand;
use super::draws::Draws;
use super::drives::DriveTrack;
use super::lanes::{Lanes, ZERO};
use super::relays::RelayFlow;
use super::sharing::ChargerFlow;
use super::state::State;
use super::sun::Offer;
use super::sun_share::SunScratch;
use super::track::Track;
use crate::timeline::Timeline;

/// A portable panel stands again so long after a leg's arrival, s.
const SETTLE_S: f64 = 3600.0;

/// A batch under way.
pub(crate) struct Batch<'a> {
    pub(crate) timeline: &'a Timeline,
    pub(crate) draws: &'a Draws,
    pub(crate) state: State,
    pub(crate) air: Air,
    pub(crate) drives: DriveTrack<'a>,
    pub(crate) demand: Demand,
    pub(crate) days: DayBook,
    /// Of the vehicle and of its trailer.
    pub(crate) availabilities: [Availabilities; 2],
    pub(crate) availabilities_moved: bool,
    pub(crate) availabilities_new: bool,
    pub(crate) flows: Vec<Flow>,
    pub(crate) chargers: Vec<ChargerFlow>,
    /// Relays among them.
    pub(crate) relays: Vec<RelayFlow>,
    /// Whether any charger can work in this step.
    pub(crate) any_open: bool,
    pub(crate) offers: Vec<Offer>,
    pub(crate) sun: SunScratch,
    pub(crate) tracks: Vec<Track>,
    pub(crate) tables: Box<Tables>,
    pub(crate) next_event: usize,
    pub(crate) active_events: Vec<(usize, Lanes, Lanes)>,
    /// What loads ask over the mean of the step, W and A: while the engine runs, and while the vehicle is parked.
    pub(crate) more: [[Lanes; 2]; 2],
    pub(crate) latest_departure_s: f64,
}

impl std::fmt::Debug for Batch<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Batch").finish_non_exhaustive()
    }
}

impl<'a> Batch<'a> {
    pub(crate) fn new(timeline: &'a Timeline, draws: &'a Draws) -> Self {
        let plant = &timeline.plant;
        let air = Air::new(timeline, draws);
        let state = State::new(timeline, draws, &air.ambient);
        let tracks = (0..plant.banks.len())
            .map(|bank| {
                let account = &state.banks[bank];
                Track::new(timeline, bank, &account.soc, &account.on)
            })
            .collect();
        Self {
            timeline,
            draws,
            air,
            drives: DriveTrack::new(draws, SETTLE_S),
            demand: Demand::new(plant),
            days: DayBook::default(),
            availabilities: [false, true].map(|trailer| Availabilities::new(plant, trailer)),
            availabilities_moved: true,
            availabilities_new: true,
            flows: (0..plant.banks.len())
                .map(|bank| Flow::new(plant, bank))
                .collect(),
            chargers: vec![ChargerFlow::default(); plant.chargers.len()],
            relays: RelayFlow::all(plant),
            any_open: false,
            offers: vec![Offer::default(); plant.panels.len()],
            sun: SunScratch::new(plant),
            tracks,
            tables: Box::default(),
            next_event: 0,
            active_events: Vec::new(),
            more: [[ZERO; 2]; 2],
            latest_departure_s: draws.departure_s.iter().fold(0.0, |a: f64, b| a.max(*b)),
            state,
        }
    }
}
