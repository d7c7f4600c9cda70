//! Temperatures of a batch: ambient, cabin, box, engine bay, and the batteries in them.

use super::bank_flow::Warmth;
use super::draws::{Draws, Light};
use super::drives::DriveTrack;
use super::lanes::{LANES, Lanes, ZERO, max, min, widest};
use crate::scenario::Kept;
use crate::sky::day_temperature::Limb;
use crate::system::battery_temperature::FOLLOWS_IN_H;
use crate::system::surroundings::{
    BOX_SHARE, CABIN_FOLLOWS_IN_H, CABIN_K_PER_W_M2, DRIVING_CABIN_C, ENGINE_BAY_FALLS_IN_H,
    ENGINE_BAY_K, HEATED_CABIN_C, lag_share,
};
use crate::timeline::Timeline;

/// Places where something is kept: cabin, box and engine bay of the vehicle, then of its trailer, which
/// stays in camp during local drives.
const PLACES: usize = 6;

#[inline]
fn place(kept: Kept, trailer: bool) -> usize {
    kept as usize + if trailer { PLACES / 2 } else { 0 }
}

/// One step, by place.
#[derive(Debug, Clone)]
struct AirStep {
    /// The air, mean over the step.
    around: [Lanes; PLACES],
    /// Every battery there, at the middle of the step: they start alike and are not warmed by their
    /// own current.
    batteries: [Lanes; PLACES],
    /// The lowest of them.
    least_c: [f64; PLACES],
}

/// What goes on from step to step: the air of each place at the step's end (of an engine bay how far it is
/// above ambient), and its batteries.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AirEnds {
    places: [Lanes; PLACES],
    batteries: [Lanes; PLACES],
}

impl AirEnds {
    fn pairs<'a>(
        &'a mut self,
        other: &'a Self,
    ) -> impl Iterator<Item = (&'a mut Lanes, &'a Lanes)> {
        let mine = self.places.iter_mut().chain(&mut self.batteries);
        mine.zip(other.places.iter().chain(&other.batteries))
    }

    /// Puts a trial of another batch in the place of one of these.
    pub(crate) fn take_lane(&mut self, lane: usize, other: &Self, from: usize) {
        for (now, then) in self.pairs(other) {
            now[lane] = then[from];
        }
    }

    /// Keeps `before` in the trials that had no share of the step.
    pub(crate) fn keep_ended(&mut self, before: &Self, share: &Lanes) {
        for (now, then) in self.pairs(before) {
            for lane in 0..LANES {
                let has_share = share[lane] > 0.0;
                now[lane] = if has_share { now[lane] } else { then[lane] };
            }
        }
    }
}

/// The air of a batch.
#[derive(Debug, Clone)]
pub(crate) struct Air {
    pub(crate) ends: AirEnds,
    /// Ambient.
    pub(crate) ambient: Lanes,
    /// Irradiance on the flat at the parked vehicle, shade counted, W/m².
    pub(crate) flat_parked: Lanes,
    /// The same without shade: on the road.
    pub(crate) flat_free: Lanes,
    now: AirStep,
    battery_lag: f64,
    cabin_lag: f64,
    bay_keep: f64,
    /// Whether there was light in the step before.
    is_light: bool,
    /// Whether anything is kept in a place, and whether any bank is.
    is_used: [bool; PLACES],
    has_banks: [bool; PLACES],
}

impl Air {
    pub(crate) fn new(timeline: &Timeline, draws: &Draws) -> Self {
        let plant = &timeline.plant;
        let mut has_banks = [false; PLACES];
        for bank in &plant.banks {
            has_banks[place(bank.kept, bank.trailer)] = true;
        }
        let mut is_used = has_banks;
        for fridge in &plant.fridges {
            is_used[place(fridge.kept, fridge.trailer)] = true;
        }
        let start_c = draws.mean_c(timeline.sun.weather_day[0] as usize);
        let batteries = [start_c; PLACES];
        let mut air = Self {
            now: AirStep {
                around: [ZERO; PLACES],
                batteries,
                least_c: [f64::NEG_INFINITY; PLACES],
            },
            battery_lag: lag_share(plant.step_h, FOLLOWS_IN_H),
            cabin_lag: lag_share(plant.step_h, CABIN_FOLLOWS_IN_H),
            bay_keep: 1.0 - lag_share(plant.step_h, ENGINE_BAY_FALLS_IN_H),
            is_light: false,
            is_used,
            has_banks,
            ends: AirEnds {
                places: [ZERO; PLACES],
                batteries,
            },
            ambient: ZERO,
            flat_parked: ZERO,
            flat_free: ZERO,
        };
        air.ambient_at(timeline, draws, 0);
        for trailer in [false, true] {
            air.ends.places[place(Kept::Cabin, trailer)] = air.ambient;
            air.ends.places[place(Kept::Box, trailer)] = air.ambient;
        }
        if let Some(carried) = &draws.carried {
            air.ends = carried.air.clone();
        }
        air
    }

