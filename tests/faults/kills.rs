//! Runs that are killed: at moments spread over the whole of each, when something comes to stand in the
//! folder that it writes to, and, where `strace` may be used, at each of the calls that matter.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use crate::common::run;
use crate::work::{
    CARRIED, CLOSEOUT, COMPARED, FORMS, Laid, MENDED, PAGED, REPLACED, SALVAGED, STARTED,
    SUPPLEMENTED, WORKS, Work, files, is_temporary,
};

fn begun(place: &Laid<'_>) -> Child {
    let mut command = place.command();
    command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("the program")
}

/// Kills a run at moments spread over the time that it takes, several times in a row in the same folder, so
/// that each finds what the one before left; then holds that all comes right.
fn killed_over_its_time(work: &Work, rounds: u32, in_a_row: u32) {
    let moments = rounds * in_a_row;
    let step = work.undisturbed().took / moments;
    let mut killed = 0;
    for round in 0..rounds {
        let place = Laid::new(work);
        let mut when = String::new();
        for turn in 0..in_a_row {
            let moment = turn * rounds + round;
            let mut child = begun(&place);
            thread::sleep(step * moment);
            when = format!("killed after {moment}/{moments} of its time");
            child.kill().expect("to kill it");
            killed += u32::from(child.wait().expect("its end").code().is_none());
            if place.is_sound(&when) && work.at_once {
                break;
            }
        }
        place.comes_right(&when);
    }
    // Where other tests made the run that was timed a slow one, many of these end before they are killed.
    assert!(killed > 0, "{}: only {killed} of {moments} were killed", work.what);
}

#[test]
fn a_closeout_killed_at_any_time_leaves_nothing_half_written() {
    killed_over_its_time(&CLOSEOUT, 5, 6);
}

#[test]
fn a_closeout_that_replaces_another_killed_at_any_time() {
    killed_over_its_time(&REPLACED, 4, 6);
}

/// Out of memory it ends where it stands. It says so before, since it can't then.
#[test]
fn a_closeout_that_runs_out_of_address_space_leaves_nothing_half_written() {
    let place = Laid::new(&CLOSEOUT);
    let scene = ["sh", "-c", "ulimit -c 0; ulimit -v 112640; exec \"$0\" \"$@\""];
    let said = place.command_in(&scene).output().expect("the program");
    let told: String = String::from_utf8_lossy(&said.stderr).split_whitespace().collect();
    assert!(!said.status.success(), "{told}");
    let warning = "warning:addressspace(ulimit-v)islimitedto110.0MiB,andacloseoutofthesample";
    assert!(told.contains(warning), "{told}");
    assert_eq!(said.status.code(), None, "it was to be ended by the system: {told}");
    assert_eq!(place.staging_dirs().len(), 1, "{told}");
    place.comes_right("out of address space");
}

#[test]
fn mending_and_salvaging_killed_at_any_time() {
    killed_over_its_time(&MENDED, 3, 5);
    killed_over_its_time(&SALVAGED, 3, 5);
}

#[test]
fn starting_killed_at_any_time() {
    killed_over_its_time(&STARTED, 3, 5);
    killed_over_its_time(&CARRIED, 3, 5);
}

#[test]
fn sheets_and_comparisons_killed_at_any_time() {
    killed_over_its_time(&FORMS, 3, 5);
    killed_over_its_time(&COMPARED, 3, 5);
}

#[test]
fn supplements_and_pages_killed_at_any_time() {
    killed_over_its_time(&SUPPLEMENTED, 3, 5);
    killed_over_its_time(&PAGED, 3, 5);
}

/// Waits until something holds; false if the run has ended before.
pub fn wait_until(child: &mut Child, holds: impl Fn() -> bool) -> bool {
    loop {
        if holds() {
            return true;
        }
        if child.try_wait().expect("its state").is_some() {
            return false;
        }
        thread::sleep(Duration::from_micros(200));
    }
}

/// Files that stand in the staging folders of a folder, with the bytes that they have.
pub fn in_staging_dirs(place: &Laid<'_>) -> Vec<u64> {
    let inside = |folder: &Path| std::fs::read_dir(folder).into_iter().flatten().flatten();
    let files = place.staging_dirs().into_iter().flat_map(|staging| inside(&staging));
    let sizes = files.filter(|entry| entry.file_name() != "held");
    sizes.filter_map(|entry| entry.metadata().ok()).map(|metadata| metadata.len()).collect()
}

