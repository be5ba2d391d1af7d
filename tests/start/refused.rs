//! What start refuses, and that a folder is there whole or not at all.

use std::fs;
use std::path::Path;

use lastdock::bundle::digest;

use super::Room;
use crate::common::{NAME, Said, closed, files, program, run, squeezed, unpacked_copy};

#[track_caller]
fn says(said: &Said, words: &str) {
    assert!(said.squeezed().contains(&squeezed(words)), "{words:?} is not in\n{}", said.err);
}

#[test]
fn existing_files_are_never_touched() {
    type Make = fn(&Path);
    let makes: [Make; 4] = [
        |at| fs::create_dir(at).expect("an empty folder"),
        |at| {
            fs::create_dir(at).expect("a folder");
            fs::write(at.join("docking.toml"), "format = 1\n").expect("a file in it");
        },
        |at| fs::write(at, "a file").expect("a file"),
        |at| {
            #[cfg(unix)]
            std::os::unix::fs::symlink("nowhere", at).expect("a link to nothing");
            #[cfg(not(unix))]
            fs::write(at, "a file").expect("a file");
        },
    ];
    for make in makes {
        let room = Room::new();
        make(&room.new_folder());
        let before = files(room.0.path());
        for said in [room.start(), room.start_from(&closed().zip)] {
            says(&said.exits(1), "is there already; nothing was written");
        }
        assert_eq!(room.names(), ["new"]);
        assert!(files(room.0.path()) == before);
    }
}

#[test]
fn an_impossible_place_is_refused() {
    let room = Room::new();
    let deep = room.0.path().join("not-there").join("new");
    says(&run(program().arg("start").arg(&deep)).exits(1), "make it, or name another place");
    says(&run(program().arg("start").arg("/")).exits(1), "is no name for a new folder");
    let (_kept, bag) = unpacked_copy();
    let before = files(&bag);
    let mut command = program();
    command.arg("start").arg(bag.join("data/new")).arg("--from").arg(&bag);
    says(&run(&mut command).exits(1), "lies inside the bundle");
    assert!(files(&bag) == before);
    assert_eq!(room.names(), Vec::<String>::new());
}

#[test]
fn anything_but_a_bundle_is_refused() {
    let room = Room::new();
    let nothing = room.0.path().join("nothing.zip");
    room.start_from(&nothing).exits(1);
    fs::write(&nothing, "not a zip").expect("a file");
    says(&room.start_from(&nothing).exits(1), "can't be read as a zip");
    assert_eq!(room.names(), ["nothing.zip"]);
}

/// Starts from a damaged bundle: refused, nothing written; with leave, done, and said.
fn damaged(bag: &Path, wrong: &str) {
    let room = Room::new();
    let said = room.start_from(bag).exits(1);
    says(&said, "is not whole, so nothing was carried over from it");
    says(&said, wrong);
    says(&said, "--accept-damaged");
    assert_eq!(room.names(), Vec::<String>::new());

    let mut command = program();
    command.arg("start").arg(room.new_folder()).arg("--from").arg(bag).arg("--accept-damaged");
    says(&run(&mut command).exits(3), wrong);
    let readme = room.text("README.txt");
    assert!(readme.contains("THE BUNDLE WAS DAMAGED"), "{readme}");
    assert!(squeezed(&readme).contains(&squeezed(wrong)), "{wrong:?} is not in\n{readme}");
    let rows = room.text("history/dockings.csv");
    assert!(rows.contains(",damaged,") && rows.contains(wrong), "{rows}");
    let kept = files(&room.new_folder().join("history").join(NAME));
    assert!(kept == files(&bag.join("data/records")));
}

#[test]
fn a_bundle_with_a_changed_paper_is_refused_unless_it_is_accepted() {
    let (_kept, bag) = unpacked_copy();
    let paper = bag.join("data/papers/caisson-seated.png");
    let mut bytes = fs::read(&paper).expect("a paper");
    bytes[100] ^= 1;
    fs::write(&paper, bytes).expect("to damage it");
    damaged(&bag, "data/papers/caisson-seated.png: changed");
}