    /// Ambient, cabin, box and engine bay in the first trial, the vehicle's before its trailer's; NaN where
    /// nothing is kept.
    pub(crate) fn first_trial_c(&self) -> [f64; 4] {
        let kept = |kept: Kept| {
            let mut trailers = [false, true].into_iter();
            let used = trailers.find(|&trailer| self.is_used[place(kept, trailer)]);
            used.map_or(f64::NAN, |trailer| self.around(kept, trailer)[0])
        };
        [
            self.ambient[0],
            kept(Kept::Cabin),
            kept(Kept::Box),
            kept(Kept::EngineBay),
        ]
    }

    /// Surroundings of a place, mean over the step.
    #[inline]
    pub(crate) fn around(&self, kept: Kept, trailer: bool) -> &Lanes {
        &self.now.around[place(kept, trailer)]
    }

    /// Batteries kept in a place at the middle of the step.
    #[inline]
    pub(crate) fn warmth(&self, kept: Kept, trailer: bool) -> Warmth<'_> {
        let place = place(kept, trailer);
        Warmth {
            battery_c: &self.now.batteries[place],
            coldest_c: self.now.least_c[place],
        }
    }

    /// Batteries kept in a place at the step's end, in the first trial.
    pub(crate) fn first_battery_c(&self, kept: Kept, trailer: bool) -> f64 {
        self.ends.batteries[place(kept, trailer)][0]
    }

    #[inline(always)]
    fn ambient_at(&mut self, timeline: &Timeline, draws: &Draws, step: usize) {
        let day = timeline.sun.weather_day[step] as usize;
        let last = draws.day_min_c.len() - 1;
        let (low, high) = match timeline.sun.limb[step] {
            Limb::BeforeDawn => (
                &draws.day_min_c[day],
                &draws.day_max_c[day.saturating_sub(1)],
            ),
            Limb::Day => (&draws.day_min_c[day], &draws.day_max_c[day]),
            Limb::Evening => (&draws.day_min_c[(day + 1).min(last)], &draws.day_max_c[day]),
        };
        between(&mut self.ambient, low, high, timeline.sun.limb_share[step]);
    }

    /// Moves on by a step; `camps` are the shares of it that the vehicle and its trailer
    /// are parked at a stop.
    #[inline(never)]
    pub(crate) fn step(
        &mut self,
        timeline: &Timeline,
        draws: &Draws,
        step: usize,
        light: Option<&Light>,
        drives: &DriveTrack,
        camps: [&Lanes; 2],
    ) {
        widest(
            #[inline(always)]
            || {
                self.ambient_at(timeline, draws, step);
                if let Some(light) = light {
                    let sun = &timeline.sun;
                    let directional_w_m2 = sun.shaded_directional_w_m2[step];
                    let isotropic_w_m2 = sun.shaded_isotropic_w_m2[step];
                    set_flat(
                        &mut self.flat_parked,
                        light,
                        directional_w_m2,
                        isotropic_w_m2,
                    );
                    if drives.any {
                        set_free(&mut self.flat_free, light, sun.horizontal_w_m2[step]);
                    }
                } else if self.is_light {
                    (self.flat_parked, self.flat_free) = (ZERO, ZERO);
                }
                self.is_light = light.is_some();
                for (trailer, camp) in [false, true].into_iter().zip(camps) {
                    self.step_places(timeline, step, drives, trailer, camp);
                }
                let now = &mut self.now;
                for place in (0..PLACES).filter(|&place| self.has_banks[place]) {
                    let (end, middle) =
                        (&mut self.ends.batteries[place], &mut now.batteries[place]);
                    follow(end, middle, &now.around[place], self.battery_lag);
                    now.least_c[place] = middle.least();
                }
            },
        );
    }

    /// The air in the vehicle or in its trailer.
    #[inline(always)]
    fn step_places(
        &mut self,
        timeline: &Timeline,
        step: usize,
        drives: &DriveTrack,
        trailer: bool,
        camp: &Lanes,
    ) {
        let (ambient, flat, lag) = (&self.ambient, &self.flat_parked, self.cabin_lag);
        let away = drives.away(trailer);
        for kept in [Kept::Cabin, Kept::Box, Kept::EngineBay] {
            let place = place(kept, trailer);
            if !self.is_used[place] {
                continue;
            }
            let (end, mean) = (&mut self.ends.places[place], &mut self.now.around[place]);
            match (kept, drives.any) {
                (Kept::Cabin, any) => {
                    let lived = Lived {
                        share: timeline.lived_in[step],
                        floor_c: if timeline.plant.heated {
                            HEATED_CABIN_C
                        } else {
                            f64::NEG_INFINITY
                        },
                        camp,
                    };
                    match (lived.share > 0.0, any) {
                        (false, false) => {
                            step_cabin::<false, false>(end, mean, ambient, flat, away, lived, lag);
                        }
                        (true, false) => {
                            step_cabin::<true, false>(end, mean, ambient, flat, away, lived, lag);
                        }
                        (_, true) => {
                            step_cabin::<true, true>(end, mean, ambient, flat, away, lived, lag);
                        }
                    }
                }
                (Kept::Box, true) => step_box::<true>(end, mean, ambient, flat, away, lag),
                (Kept::Box, false) => step_box::<false>(end, mean, ambient, flat, away, lag),
                (Kept::EngineBay, true) => {
                    step_bay::<true>(end, mean, ambient, away, self.bay_keep);
                }
                (Kept::EngineBay, false) => {
                    step_bay::<false>(end, mean, ambient, away, self.bay_keep);
                }
            }
        }
    }
}

