//! Which share of a step each trial drives.

use super::draws::{Draws, Drive};
use super::lanes::{LANES, Lanes, NEVER, ZERO, max, min, wide};

/// Drives of a batch, walked through step by step.
pub(crate) struct DriveTrack<'a> {
    shares: Shares,
    draws: &'a Draws,
    /// The drive of each trial that is under way or comes next; none: infinitely far.
    next: [usize; LANES],
    current: Current,
    /// The earliest beginning of these.
    earliest_s: f64,
    /// From here on every trial has departed.
    camps_from_s: f64,
    /// A portable panel stands again so long after a leg's arrival, s.
    settle_s: f64,
    /// Whether any trial drives in this step.
    pub(crate) any: bool,
    /// Whether any trial drives a part of this step only.
    pub(crate) any_part: bool,
    /// Whether any portable panel is put away because of a drive.
    pub(crate) any_packed: bool,
}

/// Shares of the step.
#[derive(Default)]
struct Shares {
    /// On any drive.
    driving: Lanes,
    /// On a leg.
    towing: Lanes,
    /// In which a portable panel of the vehicle is put away.
    packed: Lanes,
    /// The same for a panel of a trailer left in camp.
    packed_trailer: Lanes,
}

/// A drive of each trial.
struct Current {
    from_s: Lanes,
    to_s: Lanes,
    /// When a portable panel stands again.
    ends_s: Lanes,
    /// 1 for a leg, 0 for a drive about from a stop.
    leg: Lanes,
    /// Beginning of the drive after it.
    then_s: Lanes,
}

impl<'a> DriveTrack<'a> {
    pub(crate) fn new(draws: &'a Draws, settle_s: f64) -> Self {
        let mut track = Self {
            shares: Shares::default(),
            draws,
            next: [0; LANES],
            current: Current {
                from_s: NEVER,
                to_s: NEVER,
                ends_s: NEVER,
                leg: ZERO,
                then_s: NEVER,
            },
            earliest_s: 0.0,
            camps_from_s: draws.departure_s.iter().copied().fold(0.0, f64::max),
            settle_s,
            any: false,
            any_part: false,
            any_packed: false,
        };
        for lane in 0..LANES {
            track.take(lane, 0);
        }
        track.earliest_s = track.current.from_s.least();
        track
    }

    /// Makes a trial's drive number `next` the current one.
    fn take(&mut self, lane: usize, next: usize) {
        let drives = &self.draws.drives[lane];
        self.next[lane] = next;
        let current = &mut self.current;
        if let Some(drive) = drives.get(next) {
            current.from_s[lane] = drive.from_s;
            current.to_s[lane] = drive.to_s;
            current.leg[lane] = if drive.is_leg { 1.0 } else { 0.0 };
            current.ends_s[lane] = ends_s(drive, self.settle_s);
        } else {
            current.from_s[lane] = f64::INFINITY;
            current.ends_s[lane] = f64::INFINITY;
        }
        let then = drives.get(next + 1);
        self.current.then_s[lane] = then.map_or(f64::INFINITY, |drive| drive.from_s);
    }

    /// Moves to the step from `begin_s` to `end_s`.
    pub(crate) fn step(&mut self, begin_s: f64, end_s: f64) {
        if self.any_packed || self.any {
            self.shares = Shares::default();
        }
        self.any = false;
        self.any_packed = false;
        self.any_part = false;
        // In most steps nobody drives, and nothing is touched.
        if self.earliest_s >= end_s && begin_s >= self.camps_from_s {
            return;
        }
        self.pass_by(begin_s);
        // Two drives in one step are rare, but where the step is an hour and the drives about are short.
        if self.current.then_s.least() < end_s {
            for lane in 0..LANES {
                self.share_several(lane, begin_s, end_s);
            }
        } else {
            self.share_one(begin_s, end_s);
        }
    }

    /// Leaves drives behind whose arrival's settling hour is over.
    fn pass_by(&mut self, begin_s: f64) {
        if self.current.ends_s.least() > begin_s {
            return;
        }
        for lane in 0..LANES {
            while self.current.ends_s[lane] <= begin_s {
                self.take(lane, self.next[lane] + 1);
            }
        }
        self.earliest_s = self.current.from_s.least();
    }

    /// The shares of a step in which no trial has more than one drive.
    #[inline(never)]
    fn share_one(&mut self, begin_s: f64, end_s: f64) {
        let (draws, drive, shares) = (self.draws, &self.current, &mut self.shares);
        [self.any, self.any_part, self.any_packed] =
            wide!(|draws, drive, shares, begin_s, end_s| share_one_each(
                draws, drive, shares, begin_s, end_s
            ));
    }

