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
            let [first, last] = &mut bank.like_soc;
            let kept = [
                &mut bank.lowest_soc,
                &mut bank.end_soc,
                &mut bank.autonomy_days,
                first,
                last,
            ];
            kept.into_iter().for_each(sort);
        }
        let kept = [
            &mut self.house_autonomy_days,
            &mut self.house_last_short_days,
            &mut self.peak_a,
            &mut self.end_s,
        ];
        kept.into_iter()
            .chain(&mut self.fridge_above_h)
            .for_each(sort);
    }
}
