//! Which share of a step each trial drives.

use super::draws::{Draws, Drive};
use super::lanes::{LANES, Lanes, ZERO};

/// Drives of a batch, walked through step by step.
pub(crate) struct DriveTrack<'a> {
    draws: &'a Draws,
    next: [usize; LANES],
    earliest_s: f64,
    /// From here on every trial has departed.
    camps_from_s: f64,
    /// A portable panel stands again so long after a leg's arrival, s.
    settle_s: f64,
    /// Share of the step on any drive.
    pub(crate) driving: Lanes,
    /// Share of the step on a leg.
    pub(crate) towing: Lanes,
    /// Share of the step in which a portable panel of the vehicle is put away.
    pub(crate) packed: Lanes,
    /// The same for a panel of a trailer left in camp.
    pub(crate) packed_trailer: Lanes,
    /// Whether any trial drives in this step.
    pub(crate) any: bool,
    /// Whether any trial drives a part of this step only.
    pub(crate) any_part: bool,
    /// Whether any portable panel is put away because of a drive.
    pub(crate) any_packed: bool,
}

impl<'a> DriveTrack<'a> {
    pub(crate) fn new(draws: &'a Draws, settle_s: f64) -> Self {
        let mut track = Self {
            draws,
            next: [0; LANES],
            earliest_s: 0.0,
            camps_from_s: draws.departure_s.iter().copied().fold(0.0, f64::max),
            settle_s,
            driving: ZERO,
            towing: ZERO,
            packed: ZERO,
            packed_trailer: ZERO,
            any: false,
            any_part: false,
            any_packed: false,
        };
        track.earliest_s = track.earliest();
        track
    }

    fn earliest(&self) -> f64 {
        let upcoming = self.draws.drives.iter().zip(self.next);
        upcoming
            .filter_map(|(drives, next)| drives.get(next))
            .fold(f64::INFINITY, |earliest, drive| earliest.min(drive.from_s))
    }

    /// Moves to the step from `begin_s` to `end_s`.
    #[inline(never)]
    pub(crate) fn step(&mut self, begin_s: f64, end_s: f64) {
        if self.any_packed || self.any {
            self.driving = ZERO;
            self.towing = ZERO;
            self.packed = ZERO;
            self.packed_trailer = ZERO;
        }
        self.any = false;
        self.any_packed = false;
        self.any_part = false;
        if self.earliest_s >= end_s && begin_s >= self.camps_from_s {
            return;
        }
        for (lane, drives) in self.draws.drives.iter().enumerate() {
            // Of the step in which a trial ends, its part counts as the whole.
            let end_s = part_end_s(self.draws.end_s[lane], begin_s, end_s);
            let per_s = 1.0 / (end_s - begin_s);
            let share =
                |from_s: f64, to_s: f64| ((to_s.min(end_s) - from_s.max(begin_s)) * per_s).max(0.0);
            // A drive is behind when its arrival's settling hour is.
            while let Some(drive) = drives.get(self.next[lane]) {
                if self.ends_s(drive) > begin_s {
                    break;
                }
                self.next[lane] += 1;
            }
            // Before the first departure the vehicle is parked, but not in camp.
            let departs_s = self.draws.departure_s[lane];
            if departs_s > begin_s {
                let before = share(begin_s, departs_s);
                self.packed[lane] += before;
                self.packed_trailer[lane] += before;
                self.any_packed = true;
            }
            let mut packed_to_s = departs_s;
            let mut packed_leg_to_s = departs_s;
            for drive in drives[self.next[lane]..]
                .iter()
                .take_while(|drive| drive.from_s < end_s)
            {
                let part = share(drive.from_s, drive.to_s);
                let ends_s = self.ends_s(drive);
                self.driving[lane] += part;
                self.packed[lane] += share(drive.from_s.max(packed_to_s), ends_s);
                packed_to_s = packed_to_s.max(ends_s);
                if drive.is_leg {
                    self.towing[lane] += part;
                    self.packed_trailer[lane] += share(drive.from_s.max(packed_leg_to_s), ends_s);
                    packed_leg_to_s = packed_leg_to_s.max(ends_s);
                }
                self.any |= part > 0.0;
                self.any_part |= part > 0.0 && part < 1.0;
                self.any_packed = true;
            }
        }
        self.earliest_s = self.earliest();
    }

    fn ends_s(&self, drive: &Drive) -> f64 {
        if drive.is_leg {
            drive.to_s + self.settle_s
        } else {
            drive.to_s
        }
    }
}

/// Where a step ends for a trial: at the trial's end, if that lies in it.
pub(crate) fn part_end_s(trial_end_s: f64, begin_s: f64, end_s: f64) -> f64 {
    if trial_end_s > begin_s {
        trial_end_s.min(end_s)
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
            driven_s += track.driving[3] * 300.0;
            towed_s += track.towing[3] * 300.0;
            packed_s += track.packed[3] * 300.0;
            assert!(track.driving[2].abs() < 1e-12);
        }
        assert!((driven_s - 310.0).abs() < 1e-9, "{driven_s}");
        assert!((towed_s - 250.0).abs() < 1e-9, "{towed_s}");
        assert!((packed_s - 850.0).abs() < 1e-9, "{packed_s}");
    }
}
