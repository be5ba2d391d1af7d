//! A progress bar on a terminal when work is long; nothing when output is piped.

use std::io::IsTerminal;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// From this many files on, the count is shown.
const MANY: u64 = 5_000;

/// A count of the files looked through so far.
pub struct FileCount {
    bar: ProgressBar,
    /// Whether it may be shown: there is a terminal, and no JSON was asked for.
    may_show: bool,
}

impl FileCount {
    /// A count that appears once there are many files; never without a terminal, or with `--json`.
    pub fn new(quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("looking through files: {pos}") {
            bar.set_style(style);
        }
        Self { bar, may_show: !quiet && std::io::stderr().is_terminal() }
    }

    /// Counts one more.
    pub fn add_one(&self) {
        self.bar.inc(1);
        if self.may_show && self.bar.position() == MANY {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.bar.tick();
        }
    }

    /// Takes the count off the screen.
    pub fn clear(self) {
        self.bar.finish_and_clear();
    }
}

/// Below this much work, bytes, no bar is shown.
const SHORT: u64 = 64 * 1024 * 1024;

/// A bar over a known count of bytes.
pub struct Progress(ProgressBar);

impl Progress {
    /// A bar headed `doing`; hidden without a terminal, for short work, and with `--json`.
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

    /// Counts so many more bytes.
    pub fn advance(&self, bytes: u64) {
        self.0.inc(bytes);
    }

    /// Takes the bar off the screen.
    pub fn clear(self) {
        self.0.finish_and_clear();
    }
}
