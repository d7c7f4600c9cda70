//! Draws for a batch of trials.

use chrono::Datelike;

use super::chance::Chance;
use super::drive_draws::{DriveDraws, TrialDrives};
use super::pert::PertQuantile;
use super::random::StreamKey;
use super::weather_draws::{TrialWeather, WeatherDraws};
use crate::engine::{Draws, EventTimes, LANES, Lanes, Light};
use crate::scenario::{EventMoment, Scenario, Spread};
use crate::timeline::Timeline;
use crate::timeline::calendar::clock_utc_s;

const NONE: Lanes = [0.0; LANES];

/// Trials whose weather is drawn together.
const SIDE_BY_SIDE: usize = 8;

/// Place of a trial's own factor in a load's stream; days have their numbers.
const WHOLE_TRIAL: u64 = u64::MAX;

struct LoadDraw {
    key: StreamKey,
    factor: usize,
    daily_use: PertQuantile,
}

struct EventDraw {
    key: StreamKey,
    minutes: PertQuantile,
    load: usize,
    on: EventMoment,
    /// Daily events: the instants.
    times_s: Vec<f64>,
}

/// Seeds by what is drawn; all alike but where the parts of chance are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seeds {
    /// Clearness and temperature.
    pub weather: u64,
    /// Departures and hours at the wheel.
    pub driving: u64,
    /// Use of the loads.
    pub habits: u64,
    /// States of charge at the start.
    pub start: u64,
}

impl Seeds {
    /// One seed for everything.
    #[must_use]
    pub fn all(seed: u64) -> Self {
        Self {
            weather: seed,
            driving: seed,
            habits: seed,
            start: seed,
        }
    }
}

/// Everything drawn for a plan, prepared once for all trials.
pub struct Drawing<'a> {
    timeline: &'a Timeline,
    start_soc: Vec<(StreamKey, PertQuantile)>,
    drives: DriveDraws,
    weather: WeatherDraws<'a>,
    loads: Vec<LoadDraw>,
    factors: Vec<PertQuantile>,
    events: Vec<EventDraw>,
    day_numbers: Vec<u64>,
}

impl std::fmt::Debug for Drawing<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Drawing").finish_non_exhaustive()
    }
}

impl<'a> Drawing<'a> {
    /// Prepares the draws of a plan under a seed. `start_soc` replaces the scenario's where given.
    #[must_use]
    pub fn new(
        scenario: &Scenario,
        timeline: &'a Timeline,
        seed: u64,
        start_soc: &[Option<f64>],
    ) -> Self {
        Self::with_seeds(scenario, timeline, Seeds::all(seed), start_soc)
    }

    /// The same with a seed for each part of chance.
    #[must_use]
    pub fn with_seeds(
        scenario: &Scenario,
        timeline: &'a Timeline,
        seeds: Seeds,
        start_soc: &[Option<f64>],
    ) -> Self {
        let mut spreads: Vec<f64> = Vec::new();
        let mut factors = Vec::new();
        let loads = scenario
            .loads
            .iter()
            .zip(&timeline.plant.loads)
            .map(|(load, plant)| {
                let spread = plant.use_spread;
                let known = spreads
                    .iter()
                    .position(|known| (known - spread).abs() < 1e-12);
                let factor = known.unwrap_or_else(|| {
                    spreads.push(spread);
                    let around = Spread {
                        min: 1.0 - spread,
                        likely: 1.0,
                        max: 1.0 + spread,
                    };
                    factors.push(PertQuantile::new(around));
                    spreads.len() - 1
                });
                LoadDraw {
                    key: StreamKey::new(seeds.habits, &format!("load/{}", load.id)),
                    factor,
                    daily_use: PertQuantile::new(plant.daily_use),
                }
            });
        let loads = loads.collect();
        let banks = scenario.banks.iter().enumerate();
        Self {
            start_soc: banks
                .map(|(index, bank)| {
                    let key = StreamKey::new(seeds.start, &format!("start/{}", bank.id));
                    let given = start_soc.get(index).copied().flatten();
                    (
                        key,
                        PertQuantile::new(given.map_or(bank.start_soc, Spread::fixed)),
                    )
                })
                .collect(),
            drives: DriveDraws::new(scenario, timeline, seeds.driving),
            weather: WeatherDraws::new(timeline, seeds.weather),
            loads,
            factors,
            events: event_draws(scenario, timeline, seeds.habits),
            day_numbers: timeline
                .days
                .iter()
                .map(|day| u64::try_from(day.date.num_days_from_ce()).unwrap_or(0))
                .collect(),
            timeline,
        }
    }

