//! Temperatures of a batch: ambient, cabin, box, engine bay, and the batteries in them.

use super::bank_flow::Warmth;
use super::draws::{Draws, Light};
use super::drives::DriveTrack;
use super::lanes::{LANES, Lanes, ZERO, greater, least, lesser, scale, widest};
use crate::scenario::Kept;
use crate::sky::day_temperature::Limb;
use crate::system::battery_temperature::FOLLOWS_IN_H;
use crate::system::surroundings::{
    BOX_SHARE, CABIN_FOLLOWS_IN_H, CABIN_K_PER_W_M2, DRIVING_CABIN_C, ENGINE_BAY_FALLS_IN_H,
    ENGINE_BAY_K, HEATED_CABIN_C, lag_share,
};
use crate::timeline::Timeline;

/// Places where something is kept.
const PLACES: usize = 3;

/// One step, by place.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
struct AirStep {
    /// The air, mean over the step.
    around: [Lanes; PLACES],
    /// Every battery there, at the middle of the step: they start alike and are not warmed by their
    /// own current.
    batteries: [Lanes; PLACES],
    /// The lowest of them.
    least_c: [f64; PLACES],
}

/// What goes on from step to step.
#[derive(Debug, Clone, PartialEq)]
#[repr(C, align(64))]
pub(crate) struct AirEnds {
    /// At the step's end: the cabin, a box, how far the engine bay is above ambient, the batteries.
    cabin: Lanes,
    in_box: Lanes,
    bay_above: Lanes,
    batteries: [Lanes; PLACES],
}

impl AirEnds {
    /// Keeps `before` in the trials that had no share of the step.
    pub(crate) fn keep_ended(&mut self, before: &Self, share: &Lanes) {
        let now = [&mut self.cabin, &mut self.in_box, &mut self.bay_above];
        let then = [&before.cabin, &before.in_box, &before.bay_above];
        let batteries = self.batteries.iter_mut().zip(&before.batteries);
        for (now, then) in now.into_iter().zip(then).chain(batteries) {
            for lane in 0..LANES {
                now[lane] = if share[lane] > 0.0 {
                    now[lane]
                } else {
                    then[lane]
                };
            }
        }
    }
}

