//! The twin's sun and air.
//!
//! One job: where the sun stands every ten seconds (by the long algorithm), what falls on each
//! plane, and how warm each place is, second by second.

use tideover::engine::Draws;
use tideover::scenario::{Kept, Mount, Scenario};
use tideover::sky::cell_temperature::cell_temperature_c;
use tideover::sky::day_temperature::{Limb, limb};
use tideover::sky::extraterrestrial::normal_w_m2;
use tideover::sky::sun_position::{SunPosition, sun_position};
use tideover::sky::tilt::{ALBEDO, cos_incidence};
use tideover::timeline::Timeline;

use super::calendar::{Calendar, Spans};

/// The sun is looked up this often.
pub const LOOK_S: i64 = 10;

pub struct Look {
    pub position: SunPosition,
    /// Extraterrestrial irradiance facing the sun.
    pub normal_w_m2: f64,
    /// Today.
    pub day: usize,
    /// Day of the weather, by local mean solar time.
    pub weather_day: usize,
    /// Hour of that day.
    pub solar_hour: f64,
    /// Share of direct light that shade takes at the stop.
    pub shade: f64,
    pub has_mains: bool,
}

/// One entry every ten seconds from the start.
pub fn looks(scenario: &Scenario, calendar: &Calendar, length_s: i64) -> Vec<Look> {
    let shades: Vec<Vec<(Spans, f64)>> = calendar.shade_spans();
    (0..=length_s / LOOK_S)
        .map(|index| {
            let utc_s = calendar.start_s + index * LOOK_S + LOOK_S / 2;
            let (lat, lon) = calendar.place(utc_s);
            let today = |days: &dyn Fn(usize) -> i64| {
                (0..calendar.days.len())
                    .rev()
                    .find(|&day| days(day) <= utc_s)
                    .expect("the days begin before the start")
            };
            let day = today(&|day| calendar.days[day].midnight_s);
            let weather_day = today(&|day| calendar.days[day].solar_midnight_s);
            let since_s = utc_s - calendar.days[weather_day].solar_midnight_s;
            let stop = calendar.stop(utc_s);
            Look {
                position: sun_position(utc_s as f64, lat, lon),
                normal_w_m2: normal_w_m2(utc_s as f64),
                day,
                weather_day,
                solar_hour: (since_s as f64 / 3600.0).min(24.0),
                shade: stop.map_or(0.0, |stop| calendar.shade(stop, &shades, day, utc_s)),
                has_mains: stop.is_some_and(|stop| scenario.itinerary.legs[stop].mains),
            }
        })
        .collect()
}

/// Irradiance of a plane as parked, shade counted; and the flat one on the road.
pub fn plane_w_m2(
    look: &Look,
    facing: Option<(f64, f64)>,
    light: (f64, f64, f64),
    shade: f64,
) -> f64 {
    let height = look.position.cos_zenith();
    if height <= 0.0 {
        return 0.0;
    }
    let (kt, directional, isotropic) = light;
    let (tilt_deg, azimuth_deg) = facing.unwrap_or((0.0, 0.0));
    let lean = tilt_deg.to_radians().cos();
    let incidence = cos_incidence(look.position, tilt_deg, azimuth_deg).max(0.0);
    let rest = isotropic * (1.0 + lean) / 2.0 + kt * ALBEDO * (1.0 - lean) / 2.0;
    look.normal_w_m2
        * (directional * incidence * (1.0 - shade) + rest * height * (1.0 - 0.5 * shade))
}

/// Light of the hour as drawn: clearness, directional, isotropic.
pub fn light(
    timeline: &Timeline,
    draws: &Draws,
    lane: usize,
    index: &[[usize; 24]],
    look: &Look,
) -> (f64, f64, f64) {
    let hour = (look.solar_hour as usize).min(23);
    let slot = index[look.weather_day][hour];
    if slot >= timeline.sun.slots.len() {
        return (0.0, 0.0, 0.0);
    }
    let light = &draws.light[slot];
    (
        light.kt[lane],
        light.directional[lane],
        light.isotropic[lane],
    )
}

