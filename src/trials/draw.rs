//! Draws for a batch of trials.

use chrono::Datelike;

use super::behind::Behind;
use super::chance::Chances;
use super::day_draws::ClimateKeys;
use super::drive_draws::{DriveDraws, TrialDrives};
use super::pert::PertQuantile;
use super::random::StreamKey;
use super::weather_draws::{Weather, WeatherDraws};
use crate::engine::{Carried, Draws, Drive, EventTimes, LANES, Lanes, widest};
use crate::scenario::{EventMoment, Scenario, Spread};
use crate::timeline::Timeline;
use crate::timeline::calendar::clock_utc_s;
use crate::timeline::here::MeterReading;

/// Place of a trial's own factor in a load's stream; days have their numbers.
const WHOLE_TRIAL: u64 = u64::MAX;

#[derive(PartialEq)]
struct LoadDraw {
    key: StreamKey,
    /// Drawn by occurrence, not by day.
    is_event: bool,
    factor: usize,
    daily_use: PertQuantile,
}

#[derive(PartialEq)]
struct EventDraw {
    key: StreamKey,
    minutes: PertQuantile,
    load: usize,
    on: EventMoment,
    /// The instants by the calendar, by occurrence: those of daily events, of others each trial has its own.
    times_s: Vec<f64>,
    /// Whether it comes, by occurrence: on that date, at that stop.
    comes: Vec<bool>,
}

/// Seeds by what is drawn; all alike but where the parts of chance are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seeds {
    /// Clearness and temperature.
    pub weather: u64,
    /// How far the climate's table is from the truth.
    pub climate_table: u64,
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
            climate_table: seed,
            driving: seed,
            habits: seed,
            start: seed,
        }
    }
}

/// Everything drawn for a plan, prepared once for all trials.
pub struct Drawing<'a> {
    start_soc: Vec<(StreamKey, PertQuantile)>,
    drives: DriveDraws,
    weather: WeatherDraws<'a>,
    loads: Vec<LoadDraw>,
    factors: Vec<PertQuantile>,
    events: Vec<EventDraw>,
    day_numbers: Vec<u64>,
    past: Option<PastDraw<'a>>,
}

/// What leads up to a plan that begins on the way.
struct PastDraw<'a> {
    behind: BehindOf<'a>,
    /// Least and greatest that the meter of a bank shows, where one was read.
    readings: Vec<Option<(StreamKey, MeterReading)>>,
}

/// Of this plan alone, or of several.
enum BehindOf<'a> {
    Own(Box<Behind<'a>>),
    Shared(&'a Behind<'a>),
}

