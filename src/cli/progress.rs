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

/// A bar that appears when a run takes long: behind the library's callback, may be advanced from several
/// threads.
pub(super) struct Bar {
    started: Instant,
    drawn: ProgressBar,
    shown: OnceLock<()>,
    trials: u64,
    is_quiet: bool,
    /// Runs at most; 0: just one.
    runs: AtomicU64,
    finished: AtomicU64,
}

impl Bar {
    /// A bar over trials; `is_quiet` keeps it away.
    pub(super) fn new(trials: u64, is_quiet: bool) -> Self {
        const FORM: &str = "{bar:40} {human_pos} of {human_len} trials, {eta} left";
        let bar = ProgressBar::with_draw_target(Some(trials), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template(FORM) {
            bar.set_style(style);
        }
        Self {
            started: Instant::now(),
            drawn: bar,
            shown: OnceLock::new(),
            trials,
            is_quiet,
            runs: AtomicU64::new(0),
            finished: AtomicU64::new(0),
        }
    }

    fn reach(&self, done: u64, total: u64) {
        self.drawn.set_length(total);
        self.drawn.set_position(done);
        let is_long = self.started.elapsed() > PATIENCE;
        if is_long && !self.is_quiet && std::io::stderr().is_terminal() {
            self.shown
                .get_or_init(|| self.drawn.set_draw_target(ProgressDrawTarget::stderr()));
        }
    }

    /// Takes it away.
    pub(super) fn finish(self) {
        self.drawn.finish_and_clear();
    }
}

impl Advance for Bar {
    fn advance(&self, done: u64, total: u64) {
        let runs = self.runs.load(Relaxed);
        if runs == 0 {
            self.reach(done, total);
            return;
        }
        let finished = self.finished.load(Relaxed);
        let runs = runs.max(finished + 1);
        self.reach(finished * total + done, runs * total);
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
