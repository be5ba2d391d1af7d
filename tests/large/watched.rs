//! A run of the program, watched from outside as Linux tells of it: its most memory, its most threads, and the
//! bytes that it read.

use std::fs::{self, File};
use std::process::Command;
use std::thread;
use std::time::Duration;

use super::common::temporary;

/// How often it is looked at.
const EVERY: Duration = Duration::from_millis(1);

/// What was seen of a run.
#[derive(Debug)]
pub struct Watched {
    pub status: i32,
    /// Standard output, then standard error.
    pub said: String,
    /// The most memory that it held at a time, KiB, as of the last look before it ended.
    pub peak_kib: u64,
    /// The most threads that it had at a time.
    pub threads: u64,
    /// Bytes that it read, from whatever files, however often.
    pub read: u64,
}

impl Watched {
    /// Panics with all that was said unless the exit status is the one wanted.
    #[track_caller]
    pub fn exits(self, wanted: i32) -> Self {
        assert_eq!(self.status, wanted, "exit status; it said\n{}", self.said);
        self
    }
}

/// Runs a command to its end.
pub fn watched(command: &mut Command) -> Watched {
    let folder = temporary();
    let [out, err] = ["out", "err"].map(|name| folder.path().join(name));
    let file = |path| File::create(path).expect("a file for what is said");
    let mut child = command.stdout(file(&out)).stderr(file(&err)).spawn().expect("the program");
    let about = |what: &str| {
        fs::read_to_string(format!("/proc/{}/{what}", child.id())).expect("what Linux tells of it")
    };
    let (mut peak_kib, mut threads) = (0, 0);
    // One that has ended is still told of until its status is asked for.
    let read = loop {
        let status = about("status");
        let value = |name: &str| {
            let line =
                status.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(':'))?;
            line.split_whitespace().next().map(str::to_string)
        };
        if value("State").is_some_and(|state| state == "Z") {
            let io = about("io");
            let read = io.lines().find_map(|line| line.strip_prefix("rchar: "));
            break read.expect("the bytes read").parse().expect("a number");
        }
        let number = |name: &str| value(name).and_then(|text| text.parse().ok()).unwrap_or(0);
        peak_kib = number("VmHWM").max(peak_kib);
        threads = number("Threads").max(threads);
        thread::sleep(EVERY);
    };
    let status = child.wait().expect("its end").code().expect("an exit status");
    let said = [out, err].map(|path| fs::read_to_string(path).expect("what it said")).concat();
    assert!(peak_kib > 0 && threads > 0, "it ended before it was looked at");
    Watched { status, said, peak_kib, threads, read }
}
