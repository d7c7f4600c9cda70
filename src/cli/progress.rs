//! The progress bar of long runs.
//!
//! One job: show how far a run is, on stderr, only where that is a terminal and only after a
//! second. The library reports through a callback and knows nothing of it.

use std::io::IsTerminal as _;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Runs shorter than this show nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// A bar that appears when a run takes long; may be advanced from several threads.
pub(super) struct Progress {
    started: Instant,
    bar: ProgressBar,
    wanted: bool,
    shown: OnceLock<()>,
}

impl Progress {
    /// A bar over `total` things, such as trials; `quiet` keeps it away.
    pub(super) fn new(total: u64, things: &'static str, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(total), ProgressDrawTarget::hidden());
        let template = format!("{{bar:40}} {{human_pos}} of {{human_len}} {things}, {{eta}} left");
        if let Ok(style) = ProgressStyle::with_template(&template) {
            bar.set_style(style);
        }
        Self {
            started: Instant::now(),
            bar,
            wanted: !quiet && std::io::stderr().is_terminal(),
            shown: OnceLock::new(),
        }
    }

    /// `done` of `total` things are through.
    pub(super) fn reach(&self, done: u64, total: u64) {
        self.bar.set_length(total);
        self.bar.set_position(done);
        if self.wanted && self.started.elapsed() > PATIENCE {
            self.shown
                .get_or_init(|| self.bar.set_draw_target(ProgressDrawTarget::stderr()));
        }
    }

    /// Takes the bar away.
    pub(super) fn finish(self) {
        self.bar.finish_and_clear();
    }
}
