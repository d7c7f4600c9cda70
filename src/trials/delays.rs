//! Departures that are put off: what is drawn, and the trials by what they drew.
//!
//! One job: days of delay by leg. A trial with other days meets other dates at other places, so it runs
//! on a timeline of its own: see `delayed_run`.

use std::collections::BTreeMap;

use super::chance::Chance;
use super::pert::PertQuantile;
use super::random::StreamKey;
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::units::Whole;

#[derive(Debug)]
struct LegDelay {
    leg: usize,
    key: StreamKey,
    chance: f64,
    days: PertQuantile,
    most_days: u32,
}

/// What the delays of a plan are drawn from.
#[derive(Debug)]
pub struct DelayDraws {
    legs: Vec<LegDelay>,
}

impl DelayDraws {
    /// The delays of the departures that a plan has ahead, under a seed; `None` where none can be put off.
    #[must_use]
    pub fn new(scenario: &Scenario, timeline: &Timeline, seed: u64) -> Option<Self> {
        let calendar = &timeline.calendar;
        let behind = calendar
            .turn
            .and_then(|turn| turn.leg)
            .map_or(0, |leg| leg + 1);
        let legs = scenario.itinerary.legs.iter().enumerate().skip(behind);
        let legs = legs.take(calendar.legs.len()).filter_map(|(index, leg)| {
            leg.delay.map(|delay| LegDelay {
                leg: index,
                key: StreamKey::new(seed, &format!("delay/{index}/{}", leg.stop.name)),
                chance: delay.chance,
                days: PertQuantile::new(delay.days),
                most_days: delay.most_days(),
            })
        });
        let legs: Vec<LegDelay> = legs.collect();
        (!calendar.legs.is_empty() && !legs.is_empty()).then_some(Self { legs })
    }

    /// Days by which the end moves if every departure is put off as far as it may be.
    #[must_use]
    pub fn most_days(&self) -> u32 {
        self.legs.iter().map(|leg| leg.most_days).sum()
    }

    /// Days by leg of one trial, none where the list ends.
    #[must_use]
    pub fn days(&self, trial: u64) -> Vec<u32> {
        let mut days = Vec::new();
        for leg in &self.legs {
            let chance = Chance::Trial(trial);
            let (first, second) = chance.uniforms(leg.key, 0);
            if first >= leg.chance {
                continue;
            }
            let drawn = u32::cut(chance.pick(&leg.days, second).round());
            if drawn > 0 {
                days.resize(leg.leg + 1, 0);
                days[leg.leg] = drawn;
            }
        }
        days
    }

    /// Trials by the days they drew, in the order of these; first those without delay.
    #[must_use]
    pub fn groups(&self, trials: impl Iterator<Item = u64>) -> BTreeMap<Vec<u32>, Vec<u64>> {
        let mut groups: BTreeMap<Vec<u32>, Vec<u64>> = BTreeMap::new();
        for trial in trials {
            groups.entry(self.days(trial)).or_default().push(trial);
        }
        groups
    }
}
