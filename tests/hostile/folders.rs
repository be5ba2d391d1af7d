//! Unpacked bundles and projects in which something stands that is no plain file: nothing is followed out
//! of them, and nothing waits for ever.

use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::process::Command;

use walkdir::WalkDir;

use super::zips::{bounded, through_every_command, unpacked};
use crate::common::{Project, Said, lastdock, run, squeezed, temporary};

fn fifo(at: &Path) {
    run(Command::new("mkfifo").arg(at)).exits(0);
}

#[track_caller]
fn says(said: &Said, status: i32, wanted: &str) {
    let told = format!("{}{}", said.out, said.err);
    assert_eq!(said.status, status, "{told}");
    assert!(squeezed(&told).contains(&squeezed(wanted)), "{wanted:?} is not in\n{told}");
}

#[test]
fn links_pipes_and_sockets_in_a_bundle_are_named_and_not_read() {
    let (keep, bag) = unpacked();
    let papers = bag.join("data/papers");
    let secret = keep.path().join("secret.txt");
    fs::write(&secret, "a secret").expect("to write it");
    symlink(&secret, papers.join("link.txt")).expect("a link");
    symlink("..", papers.join("loop")).expect("a link");
    symlink(keep.path(), bag.join("data/records/folder")).expect("a link");
    symlink("nowhere", papers.join("dangling")).expect("a link");
    fifo(&papers.join("pipe"));
    let _socket = UnixListener::bind(papers.join("socket")).expect("a socket");
    let said = through_every_command(&bag, "an unpacked bundle");
    for name in ["papers/link.txt", "papers/loop", "records/folder", "papers/dangling"] {
        says(&said[0], 3, &format!("data/{name} is a link or not a regular file"));
    }
    for name in ["pipe", "socket"] {
        says(&said[0], 3, &format!("data/papers/{name} is a link or not a regular file"));
    }
    says(&said[3], 1, "is not whole, so nothing was carried over from it");
}

#[test]
fn a_file_of_a_bundle_that_is_replaced_by_a_link_or_a_pipe_is_missing() {
    for make in [fifo as fn(&Path), |at| symlink("/dev/zero", at).expect("a link")] {
        for name in ["data/papers/note.txt", "data/records/docking.toml", "manifest-sha256.txt"] {
            let (_keep, bag) = unpacked();
            fs::remove_file(bag.join(name)).expect("to remove it");
            make(&bag.join(name));
            let said = through_every_command(&bag, name);
            says(&said[0], 3, &format!("{name} is a link or not a regular file"));
        }
    }
}

#[test]
fn a_pipe_or_a_device_is_no_bundle() {
    let room = temporary();
    let pipe = room.path().join("pipe.zip");
    fifo(&pipe);
    for (at, mended) in [(pipe, 1), (PathBuf::from("/dev/zero"), 1)] {
        let said = through_every_command(&at, "no file");
        says(&said[0], 1, "is neither a file nor a folder");
        assert_eq!(said[2].status, mended);
    }
}

/// The program as somebody who may not read everything: root may.
fn as_nobody(arguments: &[&Path]) -> Said {
    let id = run(Command::new("id").arg("-u")).out;
    let mut command = Command::new("setpriv");
    if id.trim() == "0" {
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]);
    }
    run(command.arg(arguments[0]).args(&arguments[1..]))
}

#[test]
fn a_file_that_may_not_be_read_is_named() {
    let (keep, bag) = unpacked();
    let open = |at: &Path, mode: u32| {
        fs::set_permissions(at, fs::Permissions::from_mode(mode)).expect("permissions");
    };
    for folder in WalkDir::new(keep.path()).into_iter().flatten() {
        if folder.file_type().is_dir() {
            open(folder.path(), 0o755);
        }
    }
    let program = keep.path().join("lastdock");
    fs::copy(env!("CARGO_BIN_EXE_lastdock"), &program).expect("a copy");
    // That is no damage: who may read it has still to say.
    for (path, wanted) in [
        ("data/papers/note.txt", "data/papers/note.txt: could not be checked: Permission denied"),
        ("manifest-sha256.txt", "could not be checked: Permission denied"),
    ] {
        let kept = fs::metadata(bag.join(path)).expect("a file").permissions();
        open(&bag.join(path), 0);
        let said = as_nobody(&[&program, Path::new("verify"), &bag]);
        says(&said, 1, wanted);
        assert!(!said.out.contains("damaged"), "{}", said.out);
        fs::set_permissions(bag.join(path), kept).expect("permissions");
    }
    open(&bag.join("data/papers"), 0);
    let said = as_nobody(&[&program, Path::new("verify"), &bag]);
    says(&said, 1, "can't be listed");
    open(&bag.join("data/papers"), 0o755);
}