    /// The shares of a step for one trial, whatever drives it has in it.
    fn share_several(&mut self, lane: usize, begin_s: f64, end_s: f64) {
        let drives = &self.draws.drives[lane];
        // Of the step in which a trial ends, its part counts as the whole.
        let end_s = part_end_s(self.draws.end_s[lane], begin_s, end_s);
        let per_s = 1.0 / (end_s - begin_s);
        let share = |from_s: f64, to_s: f64| share_of(from_s, to_s, begin_s, end_s, per_s);
        // Before the first departure the vehicle is parked, but not in camp.
        let departs_s = self.draws.departure_s[lane];
        let before = share(begin_s, departs_s);
        let shares = &mut self.shares;
        shares.packed[lane] += before;
        shares.packed_trailer[lane] += before;
        self.any_packed |= before > 0.0;
        let mut packed_to_s = departs_s;
        let mut packed_leg_to_s = departs_s;
        for drive in drives[self.next[lane].min(drives.len())..]
            .iter()
            .take_while(|drive| drive.from_s < end_s)
        {
            let part = share(drive.from_s, drive.to_s);
            let ends_s = ends_s(drive, self.settle_s);
            shares.driving[lane] += part;
            shares.packed[lane] += share(max(drive.from_s, packed_to_s), ends_s);
            packed_to_s = max(packed_to_s, ends_s);
            if drive.is_leg {
                shares.towing[lane] += part;
                shares.packed_trailer[lane] += share(max(drive.from_s, packed_leg_to_s), ends_s);
                packed_leg_to_s = max(packed_leg_to_s, ends_s);
            }
            self.any |= part > 0.0;
            self.any_part |= part > 0.0 && part < 1.0;
            self.any_packed = true;
        }
    }

    /// Share of the step in which the vehicle, or its trailer, is on the road.
    pub(crate) fn away(&self, trailer: bool) -> &Lanes {
        if trailer {
            self.towing()
        } else {
            self.driving()
        }
    }

    /// Share of the step on any drive.
    pub(crate) fn driving(&self) -> &Lanes {
        &self.shares.driving
    }

    /// Share of the step on a leg.
    pub(crate) fn towing(&self) -> &Lanes {
        &self.shares.towing
    }

    /// Share of the step in which a portable panel of the vehicle, or of a trailer left in camp, is put away.
    pub(crate) fn packed(&self, trailer: bool) -> &Lanes {
        if trailer {
            &self.shares.packed_trailer
        } else {
            &self.shares.packed
        }
    }
}

/// When a portable panel stands again after a drive: a while after a leg, at once after a drive about.
fn ends_s(drive: &Drive, settle_s: f64) -> f64 {
    drive.to_s + if drive.is_leg { settle_s } else { 0.0 }
}

/// Share of a step that lies between two moments; `per_s` is the inverse of its length.
#[inline(always)]
fn share_of(from_s: f64, to_s: f64, begin_s: f64, end_s: f64, per_s: f64) -> f64 {
    max((min(to_s, end_s) - max(from_s, begin_s)) * per_s, 0.0)
}

/// Returns whether any trial drives, drives a part of the step only, has a panel put away.
#[inline(always)]
fn share_one_each(
    draws: &Draws,
    drive: &Current,
    shares: &mut Shares,
    begin_s: f64,
    end_s: f64,
) -> [bool; 3] {
    let (mut any, mut any_part, mut any_packed) = (false, false, false);
    for lane in 0..LANES {
        let end_s = part_end_s(draws.end_s[lane], begin_s, end_s);
        let per_s = 1.0 / (end_s - begin_s);
        let departs_s = draws.departure_s[lane];
        let before = share_of(begin_s, departs_s, begin_s, end_s, per_s);
        let is_on = drive.from_s[lane] < end_s;
        let part = share_of(drive.from_s[lane], drive.to_s[lane], begin_s, end_s, per_s);
        let part = if is_on { part } else { 0.0 };
        let from_s = max(drive.from_s[lane], departs_s);
        let packed = share_of(from_s, drive.ends_s[lane], begin_s, end_s, per_s);
        let packed = if is_on { packed } else { 0.0 };
        let leg = drive.leg[lane];
        shares.driving[lane] = part;
        shares.towing[lane] = part * leg;
        shares.packed[lane] = before + packed;
        shares.packed_trailer[lane] = before + packed * leg;
        any |= part > 0.0;
        any_part |= (part > 0.0) & (part < 1.0);
        any_packed |= is_on | (before > 0.0);
    }
    [any, any_part, any_packed]
}

/// Where a step ends for a trial: at the trial's end, if that lies in it.
#[inline(always)]
pub(crate) fn part_end_s(trial_end_s: f64, begin_s: f64, end_s: f64) -> f64 {
    if trial_end_s > begin_s {
        min(trial_end_s, end_s)
    } else {
        end_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::lanes::splat;

    #[test]
    fn shares_add_up_over_steps_and_back_to_back_drives() {
        let mut drives = vec![Vec::new(); LANES];
        drives[3] = vec![
            Drive {
                from_s: 450.0,
                to_s: 700.0,
                is_leg: true,
            },
            Drive {
                from_s: 700.0,
                to_s: 760.0,
                is_leg: false,
            },
        ];
        let draws = Draws {
            count: LANES,
            start_soc: Vec::new(),
            carried: None,
            drives,
            departure_s: ZERO,
            end_s: splat(3000.0),
            use_factor: Vec::new(),
            events: Vec::new(),
            day_min_c: Vec::new(),
            day_max_c: Vec::new(),
            light: Vec::new(),
        };
        let mut track = DriveTrack::new(&draws, 600.0);
        let (mut driven_s, mut towed_s, mut packed_s) = (0.0, 0.0, 0.0);
        for step in 0..10 {
            let begin_s = 300.0 * f64::from(step);
            track.step(begin_s, begin_s + 300.0);
            driven_s += track.driving()[3] * 300.0;
            towed_s += track.towing()[3] * 300.0;
            packed_s += track.packed(false)[3] * 300.0;
            assert!(track.driving()[2].abs() < 1e-12);
        }
        assert!((driven_s - 310.0).abs() < 1e-9, "{driven_s}");
        assert!((towed_s - 250.0).abs() < 1e-9, "{towed_s}");
        assert!((packed_s - 850.0).abs() < 1e-9, "{packed_s}");
    }
}
