//! What chance has decided for a batch of trials.
//!
//! One job: the shape. `trials` fills it; tests fill it by hand. Times are seconds since the
//! timeline's start.

use super::carried::Carried;
use super::lanes::{LANES, Lanes, ZERO};
use crate::sky::sky_light::SkyLight;

/// A drive of one trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Departure.
    pub from_s: f64,
    /// Arrival.
    pub to_s: f64,
    /// A leg of the itinerary (true) or a drive about from a stop.
    pub is_leg: bool,
}

/// One occurrence of an event load, in each trial.
#[derive(Debug, Clone, PartialEq)]
pub struct EventTimes {
    /// Index of the event in the plant.
    pub event: usize,
    /// Beginning in each trial.
    pub from_s: Lanes,
    /// End in each trial.
    pub to_s: Lanes,
    /// The earliest beginning.
    pub earliest_s: f64,
    /// The latest end.
    pub latest_s: f64,
}

/// Light of one hour with sun in `N` trials side by side: see `sky::sky_light`.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(C, align(64))]
pub struct Light<const N: usize = LANES> {
    /// Clearness.
    pub kt: [f64; N],
    /// Directional part.
    pub directional: [f64; N],
    /// Isotropic part.
    pub isotropic: [f64; N],
}

/// All that was drawn for a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Draws {
    /// Lanes in use: the first so many.
    pub count: usize,
    /// State of charge of each bank at the start, where it does not take over what went before.
    pub start_soc: Vec<Lanes>,
    /// What the trials take over from what went before; `None`: they begin with the file.
    pub carried: Option<Carried>,
    /// Drives of each trial, in order and apart.
    pub drives: Vec<Vec<Drive>>,
    /// First departure of each trial.
    pub departure_s: Lanes,
    /// End of each trial.
    pub end_s: Lanes,
    /// Factor of each load's use on each day: `use_factor[load][day]`; hours loads: the hours.
    pub use_factor: Vec<Vec<Lanes>>,
    /// Occurrences of event loads, by earliest beginning.
    pub events: Vec<EventTimes>,
    /// Lowest temperature of each day.
    pub day_min_c: Vec<Lanes>,
    /// Highest temperature of each day.
    pub day_max_c: Vec<Lanes>,
    /// Light of each hour slot.
    pub light: Vec<Light>,
}

impl<const N: usize> Light<N> {
    /// None.
    pub const DARK: Self = Self {
        kt: [0.0; N],
        directional: [0.0; N],
        isotropic: [0.0; N],
    };

    /// The light of one trial.
    #[must_use]
    pub fn of(&self, lane: usize) -> SkyLight {
        SkyLight {
            kt: self.kt[lane],
            directional: self.directional[lane],
            isotropic: self.isotropic[lane],
        }
    }

    /// Sets the light of one trial.
    #[inline(always)]
    pub fn set(&mut self, lane: usize, light: SkyLight) {
        self.kt[lane] = light.kt;
        self.directional[lane] = light.directional;
        self.isotropic[lane] = light.isotropic;
    }
}

impl Draws {
    /// From when on the time to a shortfall counts in each trial: its departure, or the beginning of what
    /// goes on from what went before.
    #[must_use]
    pub fn counted_from_s(&self) -> Lanes {
        if self.carried.is_some() {
            ZERO
        } else {
            self.departure_s
        }
    }

    /// Mean of a day's lowest and highest temperature: where the banks start.
    #[must_use]
    pub fn mean_c(&self, day: usize) -> Lanes {
        Lanes::from_fn(|lane| 0.5 * (self.day_min_c[day][lane] + self.day_max_c[day][lane]))
    }
}