    /// Draws for `count` trials from number `first` on, and how often a leg left late. Unused lanes
    /// repeat the first trial.
    #[must_use]
    pub fn batch(&self, first: u64, count: usize) -> (Draws, u32) {
        let mut draws = Draws::empty();
        let overruns = self.batch_into(first, count, &mut draws);
        (draws, overruns)
    }

    /// The same into the room of other draws of this plan.
    pub fn batch_into(&self, first: u64, count: usize, draws: &mut Draws) -> u32 {
        let chances: Vec<Chance> = (first..)
            .take(count.clamp(1, LANES))
            .map(Chance::Trial)
            .collect();
        self.draw(&chances, draws)
    }

    /// One trial without chance.
    #[must_use]
    pub fn typical(&self) -> Draws {
        let mut draws = Draws::empty();
        self.draw(&[Chance::Mean], &mut draws);
        draws
    }

    fn draw(&self, chances: &[Chance], draws: &mut Draws) -> u32 {
        let count = chances.len();
        let mut trials: Vec<TrialDrives> = chances
            .iter()
            .map(|chance| self.drives.draw(*chance))
            .collect();
        let overruns = trials.iter().map(|trial| trial.overruns).sum();
        trials.resize(LANES, trials[0].clone());
        let days = self.timeline.days.len();
        draws.count = count;
        draws.departure_s = std::array::from_fn(|lane| trials[lane].departure_s);
        draws.end_s = std::array::from_fn(|lane| trials[lane].end_s);
        draws.start_soc = self
            .start_soc
            .iter()
            .map(|(key, table)| {
                drawn(chances, |chance| {
                    chance.pick(table, chance.uniforms(*key, 0).0)
                })
            })
            .collect();
        draws.day_min_c.resize(days, NONE);
        draws.day_max_c.resize(days, NONE);
        draws
            .light
            .resize(self.timeline.sun.slots.len(), Light::DARK);
        self.draw_weather(chances, draws);
        draws.use_factor = self
            .loads
            .iter()
            .map(|load| self.draw_use(load, chances))
            .collect();
        draws.events = self.events(chances, &trials);
        draws.drives = trials.into_iter().map(|trial| trial.drives).collect();
        overruns
    }

    /// Weather, some trials at a time: what lies side by side in memory is written at once.
    fn draw_weather(&self, chances: &[Chance], draws: &mut Draws) {
        let count = chances.len();
        let mut drawn: [TrialWeather; SIDE_BY_SIDE] =
            std::array::from_fn(|_| TrialWeather::default());
        for (block, chances) in chances.chunks(SIDE_BY_SIDE).enumerate() {
            for (chance, weather) in chances.iter().zip(&mut drawn) {
                self.weather.draw(*chance, weather);
            }
            let first = block * SIDE_BY_SIDE;
            let drawn = &drawn[..chances.len()];
            for (day, (low, high)) in draws
                .day_min_c
                .iter_mut()
                .zip(&mut draws.day_max_c)
                .enumerate()
            {
                for (lane, weather) in (first..).zip(drawn) {
                    low[lane] = weather.min_c[day];
                    high[lane] = weather.max_c[day];
                }
            }
            for (slot, light) in draws.light.iter_mut().enumerate() {
                for (lane, weather) in (first..).zip(drawn) {
                    light.kt[lane] = weather.light[slot].kt;
                }
                for (lane, weather) in (first..).zip(drawn) {
                    light.directional[lane] = weather.light[slot].directional;
                }
                for (lane, weather) in (first..).zip(drawn) {
                    light.isotropic[lane] = weather.light[slot].isotropic;
                }
            }
        }
        for light in &mut draws.light {
            for lanes in [&mut light.kt, &mut light.directional, &mut light.isotropic] {
                repeat_first(lanes, count);
            }
        }
        for lanes in draws.day_min_c.iter_mut().chain(&mut draws.day_max_c) {
            repeat_first(lanes, count);
        }
    }

