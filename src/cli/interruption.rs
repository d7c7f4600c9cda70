//! An interruption from outside: Ctrl-C, or the system's request to end.
//!
//! One job: status 3, and the outputs either as they were or all new. The writing itself is in
//! `whole_files`.

use std::sync::{Mutex, MutexGuard, PoisonError};

use super::{Failure, screen};

/// How far the outputs are. Held while they are put in place.
static OUTPUTS: Mutex<Outputs> = Mutex::new(Outputs::AsTheyWere);

/// How far the outputs of the command are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Outputs {
    AsTheyWere,
    InPlace,
}

/// From now on an interruption ends the process with status 3, unless the outputs are in place: then
/// the command comes to its end.
pub(super) fn watch() {
    // Where no handler can be set the system ends the process its own way, which is no worse.
    let _ = ctrlc::set_handler(|| {
        let outputs = hold_off();
        if *outputs == Outputs::AsTheyWere {
            screen::complain(&Failure::Interrupted);
            std::process::exit(i32::from(Failure::Interrupted.status()));
        }
    });
}

/// Lets interruptions wait as long as the guard lives.
pub(super) fn hold_off() -> MutexGuard<'static, Outputs> {
    OUTPUTS.lock().unwrap_or_else(PoisonError::into_inner)
}