/// The air of a batch.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
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
        let places = [Kept::Cabin, Kept::Box, Kept::EngineBay];
        let has_banks = places.map(|kept| plant.banks.iter().any(|bank| bank.kept == kept));
        let has_fridges = places.map(|kept| plant.fridges.iter().any(|of| of.kept == kept));
        let start_c = draws.mean_c(timeline.sun.weather_day[0] as usize);
        let now = AirStep {
            around: [ZERO; PLACES],
            batteries: [start_c; PLACES],
            least_c: [f64::NEG_INFINITY; PLACES],
        };
        let mut air = Self {
            now,
            battery_lag: lag_share(plant.step_h, FOLLOWS_IN_H),
            cabin_lag: lag_share(plant.step_h, CABIN_FOLLOWS_IN_H),
            bay_keep: 1.0 - lag_share(plant.step_h, ENGINE_BAY_FALLS_IN_H),
            is_light: false,
            is_used: std::array::from_fn(|place| has_banks[place] || has_fridges[place]),
            has_banks,
            ends: AirEnds {
                cabin: ZERO,
                in_box: ZERO,
                bay_above: ZERO,
                batteries: [start_c; PLACES],
            },
            ambient: ZERO,
            flat_parked: ZERO,
            flat_free: ZERO,
        };
        air.ambient_at(timeline, draws, 0);
        air.ends.cabin = air.ambient;
        air.ends.in_box = air.ambient;
        if let Some(carried) = &draws.carried {
            air.ends = carried.air.clone();
        }
        air
    }

    /// Ambient, cabin, box and engine bay in the first trial, in a step of its own; NaN where nothing
    /// is kept.
    pub(crate) fn first_trial_c(&self) -> [f64; 4] {
        let kept = |place: Kept| {
            let is_used = self.is_used[place as usize];
            if is_used {
                self.around(place)[0]
            } else {
                f64::NAN
            }
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
    pub(crate) fn around(&self, kept: Kept) -> &Lanes {
        &self.now.around[kept as usize]
    }

    /// Batteries kept in a place at the middle of the step.
    #[inline]
    pub(crate) fn warmth(&self, kept: Kept) -> Warmth<'_> {
        Warmth {
            battery_c: &self.now.batteries[kept as usize],
            coldest_c: self.now.least_c[kept as usize],
        }
    }

    /// Batteries kept in a place at the step's end, in the first trial.
    pub(crate) fn first_battery_c(&self, kept: Kept) -> f64 {
        let has_banks = self.has_banks[kept as usize];
        if has_banks {
            self.ends.batteries[kept as usize][0]
        } else {
            f64::NAN
        }
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

    /// Moves on by a step; `camp` is the share of it that the vehicle is parked at a stop.
    #[inline(never)]
    pub(crate) fn step(
        &mut self,
        timeline: &Timeline,
        draws: &Draws,
        step: usize,
        light: Option<&Light>,
        drives: &DriveTrack,
        camp: &Lanes,
    ) {
        widest(
            #[inline(always)]
            || self.step_lanes(timeline, draws, step, light, drives, camp),
        );
    }

    #[inline(always)]
    fn step_lanes(
        &mut self,
        timeline: &Timeline,
        draws: &Draws,
        step: usize,
        light: Option<&Light>,
        drives: &DriveTrack,
        camp: &Lanes,
    ) {
        self.ambient_at(timeline, draws, step);
        if let Some(light) = light {
            set_flat(
                &mut self.flat_parked,
                light,
                timeline.sun.shaded_directional_w_m2[step],
                timeline.sun.shaded_isotropic_w_m2[step],
            );
            if drives.any {
                scale(
                    &mut self.flat_free,
                    &light.kt,
                    timeline.sun.horizontal_w_m2[step],
                );
            }
        } else if self.is_light {
            (self.flat_parked, self.flat_free) = (ZERO, ZERO);
        }
        self.is_light = light.is_some();
        let (ambient, flat) = (&self.ambient, &self.flat_parked);
        let lag = self.cabin_lag;
        let [cabin, outside_box, bay] = self.is_used;
        let now = &mut self.now;
        let [in_cabin, in_box, in_bay] = &mut now.around;
        if cabin {
            let lived = Lived {
                share: timeline.lived_in[step],
                floor_c: if timeline.plant.heated {
                    HEATED_CABIN_C
                } else {
                    f64::NEG_INFINITY
                },
                camp,
            };
            let (end, mean) = (&mut self.ends.cabin, in_cabin);
            match (lived.share > 0.0, drives.any) {
                (false, false) => {
                    step_cabin::<false, false>(end, mean, ambient, flat, drives, lived, lag);
                }
                (true, false) => {
                    step_cabin::<true, false>(end, mean, ambient, flat, drives, lived, lag);
                }
                (_, true) => step_cabin::<true, true>(end, mean, ambient, flat, drives, lived, lag),
            }
        }
        if outside_box {
            let (end, mean) = (&mut self.ends.in_box, in_box);
            if drives.any {
                step_box::<true>(end, mean, ambient, flat, drives, lag);
            } else {
                step_box::<false>(end, mean, ambient, flat, drives, lag);
            }
        }
        if bay {
            let (above, keep) = (&mut self.ends.bay_above, self.bay_keep);
            if drives.any {
                step_bay::<true>(above, in_bay, ambient, drives, keep);
            } else {
                step_bay::<false>(above, in_bay, ambient, drives, keep);
            }
        }
        for place in 0..PLACES {
            if self.has_banks[place] {
                let (end, middle) = (&mut self.ends.batteries[place], &mut now.batteries[place]);
                follow(end, middle, &now.around[place], self.battery_lag);
                now.least_c[place] = least(middle);
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

/// `OPEN`, `DRIVES`: whether that happens in any trial; where it does not, its share is 0.
#[inline(always)]
fn step_cabin<const OPEN: bool, const DRIVES: bool>(
    end: &mut Lanes,
    mean: &mut Lanes,
    ambient: &Lanes,
    flat: &Lanes,
    drives: &DriveTrack,
    lived: Lived<'_>,
    lag: f64,
) {
    for lane in 0..LANES {
        let ambient_c = ambient[lane];
        let before_c = end[lane];
        let warmed_c = ambient_c + CABIN_K_PER_W_M2 * flat[lane];
        let closed_c = before_c + (warmed_c - before_c) * lag;
        let mut after_c = closed_c;
        if OPEN {
            let open = lived.share * lived.camp[lane];
            after_c += open * (greater(ambient_c, lived.floor_c) - closed_c);
        }
        if DRIVES {
            let driving_c = lesser(greater(ambient_c, DRIVING_CABIN_C.0), DRIVING_CABIN_C.1);
            after_c += drives.driving[lane] * (driving_c - closed_c);
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
    drives: &DriveTrack,
    lag: f64,
) {
    for lane in 0..LANES {
        let parked = if DRIVES {
            1.0 - drives.driving[lane]
        } else {
            1.0
        };
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
    drives: &DriveTrack,
    keep: f64,
) {
    for lane in 0..LANES {
        let before_k = above_k[lane];
        let mut after_k = before_k * keep;
        if DRIVES {
            let driving = drives.driving[lane];
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