    /// Factor of a load's use on each day.
    fn draw_use(&self, load: &LoadDraw, chances: &[Chance]) -> Vec<Lanes> {
        let table = &self.factors[load.factor];
        let whole = drawn(chances, |chance| {
            chance.pick(table, chance.uniforms(load.key, WHOLE_TRIAL).0)
        });
        let days = self.day_numbers.iter();
        days.map(|&day| {
            let mut factors = drawn(chances, |chance| {
                let (first, second) = chance.uniforms(load.key, day);
                chance.pick(table, first) * chance.pick(&load.daily_use, second)
            });
            for lane in 0..LANES {
                factors[lane] *= whole[lane];
            }
            factors
        })
        .collect()
    }

    fn events(&self, chances: &[Chance], trials: &[TrialDrives]) -> Vec<EventTimes> {
        let legs = trials.first().map_or(0, |trial| trial.legs.len());
        let mut events = Vec::new();
        for (index, event) in self.events.iter().enumerate() {
            let occurrences = match event.on {
                EventMoment::Daily(_) => event.times_s.len(),
                _ => legs,
            };
            let table = &self.factors[self.loads[event.load].factor];
            let whole = drawn(chances, |chance| {
                chance.pick(table, chance.uniforms(event.key, WHOLE_TRIAL).0)
            });
            for occurrence in 0..occurrences {
                let (mut from_s, mut to_s) = (NONE, NONE);
                for (lane, (chance, trial)) in chances.iter().zip(trials).enumerate() {
                    let (first, second) = chance.uniforms(event.key, occurrence as u64);
                    let factor = whole[lane] * chance.pick(table, second);
                    from_s[lane] = match event.on {
                        EventMoment::Arrive => trial.legs[occurrence].1,
                        EventMoment::Depart => trial.legs[occurrence].0,
                        EventMoment::Daily(_) => event.times_s[occurrence],
                    };
                    let minutes = factor * chance.pick(&event.minutes, first);
                    to_s[lane] = from_s[lane] + 60.0 * minutes;
                }
                repeat_first(&mut from_s, chances.len());
                repeat_first(&mut to_s, chances.len());
                events.push(EventTimes {
                    event: index,
                    earliest_s: from_s.iter().copied().fold(f64::INFINITY, f64::min),
                    latest_s: to_s.iter().copied().fold(f64::NEG_INFINITY, f64::max),
                    from_s,
                    to_s,
                });
            }
        }
        events.sort_by(|a, b| a.earliest_s.total_cmp(&b.earliest_s));
        events
    }
}

/// One number for each trial; unused lanes repeat the first.
fn drawn(chances: &[Chance], number: impl Fn(&Chance) -> f64) -> Lanes {
    let mut lanes = NONE;
    for (lane, chance) in lanes.iter_mut().zip(chances) {
        *lane = number(chance);
    }
    repeat_first(&mut lanes, chances.len());
    lanes
}

fn repeat_first(lanes: &mut Lanes, count: usize) {
    let first = lanes[0];
    lanes[count..].fill(first);
}

fn event_draws(scenario: &Scenario, timeline: &Timeline, seed: u64) -> Vec<EventDraw> {
    let zone = &scenario.itinerary.zone;
    let start_s = timeline.calendar.start_s;
    let events = timeline.plant.events.iter();
    events
        .map(|event| {
            let load = &scenario.loads[event.load];
            let times_s = match event.on {
                EventMoment::Daily(clock) => timeline
                    .days
                    .iter()
                    .map(|day| clock_utc_s(zone, day.date, clock) - start_s)
                    .map(|since_s| {
                        #[expect(clippy::cast_precision_loss, reason = "seconds of a trip")]
                        let since_s = since_s as f64;
                        since_s
                    })
                    .collect(),
                _ => Vec::new(),
            };
            EventDraw {
                key: StreamKey::new(seed, &format!("event/{}", load.id)),
                minutes: PertQuantile::new(event.minutes),
                load: event.load,
                on: event.on,
                times_s,
            }
        })
        .collect()
}