/// Without a clock: killed as soon as something has come to stand in the folder.
#[test]
fn killed_as_soon_as_something_is_there() {
    type Holds = fn(&Laid<'_>) -> bool;
    let moments: [(&str, Holds); 4] = [
        ("a staging", |place| !place.staging_dirs().is_empty()),
        ("a file in it", |place| !in_staging_dirs(place).is_empty()),
        ("bytes in it", |place| in_staging_dirs(place).iter().any(|size| *size > 0)),
        ("two files in it", |place| in_staging_dirs(place).len() > 1),
    ];
    for work in WORKS {
        let mut caught = 0;
        let place = Laid::new(work);
        for (what, holds) in &moments {
            let mut child = begun(&place);
            caught += u32::from(wait_until(&mut child, || holds(&place)));
            child.kill().expect("to kill it");
            child.wait().expect("its end");
            if place.is_sound(&format!("killed once there was {what}")) && work.at_once {
                break;
            }
        }
        assert!(caught > 0, "{}: never caught", work.what);
        place.comes_right("killed as soon as something was there");
    }
}

/// The signals that a person or a system that shuts down sends end it at once, as if it had been killed: it
/// catches none.
#[test]
fn interrupted_or_asked_to_end() {
    for signal in ["INT", "TERM", "HUP"] {
        let place = Laid::new(&CLOSEOUT);
        // Who runs tests in the background has children ignore SIGINT, which they would inherit.
        let mut command = place.command_in(&["env", "--default-signal"]);
        command.stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = command.spawn().expect("the program");
        assert!(wait_until(&mut child, || !in_staging_dirs(&place).is_empty()));
        send(signal, &child);
        assert_eq!(child.wait().expect("its end").code(), None);
        assert!(!place.is_sound(signal) && place.staging_dirs().len() == 1);
        place.comes_right(signal);
    }
}

/// Sends a signal to a run.
pub fn send(signal: &str, to: &Child) {
    let mut command = Command::new("kill");
    run(command.arg("-s").arg(signal).arg(to.id().to_string())).exits(0);
}

/// Calls that write, that change what stands under which name, or that have the medium take it in.
const CALLS: &str = "write,pwrite64,copy_file_range,rename,renameat,renameat2,link,linkat,unlink,unlinkat,\
                     mkdir,mkdirat,rmdir,fsync,fdatasync,flock,ftruncate";

/// Runs every work with something done to its n-th call of these, for many n, until one comes through.
fn at_calls(calls: &str, done: &str, right: impl Fn(&Laid<'_>, &str, &std::process::Output)) {
    for work in WORKS {
        let mut number = 1;
        loop {
            let place = Laid::new(work);
            let (trace, inject) =
                (format!("trace={calls}"), format!("inject={calls}:{done}:when={number}"));
            let trail = place.path("trail");
            let trail = trail.to_str().expect("UTF-8");
            let scene = ["strace", "-f", "-qq", "-o", trail, "-e", &trace, "-e", &inject];
            let output = place.command_in(&scene).output().expect("strace");
            let reached = std::fs::read_to_string(trail).expect("the trail");
            let reached = reached.contains("INJECTED") || reached.contains("SIGKILL");
            right(&place, &format!("{done} at call {number}"), &output);
            if !reached {
                // A page is one file, written with few calls of each kind.
                let least = if work.what == PAGED.what { 1 } else { 5 };
                let err = String::from_utf8_lossy(&output.stderr);
                assert!(number > least, "{}: through at {number}: {err}", work.what);
                break;
            }
            number += 1 + number / 8;
        }
    }
}

/// Killed at the first, second ... of the calls that matter, until a run comes through. Asks for `strace`, and
/// for leave to trace.
#[test]
#[ignore = "asks for strace"]
fn killed_at_each_of_the_calls_that_matter() {
    at_calls(CALLS, "signal=KILL", |place, when, _| place.comes_right(when));
}

/// The same with calls that fail once: the disk is full, or the medium gives errors.
#[test]
#[ignore = "asks for strace"]
fn each_of_the_calls_that_matter_fails() {
    for error in ["ENOSPC", "EIO"] {
        at_calls(CALLS, &format!("error={error}"), |place, when, output| {
            let err = String::from_utf8_lossy(&output.stderr);
            assert!(output.status.code().is_some(), "{when}: {err}");
            for bad in ["panicked", "drop"] {
                assert!(!err.contains(bad), "{when}: {err}");
            }
            if place.work.what == "salvaging" {
                // What can't be written is left out, and what is there is whole.
                let after = &place.work.undisturbed().after;
                let found = files(&place.path("out"));
                for (path, bytes) in found.into_iter().filter(|(path, _)| !is_temporary(path)) {
                    assert!(after.get(&path) == Some(&bytes), "{when}: {path}");
                }
            } else {
                place.comes_right(when);
            }
        });
    }
}

/// Reading fails once, somewhere: nothing that is written is the worse for it.
#[test]
#[ignore = "asks for strace"]
fn each_call_that_reads_fails() {
    at_calls("read,pread64", "error=EIO", |place, when, output| {
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(!err.contains("panicked"), "{when}: {err}");
        // What can't be read can't be mended, and is salvaged as far as it goes. Nothing else is made of what could
        // not be read, and none of it is called damaged.
        assert!(!err.contains("the bundle is damaged"), "{when}: {err}");
        if !["mending", "salvaging"].contains(&place.work.what) {
            place.comes_right(when);
        } else if let Ok(mended) = std::fs::read(place.path("out/thistle-quill-2029-mended.zip")) {
            let whole = &CLOSEOUT.undisturbed().after["thistle-quill-2029.zip"];
            assert!(mended == *whole, "{when}");
        }
    });
}
