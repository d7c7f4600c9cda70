//! Results of pure functions, kept for the next time.
//!
//! One job: plans that differ by a night or a part meet nearly the same days at the same places; what was worked
//! out for one of them is taken for the next. It can change no figure: what is kept is what would be worked out.

use std::collections::BTreeMap;
use std::sync::Mutex;

/// Results that are kept of one function; then all of them make room.
const MOST: usize = 2048;

/// Results by what they depend on, floats by their bits.
pub(crate) struct Memo<K, V>(Mutex<BTreeMap<K, V>>);

impl<K: Ord, V: Clone> Memo<K, V> {
    /// Nothing yet.
    pub(crate) const fn new() -> Self {
        Self(Mutex::new(BTreeMap::new()))
    }

    /// What is known, or else what `work` gives.
    pub(crate) fn get_or(&self, key: K, work: impl FnOnce() -> V) -> V {
        if let Ok(known) = self.0.lock()
            && let Some(value) = known.get(&key)
        {
            return value.clone();
        }
        // The lock is free meanwhile: two threads may both work it out, to the same bits.
        let value = work();
        if let Ok(mut known) = self.0.lock() {
            if known.len() >= MOST {
                known.clear();
            }
            known.insert(key, value.clone());
        }
        value
    }
}
