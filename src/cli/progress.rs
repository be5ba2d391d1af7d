//! A progress bar on a terminal when work is long; nothing when output is piped.

use std::io::IsTerminal;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

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
    pub fn moved(&self, bytes: u64) {
        self.0.inc(bytes);
    }

    /// Takes the bar away.
    pub fn done(self) {
        self.0.finish_and_clear();
    }
}
