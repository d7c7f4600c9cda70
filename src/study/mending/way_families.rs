//! Changes of the way that could mend a trip.
//!
//! One job: driving about in camp, a night less, mains where it could be had, each as a family of
//! changes like those of the parts in `families`.

use super::families::{Family, Rung};
use crate::scenario::{Changes, Parts, indices};
use crate::units::Whole;

/// Driving about on camp days, hours: step and most.
const DRIVE_H: (f64, f64) = (0.25, 6.0);

/// Driving about in camp, a night less, mains where it could be had.
pub(super) fn itinerary(scenario: &Parts) -> Vec<Family> {
    let legs = || scenario.itinerary.legs.iter().enumerate();
    let mut all = Vec::new();
    let has_engine_charge = scenario.alternator.is_some() && !scenario.chargers.is_empty();
    let stays = indices(&scenario.itinerary.legs, |leg| leg.nights > 1);
    if has_engine_charge && !stays.is_empty() {
        let now = stays
            .iter()
            .map(|&at| scenario.itinerary.legs[at].local_drive_hours.likely);
        let least = now.fold(f64::INFINITY, f64::min);
        let count = u32::cut(DRIVE_H.1 / DRIVE_H.0);
        let hours = (1..=count).map(|step| f64::from(step) * DRIVE_H.0);
        let rungs = hours.filter(|hours| *hours > least).map(|hours| {
            let more = stays
                .iter()
                .filter(|&&at| scenario.itinerary.legs[at].local_drive_hours.likely < hours);
            let keys = more.map(|at| format!("itinerary.legs.{}.local_drive_hours", at + 1));
            Rung {
                changes: keys.fold(Changes::default(), |set, key| set.and(key, hours)),
                text: format!("at least {hours} h of driving about on every camp day"),
                effort: (hours - least) / 2.0,
                size: hours,
            }
        });
        let name = "more driving about on camp days".to_owned();
        all.push(Family::of_use("drive", name, rungs.collect()));
    }
    for (at, leg) in legs().filter(|(_, leg)| leg.nights > 0) {
        let (stop, nights) = (&leg.stop.name, leg.nights);
        let rungs = (1..nights.min(4)).map(|fewer| Rung {
            changes: Changes::one(format!("itinerary.legs.{}.nights", at + 1), nights - fewer),
            text: format!("{fewer} of the {nights} nights at {stop} left out"),
            effort: f64::from(fewer) / f64::from(nights),
            size: f64::from(fewer),
        });
        let name = format!("fewer nights at {stop}");
        all.push(Family::of_use("fewer-nights", name, rungs.collect()));
        if leg.mains_possible && !leg.mains {
            let changes = Changes::one(format!("itinerary.legs.{}.mains", at + 1), true);
            let rung = Rung::new(changes, format!("a site with mains at {stop}"), 0.5);
            all.push(Family::of_use(
                "mains",
                format!("mains at {stop}"),
                vec![rung],
            ));
        }
    }
    all
}
