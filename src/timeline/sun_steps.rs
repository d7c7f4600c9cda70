//! Sun on the flat and on each plane, step by step, before any cloud.
//!
//! One job: everything about the sun that no trial changes. Clouds multiply these figures in the
//! engine (see `sky::sky_light`). Each figure is the mean over its step, taken from samples no
//! more than 150 s apart, so that energy hardly depends on the step.

use super::calendar::NominalCalendar;
use super::daily_windows::{DaySpan, DayTimes, mean_noon_s, window_spans};
use super::steps::Steps;
use crate::scenario::{Itinerary, Mount, Scenario, Shade};
use crate::sky::clear_sky::haurwitz_w_m2;
use crate::sky::day_temperature::{Limb, limb};
use crate::sky::extraterrestrial::normal_w_m2;
use crate::sky::sky_light::most_beam;
use crate::sky::sun_position::{SunPosition, sun_position_fast};
use crate::sky::tilt::{ALBEDO, cos_incidence};
use crate::units::Whole;

const SAMPLE_S: i64 = 150;

/// The sun rises no faster, degrees an hour: the Earth's turn, and a little more than its own motion.
const RISES_DEG_PER_H: f64 = 15.1;

/// Marks a step without sun.
pub const NO_SLOT: u32 = u32::MAX;

/// A plane in which panels stand while parked, shade counted.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlaneSteps {
    /// Times the directional part of the light, W/m².
    pub directional_w_m2: Vec<f64>,
    /// Times the isotropic part, W/m².
    pub isotropic_w_m2: Vec<f64>,
    /// Times the clearness (light from the ground), W/m².
    pub ground_w_m2: Vec<f64>,
}

/// An hour of a day with sun in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourSlot {
    /// Hour of the local mean solar day, 0 to 23.
    pub hour: usize,
    /// Index of the day in the day times.
    pub day: usize,
    /// Extraterrestrial energy on the flat, Wh/m².
    pub weight_wh_m2: f64,
    /// Clearness of a cloudless sky.
    pub clear_kt: f64,
    /// 1 / sin of the sun's mean height in it.
    pub air_mass: f64,
    /// The most direct light that can come through the air, over that outside it.
    pub most_beam: f64,
}

/// The sun of every step.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SunSteps {
    /// Extraterrestrial irradiance on the flat, W/m².
    pub horizontal_w_m2: Vec<f64>,
    /// The same less the share of direct light that shade takes at the stop.
    pub shaded_directional_w_m2: Vec<f64>,
    /// The same less half that share.
    pub shaded_isotropic_w_m2: Vec<f64>,
    /// One a plane: see [`SunSteps::plane_of_panel`].
    pub planes: Vec<PlaneSteps>,
    /// The plane of each panel; `None`: flat.
    pub plane_of_panel: Vec<Option<usize>>,
    /// Index into [`SunSteps::slots`], or [`NO_SLOT`].
    pub slot: Vec<u32>,
    /// Hours with sun, day by day.
    pub slots: Vec<HourSlot>,
    /// Day whose weather rules, index into the day times.
    pub weather_day: Vec<u32>,
    /// Between which extremes of the day the temperature runs.
    pub limb: Vec<Limb>,
    /// How far from the lower to the higher one.
    pub limb_share: Vec<f64>,
}

#[derive(Clone, Copy, Default)]
struct Hour {
    weight: f64,
    clear: f64,
    height_sum: f64,
    samples: f64,
}

struct ShadeAt {
    constant: f64,
    slots: Vec<(Vec<DaySpan>, f64)>,
}

impl ShadeAt {
    fn share(&self, utc_s: i64) -> f64 {
        let mut share = self.constant;
        for (spans, slot_share) in &self.slots {
            let next = spans.partition_point(|span| span.from_s <= utc_s);
            let inside = spans[next.saturating_sub(2)..next]
                .iter()
                .any(|span| utc_s < span.to_s);
            if inside {
                share = *slot_share;
            }
        }
        share
    }
}

fn shades(itinerary: &Itinerary, days: &[DayTimes]) -> Vec<ShadeAt> {
    itinerary
        .legs
        .iter()
        .map(|leg| match &leg.shade {
            Shade::Constant(share) => ShadeAt {
                constant: *share,
                slots: Vec::new(),
            },
            Shade::Slots(slots) => ShadeAt {
                constant: 0.0,
                slots: slots
                    .iter()
                    .map(|slot| (window_spans(slot.window, days, &itinerary.zone), slot.share))
                    .collect(),
            },
        })
        .collect()
}