#[test]
fn papers_that_are_no_files_are_named() {
    let project = Project::copied();
    symlink("/etc/passwd", project.path("papers/link.txt")).expect("a link");
    symlink("..", project.path("papers/loop")).expect("a link");
    fifo(&project.path("papers/pipe"));
    let null = run(Command::new("mknod").arg(project.path("papers/null")).args(["c", "1", "3"]));
    let said = bounded(&["check".as_ref(), project.root().as_os_str()]);
    for name in ["papers/link.txt", "papers/loop"] {
        says(&said, 1, name);
    }
    says(&said, 1, "is a link");
    says(&said, 1, "is neither a file nor a folder");
    if null.status == 0 {
        says(&said, 1, "papers/null");
    }
    let said = bounded(&[
        "closeout".as_ref(),
        project.root().as_os_str(),
        "--out".as_ref(),
        project.out().as_os_str(),
    ]);
    assert_eq!(said.status, 1);
    assert!(!project.out().exists(), "something was written");
}

#[test]
fn records_that_are_no_files_are_named() {
    for file in ["docking.toml", "plan/blocks.csv", "landing/water.csv"] {
        for make in [fifo as fn(&Path), |at| fs::create_dir(at).expect("a folder")] {
            let project = Project::copied();
            project.remove(file);
            make(&project.path(file));
            let said = bounded(&["check".as_ref(), project.root().as_os_str()]);
            assert!(matches!(said.status, 0 | 1 | 3), "{}{}", said.out, said.err);
            // An empty folder holds no file: what must be there is missing, the rest is not recorded.
            if file != "landing/water.csv" {
                says(&said, 1, file);
            }
        }
    }
    let said = lastdock(["check", "/dev/null"]);
    says(&said, 1, "is not a folder");
}

#[test]
fn of_a_folder_that_is_no_project_the_first_files_are_named_and_the_rest_is_counted() {
    let room = temporary();
    for n in 0..300 {
        symlink("nowhere", room.path().join(format!("link-{n:03}"))).expect("a link");
        fs::write(room.path().join(format!("table-{n:03}.csv")), "a\n").expect("a file");
    }
    for n in 0..6000 {
        fs::write(room.path().join(format!("other-{n}")), "").expect("a file");
    }
    let deep = room.path().join("a/b/c/d");
    fs::create_dir_all(&deep).expect("folders");
    symlink("nowhere", deep.join("far-away")).expect("a link");
    let json = lastdock([Path::new("check"), room.path(), Path::new("--json")]).exits(1).json();
    let problems = json["problems"].as_array().expect("problems");
    let wrong = |says: &str| {
        let says =
            |one: &&serde_json::Value| one["wrong"].as_str().is_some_and(|w| w.contains(says));
        problems.iter().filter(says).count()
    };
    assert_eq!((wrong("is a link"), wrong("is not a known file of records")), (100, 100));
    assert_eq!(wrong("is the first of 200 more such files"), 2);
    assert!(problems.iter().any(|one| one["file"] == "docking.toml"), "{problems:?}");
    // What stands deeper than any file of records is not looked for.
    assert!(!json.to_string().contains("far-away"));
    // That it takes a while is shown where somebody looks on, and nowhere else.
    let said = super::terminal::on_a_terminal(&[Path::new("check"), room.path()]);
    assert!(said.out.contains("looking through files"), "{:.2000}", said.out);
    assert!(said.out.lines().count() < 3000, "{}", said.out.lines().count());
    let said = lastdock([Path::new("check"), room.path()]).exits(1);
    assert!(!said.err.contains("looking"), "{}", said.err);
    for wanted in ["docking.toml: is missing", "also plan/blocks.csv", "--all"] {
        assert!(squeezed(&said.out).contains(&squeezed(wanted)), "{wanted}: {}", said.out);
    }
}
