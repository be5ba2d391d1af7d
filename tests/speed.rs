//! Limits of time on the sample project, for a release build on two cores. A test target of its own,
//! so that nothing else of the tests runs beside it.

mod common;

use std::process::Command;
use std::time::{Duration, Instant};

use common::{program, run, sample, temporary};

/// The middle one of several runs.
#[allow(clippy::disallowed_methods)] // the clock is what is asked here
fn median(runs: usize, command: &mut Command) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let begun = Instant::now();
            run(command).exits(0);
            begun.elapsed()
        })
        .collect();
    times.sort();
    times[runs / 2]
}

#[test]
#[cfg_attr(debug_assertions, ignore = "the limits are for a release build")]
fn check_takes_under_a_tenth_of_a_second_and_closeout_under_five() {
    let took = median(11, program().arg("check").arg(sample()));
    assert!(took < Duration::from_millis(100), "check took {took:?}");
    let out = temporary();
    let mut command = program();
    command.arg("closeout").arg(sample()).arg("--out").arg(out.path());
    let took = median(3, &mut command);
    assert!(took < Duration::from_secs(5), "closeout took {took:?}");
}
