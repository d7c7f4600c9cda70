//! What the panels could give in a step.

use super::air::Air;
use super::draws::Light;
use super::drives::DriveTrack;
use super::lanes::{LANES, Lanes, widest};
use crate::sky::cell_temperature::{heating_k_m2_per_w, warmed_c};
use crate::sky::sky_light::on_plane_w_m2;
use crate::system::panel::{WIND_DRIVING_M_S, WIND_PARKED_M_S, max_power_w};
use crate::timeline::Timeline;
use crate::timeline::plant::PanelPlant;

/// One panel's offer.
#[derive(Debug, Clone, Default)]
pub(crate) struct Offer {
    /// What it could deliver: W (tracking) or A (PWM).
    pub(crate) amount: Lanes,
    /// Irradiance of its plane in camp, W/m²; not for a flat one.
    pub(crate) plane_w_m2: Lanes,
}

impl Offer {
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
        let plant = &timeline.plant.panels[panel];
        let away = drives.away(plant.trailer);
        widest(
            #[inline(always)]
            || {
                let amount = &mut self.amount;
                let parked_w_m2 = match plant.plane {
                    None => &air.flat_parked,
                    Some(plane) => {
                        plane_w_m2(&mut self.plane_w_m2, timeline, plane, step, light);
                        &self.plane_w_m2
                    }
                };
                if plant.portable {
                    let packed = drives.packed(plant.trailer);
                    let standing = timeline.portable[step];
                    in_camp_only(plant, amount, parked_w_m2, air, away, packed, standing);
                } else {
                    anywhere(plant, amount, parked_w_m2, air, away);
                }
            },
        );
    }
}

// The lanes are arguments here, so that the compiler knows them apart.

/// A panel that stands in camp, while it stands.
#[inline(always)]
fn in_camp_only(
    panel: &PanelPlant,
    amount: &mut Lanes,
    parked_w_m2: &Lanes,
    air: &Air,
    away: &Lanes,
    packed: &Lanes,
    standing: f64,
) {
    for lane in 0..LANES {
        let plane_w_m2 = standing * (1.0 - packed[lane]) * parked_w_m2[lane];
        amount[lane] = output(panel, plane_w_m2, air.ambient[lane], away[lane]);
    }
}

/// A panel that the vehicle or its trailer carries: flat on the road.
#[inline(always)]
fn anywhere(panel: &PanelPlant, amount: &mut Lanes, parked_w_m2: &Lanes, air: &Air, away: &Lanes) {
    for lane in 0..LANES {
        let away = away[lane];
        let plane_w_m2 = (1.0 - away) * parked_w_m2[lane] + away * air.flat_free[lane];
        amount[lane] = output(panel, plane_w_m2, air.ambient[lane], away);
    }
}

/// What a panel could deliver: W (tracking) or A (PWM).
#[inline(always)]
fn output(panel: &PanelPlant, plane_w_m2: f64, ambient_c: f64, away: f64) -> f64 {
    const PARKED: f64 = heating_k_m2_per_w(WIND_PARKED_M_S);
    const DRIVING: f64 = heating_k_m2_per_w(WIND_DRIVING_M_S);
    if panel.is_pwm {
        return panel.amps_per_w_m2 * plane_w_m2;
    }
    let heating = PARKED + away * (DRIVING - PARKED);
    let cell_c = warmed_c(plane_w_m2, ambient_c, heating);
    max_power_w(panel.keep * panel.panel_w, plane_w_m2, cell_c)
}

#[inline(always)]
fn plane_w_m2(sum: &mut Lanes, timeline: &Timeline, plane: usize, step: usize, light: &Light) {
    let steps = &timeline.sun.planes[plane];
    let directional = steps.directional_w_m2[step];
    let isotropic = steps.isotropic_w_m2[step];
    let ground = steps.ground_w_m2[step];
    for lane in 0..LANES {
        let light = [
            light.directional[lane],
            light.isotropic[lane],
            light.kt[lane],
        ];
        sum[lane] = on_plane_w_m2(light, [directional, isotropic, ground]);
    }
}
