//! Shares of a step in which loads of each kind are open: always, driving, parked, in camp.
//!
//! One job: the shares of the step, and their sums over the steps gone by. What depends on them is in
//! `demand`.

use super::lanes::{LANES, Lanes, ONE, ZERO, wide};
use crate::timeline::load_schedule::{AVAILABILITIES, Availability};
use crate::timeline::plant::Plant;

/// Shares of a step in which loads of each availability are live, for things of the vehicle or of a trailer.
#[derive(Debug, Clone)]
pub(crate) struct Availabilities {
    open: [Lanes; AVAILABILITIES],
    /// Open steps so far, whole ones and parts apart: so the sum is the same to the bit, whenever
    /// `waiting` is taken up.
    whole: [Lanes; AVAILABILITIES],
    part: [Lanes; AVAILABILITIES],
    is_shut: [bool; AVAILABILITIES],
    /// Whether any load depends on the availability: else its sums are not kept.
    has_loads: [bool; AVAILABILITIES],
    /// Steps with the present shares that are not in the sums yet.
    waiting: f64,
}

impl Availabilities {
    /// Those of a trailer or of the vehicle itself.
    pub(crate) fn new(plant: &Plant, trailer: bool) -> Self {
        let has_loads = Availability::ALL.map(|availability| {
            let mut loads = plant.loads.iter();
            loads.any(|load| {
                load.availability == Some(availability) && plant.banks[load.bank].trailer == trailer
            })
        });
        Self {
            has_loads,
            open: [ONE, ZERO, ZERO, ZERO],
            is_shut: [false, true, true, true],
            whole: [ZERO; AVAILABILITIES],
            part: [ZERO; AVAILABILITIES],
            waiting: 0.0,
        }
    }

    #[inline(never)]
    pub(crate) fn set(&mut self, driving: &Lanes, away: &Lanes) {
        let of = self;
        wide!(|of, driving, away| {
            of.take_up();
            let [_, drive, park, camp] = &mut of.open;
            *drive = *driving;
            for lane in 0..LANES {
                park[lane] = 1.0 - driving[lane];
                camp[lane] = park[lane] * away[lane];
            }
            for (is_shut, open) in of.is_shut.iter_mut().zip(&of.open).skip(1) {
                let mut is_open = false;
                for share in open.iter() {
                    is_open |= *share > 0.0;
                }
                *is_shut = !is_open;
            }
        });
    }

    #[inline]
    pub(crate) fn share(&self, availability: Availability) -> &Lanes {
        &self.open[availability.index()]
    }

    /// Those whose loads are live in any trial.
    #[inline]
    pub(crate) fn open(&self) -> impl Iterator<Item = Availability> {
        let all = Availability::ALL.into_iter();
        all.filter(|availability| !self.is_shut[availability.index()])
    }

    /// A step with these shares is over.
    #[inline]
    pub(crate) fn count_step(&mut self) {
        self.waiting += 1.0;
    }

    /// A step with these shares is over, of which only `share` counts.
    pub(crate) fn count_part(&mut self, share: &Lanes) {
        self.take_up();
        for availability in 0..AVAILABILITIES {
            let mut open = self.open[availability];
            for lane in 0..LANES {
                open[lane] *= share[lane];
            }
            add(
                &mut self.whole[availability],
                &mut self.part[availability],
                &open,
                1.0,
            );
        }
    }

    /// Open steps so far, of an availability that a load depends on.
    pub(crate) fn steps(&mut self, availability: Availability) -> Lanes {
        self.take_up();
        let mut steps = self.whole[availability.index()];
        steps += &self.part[availability.index()];
        steps
    }

    #[inline(always)]
    fn take_up(&mut self) {
        if self.waiting <= 0.0 {
            return;
        }
        for availability in 0..AVAILABILITIES {
            if self.has_loads[availability] {
                let (whole, part) = (&mut self.whole[availability], &mut self.part[availability]);
                add(whole, part, &self.open[availability], self.waiting);
            }
        }
        self.waiting = 0.0;
    }
}

#[inline(always)]
fn add(whole: &mut Lanes, part: &mut Lanes, open: &Lanes, steps: f64) {
    for lane in 0..LANES {
        let steps = open[lane] * steps;
        let is_part = (open[lane] > 0.0) & (open[lane] < 1.0);
        whole[lane] += if is_part { 0.0 } else { steps };
        part[lane] += if is_part { steps } else { 0.0 };
    }
}
