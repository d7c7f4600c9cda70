//! What was kept of trials that came in another order than that of their numbers, put in theirs.

use super::ensemble::{Ensemble, OUTAGE_TRIALS};

impl Ensemble {
    /// Puts what was kept of the trials from number `first` on, which came in this `order`, in that of
    /// their numbers.
    pub(super) fn put_in_order(&mut self, first: u64, order: &[u64]) {
        let index = |trial: u64| usize::try_from(trial).unwrap_or(0);
        let known = index(first);
        let sort = |kept: &mut Vec<f32>| {
            // Where not every trial left something, its order means nothing.
            if kept.len() == known + order.len() {
                let came = kept.split_off(known);
                kept.resize(known + order.len(), 0.0);
                for (value, &trial) in came.into_iter().zip(order) {
                    kept[index(trial)] = value;
                }
            }
        };
        for bank in &mut self.banks {
            for trial in &mut bank.outage_trials {
                if *trial >= first {
                    *trial = order[index(*trial - first)];
                }
            }
            bank.outage_trials.sort_unstable();
            bank.outage_trials.truncate(OUTAGE_TRIALS);
            bank.like_soc.iter_mut().for_each(sort);
        }
        self.of_each_trial().for_each(sort);
    }
}
