//! What the panels could give in a step.

use super::air::Air;
use super::draws::Light;
use super::drives::DriveTrack;
use super::lanes::{LANES, Lanes, ZERO, greater, widest};
use crate::sky::cell_temperature::{U0, U1};
use crate::system::panel::{POWER_PER_K, WIND_DRIVING_M_S, WIND_PARKED_M_S};
use crate::timeline::Timeline;

/// One panel's offer.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
pub(crate) struct Offer {
    /// What it could deliver: W (tracking) or A (PWM).
    pub(crate) amount: Lanes,
}

impl Offer {
    pub(crate) fn new() -> Self {
        Self { amount: ZERO }
    }

    /// The offer of a panel in a step with sun.
    #[inline(never)]
    pub(crate) fn set(
        &mut self,
        timeline: &Timeline,
        panel: usize,
        step: usize,
        light: &Light,
        air: &Air,
        drives: &DriveTrack,
    ) {
        widest(
            #[inline(always)]
            || self.set_lanes(timeline, panel, step, light, air, drives),
        );
    }

    #[inline(always)]
    fn set_lanes(
        &mut self,
        timeline: &Timeline,
        panel: usize,
        step: usize,
        light: &Light,
        air: &Air,
        drives: &DriveTrack,
    ) {
        let plant = &timeline.plant.panels[panel];
        let per_w_m2_parked = 1.0 / (U0 + U1 * WIND_PARKED_M_S);
        let per_w_m2_driving = 1.0 / (U0 + U1 * WIND_DRIVING_M_S);
        let away = if plant.trailer {
            &drives.towing
        } else {
            &drives.driving
        };
        let packed = if plant.trailer {
            &drives.packed_trailer
        } else {
            &drives.packed
        };
        let parked_w_m2 = match plant.plane {
            None => air.flat_parked,
            Some(plane) => plane_w_m2(timeline, plane, step, light),
        };
        let standing = if plant.portable {
            timeline.portable[step]
        } else {
            1.0
        };
        for lane in 0..LANES {
            let (on_road, in_camp) = if plant.portable {
                (0.0, standing * (1.0 - packed[lane]))
            } else {
                (away[lane], 1.0 - away[lane])
            };
            let plane_w_m2 = in_camp * parked_w_m2[lane] + on_road * air.flat_free[lane];
            let heating = per_w_m2_parked + away[lane] * (per_w_m2_driving - per_w_m2_parked);
            let above_25_k = air.ambient[lane] + plane_w_m2 * heating - 25.0;
            self.amount[lane] = if plant.is_pwm {
                plant.amps_per_w_m2 * plane_w_m2
            } else {
                let share = 1.0 + POWER_PER_K * above_25_k;
                plant.keep * plant.panel_w * 0.001 * plane_w_m2 * greater(share, 0.0)
            };
        }
    }
}

#[inline(never)]
fn plane_w_m2(timeline: &Timeline, plane: usize, step: usize, light: &Light) -> Lanes {
    widest(
        #[inline(always)]
        || plane_w_m2_lanes(timeline, plane, step, light),
    )
}

#[inline(always)]
fn plane_w_m2_lanes(timeline: &Timeline, plane: usize, step: usize, light: &Light) -> Lanes {
    let steps = &timeline.sun.planes[plane];
    let directional = steps.directional_w_m2[step];
    let isotropic = steps.isotropic_w_m2[step];
    let ground = steps.ground_w_m2[step];
    let mut sum = ZERO;
    for lane in 0..LANES {
        sum[lane] = light.directional[lane] * directional
            + light.isotropic[lane] * isotropic
            + light.kt[lane] * ground;
    }
    sum
}
