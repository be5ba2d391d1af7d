//! What can't be checked is no damage: too few handles, signatures and lists of signers that
//! are none.

use std::fs;
use std::path::Path;
use std::process::Command;

use lastdock::bundle::safely::{self, Finished};
use lastdock::bundle::staging::StagingDir;

use super::bagged::BAGS;
use super::zips::{golden, unpacked};
use crate::common::{Said, program, run, temporary};

/// The program with so many file handles, of which three are taken from the start; the system needs one to load it.
fn with_handles(handles: u32, arguments: &[&Path]) -> Said {
    let mut command = Command::new("sh");
    command.arg("-c").arg(format!("ulimit -n {handles}; exec \"$0\" \"$@\""));
    run(command.arg(env!("CARGO_BIN_EXE_lastdock")).args(arguments))
}

#[test]
fn running_out_of_file_handles_is_no_damage() {
    let (_keep, bag) = unpacked();
    let room = temporary();
    let zip = room.path().join("a.zip");
    fs::copy(golden(), &zip).expect("a copy");
    for handles in 4..12 {
        for at in [&zip, &bag] {
            for command in ["verify", "compare", "start"] {
                let new = room.path().join("new");
                let command = Path::new(command);
                let said = match command.to_str() {
                    Some("compare") => with_handles(handles, &[command, at, at]),
                    Some("start") => {
                        with_handles(handles, &[command, &new, Path::new("--from"), at])
                    }
                    _ => with_handles(handles, &[command, at]),
                };
                let told =
                    format!("{handles} handles, {command:?} {at:?}:\n{}{}", said.out, said.err);
                for wrong in
                    ["damaged", "not whole", "unreadable", "missing", "disagrees", "panicked"]
                {
                    assert!(!told.contains(wrong), "{wrong}: {told}");
                }
                // The golden bundle has open findings, of which compare and verify have nothing to say.
                assert!([0, 1].contains(&said.status), "{told}");
                if said.status == 1 {
                    assert!(said.squeezed().contains("Toomanyopenfiles"), "{told}");
                }
                let _ = fs::remove_dir_all(&new);
            }
        }
    }
    // A zip is opened once, whatever there is to read in it.
    let said = with_handles(4, &[Path::new("verify"), &zip]);
    assert!(said.squeezed().contains("everyoneiswhatbothmanifestssay"), "{}{}", said.out, said.err);
    with_handles(8, &[Path::new("verify"), &bag]).exits(0);
}

/// Nor of a bag that somebody else made.
#[test]
fn running_out_of_file_handles_is_no_damage_to_a_bag_of_others() {
    let room = temporary();
    let bag = room.path().join("bag");
    let md5_alone = &BAGS[0];
    (md5_alone.make)(&bag);
    for handles in 4..10 {
        let said = with_handles(handles, &[Path::new("verify"), &bag]);
        let told = format!("{handles} handles:\n{}{}", said.out, said.err);
        assert!(!told.contains("damaged") && !told.contains("unreadable"), "{told}");
        assert_eq!(said.status, 1, "{told}");
    }
}

#[test]
fn a_signature_that_is_none_does_not_hide_the_bundle() {
    let room = temporary();
    let zip = room.path().join("a.zip");
    fs::copy(golden(), &zip).expect("a copy");
    fs::write(room.path().join("a-seal.sig"), vec![b'x'; (1 << 20) + 1]).expect("to write it");
    let said = run(program().arg("verify").arg(&zip)).exits(1);
    for words in
        ["everyoneiswhatbothmanifestssay", "itwasnotchecked", "islargerthanthe1048576bytes"]
    {
        assert!(said.squeezed().contains(words), "{words}: {}{}", said.out, said.err);
    }
    let said = run(program().arg("verify").arg(&zip).arg("--json")).exits(1).json();
    assert_eq!(said[0]["whole"], true);
    assert_eq!(said[0]["signature"]["checked"], false);
}

#[test]
fn a_list_of_signers_in_one_endless_line_is_refused_and_named() {
    let room = temporary();
    let zip = room.path().join("a.zip");
    fs::copy(golden(), &zip).expect("a copy");
    fs::write(room.path().join("a-seal.sig"), "none").expect("to write it");
    let signers = room.path().join("signers");
    fs::write(&signers, format!("a@x{} ssh-ed25519 AAAA\n", ",!b*".repeat(250_000))).expect("it");
    let mut command = program();
    let said = run(command.arg("verify").arg(&zip).arg("--signers").arg(&signers)).exits(1);
    for words in ["everyoneiswhatbothmanifestssay", "bytesinline1", "mayhave8192"] {
        assert!(said.squeezed().contains(words), "{words}: {}{}", said.out, said.err);
    }
}

/// What `closeout --replace` comes to at its end.
#[test]
fn nothing_is_replaced_where_a_folder_is_in_the_way_of_one_file() {
    let room = temporary();
    let staging = StagingDir::inside(room.path()).expect("a staging folder");
    let place = |name: &str| room.path().join(name);
    fs::write(place("a-report.pdf"), "the old one").expect("to write it");
    fs::create_dir(place("a.zip")).expect("a folder");
    let files = ["a-report.pdf", "a.zip"].map(|name| Finished {
        file: safely::filled(&staging, b"the new one").expect("a file"),
        place: place(name),
    });
    let errors = safely::put_in_place(files.into(), &[], true).expect_err("a folder is in the way");
    assert_eq!(errors.len(), 1);
    assert!(errors[0].wrong.contains("is a folder"), "{}", errors[0]);
    assert_eq!(fs::read(place("a-report.pdf")).expect("the report"), b"the old one");
}
