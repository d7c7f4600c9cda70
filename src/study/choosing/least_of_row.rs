//! The least of a row of settings that does, each more of the same than the one before.
//!
//! One job: where it lies is looked for with few trials in long steps; whether a setting does is decided with
//! the run's own, for the answer and for the setting next below. What the two make different is carried
//! over from one setting to the next. What is set, and what is asked of it, is the row's.

use std::collections::BTreeMap;

use super::ChoosingError;
use crate::study::answer::Chance;
use crate::study::figures::chance;
use crate::units::{Whole, least_that_does};

/// The figure as found, among the three margins.
pub(in crate::study) const FOUND: usize = 1;

/// With whose trials a setting is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::study) enum Effort {
    /// Few, in long steps.
    Look,
    /// The run's own.
    Own,
}

/// Settings by number.
pub(in crate::study) trait Row {
    /// What a setting comes to.
    type Tried: Clone;

    /// Tries setting `number`.
    fn tried(&self, number: u32, effort: Effort) -> Result<Self::Tried, ChoosingError>;

    /// By how much it does, below 0 where it does not: at the favourable end of the 95 % interval of the run's
    /// own trials, as found, at the unfavourable end.
    fn margins(tried: &Self::Tried) -> [f64; 3];
}

/// By how much a chance is above the aim, at the three ends of the interval that `own` trials give it.
pub(in crate::study) fn chance_margins(value: f64, own: u64, aim: f64) -> [f64; 3] {
    let hits = u64::cut((value * own.real()).round());
    let Chance { value, low, high } = chance(hits, own);
    [high - aim, value - aim, low - aim]
}

/// The least that does.
pub(in crate::study) struct Least<T> {
    /// The setting next below; `None` where the very first does.
    pub(in crate::study) below: Option<T>,
    pub(in crate::study) at: T,
    /// Number of the setting.
    pub(in crate::study) number: u32,
}

/// A search along a row, from its first setting, 0, to its last.
pub(in crate::study) struct Search<R: Row> {
    pub(in crate::study) row: R,
    pub(in crate::study) last: u32,
    own: BTreeMap<u32, R::Tried>,
    looked: BTreeMap<u32, R::Tried>,
    /// Margins of the run's own less those of a look, where both are known.
    pub(in crate::study) beyond_look: [f64; 3],
}

impl<R: Row> Search<R> {
    pub(in crate::study) fn new(row: R, last: u32) -> Self {
        Self {
            row,
            last,
            own: BTreeMap::new(),
            looked: BTreeMap::new(),
            beyond_look: [0.0; 3],
        }
    }

    /// What a setting comes to with the run's own trials.
    pub(in crate::study) fn own(&mut self, number: u32) -> Result<&R::Tried, ChoosingError> {
        if !self.own.contains_key(&number) {
            let tried = self.row.tried(number, Effort::Own)?;
            self.own.insert(number, tried);
        }
        Ok(&self.own[&number])
    }

    /// What it comes to in a first look.
    pub(in crate::study) fn looked(&mut self, number: u32) -> Result<&R::Tried, ChoosingError> {
        if !self.looked.contains_key(&number) {
            let tried = self.row.tried(number, Effort::Look)?;
            self.looked.insert(number, tried);
        }
        Ok(&self.looked[&number])
    }

    /// The least that does by its own trials; `None` where not even the last does, which is then known.
    pub(in crate::study) fn least(&mut self) -> Result<Option<Least<R::Tried>>, ChoosingError> {
        // Between what is known to fail and what is known to do.
        let (mut from, mut does) = (0, None);
        for round in 0.. {
            if does == Some(from) {
                break;
            }
            let to = does.map_or(self.last, |does: u32| does - 1);
            if from > to {
                return Ok(None);
            }
            let number = self.next(from, to, does, round)?;
            let margins = R::margins(self.own(number)?);
            let looked = R::margins(self.looked(number)?);
            self.beyond_look = std::array::from_fn(|end| margins[end] - looked[end]);
            if margins[FOUND] >= 0.0 {
                does = Some(number);
            } else {
                from = number + 1;
            }
        }
        let below = from.checked_sub(1).map(|number| self.own[&number].clone());
        Ok(Some(Least {
            below,
            at: self.own[&from].clone(),
            number: from,
        }))
    }

    /// The setting to be run next, `from` to `to`: where a look has the least that does; once it has been
    /// asked often enough, on the line between what failed and what did; in the end the middle.
    fn next(
        &mut self,
        from: u32,
        to: u32,
        does: Option<u32>,
        round: u32,
    ) -> Result<u32, ChoosingError> {
        const LOOKS: u32 = 3;
        const LINES: u32 = 6;
        if round < LOOKS {
            return Ok(self.looked_for(FOUND, from, to)?.unwrap_or(to));
        }
        let fails = from.checked_sub(1).and_then(|fails| self.own.get(&fails));
        let ends = fails.zip(does.and_then(|does| self.own.get(&does)));
        let share = match ends {
            Some((fails, does)) if round < LINES => {
                let [below, above] = [fails, does].map(|tried| R::margins(tried)[FOUND]);
                below / (below - above)
            }
            _ => 0.5,
        };
        let ahead = u32::cut((f64::from(to - from) * share).round());
        Ok((from + ahead).min(to))
    }

    /// The least setting, `from` to `to`, that a first look has do at one of the three ends, what is known to
    /// differ from the run's own trials added; `None` if even the last does not.
    pub(in crate::study) fn looked_for(
        &mut self,
        end: usize,
        from: u32,
        to: u32,
    ) -> Result<Option<u32>, ChoosingError> {
        let beyond = self.beyond_look[end];
        let mut does = |number: u32| -> Result<bool, ChoosingError> {
            Ok(R::margins(self.looked(number)?)[end] + beyond >= 0.0)
        };
        if from > to || !does(to)? {
            return Ok(None);
        }
        least_that_does(from, to, does).map(Some)
    }

    /// The settings that do at the favourable and at the unfavourable end, from first looks put right by what
    /// was run; the second is `None` if not even the last does.
    pub(in crate::study) fn ends(
        &mut self,
        least: u32,
    ) -> Result<(u32, Option<u32>), ChoosingError> {
        let low = self.looked_for(0, 0, least)?.unwrap_or(least);
        let high = self.looked_for(2, least, self.last)?;
        Ok((low, high))
    }
}