/// Who is in the cabin, and how warm they keep it.
#[derive(Clone, Copy)]
struct Lived<'a> {
    /// Share of the step with doors or windows open, where the vehicle is in camp.
    share: f64,
    floor_c: f64,
    camp: &'a Lanes,
}

// The lanes are arguments here, so that the compiler knows them apart.

#[inline(always)]
fn between(sum: &mut Lanes, low: &Lanes, high: &Lanes, share: f64) {
    for lane in 0..LANES {
        sum[lane] = low[lane] + (high[lane] - low[lane]) * share;
    }
}

#[inline(always)]
fn set_flat(parked: &mut Lanes, light: &Light, directional_w_m2: f64, isotropic_w_m2: f64) {
    for lane in 0..LANES {
        parked[lane] =
            light.directional[lane] * directional_w_m2 + light.isotropic[lane] * isotropic_w_m2;
    }
}

/// Irradiance on the flat without shade.
#[inline(always)]
fn set_free(free: &mut Lanes, light: &Light, clear_w_m2: f64) {
    for lane in 0..LANES {
        free[lane] = light.kt[lane] * clear_w_m2;
    }
}

/// `OPEN`, `DRIVES`: whether that happens in any trial; where it does not, its share is 0.
#[inline(always)]
fn step_cabin<const OPEN: bool, const DRIVES: bool>(
    end: &mut Lanes,
    mean: &mut Lanes,
    ambient: &Lanes,
    flat: &Lanes,
    away: &Lanes,
    lived: Lived<'_>,
    lag: f64,
) {
    for lane in 0..LANES {
        // Behind glass the sun warms a closed cabin far above the air; open doors in camp, and heating or cooling on
        // the road, put an end to that at once.
        let ambient_c = ambient[lane];
        let before_c = end[lane];
        let warmed_c = ambient_c + CABIN_K_PER_W_M2 * flat[lane];
        let closed_c = before_c + (warmed_c - before_c) * lag;
        let mut after_c = closed_c;
        if OPEN {
            let open = lived.share * lived.camp[lane];
            after_c += open * (max(ambient_c, lived.floor_c) - closed_c);
        }
        if DRIVES {
            let driving_c = min(max(ambient_c, DRIVING_CABIN_C.0), DRIVING_CABIN_C.1);
            after_c += away[lane] * (driving_c - closed_c);
        }
        end[lane] = after_c;
        mean[lane] = 0.5 * (before_c + after_c);
    }
}

#[inline(always)]
fn step_box<const DRIVES: bool>(
    end: &mut Lanes,
    mean: &mut Lanes,
    ambient: &Lanes,
    flat: &Lanes,
    away: &Lanes,
    lag: f64,
) {
    for lane in 0..LANES {
        let parked = if DRIVES { 1.0 - away[lane] } else { 1.0 };
        // On the road the wind keeps a box at the air's own temperature.
        let warmed_c = ambient[lane] + BOX_SHARE * CABIN_K_PER_W_M2 * flat[lane] * parked;
        let before_c = end[lane];
        let after_c = before_c + (warmed_c - before_c) * lag;
        end[lane] = after_c;
        mean[lane] = 0.5 * (before_c + after_c);
    }
}

#[inline(always)]
fn step_bay<const DRIVES: bool>(
    above_k: &mut Lanes,
    mean: &mut Lanes,
    ambient: &Lanes,
    away: &Lanes,
    keep: f64,
) {
    for lane in 0..LANES {
        let before_k = above_k[lane];
        // Kept as what it is above ambient: it cools towards an air that itself moves on.
        let mut after_k = before_k * keep;
        if DRIVES {
            let driving = away[lane];
            after_k = driving * ENGINE_BAY_K + (1.0 - driving) * before_k * keep;
        }
        above_k[lane] = after_k;
        mean[lane] = ambient[lane] + 0.5 * (before_k + after_k);
    }
}

#[inline(always)]
fn follow(end: &mut Lanes, middle: &mut Lanes, around: &Lanes, lag: f64) {
    for lane in 0..LANES {
        let before_c = end[lane];
        let after_c = before_c + (around[lane] - before_c) * lag;
        end[lane] = after_c;
        middle[lane] = 0.5 * (before_c + after_c);
    }
}
