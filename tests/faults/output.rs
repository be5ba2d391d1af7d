//! Standard output that is full, or that nobody reads any more; a closed standard input.

use std::fs::OpenOptions;
use std::process::{Command, Stdio};

use crate::common::{program, run, sample, squeezed};
use crate::work::{CLOSEOUT, Laid, STARTED, WORKS, is_workplace};

fn full() -> Stdio {
    OpenOptions::new().write(true).open("/dev/full").expect("/dev/full").into()
}

/// Every command that says something.
fn talking() -> Vec<Command> {
    let sample = sample();
    let sample = sample.to_str().expect("a path in UTF-8");
    let lines: [&[&str]; 9] = [
        &["check", sample],
        &["check", sample, "--json"],
        &["check", sample, "--stage", "before-flooding"],
        &["shifts", sample],
        &["compare", sample, sample, "--json"],
        &["terms"],
        &["terms", "docking", "--json"],
        &["manual"],
        &["completions", "bash"],
    ];
    let command = |line: &[&str]| {
        let mut command = program();
        command.args(line);
        command
    };
    lines.into_iter().map(command).collect()
}

#[test]
fn output_that_cant_be_written_is_reported_and_fails() {
    for mut command in talking() {
        let output = command.stdout(full()).stderr(Stdio::piped()).output().expect("the program");
        let err = String::from_utf8(output.stderr).expect("UTF-8");
        assert_eq!(output.status.code(), Some(1), "{command:?}\n{err}");
        let wanted = "standard output: can't be written: No space left on device";
        assert!(squeezed(&err).contains(&squeezed(wanted)) && err.contains("do: "), "{err}");
        assert!(!err.contains("panicked"), "{err}");
    }
}

#[test]
fn a_reader_that_stops_early_causes_no_error() {
    for mut command in talking() {
        let undisturbed = run(&mut command);
        let mut child =
            command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
        drop(child.stdout.take());
        let output = child.wait_with_output().expect("its end");
        assert_eq!(output.status.code(), Some(undisturbed.status), "{command:?}");
        assert_eq!(String::from_utf8(output.stderr).expect("UTF-8"), undisturbed.err);
    }
}

/// A program at the end of a pipe that reads a line and goes.
#[test]
fn piped_into_head() {
    let script = "set -o pipefail; \"$1\" check \"$2\" --all --json | head -n 1";
    let mut command = Command::new("bash");
    command.args(["-c", script, "bash", env!("CARGO_BIN_EXE_lastdock")]).arg(sample());
    let said = run(&mut command).exits(0);
    assert_eq!((said.out.as_str(), said.err.as_str()), ("{\n", ""));
}

/// What has been written stays written though nobody can be told of it.
#[test]
fn files_are_written_though_output_is_full() {
    for work in WORKS {
        let place = Laid::new(work);
        let ended = place.command().stdout(full()).stderr(full()).status().expect("the program");
        assert_eq!(ended.code(), Some(1), "{}", work.what);
        assert!(place.is_sound("output full"), "{}: not all is there", work.what);
        assert!(place.staging_dirs().is_empty());
    }
}

/// An error stream that is full changes nothing else.
#[test]
fn an_error_stream_that_is_full_is_no_failure() {
    let mut command = program();
    let output = command.args(["closeout", "no/such/folder"]).stderr(full()).output();
    let output = output.expect("the program");
    assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0));
}

/// With all three streams closed no file that is written may come to stand in their place.
#[test]
fn streams_that_are_closed_take_nothing_from_files() {
    for work in [&CLOSEOUT, &STARTED] {
        let place = Laid::new(work);
        let scene = ["bash", "-c", "exec \"$@\" <&- >&- 2>&-", "bash"];
        let ended = place.command_in(&scene).status().expect("bash");
        assert_eq!(ended.code(), Some(work.undisturbed().status));
        assert!(place.is_sound("streams closed") && place.staging_dirs().is_empty());
    }
    assert!(is_workplace(".lastdock-abcdef.part") && !is_workplace("lastdock"));
}