/// Tilt and heading of a portable panel on each date: square to the sun at its highest.
fn noon_facing(days: &[DayTimes]) -> Vec<(f64, f64)> {
    days.iter()
        .map(|day| {
            let noon = sun_position_fast(day.transit_s.real(), day.lat_deg, day.lon_deg);
            (noon.zenith_deg.min(90.0), noon.azimuth_deg)
        })
        .collect()
}

/// The mounts that are not flat, each a plane, and the plane of each panel; `None`: flat.
pub(super) fn planes(scenario: &Scenario) -> (Vec<Mount>, Vec<Option<usize>>) {
    let mut mounts: Vec<Mount> = Vec::new();
    let mut plane_of = |mount: Mount| match mount {
        Mount::Flat => None,
        mount => Some(
            mounts
                .iter()
                .position(|known| *known == mount)
                .unwrap_or_else(|| {
                    mounts.push(mount);
                    mounts.len() - 1
                }),
        ),
    };
    let plane_of_panel = (scenario.solar.iter())
        .map(|panel| plane_of(panel.mount))
        .collect();
    (mounts, plane_of_panel)
}

/// The sun of a plan's steps.
pub(super) fn sun_steps(
    scenario: &Scenario,
    calendar: &NominalCalendar,
    days: &[DayTimes],
    steps: Steps,
) -> SunSteps {
    let itinerary = &scenario.itinerary;
    let (step_s, count) = (steps.step_s, steps.count);
    // Beginning of the local mean solar day of each date.
    let midnights = days.iter();
    let midnights = midnights.map(|day| mean_noon_s(day.date, day.lon_deg) - 43_200);
    let midnights: Vec<i64> = midnights.collect();
    let shades = shades(itinerary, days);
    let facing = noon_facing(days);
    let (mounts, plane_of_panel) = planes(scenario);
    let mut sun = SunSteps {
        plane_of_panel,
        planes: vec![PlaneSteps::default(); mounts.len()],
        ..SunSteps::default()
    };
    let mut hours = vec![[Hour::default(); 24]; days.len()];

    // The grid goes on beyond both ends, so that the first and last day's totals are whole.
    let steps_i = i64::try_from(count).unwrap_or(i64::MAX);
    let before = 36 * 3600 / step_s;
    let samples = (step_s + SAMPLE_S - 1) / SAMPLE_S;
    let mut step_hours = Vec::with_capacity(count);
    // Until when the sun cannot be up at a place: nothing is worked out for most of the night.
    let mut dark: Option<((f64, f64), i64)> = None;
    for step in -before..steps_i + before {
        let begin_s = steps.start_s + step * step_s;
        let middle_s = begin_s + step_s / 2;
        let inside = (0..steps_i).contains(&step);
        let day = midnights.partition_point(|midnight| *midnight <= middle_s);
        // Every step of the plan has its day, however far a place is from the one before.
        let day = match day.checked_sub(1) {
            Some(day) => day,
            None if inside => 0,
            None => continue,
        };
        let since_s = middle_s - midnights[day];
        if since_s >= 86_400 && day + 1 == days.len() && !inside {
            break;
        }
        let since_s = since_s.max(0);
        let hour = usize::try_from(since_s / 3600).unwrap_or(0).min(23);
        let mut sums = StepSums {
            planes: vec![[0.0; 3]; mounts.len()],
            ..StepSums::default()
        };
        let place = calendar.place_at(itinerary, middle_s);
        let at = (place.lat_deg, place.lon_deg);
        let is_dark = dark.is_some_and(|(known, to_s)| known == at && begin_s + step_s <= to_s);
        for sample in 0..if is_dark { 0 } else { samples } {
            let utc_s = begin_s.real() + (sample.real() + 0.5) * step_s.real() / samples.real();
            let position = sun_position_fast(utc_s, place.lat_deg, place.lon_deg);
            let height = libm::cos(position.zenith_deg.to_radians());
            if height <= 0.0 {
                let to_s =
                    i64::cut(utc_s + 3600.0 * (position.zenith_deg - 90.1) / RISES_DEG_PER_H);
                dark = Some((at, to_s));
                continue;
            }
            let entry = &mut hours[day][hour];
            let normal_w_m2 = normal_w_m2(utc_s);
            entry.weight += normal_w_m2 * height;
            entry.clear += haurwitz_w_m2(height);
            entry.height_sum += height;
            entry.samples += 1.0;
            if inside {
                let shade = calendar
                    .stop_at(middle_s)
                    .map_or(0.0, |stop| shades[stop].share(i64::cut(utc_s)));
                sums.add(&mounts, facing[day], position, normal_w_m2, height, shade);
            }
        }
        if inside {
            sums.store(&mut sun, samples);
            step_hours.push((day, hour));
            sun.weather_day.push(u32::try_from(day).unwrap_or(u32::MAX));
            let (limb, share) = limb((since_s.real() / 3600.0).min(24.0));
            sun.limb.push(limb);
            sun.limb_share.push(share);
        }
    }
    store_slots(&mut sun, &hours, &step_hours, step_s, samples);
    sun
}

