//! `--jobs`: so many threads and no more, and the same bytes whatever the number.

use std::process::Command;

use super::common::{NAME, Zip, files, program, run, sample, temporary};
use super::watched::watched;

fn with_jobs(jobs: usize) -> Command {
    let mut command = program();
    command.arg("--jobs").arg(jobs.to_string());
    command
}

#[test]
fn a_closeout_writes_the_same_bytes_with_one_thread_two_and_seven() {
    let written = [1, 2, 7].map(|jobs| {
        let out = temporary();
        let mut closeout = with_jobs(jobs);
        closeout.arg("closeout").arg(sample()).arg("--out").arg(out.path());
        let run = watched(&mut closeout).exits(0);
        assert_eq!(run.threads, jobs as u64, "threads with --jobs {jobs}");
        (files(out.path()), run.said.replace(&*out.path().to_string_lossy(), "OUT"))
    });
    let [(one, said), others @ ..] = &written;
    assert_eq!(one.len(), 9);
    assert!(one.iter().any(|(path, _)| *path == format!("{NAME}.zip")));
    for (files, also_said) in others {
        for ((path, bytes), (other, other_bytes)) in one.iter().zip(files) {
            assert_eq!(path, other);
            assert!(bytes == other_bytes, "{path} differs with the number of threads");
        }
        assert_eq!(one.len(), files.len());
        assert_eq!(said, also_said);
    }
}

#[test]
fn check_verify_and_mend_say_the_same_with_one_thread_two_and_seven() {
    let zip = Zip::copied();
    let mut bytes = zip.bytes.clone();
    bytes[zip.start_of("data/format.txt")] ^= 0x55;
    zip.becomes(&bytes);
    let project = sample();
    for (arguments, status) in [
        (vec!["check".as_ref(), project.as_os_str()], 0),
        (vec!["shifts".as_ref(), project.as_os_str()], 0),
        (vec!["verify".as_ref(), zip.path.as_os_str()], 3),
        (vec!["mend".as_ref(), zip.path.as_os_str()], 3),
    ] {
        let said = [1, 2, 7].map(|jobs| {
            let _ = std::fs::remove_file(zip.mended());
            let run = watched(with_jobs(jobs).args(&arguments)).exits(status);
            assert_eq!(run.threads, jobs as u64, "threads of {arguments:?}");
            if arguments[0] == "mend" {
                let mended = std::fs::read(zip.mended()).expect("the mended bundle");
                assert!(mended == zip.bytes, "mended with --jobs {jobs}");
            }
            run.said
        });
        assert_eq!(said[0], said[1]);
        assert_eq!(said[0], said[2]);
    }
}

#[test]
fn the_number_may_stand_before_the_command_or_after_it_and_is_one_at_least() {
    let project = sample();
    let check = |arguments: [&str; 3]| {
        let mut command = program();
        for argument in arguments {
            if argument == "check" {
                command.arg("check").arg(&project);
            } else {
                command.arg(argument);
            }
        }
        watched(&mut command)
    };
    assert_eq!(check(["--jobs", "3", "check"]).exits(0).threads, 3);
    assert_eq!(check(["check", "--jobs", "3"]).exits(0).threads, 3);
    for wrong in ["0", "-1", "many", "4000"] {
        // Refused at once, too soon to be watched.
        let said = run(program().arg("check").arg(&project).args(["--jobs", wrong]));
        assert_eq!(said.status, 2, "--jobs {wrong}: {}", said.err);
    }
}
