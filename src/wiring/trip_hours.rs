//! Hours in which a run can carry its current on the nominal trip.
//!
//! One job: an upper estimate for the heat along a run. What really flows is the engine's to say.

use super::design_current::carried;
use crate::scenario::{Itinerary, Load, Needs, Parts, Run, RunEnd, When, Where, Window, WindowEnd};

/// Hours a day a panel gives its full current; ours, on the high side.
const SUN_HOURS_PER_DAY: f64 = 7.0;

#[derive(Default)]
struct Timetable {
    legs: f64,
    leg_hours: f64,
    engine_hours: f64,
    trip_hours: f64,
}

impl Timetable {
    fn of(itinerary: &Itinerary) -> Self {
        let mut calendar = Self::default();
        for leg in &itinerary.legs {
            let drive = leg.drive_hours.mean();
            let days_without_leg = f64::from(leg.nights.saturating_sub(1));
            calendar.legs += 1.0;
            calendar.leg_hours += drive;
            calendar.engine_hours += drive + days_without_leg * leg.local_drive_hours.mean();
            calendar.trip_hours += (24.0 * f64::from(leg.nights)).max(drive);
        }
        calendar
    }

    fn days(&self) -> f64 {
        self.trip_hours / 24.0
    }
}

/// Length of a daily window, h; 12 where the sun is an end of it.
#[must_use]
pub fn window_hours(window: Window) -> f64 {
    match (window.from, window.to) {
        (WindowEnd::Clock(from), WindowEnd::Clock(to)) => {
            let minutes = (i32::from(to.minutes()) - i32::from(from.minutes())).rem_euclid(1440);
            if minutes == 0 {
                24.0
            } else {
                f64::from(minutes) / 60.0
            }
        }
        _ => 12.0,
    }
}

fn load_hours(load: &Load, calendar: &Timetable) -> f64 {
    let parked_hours = (calendar.trip_hours - calendar.engine_hours).max(0.0);
    let by_place = match load.place {
        Where::Anywhere => calendar.trip_hours,
        Where::Camp => parked_hours,
        Where::Driving => calendar.engine_hours,
    };
    let live = match load.when {
        When::Always => by_place,
        When::Ignition => by_place.min(calendar.engine_hours),
        When::Parked => by_place.min(parked_hours),
        When::Window(window) => by_place.min(window_hours(window) * calendar.days()),
    };
    load.kind.drawing_h(live, calendar.days(), calendar.legs)
}

/// Hours for which current can flow: the longest of what the run carries, h.
#[must_use]
pub fn flowing_hours(scenario: &Parts, run: &Run) -> f64 {
    let calendar = Timetable::of(&scenario.itinerary);
    let of_part = |end: &RunEnd| match *end {
        RunEnd::Charger(index) => match scenario.chargers[index].needs {
            Needs::Driving => calendar.engine_hours,
            Needs::Towing => calendar.leg_hours,
            Needs::Always => calendar.trip_hours,
        },
        RunEnd::Panel(_) => SUN_HOURS_PER_DAY * calendar.days(),
        RunEnd::Inverter(_) => calendar.trip_hours,
        RunEnd::Load(index) => load_hours(&scenario.loads[index], &calendar),
        RunEnd::Alternator | RunEnd::Bank(_) | RunEnd::Point(_) => 0.0,
    };
    let carried = carried(run);
    if carried.is_empty() {
        return calendar.engine_hours;
    }
    carried.iter().map(of_part).fold(0.0, f64::max)
}
