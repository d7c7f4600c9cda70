//! The progress bar of long runs.
//!
//! One job: show how far a run is, on stderr, only where that is a terminal and only after a
//! second. The library reports through a callback and knows nothing of it.

use std::io::IsTerminal as _;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use tideover::trials::Progress as Advance;

use super::screen;

/// Runs shorter than this show nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// Trials times steps times runs beyond which a run says beforehand how much it is.
const LONG: u64 = 2_000_000_000;

/// A bar that appears when a run takes long; may be advanced from several threads.
struct Progress {
    started: Instant,
    bar: ProgressBar,
    wanted: bool,
    shown: OnceLock<()>,
}

impl Progress {
    /// A bar over `total` things, such as trials; `quiet` keeps it away.
    fn new(total: u64, things: &'static str, quiet: bool) -> Self {
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
    fn reach(&self, done: u64, total: u64) {
        self.bar.set_length(total);
        self.bar.set_position(done);
        if self.wanted && self.started.elapsed() > PATIENCE {
            self.shown
                .get_or_init(|| self.bar.set_draw_target(ProgressDrawTarget::stderr()));
        }
    }

    /// Takes the bar away.
    fn finish(self) {
        self.bar.finish_and_clear();
    }
}

/// The progress bar behind the library's callback.
pub(super) struct Bar {
    progress: Progress,
    trials: u64,
    is_quiet: bool,
    /// Runs at most; 0: just one.
    runs: AtomicU64,
    finished: AtomicU64,
}

impl Bar {
    /// A bar over trials.
    pub(super) fn new(trials: u64, is_quiet: bool) -> Self {
        Self {
            progress: Progress::new(trials, "trials", is_quiet),
            trials,
            is_quiet,
            runs: AtomicU64::new(0),
            finished: AtomicU64::new(0),
        }
    }

    /// Takes it away.
    pub(super) fn finish(self) {
        self.progress.finish();
    }
}

impl Advance for Bar {
    fn advance(&self, done: u64, total: u64) {
        let runs = self.runs.load(Relaxed);
        if runs == 0 {
            self.progress.reach(done, total);
            return;
        }
        let finished = self.finished.load(Relaxed);
        let runs = runs.max(finished + 1);
        self.progress.reach(finished * total + done, runs * total);
        if done == total {
            self.finished.fetch_add(1, Relaxed);
        }
    }

    fn expect(&self, runs: u64, steps: usize) {
        self.runs.store(runs, Relaxed);
        let work = (steps as u64)
            .saturating_mul(runs)
            .saturating_mul(self.trials);
        if work > LONG && !self.is_quiet {
            screen::note(&format!(
                "up to {runs} runs of {} trials in {steps} steps: this takes long; fewer `--trials` or a longer \
                 `--step` make it quicker",
                self.trials
            ));
        }
    }
}