#[test]
fn a_bundle_with_a_record_missing_is_refused_unless_it_is_accepted() {
    let (_kept, bag) = unpacked_copy();
    fs::remove_file(bag.join("data/records/landing/water.csv")).expect("to lose it");
    damaged(&bag, "data/records/landing/water.csv: missing");
}

#[test]
fn a_bundle_whose_findings_do_not_follow_from_its_records_is_refused_too() {
    // Its checksums are made anew, so that fixity alone finds nothing.
    let (_kept, bag) = unpacked_copy();
    let path = "data/records/positions/positions.csv";
    let text = fs::read_to_string(bag.join(path)).expect("a record");
    fs::write(bag.join(path), text.replacen("14.31", "14.51", 1)).expect("to change it");
    reseal(&bag, path);
    let verified = crate::common::verify(&bag);
    assert!(verified.out.contains("every one is what both manifests say"), "{}", verified.out);
    damaged(&bag, "and its records give");
}

/// Writes a file's checksums anew into the manifests, and those of the manifests.
fn reseal(bag: &Path, path: &str) {
    let renew = |list: &str, of: &str, which: usize| {
        let digests = digest::digests(&fs::read(bag.join(of)).expect("a listed file"));
        let text = fs::read_to_string(bag.join(list)).expect("a manifest");
        let renewed: String = text
            .lines()
            .map(|line| match line.split_once("  ") {
                Some((_, file)) if file == of => format!("{}  {of}\n", digests.hex[which]),
                _ => format!("{line}\n"),
            })
            .collect();
        fs::write(bag.join(list), renewed).expect("to write a manifest");
    };
    let names = ["sha256", "sha512"];
    for (which, name) in names.iter().enumerate() {
        renew(&format!("manifest-{name}.txt"), path, which);
    }
    for (which, name) in names.iter().enumerate() {
        for of in ["manifest-sha256.txt", "manifest-sha512.txt"] {
            renew(&format!("tagmanifest-{name}.txt"), of, which);
        }
    }
}

#[test]
fn a_bundle_whose_records_cant_be_read_is_refused_in_any_case() {
    let (_kept, bag) = unpacked_copy();
    fs::write(bag.join("data/records/docking.toml"), "format = [").expect("to damage it");
    let room = Room::new();
    let mut command = program();
    command.arg("start").arg(room.new_folder()).arg("--from").arg(&bag).arg("--accept-damaged");
    says(&run(&mut command).exits(1), "its records can't be read");
    let json = run(command.arg("--json")).exits(1).json();
    assert!(json["errors"][0]["advice"].as_str().is_some_and(|advice| advice.contains("mend")));
    assert_eq!(room.names(), Vec::<String>::new());
}

#[test]
#[cfg(target_os = "linux")]
fn killed_in_the_middle_of_writing_it_leaves_nothing_under_the_new_name() {
    use std::os::unix::process::ExitStatusExt;
    // The system kills a process that writes a longer file than it may; a block is 512 or 1024 bytes.
    // The log of film readings is longer, and comes late.
    let room = Room::new();
    let line = "ulimit -c 0; ulimit -f 64; exec \"$0\" start \"$1\" --from \"$2\"";
    let status = std::process::Command::new("sh")
        .args(["-c", line, env!("CARGO_BIN_EXE_lastdock")])
        .arg(room.new_folder())
        .arg(&closed().zip)
        .status()
        .expect("a shell");
    assert!(status.signal().is_some(), "{status:?}");
    assert!(!room.new_folder().exists());
    let left = room.names();
    assert!(left.len() == 1 && left[0].starts_with(".lastdock-"), "{left:?}");
    // What is left is in nobody's way.
    room.start().exits(0);
}
