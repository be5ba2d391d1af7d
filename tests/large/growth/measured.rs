//! The processor's time of one run, as Linux counts it.

use std::fs::{self, File};
use std::path::Path;
use std::thread;
use std::time::Duration;

use crate::common::{program, temporary};

/// A run that takes more seconds of the processor is ended.
pub const MOST: f64 = 20.0;

/// What a run of `check` took.
pub struct Measured {
    /// Seconds of the processor.
    pub seconds: f64,
    /// The most memory that it held, KiB.
    pub peak_kib: u64,
    /// How what it printed begins.
    pub first_words: String,
    /// Its exit status, unless it was ended for taking too long.
    pub status: Option<i32>,
}

/// Runs `check` on one thread, so that what Linux counts for the first of its threads is all.
pub fn check(project: &Path) -> Measured {
    let folder = temporary();
    let out = folder.path().join("out");
    let file = File::create(&out).expect("a file for what is said");
    let both = file.try_clone().expect("the same file");
    let mut command = program();
    command.args(["check", "--jobs", "1"]).arg(project).stdout(file).stderr(both);
    let mut child = command.spawn().expect("the program");
    let id = child.id();
    let about = |what: &str| {
        fs::read_to_string(format!("/proc/{id}/{what}")).expect("what Linux tells of it")
    };
    // One that has ended is still told of until its status is asked for.
    let mut peak_kib = 0;
    let nanoseconds: f64 = loop {
        let status = about("status");
        let value = |name: &str| {
            let line = status.lines().find_map(|line| line.strip_prefix(name))?;
            line.split_whitespace().next()
        };
        let counted = about("schedstat");
        let first = counted.split_whitespace().next().expect("the time on the processor");
        let nanoseconds: f64 = first.parse().expect("a number");
        if value("State:") == Some("Z") {
            break nanoseconds;
        }
        if nanoseconds > MOST * 1e9 {
            child.kill().expect("to end it");
        }
        let peak = value("VmHWM:").and_then(|text| text.parse().ok());
        peak_kib = peak.unwrap_or(0).max(peak_kib);
        thread::sleep(Duration::from_millis(2));
    };
    let status = child.wait().expect("its end").code();
    let said = fs::read(&out).expect("what it said");
    let first_words = String::from_utf8_lossy(&said[..said.len().min(600)]).into_owned();
    Measured { seconds: nanoseconds / 1e9, peak_kib, first_words, status }
}
