//! How a drawn day depends on those before it.
//!
//! One job: the autocorrelations of the file, or the default, as a process that can be. The process is
//! in `sky::day_persistence`.

use super::super::problem::Fault;
use super::findings::Findings;
use crate::scenario::DayPersistence;

const PATH: &str = "/climate/kt_autocorrelation";

/// The persistence of a climate; `None` where the one given cannot be.
pub(super) fn check(given: Option<&[f64]>, notes: &mut Findings<'_>) -> Option<DayPersistence> {
    let Some(given) = given else {
        let default = DayPersistence::default();
        if !notes.is_spoiled(PATH) {
            let given = default.given();
            let ends = given.first().zip(given.last());
            let value = ends.map_or_else(String::new, |(first, last)| format!("{first} … {last}"));
            let reason = "a day is a little like the ones before it, by 1 to 10 days: medians of fifteen measured regions";
            notes.assume(PATH, &value, reason);
        }
        return Some(default);
    };
    match DayPersistence::new(given) {
        Ok(persistence) => Some(persistence),
        Err(error) => {
            let path = format!("{PATH}/{}", error.lag - 1);
            let fault = Fault::from(error.to_string()).hint(
                "measured on one unbroken record, each as a sum of products over the sum of all squares, they always \
                 fit together",
            );
            notes.problem(&path, fault);
            None
        }
    }
}
