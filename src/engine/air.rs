//! Temperatures of a batch: ambient, cabin, box, engine bay.

use super::draws::{Draws, Light};
use super::drives::DriveTrack;
use super::lanes::{LANES, Lanes, ZERO, greater, lesser, widest};
use crate::scenario::Kept;
use crate::sky::day_temperature::Limb;
use crate::system::surroundings::{
    BOX_SHARE, CABIN_FOLLOWS_IN_H, CABIN_K_PER_W_M2, DRIVING_CABIN_C, ENGINE_BAY_FALLS_IN_H,
    ENGINE_BAY_K, HEATED_CABIN_C, lag_share,
};
use crate::timeline::Timeline;

/// The air of a batch.
#[derive(Debug, Clone)]
pub(crate) struct Air {
    cabin_lag: f64,
    bay_keep: f64,
    cabin_used: bool,
    box_used: bool,
    bay_used: bool,
    cabin_end: Lanes,
    box_end: Lanes,
    bay_above: Lanes,
    /// Ambient.
    pub(crate) ambient: Lanes,
    /// Mean of the cabin over the step.
    pub(crate) cabin: Lanes,
    /// Mean of the box.
    pub(crate) outside_box: Lanes,
    /// Mean of the engine bay.
    pub(crate) bay: Lanes,
    /// Irradiance on the flat at the parked vehicle, shade counted, W/m².
    pub(crate) flat_parked: Lanes,
    /// The same without shade: on the road.
    pub(crate) flat_free: Lanes,
}

impl Air {
    pub(crate) fn new(timeline: &Timeline, draws: &Draws) -> Self {
        let plant = &timeline.plant;
        let used = |kept| {
            plant.banks.iter().any(|bank| bank.kept == kept)
                || plant.fridges.iter().any(|fridge| fridge.kept == kept)
        };
        let mut air = Self {
            cabin_lag: lag_share(plant.step_h, CABIN_FOLLOWS_IN_H),
            bay_keep: 1.0 - lag_share(plant.step_h, ENGINE_BAY_FALLS_IN_H),
            cabin_used: used(Kept::Cabin),
            box_used: used(Kept::Box),
            bay_used: used(Kept::EngineBay),
            cabin_end: ZERO,
            box_end: ZERO,
            bay_above: ZERO,
            ambient: ZERO,
            cabin: ZERO,
            outside_box: ZERO,
            bay: ZERO,
            flat_parked: ZERO,
            flat_free: ZERO,
        };
        air.ambient_at(timeline, draws, 0);
        air.cabin_end = air.ambient;
        air.box_end = air.ambient;
        air
    }

    /// Ambient, cabin, box and engine bay in the first trial; NaN where nothing is kept.
    pub(crate) fn first_trial_c(&self) -> [f64; 4] {
        let kept = |is_used: bool, lanes: &Lanes| if is_used { lanes[0] } else { f64::NAN };
        [
            self.ambient[0],
            kept(self.cabin_used, &self.cabin),
            kept(self.box_used, &self.outside_box),
            kept(self.bay_used, &self.bay),
        ]
    }

    /// Surroundings of a place, mean over the step.
    pub(crate) fn around(&self, kept: Kept) -> &Lanes {
        match kept {
            Kept::Cabin => &self.cabin,
            Kept::Box => &self.outside_box,
            Kept::EngineBay => &self.bay,
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
        let share = timeline.sun.limb_share[step];
        for lane in 0..LANES {
            self.ambient[lane] = low[lane] + (high[lane] - low[lane]) * share;
        }
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
            let directional_w_m2 = timeline.sun.shaded_directional_w_m2[step];
            let isotropic_w_m2 = timeline.sun.shaded_isotropic_w_m2[step];
            let horizontal_w_m2 = timeline.sun.horizontal_w_m2[step];
            for lane in 0..LANES {
                self.flat_parked[lane] = light.directional[lane] * directional_w_m2
                    + light.isotropic[lane] * isotropic_w_m2;
                self.flat_free[lane] = light.kt[lane] * horizontal_w_m2;
            }
        } else {
            self.flat_parked = ZERO;
            self.flat_free = ZERO;
        }
        if self.cabin_used {
            self.step_cabin(timeline.lived_in[step], timeline.plant.heated, drives, camp);
        }
        if self.box_used {
            for lane in 0..LANES {
                let parked = 1.0 - drives.driving[lane];
                let warmed_c = self.ambient[lane]
                    + BOX_SHARE * CABIN_K_PER_W_M2 * self.flat_parked[lane] * parked;
                let before_c = self.box_end[lane];
                let after_c = before_c + (warmed_c - before_c) * self.cabin_lag;
                self.box_end[lane] = after_c;
                self.outside_box[lane] = 0.5 * (before_c + after_c);
            }
        }
        if self.bay_used {
            for lane in 0..LANES {
                let driving = drives.driving[lane];
                let before_k = self.bay_above[lane];
                let after_k = driving * ENGINE_BAY_K + (1.0 - driving) * before_k * self.bay_keep;
                self.bay_above[lane] = after_k;
                self.bay[lane] = self.ambient[lane] + 0.5 * (before_k + after_k);
            }
        }
    }

    #[inline(always)]
    fn step_cabin(&mut self, lived: f64, heated: bool, drives: &DriveTrack, camp: &Lanes) {
        let floor_c = if heated {
            HEATED_CABIN_C
        } else {
            f64::NEG_INFINITY
        };
        for lane in 0..LANES {
            let ambient_c = self.ambient[lane];
            let before_c = self.cabin_end[lane];
            let warmed_c = ambient_c + CABIN_K_PER_W_M2 * self.flat_parked[lane];
            let closed_c = before_c + (warmed_c - before_c) * self.cabin_lag;
            let open = lived * camp[lane];
            let driving = drives.driving[lane];
            let driving_c = lesser(greater(ambient_c, DRIVING_CABIN_C.0), DRIVING_CABIN_C.1);
            let after_c = closed_c
                + open * (greater(ambient_c, floor_c) - closed_c)
                + driving * (driving_c - closed_c);
            self.cabin_end[lane] = after_c;
            self.cabin[lane] = 0.5 * (before_c + after_c);
        }
    }
}
