//! Folders that can't be written to, and folders that vanish.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Stdio};

use walkdir::WalkDir;

use crate::common::{Said, not_tried, run};
use crate::full::namespace;
use crate::kills::{in_staging_dirs, send, wait_until};
use crate::work::{CLOSEOUT, Laid, SALVAGED, WORKS, is_clear};

/// What salvaging says stands among the rest of what mending says.
fn refused(said: &Said, words: &[&str], salvaging: bool) {
    if salvaging {
        let text = said.squeezed();
        assert_eq!(said.status, 1);
        let clear = words.iter().all(|word| text.contains(&crate::common::squeezed(word)));
        assert!(clear && text.contains("notsalvaged:"), "{}{}", said.out, said.err);
    } else {
        is_clear(said, words);
    }
}

#[test]
fn read_only_mounts_are_refused() {
    let Some(way) = namespace() else { return };
    for work in WORKS {
        let place = Laid::new(work);
        let script = "mount --bind out out && mount -o remount,ro,bind out || exit 99; \"$@\"";
        let said = run(&mut place.command_in(&[way, &["bash", "-c", script, "bash"]].concat()));
        let words = ["Read-only file system", "name a folder that can be written to"];
        refused(&said, &words, work.what == SALVAGED.what);
        assert!(!place.is_sound("read-only") && place.staging_dirs().is_empty());
        place.comes_right("after it was read-only");
    }
}

/// A project on a read-only medium is closed out all the same.
#[test]
fn a_project_that_can_only_be_read_is_closed_out() {
    let Some(way) = namespace() else { return };
    let place = Laid::new(&CLOSEOUT);
    let script = "mount --bind in in && mount -o remount,ro,bind in || exit 99; \"$@\"";
    let mut command = place.command_in(&[way, &["bash", "-c", script, "bash"]].concat());
    run(&mut command).exits(CLOSEOUT.undisturbed().status);
    assert!(place.is_sound("read-only project"));
}

/// The words that make a command be run by somebody whom permissions bind; none if they bind us.
fn somebody() -> Option<&'static [&'static str]> {
    let as_nobody: &[&str] = &["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"];
    let mut id = Command::new("id");
    if run(id.arg("-u")).out.trim() != "0" {
        return Some(&["env"]);
    }
    // The program itself must be within reach.
    let mut command = Command::new(as_nobody[0]);
    command.args(&as_nobody[1..]).args([env!("CARGO_BIN_EXE_lastdock"), "--version"]);
    let works = command.output().is_ok_and(|output| output.status.success());
    if !works {
        not_tried("root can't become somebody else here, whom permissions bind");
    }
    works.then_some(as_nobody)
}

#[test]
fn folders_that_one_may_not_write_to_are_refused() {
    let Some(way) = somebody() else { return };
    for work in WORKS {
        let place = Laid::new(work);
        for entry in WalkDir::new(place.path("")) {
            let entry = entry.expect("a folder");
            let mode = if entry.file_type().is_dir() { 0o755 } else { 0o644 };
            fs::set_permissions(entry.path(), fs::Permissions::from_mode(mode)).expect("to set");
        }
        let may = |mode| fs::set_permissions(place.path("out"), fs::Permissions::from_mode(mode));
        may(0o555).expect("to set");
        let said = run(&mut place.command_in(way));
        may(0o755).expect("to set");
        let words = ["Permission denied", "check the permissions, or name another folder"];
        refused(&said, &words, work.what == SALVAGED.what);
        assert!(!place.is_sound("not permitted"));
        place.comes_right("once it is permitted");
    }
}

#[test]
fn papers_that_one_may_not_read_are_named() {
    let Some(way) = somebody() else { return };
    let place = Laid::new(&CLOSEOUT);
    for folder in ["", "in", "in/project", "in/project/papers"] {
        let open = fs::Permissions::from_mode(0o755);
        fs::set_permissions(place.path(folder), open).expect("to set");
    }
    fs::set_permissions(place.path("out"), fs::Permissions::from_mode(0o777)).expect("to set");
    let note = place.path("in/project/papers/note.txt");
    let may = |mode| fs::set_permissions(&note, fs::Permissions::from_mode(mode));
    may(0o000).expect("to set");
    let said = run(&mut place.command_in(way));
    may(0o644).expect("to set");
    is_clear(&said, &["note.txt", "Permission denied", "check the"]);
    assert!(!place.is_sound("not readable"));
}

/// The folder that is written to goes away in the midst of it.
#[test]
fn a_folder_that_vanishes_is_named() {
    for gone in ["out", "in"] {
        let place = Laid::new(&CLOSEOUT);
        let mut command = place.command();
        let mut child =
            command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
        assert!(wait_until(&mut child, || !in_staging_dirs(&place).is_empty()));
        send("STOP", &child);
        fs::rename(place.path(gone), place.path("elsewhere")).expect("to move it");
        send("CONT", &child);
        let said = Said::from_output(child.wait_with_output().expect("its end"));
        is_clear(&said, &[gone]);
        assert!(!place.path(gone).exists());
        fs::rename(place.path("elsewhere"), place.path(gone)).expect("to move it back");
        assert!(!place.is_sound("after it was away"));
        place.comes_right("after it was away");
    }
}
