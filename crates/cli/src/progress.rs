//! Progress of a build, shown on a terminal when it takes long.

use std::io::IsTerminal;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A build shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_millis(500);

/// Parts done out of all.
pub(crate) struct Progress {
    bar: ProgressBar,
    start: Instant,
}

impl Progress {
    pub fn new(parts: usize) -> Self {
        let bar = ProgressBar::with_draw_target(Some(parts as u64), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{pos} of {len} parts, {elapsed}") {
            bar.set_style(style);
        }
        Self { bar, start: Instant::now() }
    }

    pub fn step(&self) {
        if self.bar.is_hidden() && self.start.elapsed() > PATIENCE && std::io::stderr().is_terminal() {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.inc(1);
    }

    pub fn done(&self) {
        self.bar.finish_and_clear();
    }
}
