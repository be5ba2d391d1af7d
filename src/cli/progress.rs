//! A progress bar on a terminal when work is long; nothing when output is piped.

use std::io::IsTerminal;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// From so many files on it is told that they are looked through.
const MANY: u64 = 5_000;

/// A count of files that are looked through.
pub struct Looking {
    bar: ProgressBar,
    /// Whether there is somebody to tell.
    told: bool,
}

impl Looking {
    /// A count that shows itself once there are many; never where there is no terminal, or with `--json`.
    pub fn new(quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("looking through files: {pos}") {
            bar.set_style(style);
        }
        Self { bar, told: !quiet && std::io::stderr().is_terminal() }
    }

    /// One more was seen.
    pub fn seen(&self) {
        self.bar.inc(1);
        if self.told && self.bar.position() == MANY {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.bar.tick();
        }
    }

    /// Takes it away.
    pub fn done(self) {
        self.bar.finish_and_clear();
    }
}

/// Below this much work, bytes, no bar is shown.
const SHORT: u64 = 64 * 1024 * 1024;

/// A bar over a known count of bytes.
pub struct Progress(ProgressBar);

impl Progress {
    /// A bar that shows `doing`; hidden where there is no terminal, for short work, and with `--json`.
    pub fn new(doing: &'static str, total: u64, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(total), ProgressDrawTarget::stderr());
        if quiet || total < SHORT || !std::io::stderr().is_terminal() {
            bar.set_draw_target(ProgressDrawTarget::hidden());
            return Self(bar);
        }
        let form = "{msg} [{bar:30}] {bytes} of {total_bytes}, {eta} left";
        if let Ok(style) = ProgressStyle::with_template(form) {
            bar.set_style(style.progress_chars("=> "));
        }
        bar.set_message(doing.to_string());
        bar.enable_steady_tick(Duration::from_millis(200));
        Self(bar)
    }

    /// So many more bytes are done.
    pub fn advance(&self, bytes: u64) {
        self.0.inc(bytes);
    }

    /// Takes the bar away.
    pub fn done(self) {
        self.0.finish_and_clear();
    }
}
