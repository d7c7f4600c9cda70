//! Which steps can be gone through together.
//!
//! One job: where something new begins for every trial alike: loads change, the sun's hour turns, a
//! night opens, a sample is due, mains are there. What a trial alone begins, its drives and events, the
//! engine asks of its draws.

use super::compile::NightMark;
use super::load_schedule::Change;

/// Per step: the step after the last one that can be gone through together with it; the step itself,
/// where it must be gone through alone.
///
/// `slots` are the sun's hours, `marked` and `mains` as in the timeline, a value a step; steps from
/// `tail_step` on are alone.
#[must_use]
pub fn stretch_ends(
    slots: &[u32],
    marked: &[bool],
    mains: &[bool],
    nights: &[NightMark],
    changes: &[Change],
    tail_step: usize,
) -> Vec<usize> {
    let steps = marked.len();
    let mut begins = mains.to_vec();
    for step in 1..steps {
        begins[step] |= marked[step - 1] || slots[step] != slots[step - 1];
    }
    let news = nights.iter().map(|night| night.first_step);
    for step in news.chain(changes.iter().map(|change| change.step)) {
        if let Some(begins) = begins.get_mut(step) {
            *begins = true;
        }
    }
    let mut ends = vec![0; steps];
    let mut next = steps;
    for step in (0..steps).rev() {
        ends[step] = if mains[step] || step >= tail_step {
            step
        } else {
            next.min(tail_step)
        };
        if begins[step] {
            next = step;
        }
    }
    ends
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stretch_ends_where_something_begins() {
        let slots = [0, 0, 0, 0, 1, 1, 1, 1, 1, 1];
        let mut marked = [false; 10];
        marked[1] = true;
        let mut mains = [false; 10];
        mains[6] = true;
        let ends = stretch_ends(&slots, &marked, &mains, &[], &[], 9);
        assert_eq!(ends, [2, 2, 4, 4, 6, 6, 6, 9, 9, 9]);
    }
}