/// Which drawn hour belongs to which hour of which day.
pub fn hour_index(timeline: &Timeline, days: usize) -> Vec<[usize; 24]> {
    let mut index = vec![[usize::MAX; 24]; days];
    for (slot, hour) in timeline.sun.slots.iter().enumerate() {
        index[hour.day][hour.hour] = slot;
    }
    index
}

pub fn ambient_c(draws: &Draws, lane: usize, look: &Look) -> f64 {
    let day = look.weather_day;
    let next = (day + 1).min(draws.day_min_c.len() - 1);
    let low = |day: usize| draws.day_min_c[day][lane];
    let high = |day: usize| draws.day_max_c[day][lane];
    let (limb, share) = limb(look.solar_hour);
    let (low, high) = match limb {
        Limb::BeforeDawn => (low(day), high(day.saturating_sub(1))),
        Limb::Day => (low(day), high(day)),
        Limb::Evening => (low(next), high(day)),
    };
    low + (high - low) * share
}

/// Power at the maximum power point, or current at the battery's voltage (PWM); losses counted.
pub fn panel_yield(
    rated_w: f64,
    is_pwm: bool,
    nominal_v: f64,
    losses: f64,
    on_plane_w_m2: f64,
    air_c: f64,
    driving: bool,
) -> f64 {
    if is_pwm {
        return rated_w / nominal_v * on_plane_w_m2 / 1000.0 * (1.0 - losses);
    }
    let wind = if driving { 12.0 } else { 1.0 };
    let cell_c = cell_temperature_c(on_plane_w_m2, air_c, wind);
    let warm = (1.0 - 0.0035 * (cell_c - 25.0)).max(0.0);
    rated_w * on_plane_w_m2 / 1000.0 * warm * (1.0 - losses) * 0.97
}

pub fn facing(mount: Mount, noon_facing: (f64, f64)) -> Option<(f64, f64)> {
    match mount {
        Mount::Flat => None,
        Mount::Portable => Some(noon_facing),
        Mount::Tilted {
            tilt_deg,
            azimuth_deg,
        } => Some((tilt_deg, azimuth_deg)),
    }
}

/// Temperatures of the places where things are kept.
pub struct Places {
    pub ambient_c: f64,
    cabin_c: f64,
    box_c: f64,
    bay_above_k: f64,
}

impl Places {
    pub fn new(ambient_c: f64) -> Self {
        Self {
            ambient_c,
            cabin_c: ambient_c,
            box_c: ambient_c,
            bay_above_k: 0.0,
        }
    }

    pub fn around_c(&self, kept: Kept) -> f64 {
        match kept {
            Kept::Cabin => self.cabin_c,
            Kept::Box => self.box_c,
            Kept::EngineBay => self.ambient_c + self.bay_above_k,
        }
    }

    /// One second on. `lived` holds the least temperature while people are in.
    pub fn second(&mut self, ambient_c: f64, flat_w_m2: f64, driving: bool, lived: Option<f64>) {
        let per_20_min = 1.0 / 1200.0;
        self.ambient_c = ambient_c;
        let sun_k = 0.024 * flat_w_m2;
        let box_sun_k = if driving { 0.0 } else { 0.5 * sun_k };
        self.box_c += (ambient_c + box_sun_k - self.box_c) * per_20_min;
        self.cabin_c += (ambient_c + sun_k - self.cabin_c) * per_20_min;
        if driving {
            self.cabin_c = ambient_c.clamp(18.0, 26.0);
            self.bay_above_k = 40.0;
        } else {
            self.bay_above_k -= self.bay_above_k / 3600.0;
            if let Some(least_c) = lived {
                self.cabin_c = ambient_c.max(least_c);
            }
        }
    }
}
