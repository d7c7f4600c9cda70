//! Drives of one trial: departures, hours at the wheel, overruns.

use super::chance::Chance;
use super::pert::PertQuantile;
use super::random::StreamKey;
use crate::engine::Drive;
use crate::scenario::{Scenario, Spread};
use crate::timeline::Timeline;

/// A departure this much after the wanted one counts as an overrun, s.
const LATE_S: f64 = 60.0;

/// Redraws of a drive that must last longer than it has, before the middle of what is left stands in.
const REDRAWS: u64 = 64;

/// A drive is not over, though no spread says how long it may last: so many hours more.
const LITTLE_H: f64 = 0.25;

struct LegDraw {
    key: StreamKey,
    /// Behind the vehicle, which stands at a later stop or at its end, whatever was drawn.
    is_past: bool,
    /// Being driven at this moment, whatever was drawn.
    under_way_s: Option<f64>,
    scheduled_s: f64,
    /// The leg cannot leave before.
    earliest_s: f64,
    most_hours: f64,
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
    start_s: f64,
    end_s: f64,
    ends_on_arrival: Option<usize>,
    /// Where the vehicle stands against the plan: since when.
    moved_s: f64,
    /// Drives, and departure and arrival of each leg, where they are known of the whole plan.
    pub(super) known: Option<KnownDrives>,
}

/// Drives of the whole plan, and departure and arrival of each leg.
pub(super) type KnownDrives = (Vec<Drive>, Vec<(f64, f64)>);

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
        let since = |utc_s: i64| calendar.since_s(utc_s);
        let legs = calendar
            .legs
            .iter()
            .zip(&scenario.itinerary.legs)
            .enumerate();
        let turn = calendar.turn;
        let now_s = turn.map_or(0.0, |turn| since(turn.now_s));
        // The past is as the file has it.
        let begins_here = timeline.past.is_some();
        let stands = |leg: usize| {
            turn.is_some_and(|turn| begins_here && turn.is_known && Some(leg) <= turn.leg)
        };
        let start_s = since(calendar.weather_from_s);
        Self {
            known: None,
            start_s,
            moved_s: if turn.is_some_and(|turn| begins_here && turn.is_moved) {
                now_s
            } else {
                f64::NEG_INFINITY
            },
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
                        is_past: stands(index),
                        under_way_s: turn
                            .filter(|turn| turn.is_on_road && turn.leg == Some(index))
                            .map(|_| now_s),
                        scheduled_s: since(times.scheduled_s),
                        earliest_s: match turn {
                            Some(turn) if begins_here && Some(index) > turn.leg => now_s,
                            _ => start_s,
                        },
                        most_hours: leg.drive_hours.max,
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
        let mut free_s: f64 = self.start_s;
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
            let (depart_s, arrive_s, is_late) = leg.drive(chance, free_s);
            trial.overruns += u32::from(index > 0 && depart_s >= 0.0 && is_late);
            free_s = arrive_s;
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
        if let Some(leg) = self.ends_on_arrival {
            trial.end_s = self.end_s.max(trial.legs[leg].1);
        }
        for drive in &mut trial.drives {
            // Whatever was under way is over where the vehicle stands elsewhere.
            if drive.from_s < self.moved_s {
                drive.to_s = drive.to_s.min(self.moved_s);
            }
        }
        if let Some((drives, legs)) = &self.known {
            trial.drives.clone_from(drives);
            trial.legs.clone_from(legs);
            trial.departure_s = legs.first().map_or(self.departure_s, |leg| leg.0);
        }
        trial
    }
}

impl LegDraw {
    /// Departure, arrival, and whether it left late; the vehicle is free from `free_s` on.
    fn drive(&self, chance: Chance, free_s: f64) -> (f64, f64, bool) {
        let (first, second) = chance.uniforms(self.key, 0);
        let spread_s = 60.0 * chance.pick(&self.depart_min, first);
        let wanted_s = (self.scheduled_s + spread_s).max(self.earliest_s);
        let is_late = free_s > wanted_s + LATE_S;
        let mut depart_s = wanted_s.max(free_s);
        let mut hours = chance.pick(&self.hours, second);
        if let Some(now_s) = self.under_way_s {
            depart_s = depart_s.min(now_s);
            hours = self.hours_beyond(chance, hours, (now_s - depart_s) / 3600.0);
        }
        let mut arrive_s = depart_s + 3600.0 * hours;
        if self.is_past {
            (depart_s, arrive_s) = (depart_s.min(0.0), arrive_s.min(0.0));
        }
        (depart_s, arrive_s, is_late)
    }

    /// Hours of a drive that has taken `gone` hours: those drawn, if more, else drawn again from what the
    /// spread has beyond.
    fn hours_beyond(&self, chance: Chance, drawn: f64, gone: f64) -> f64 {
        if drawn > gone {
            return drawn;
        }
        if self.most_hours <= gone {
            return gone + LITTLE_H;
        }
        let again = |place| chance.pick(&self.hours, chance.uniforms(self.key, place).1);
        (1..=REDRAWS)
            .map(again)
            .find(|&hours| hours > gone)
            .unwrap_or(0.5 * (gone + self.most_hours))
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