fn store_slots(
    sun: &mut SunSteps,
    hours: &[[Hour; 24]],
    step_hours: &[(usize, usize)],
    step_s: i64,
    samples: i64,
) {
    let sample_h = step_s.real() / samples.real() / 3600.0;
    let used = step_hours.first().map_or(0, |first| first.0)
        ..step_hours.last().map_or(0, |last| last.0 + 1);
    let mut index = vec![[NO_SLOT; 24]; hours.len()];
    for day in used {
        for (hour, sums) in hours[day].iter().enumerate() {
            if sums.weight > 0.0 {
                index[day][hour] = u32::try_from(sun.slots.len()).unwrap_or(NO_SLOT);
                sun.slots.push(HourSlot {
                    hour,
                    day,
                    weight_wh_m2: sums.weight * sample_h,
                    clear_kt: (sums.clear / sums.weight).min(1.0),
                    air_mass: sums.samples / sums.height_sum,
                    most_beam: most_beam(sums.height_sum / sums.samples),
                });
            }
        }
    }
    sun.slot = step_hours
        .iter()
        .map(|(day, hour)| index[*day][*hour])
        .collect();
}

/// Sums over the samples of one step.
#[derive(Default)]
struct StepSums {
    horizontal: f64,
    directional: f64,
    isotropic: f64,
    planes: Vec<[f64; 3]>,
}

impl StepSums {
    fn add(
        &mut self,
        mounts: &[Mount],
        facing: (f64, f64),
        position: SunPosition,
        normal_w_m2: f64,
        height: f64,
        shade: f64,
    ) {
        let horizontal = normal_w_m2 * height;
        let (direct_left, rest_left) = (1.0 - shade, 1.0 - 0.5 * shade);
        self.horizontal += horizontal;
        self.directional += horizontal * direct_left;
        self.isotropic += horizontal * rest_left;
        for (sums, mount) in self.planes.iter_mut().zip(mounts) {
            let (tilt_deg, azimuth_deg) = match *mount {
                Mount::Flat => (0.0, 0.0),
                Mount::Portable => facing,
                Mount::Tilted {
                    tilt_deg,
                    azimuth_deg,
                } => (tilt_deg, azimuth_deg),
            };
            let incidence = cos_incidence(position, tilt_deg, azimuth_deg).max(0.0);
            let lean = libm::cos(tilt_deg.to_radians());
            sums[0] += normal_w_m2 * incidence * direct_left;
            sums[1] += horizontal * (1.0 + lean) / 2.0 * rest_left;
            sums[2] += horizontal * ALBEDO * (1.0 - lean) / 2.0 * rest_left;
        }
    }

    fn store(self, sun: &mut SunSteps, samples: i64) {
        let count = samples.real();
        sun.horizontal_w_m2.push(self.horizontal / count);
        sun.shaded_directional_w_m2.push(self.directional / count);
        sun.shaded_isotropic_w_m2.push(self.isotropic / count);
        for (plane, sums) in sun.planes.iter_mut().zip(self.planes) {
            plane.directional_w_m2.push(sums[0] / count);
            plane.isotropic_w_m2.push(sums[1] / count);
            plane.ground_w_m2.push(sums[2] / count);
        }
    }
}
