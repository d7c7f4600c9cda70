//! Drives of one trial: departures, hours at the wheel, overruns.

use super::chance::Chance;
use super::pert::PertQuantile;
use super::random::StreamKey;
use crate::engine::Drive;
use crate::scenario::{Scenario, Spread};
use crate::timeline::Timeline;

/// A departure this much after the wanted one counts as an overrun, s.
const LATE_S: f64 = 60.0;

struct LegDraw {
    key: StreamKey,
    scheduled_s: f64,
    depart_min: PertQuantile,
    hours: PertQuantile,
}

struct LocalDraw {
    key: StreamKey,
    depart_s: f64,
    hours: PertQuantile,
}

/// What the drives of a plan are drawn from.
pub(crate) struct DriveDraws {
    legs: Vec<LegDraw>,
    locals: Vec<LocalDraw>,
    departure_s: f64,
    end_s: f64,
    ends_on_arrival: bool,
}

/// The drives of one trial.
pub(crate) struct TrialDrives {
    pub(crate) drives: Vec<Drive>,
    /// Departure and arrival of each leg.
    pub(crate) legs: Vec<(f64, f64)>,
    pub(crate) departure_s: f64,
    pub(crate) end_s: f64,
    /// Legs that left late because the one before overran.
    pub(crate) overruns: u32,
}

impl DriveDraws {
    pub(crate) fn new(scenario: &Scenario, timeline: &Timeline, seed: u64) -> Self {
        let calendar = &timeline.calendar;
        #[expect(clippy::cast_precision_loss, reason = "seconds of a trip")]
        let since = |utc_s: i64| (utc_s - calendar.start_s) as f64;
        let legs = calendar
            .legs
            .iter()
            .zip(&scenario.itinerary.legs)
            .enumerate();
        Self {
            legs: legs
                .map(|(index, (times, leg))| {
                    let spread_min = leg.depart_spread_min;
                    let depart = Spread {
                        min: -spread_min,
                        likely: 0.0,
                        max: spread_min,
                    };
                    LegDraw {
                        key: StreamKey::new(seed, &format!("leg/{index}/{}", leg.stop.name)),
                        scheduled_s: since(times.scheduled_s),
                        depart_min: PertQuantile::new(depart),
                        hours: PertQuantile::new(leg.drive_hours),
                    }
                })
                .collect(),
            locals: calendar
                .local_drives
                .iter()
                .map(|drive| LocalDraw {
                    key: StreamKey::new(seed, &format!("local/{}", drive.date)),
                    depart_s: since(drive.depart_s),
                    hours: PertQuantile::new(drive.hours),
                })
                .collect(),
            departure_s: since(calendar.departure_s),
            end_s: since(calendar.end_s),
            ends_on_arrival: calendar.ends_on_arrival,
        }
    }

    pub(crate) fn draw(&self, chance: Chance) -> TrialDrives {
        let mut trial = TrialDrives {
            drives: Vec::with_capacity(self.legs.len() + self.locals.len()),
            legs: Vec::with_capacity(self.legs.len()),
            departure_s: self.departure_s,
            end_s: self.end_s,
            overruns: 0,
        };
        let mut free_s: f64 = 0.0;
        let mut next_local = 0;
        for (index, leg) in self.legs.iter().enumerate() {
            while let Some(local) = self
                .locals
                .get(next_local)
                .filter(|local| local.depart_s < leg.scheduled_s)
            {
                free_s = local.drive(chance, free_s, &mut trial.drives);
                next_local += 1;
            }
            let (first, second) = chance.uniforms(leg.key, 0);
            let spread_s = 60.0 * chance.pick(&leg.depart_min, first);
            let wanted_s = (leg.scheduled_s + spread_s).max(0.0);
            trial.overruns += u32::from(index > 0 && free_s > wanted_s + LATE_S);
            let depart_s = wanted_s.max(free_s);
            free_s = depart_s + 3600.0 * chance.pick(&leg.hours, second);
            if free_s > depart_s {
                trial.drives.push(Drive {
                    from_s: depart_s,
                    to_s: free_s,
                    is_leg: true,
                });
            }
            trial.legs.push((depart_s, free_s));
        }
        for local in &self.locals[next_local..] {
            free_s = local.drive(chance, free_s, &mut trial.drives);
        }
        trial.departure_s = trial.legs.first().map_or(self.departure_s, |leg| leg.0);
        if self.ends_on_arrival {
            trial.end_s = self.end_s.max(free_s);
        }
        trial
    }
}

impl LocalDraw {
    /// Adds the drive, later than its time where the vehicle is still under way.
    fn drive(&self, chance: Chance, free_s: f64, drives: &mut Vec<Drive>) -> f64 {
        let (first, _) = chance.uniforms(self.key, 0);
        let from_s = self.depart_s.max(free_s);
        let to_s = from_s + 3600.0 * chance.pick(&self.hours, first);
        if to_s > from_s {
            drives.push(Drive {
                from_s,
                to_s,
                is_leg: false,
            });
        }
        to_s
    }
}
