//! The same project gives the same bytes. With the clock moved: see `outside/clock.rs`.

use std::fs;
use std::time::{Duration, SystemTime};

use walkdir::WalkDir;

use crate::common::{Project, closed, closeout_command, files, run, sample, temporary};

/// Names and bytes of bundle, report, seal and recovery data.
fn first() -> Vec<(String, Vec<u8>)> {
    let out = closed().zip.parent().expect("a folder");
    files(out).into_iter().filter(|(path, _)| !path.contains('/')).collect()
}

/// Closes out and holds what was written against the first closeout.
#[track_caller]
fn writes_the_same(project: &std::path::Path, environment: &[(&str, &str)]) {
    let out = temporary();
    let mut command = closeout_command(project, out.path());
    run(command.envs(environment.iter().copied())).exits(0);
    let found = files(out.path());
    assert_eq!(found.len(), 9);
    for ((name, bytes), (first_name, first_bytes)) in found.iter().zip(first()) {
        assert_eq!(*name, first_name);
        assert!(*bytes == first_bytes, "{name} differs");
    }
}

#[test]
fn in_another_time_zone_and_language() {
    for (zone, language) in [("Pacific/Kiritimati", "tr_TR.UTF-8"), ("America/Caracas", "C")] {
        writes_the_same(
            &sample(),
            &[("TZ", zone), ("LANG", language), ("LC_ALL", language), ("SOURCE_DATE_EPOCH", "1")],
        );
    }
}

#[test]
fn from_another_folder_with_files_of_another_age() {
    let project = Project::copied();
    let long_ago = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000);
    for entry in WalkDir::new(project.root()) {
        let entry = entry.expect("a file");
        if entry.file_type().is_file() {
            let file = fs::File::options().append(true).open(entry.path()).expect("a file");
            file.set_modified(long_ago).expect("to set its time");
        }
    }
    // What editors and systems leave about is no part of a project.
    project.write("docking.toml~", "an older state");
    project.write(".DS_Store", "a system's own");
    writes_the_same(&project.root(), &[]);
}