impl PastDraw<'_> {
    /// What the trials take over: `start_soc` gets what meters show.
    fn carried(&self, chances: &Chances<LANES>, count: usize, start_soc: &mut [Lanes]) -> Carried {
        let mut carried = match &self.behind {
            BehindOf::Own(behind) => behind.carried(chances, count),
            BehindOf::Shared(behind) => behind.carried(chances, count),
        };
        for (bank, reading) in self.readings.iter().enumerate() {
            let Some((key, MeterReading { low, high })) = reading else {
                continue;
            };
            let uniforms = chances.uniforms(*key, 0).0;
            start_soc[bank] = Lanes(uniforms.map(|uniform| low + uniform * (high - low)));
            carried.banks[bank] = None;
        }
        carried
    }
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
        Self::going_on(scenario, timeline, Seeds::all(seed), start_soc, None)
    }

    /// The same with a seed for each part of chance; `behind`: trials that were run up to there under the same
    /// seeds, from which it goes on.
    #[must_use]
    pub fn going_on(
        scenario: &Scenario,
        timeline: &'a Timeline,
        seeds: Seeds,
        start_soc: &[Option<f64>],
        behind: Option<&'a Behind<'a>>,
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
                    is_event: load.kind.is_event(),
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
            weather: WeatherDraws::new(
                timeline,
                ClimateKeys::new(seeds.weather, seeds.climate_table),
            ),
            loads,
            factors,
            events: event_draws(scenario, timeline, seeds.habits),
            day_numbers: timeline
                .days
                .iter()
                .map(|day| u64::try_from(day.date.num_days_from_ce()).unwrap_or(0))
                .collect(),
            past: timeline.past.as_deref().map(|past| PastDraw {
                behind: behind.map_or_else(
                    || BehindOf::Own(Box::new(Behind::new(past, seeds, start_soc))),
                    BehindOf::Shared,
                ),
                readings: (scenario.banks.iter().enumerate())
                    .map(|(index, bank)| {
                        let key = StreamKey::new(seeds.start, &format!("meter/{}", bank.id));
                        past.here.reading(index).map(|reading| (key, reading))
                    })
                    .collect(),
            }),
        }
    }

    /// The same with the drives of the whole plan known, in order and apart, and departure and arrival of each
    /// leg.
    #[must_use]
    pub fn driven_so(mut self, drives: Vec<Drive>, legs: Vec<(f64, f64)>) -> Self {
        self.drives.known = Some((drives, legs));
        self
    }

    /// Draws for `count` trials from number `first` on, and how often a leg left late.
    #[must_use]
    pub fn batch(&self, first: u64, count: usize) -> (Draws, u32) {
        let trials: Vec<u64> = (first..).take(count).collect();
        self.chosen(&trials)
    }

    /// Draws for trials picked by number, 1 to [`LANES`] of them, the first of which unused lanes repeat;
    /// and how often a leg left late.
    #[must_use]
    pub fn chosen(&self, trials: &[u64]) -> (Draws, u32) {
        self.draw(&trials_of(trials), trials.len())
    }

    /// One trial without chance.
    #[must_use]
    pub fn typical(&self) -> Draws {
        self.draw(&Chances::Mean, 1).0
    }

    /// Whether it draws the same loads, events and charges as another of the same plan, seed and sky.
    pub(super) fn is_like(&self, other: &Drawing<'_>) -> bool {
        self.loads == other.loads
            && self.factors == other.factors
            && self.events == other.events
            && self.start_soc == other.start_soc
    }

    /// Draws for trials picked by number as [`chosen`](Self::chosen), with the weather that another drawing of the
    /// same plan, seed and sky gave them.
    pub(super) fn under_sky_of(&self, trials: &[u64], other: &Draws) -> Draws {
        let weather = Weather {
            min_c: other.day_min_c.iter().map(|lanes| lanes.0).collect(),
            max_c: other.day_max_c.iter().map(|lanes| lanes.0).collect(),
            light: other.light.clone(),
            ..Weather::default()
        };
        self.draw_under(&trials_of(trials), trials.len(), weather).0
    }

    pub(super) fn draw(&self, chances: &Chances<LANES>, count: usize) -> (Draws, u32) {
        let mut weather = Weather::default();
        self.weather.draw(chances, &mut weather);
        self.draw_under(chances, count, weather)
    }

    fn draw_under(
        &self,
        chances: &Chances<LANES>,
        count: usize,
        weather: Weather<LANES>,
    ) -> (Draws, u32) {
        let trials: Vec<TrialDrives> = (0..LANES)
            .map(|lane| self.drives.draw(chances.lane(lane)))
            .collect();
        let overruns = trials[..count].iter().map(|trial| trial.overruns).sum();
        let start_soc = self.start_soc.iter();
        let mut start_soc: Vec<Lanes> = start_soc
            .map(|(key, table)| Lanes(chances.pick(table, &chances.uniforms(*key, 0).0)))
            .collect();
        let past = self.past.as_ref();
        let draws = Draws {
            count,
            carried: past.map(|past| past.carried(chances, count, &mut start_soc)),
            departure_s: Lanes::from_fn(|lane| trials[lane].departure_s),
            end_s: Lanes::from_fn(|lane| trials[lane].end_s),
            start_soc,
            day_min_c: weather.min_c.into_iter().map(Lanes).collect(),
            day_max_c: weather.max_c.into_iter().map(Lanes).collect(),
            light: weather.light,
            use_factor: self
                .loads
                .iter()
                .map(|load| self.draw_use(load, chances))
                .collect(),
            events: self.events(chances, &trials),
            drives: trials.into_iter().map(|trial| trial.drives).collect(),
        };
        (draws, overruns)
    }

    /// Factor of a load's use on each day.
    fn draw_use(&self, load: &LoadDraw, chances: &Chances<LANES>) -> Vec<Lanes> {
        let table = &self.factors[load.factor];
        let mut factors = vec![Lanes::default(); self.day_numbers.len()];
        if load.is_event {
            return factors;
        }
        widest(
            #[inline(always)]
            || {
                let whole = chances.pick(table, &chances.uniforms(load.key, WHOLE_TRIAL).0);
                for (factors, &day) in factors.iter_mut().zip(&self.day_numbers) {
                    let (first, second) = chances.uniforms(load.key, day);
                    let first = chances.pick(table, &first);
                    let second = chances.pick(&load.daily_use, &second);
                    for lane in 0..LANES {
                        factors[lane] = whole[lane] * first[lane] * second[lane];
                    }
                }
            },
        );
        factors
    }

    fn events(&self, chances: &Chances<LANES>, trials: &[TrialDrives]) -> Vec<EventTimes> {
        let mut events = Vec::new();
        for (index, event) in self.events.iter().enumerate() {
            let table = &self.factors[self.loads[event.load].factor];
            let whole = chances.pick(table, &chances.uniforms(event.key, WHOLE_TRIAL).0);
            for occurrence in (0..event.times_s.len()).filter(|&it| event.comes[it]) {
                let (first, second) = chances.uniforms(event.key, occurrence as u64);
                let factor = chances.pick(table, &second);
                let minutes = chances.pick(&event.minutes, &first);
                let from_s = Lanes::from_fn(|lane| match event.on {
                    EventMoment::Arrive => trials[lane].legs[occurrence].1,
                    EventMoment::Depart => trials[lane].legs[occurrence].0,
                    EventMoment::Daily(_) => event.times_s[occurrence],
                });
                let to_s = Lanes::from_fn(|lane| {
                    from_s[lane] + 60.0 * (whole[lane] * factor[lane] * minutes[lane])
                });
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

/// Trials by number, the first of which unused lanes repeat.
fn trials_of(trials: &[u64]) -> Chances<LANES> {
    let of = |lane: usize| trials.get(lane).copied().unwrap_or(trials[0]);
    Chances::Trials(std::array::from_fn(of))
}

fn event_draws(scenario: &Scenario, timeline: &Timeline, seed: u64) -> Vec<EventDraw> {
    let zone = &scenario.itinerary.zone;
    let calendar = &timeline.calendar;
    let first_date = scenario.itinerary.start.date();
    let events = timeline.plant.events.iter();
    events
        .map(|event| {
            let load = &scenario.loads[event.load];
            let legs = calendar.legs.iter().enumerate();
            // Where and when it may come.
            let moments: Vec<(Option<usize>, i64)> = match event.on {
                EventMoment::Daily(clock) => {
                    let dates = timeline.days.iter().map(|day| day.date);
                    let moments = dates.map(|date| clock_utc_s(zone, date, clock));
                    moments.map(|at_s| (calendar.stop_at(at_s), at_s)).collect()
                }
                EventMoment::Arrive => legs.map(|(leg, at)| (Some(leg), at.arrive_s)).collect(),
                EventMoment::Depart => legs.map(|(leg, at)| (Some(leg), at.depart_s)).collect(),
            };
            let comes = |&(stop, utc_s): &(Option<usize>, i64)| {
                load.stops.holds(stop) && load.is_day(zone.local(utc_s).date(), first_date)
            };
            EventDraw {
                key: StreamKey::new(seed, &format!("event/{}", load.id)),
                minutes: PertQuantile::new(event.minutes),
                load: event.load,
                on: event.on,
                times_s: moments.iter().map(|at| calendar.since_s(at.1)).collect(),
                comes: moments.iter().map(comes).collect(),
            }
        })
        .collect()
}
