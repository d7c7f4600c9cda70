//! Whole days of a plan, and what kind of day each is.
//!
//! One job: the plan cut at the clock time of its start, so that a day's drive and the night after it lie
//! in one day. What is left at the end, less than a day, belongs to none.

use chrono::NaiveDate;

use super::calendar::{NominalCalendar, days_after};
use crate::scenario::Zone;

/// Number of kinds of day.
pub const DAY_KINDS: usize = 2;

/// What is done on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayKind {
    /// No leg begins: a day in camp, with local drives or without.
    Camp,
    /// A leg is driven.
    Driving,
}

impl DayKind {
    /// Its place in a list of kinds.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// A day from the start's clock time to the same on the next date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WholeDay {
    /// Date on which it begins.
    pub date: NaiveDate,
    /// First step.
    pub first_step: usize,
    /// Step after its last.
    pub end_step: usize,
    /// Its kind.
    pub kind: DayKind,
}

/// The whole days of a plan, in order, in steps of `step_s` seconds.
#[must_use]
pub fn whole_days(calendar: &NominalCalendar, zone: &Zone, step_s: i64) -> Vec<WholeDay> {
    let start = zone.local(calendar.start_s);
    let begin_s = |day: u32| zone.first_utc_s(days_after(start.date(), day).and_time(start.time()));
    let step_of = |utc_s: i64| usize::try_from((utc_s - calendar.start_s) / step_s).unwrap_or(0);
    let mut days = Vec::new();
    let (mut number, mut from_s) = (0, calendar.start_s);
    loop {
        let to_s = begin_s(number + 1);
        if to_s > calendar.end_s || to_s <= from_s {
            return days;
        }
        let has_leg = calendar
            .legs
            .iter()
            .any(|leg| leg.arrive_s > leg.depart_s && (from_s..to_s).contains(&leg.depart_s));
        days.push(WholeDay {
            date: days_after(start.date(), number),
            first_step: step_of(from_s),
            end_step: step_of(to_s),
            kind: if has_leg {
                DayKind::Driving
            } else {
                DayKind::Camp
            },
        });
        (number, from_s) = (number + 1, to_s);
    }
}

/// The first and the last day of one kind, of the kind whose last comes last; `None` where no kind has
/// two days.
#[must_use]
pub fn like_days(days: &[WholeDay]) -> Option<[WholeDay; 2]> {
    let pairs = [DayKind::Camp, DayKind::Driving].map(|kind| {
        let mut of_kind = days.iter().filter(|day| day.kind == kind);
        Some([*of_kind.next()?, *of_kind.next_back()?])
    });
    let pairs = pairs.into_iter().flatten();
    pairs.max_by_key(|pair| pair[1].end_step)
}
