//! Zips that somebody made to be misread: each through every command that takes a bundle. Nothing is ever
//! written outside the folder that was named, nothing stops the program but its own words, memory and time
//! are bounded, and what is wrong is told with the entry's name.

use std::ffi::{OsStr, OsString};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

use super::made::{End, Entry, extra, large, zip};
use crate::common::{Said, expected, files, list_anew, run, temporary};

pub const NAME: &str = "thistle-quill-2029";
pub const NOTE: &str = "thistle-quill-2029/data/papers/note.txt";

pub fn golden() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/formats/0.1.0/{NAME}.zip"))
}

/// The golden bundle unpacked.
pub fn unpacked() -> (TempDir, PathBuf) {
    let folder = temporary();
    let file = fs::File::open(golden()).expect("the golden bundle");
    zip::ZipArchive::new(file).expect("a zip").extract(folder.path()).expect("to unpack");
    let bag = folder.path().join(NAME);
    (folder, bag)
}

/// The entries of a bag, in the order of their names.
pub fn entries(bag: &Path) -> Vec<Entry> {
    let found = files(bag).into_iter();
    found.map(|(path, bytes)| Entry::stored(format!("{NAME}/{path}"), bytes)).collect()
}

/// The program with two gigabytes of address space and a minute.
pub fn bounded(arguments: &[&OsStr]) -> Said {
    run(&mut bounded_command(arguments))
}

/// The same in a folder, so that what it says doesn't depend on where that is.
pub fn bounded_in(folder: &Path, arguments: &[&OsStr]) -> Said {
    run(bounded_command(arguments).current_dir(folder))
}

fn bounded_command(arguments: &[&OsStr]) -> Command {
    let mut command = Command::new("bash");
    command.args(["-c", "ulimit -v 2000000; exec timeout 60 \"$0\" \"$@\""]);
    command.arg(env!("CARGO_BIN_EXE_lastdock")).args(arguments).env_remove("NO_COLOR");
    command
}

/// A zip and how it is made. What is said of it stands in `expected/`.
pub struct Made {
    pub what: &'static str,
    pub entries: fn(&mut Vec<Entry>, &mut End),
    /// The status of `verify`: 0 if nothing is wrong with it, 3 if it is damaged, 1 if it can't be read.
    pub status: i32,
}

/// One more entry under a name.
pub fn more(entries: &mut Vec<Entry>, name: &[u8]) {
    entries.push(Entry::stored(name, *b"from outside"));
}

pub fn note(entries: &mut [Entry]) -> &mut Entry {
    let found = entries.iter_mut().find(|entry| entry.local.name == NOTE.as_bytes());
    found.expect("the note")
}

pub const CASES: &[Made] = &[
    Made { what: "as it should be", entries: |_, _| {}, status: 0 },
    Made {
        what: "a name that climbs out",
        entries: |all, _| more(all, b"thistle-quill-2029/../../climbed-out"),
        status: 3,
    },
    Made {
        what: "a folder that climbs out",
        entries: |all, _| more(all, b"../climbed-out"),
        status: 3,
    },
    Made { what: "an absolute name", entries: |all, _| more(all, b"/tmp/climbed-out"), status: 3 },
    Made { what: "a drive", entries: |all, _| more(all, b"C:/climbed-out"), status: 3 },
    Made {
        what: "a drive inside",
        entries: |all, _| more(all, b"thistle-quill-2029/C:climbed-out"),
        status: 3,
    },
    Made {
        what: "backslashes",
        entries: |all, _| more(all, b"thistle-quill-2029/data\\..\\..\\climbed-out"),
        status: 3,
    },
    Made {
        what: "NUL in a name",
        entries: |all, _| more(all, b"thistle-quill-2029/data/papers/a\0.txt"),
        status: 3,
    },
    Made {
        what: "orders to the terminal in a name",
        entries: |all, _| more(all, b"thistle-quill-2029/data/papers/\x1b[2J\x07.txt"),
        status: 3,
    },
    Made {
        what: "a link",
        entries: |all, _| {
            let mut link = Entry::stored(NOTE, *b"/etc/passwd");
            link.mode = 0o120_777;
            *note(all) = link;
        },
        status: 3,
    },
    Made { what: "a device", entries: |all, _| note(all).mode = 0o020_666, status: 3 },
    Made { what: "a name twice", entries: |all, _| more(all, NOTE.as_bytes()), status: 3 },
    Made {
        what: "another name in the entry's own header",
        entries: |all, _| {
            note(all).local.name = b"thistle-quill-2029/data/papers/nota.txt".to_vec()
        },
        status: 3,
    },
    Made {
        what: "another checksum in the entry's own header",
        entries: |all, _| note(all).local.crc32 ^= 1,
        status: 3,
    },
    Made {
        what: "capital letters",
        entries: |all, _| more(all, b"thistle-quill-2029/data/papers/NOTE.txt"),
        status: 3,
    },
    Made {
        what: "one name composed and decomposed",
        entries: |all, _| {
            more(all, "thistle-quill-2029/data/papers/caf\u{e9}.txt".as_bytes());
            more(all, "thistle-quill-2029/data/papers/cafe\u{301}.txt".as_bytes());
        },
        status: 3,
    },
    Made {
        what: "devices of some systems",
        entries: |all, _| {
            more(all, b"thistle-quill-2029/data/papers/CON");
            more(all, b"thistle-quill-2029/data/papers/com1.txt");
        },
        status: 3,
    },
    Made {
        what: "points and blanks at the end",
        entries: |all, _| {
            more(all, b"thistle-quill-2029/data/papers/note.txt.");
            more(all, b"thistle-quill-2029/data/papers/note.txt ");
        },
        status: 3,
    },
    Made {
        what: "a name of 300 bytes",
        entries: |all, _| more(all, format!("{NAME}/data/papers/{}", "n".repeat(300)).as_bytes()),
        status: 3,
    },
    Made {
        what: "a name of 60 000 bytes",
        entries: |all, _| {
            more(all, format!("{NAME}/data/papers/{}", "n".repeat(60_000)).as_bytes())
        },
        status: 1,
    },
    Made {
        what: "a name that is not UTF-8",
        entries: |all, _| more(all, b"thistle-quill-2029/data/papers/caf\xe9.txt"),
        status: 3,
    },
    Made {
        what: "a second name in an extra field",
        entries: |all, _| {
            let body = [b"\x01\0\0\0\0", &b"thistle-quill-2029/data/papers/nota.txt"[..]].concat();
            note(all).central.extra = extra(0x7075, &body);
        },
        status: 3,
    },
    Made {
        what: "another folder",
        entries: |all, _| more(all, b"elsewhere/data/papers/note.txt"),
        status: 3,
    },
    Made {
        what: "sizes too large",
        entries: |all, _| {
            let lying = |header: &mut super::made::Header| {
                (header.size, header.packed) = (1 << 30, 1 << 30);
            };
            *note(all) = note(all).clone().with(lying);
        },
        status: 3,
    },
    Made {
        what: "sizes too small",
        entries: |all, _| {
            *note(all) = note(all).clone().with(|header| (header.size, header.packed) = (1, 1));
        },
        status: 3,
    },
    Made {
        what: "two sizes of what is stored",
        entries: |all, _| *note(all) = note(all).clone().with(|header| header.size = 1 << 30),
        status: 3,
    },
    Made {
        what: "a size of 2^63 in the extra field",
        entries: |all, _| {
            *note(all) = note(all).clone().with(|header| {
                (header.size, header.packed) = (u32::MAX, u32::MAX);
                header.extra = large(&[1 << 63, 1 << 63]);
            });
        },
        status: 3,
    },
    Made {
        what: "an extra field for large sizes that has none",
        entries: |all, _| {
            *note(all) = note(all).clone().with(|header| {
                (header.size, header.packed) = (u32::MAX, u32::MAX);
                header.extra = large(&[]);
            });
        },
        status: 1,
    },
    Made {
        what: "a compressed entry that grows to a gigabyte",
        entries: |all, _| {
            *note(all) = note(all).clone().with(|header| {
                (header.method, header.size) = (8, 1 << 30);
            });
        },
        status: 1,
    },
    Made {
        what: "an encrypted entry",
        entries: |all, _| *note(all) = note(all).clone().with(|header| header.flags = 1),
        status: 3,
    },
    Made {
        what: "sizes behind the bytes",
        entries: |all, _| *note(all) = note(all).clone().with(|header| header.flags = 8),
        status: 3,
    },
    Made {
        what: "entries over each other",
        entries: |all, _| {
            // Each says that it begins where the first does.
            for _ in 0..1000 {
                let first = all[0].clone();
                all.push(Entry { offset: Some(0), ..first });
            }
        },
        status: 3,
    },
    Made {
        what: "an entry that begins behind the end",
        entries: |all, _| note(all).offset = Some(u32::MAX - 1),
        status: 3,
    },
    Made {
        what: "bytes between entries",
        entries: |all, _| note(all).behind = b"PK\x03\x04 and a letter to nobody".to_vec(),
        status: 3,
    },
    Made {
        what: "something before the zip, counted",
        entries: |_, end| (end.before, end.counts_before) = (b"#!/bin/sh\n".to_vec(), true),
        status: 3,
    },
    Made {
        what: "something before the zip, not counted",
        entries: |_, end| end.before = b"#!/bin/sh\n".to_vec(),
        status: 1,
    },
    Made {
        what: "something behind the zip",
        entries: |_, end| end.behind = vec![0; 5000],
        status: 3,
    },
    Made {
        what: "a comment that holds a directory of its own",
        entries: |_, end| {
            end.comment = zip(&[Entry::stored(NOTE, *b"another note")], &End::default());
        },
        status: 3,
    },
    Made {
        what: "several end records",
        entries: |_, end| {
            end.behind = [&b"PK\x05\x06"[..], &[0; 18], b"PK\x05\x06", &[0xff; 18]].concat();
        },
        status: 3,
    },
    Made {
        what: "an end record for large zips that says the same",
        entries: |all, end| end.large = Some(all.len() as u64),
        status: 0,
    },
    Made {
        what: "an end record for large zips that lies",
        entries: |_, end| (end.large, end.entries) = (Some(1 << 63), Some(u64::MAX)),
        status: 1,
    },
    Made { what: "two end records that differ", entries: |_, end| end.large = Some(3), status: 1 },
    Made {
        what: "fewer entries than the directory has",
        entries: |all, end| end.entries = Some(all.len() as u64 - 1),
        status: 3,
    },
    Made {
        what: "more entries than the directory has",
        entries: |all, end| end.entries = Some(all.len() as u64 + 1),
        status: 1,
    },
    Made { what: "no end record", entries: |_, end| end.none = true, status: 1 },
];

/// Runs every command that takes a bundle, and looks at what was left behind.
pub fn through_every_command(bundle: &Path, what: &str) -> Vec<Said> {
    let room = temporary();
    let new = |name: &str| room.path().join("out").join(name).into_os_string();
    fs::create_dir(room.path().join("out")).expect("a folder");
    let place = bundle.parent().expect("a folder");
    let bundle = bundle.file_name().expect("a name");
    let golden = golden().into_os_string();
    let word = |text: &'static str| OsString::from(text);
    let lines = [
        vec![word("verify"), bundle.into()],
        vec![word("verify"), word("--json"), bundle.into()],
        vec![
            word("mend"),
            bundle.into(),
            word("--out"),
            new("m.zip"),
            word("--salvage-to"),
            new("s"),
        ],
        vec![word("start"), new("next"), word("--from"), bundle.into()],
        vec![word("start"), new("any"), word("--from"), bundle.into(), word("--accept-damaged")],
        vec![word("compare"), bundle.into(), golden.clone(), word("--out"), new("c.pdf")],
        vec![word("shifts"), bundle.into()],
        vec![word("page"), bundle.into(), word("--out"), new("p.html")],
        vec![word("supplement"), bundle.into(), new("supplement")],
    ];
    let said: Vec<Said> = lines
        .iter()
        .map(|line| {
            let words: Vec<&OsStr> = line.iter().map(|word| word.as_os_str()).collect();
            let said = bounded_in(place, &words);
            let told = format!("{what}: {line:?}\n{}{}", said.out, said.err);
            assert!([0, 1, 3].contains(&said.status), "status {}, {told}", said.status);
            assert!(!said.err.contains("panicked"), "{told}");
            let orders = |c: char| c.is_control() && c != '\n';
            assert!(!said.out.contains(orders) && !said.err.contains(orders), "{told}");
            said
        })
        .collect();
    let outside = files(room.path()).into_iter().filter(|(path, _)| !path.starts_with("out/"));
    assert_eq!(outside.count(), 0, "{what}: files outside the folder that was named");
    for (path, bytes) in files(&room.path().join("out")) {
        let climbed =
            path.contains("climbed-out") || bytes == b"from outside" && path.contains("..");
        assert!(!climbed, "{what}: {path}");
    }
    assert!(!Path::new("/tmp/climbed-out").exists(), "{what}");
    said
}

#[test]
fn nothing_leaves_its_folder_and_what_is_wrong_is_named() {
    hold(CASES, "tests/hostile/expected/zips.txt");
}

/// Makes each zip, runs every command on it, and holds what `verify` says of it to a file.
pub fn hold(cases: &[Made], file: &str) {
    let (_keep, bag) = unpacked();
    let room = temporary();
    let mut amiss = Vec::new();
    for Made { what, entries: change, status } in cases {
        let (mut all, mut end) = (entries(&bag), End::default());
        change(&mut all, &mut end);
        let bundle = room.path().join(format!("{NAME}.zip"));
        fs::write(&bundle, zip(&all, &end)).expect("to write it");
        let said = through_every_command(&bundle, what);
        let verified = &said[0];
        let text = format!("{}{}", verified.out, verified.err);
        if verified.status != *status {
            amiss.push(format!("{what}: status {}\n{text}", verified.status));
        }
        // The seal and what was recomputed are other tests' subject.
        let fixity = text.split("\n  seal ").next().unwrap_or_default();
        amiss.extend(expected::hold_case(file, what, fixity).err());
        let (mend, start, compare) = (said[2].status, said[3].status, said[5].status);
        let refused = mend == 1 && start == 1 && compare != 0;
        let taken = mend == 0 && start == 0;
        if !(if *status == 0 { taken } else { refused }) {
            amiss.push(format!("{what}: mend {mend}, start {start}, compare {compare}"));
        }
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
}

/// So many files in a bag of their own.
fn crowded(count: u64) -> (TempDir, PathBuf) {
    let (keep, bag) = unpacked();
    let folder = bag.join("data/records/note-many");
    fs::create_dir(&folder).expect("a folder");
    let there = files(&bag).len() as u64;
    for number in there..count {
        fs::write(folder.join(format!("{number:06}.txt")), format!("{number}\n")).expect("a file");
    }
    list_anew(&bag);
    let entries = entries(&bag);
    assert_eq!(entries.len() as u64, count);
    let end = End { large: Some(count), entries: Some(u64::MAX), ..End::default() };
    let path = keep.path().join(format!("{NAME}.zip"));
    fs::write(&path, zip(&entries, &end)).expect("to write it");
    (keep, path)
}

#[test]
fn a_hundred_thousand_files_are_served() {
    let (_keep, path) = crowded(100_000);
    let said = bounded(&["verify".as_ref(), "--json".as_ref(), path.as_os_str()]);
    let found = &said.json()[0];
    assert_eq!(found["whole"], true, "{}", found["wrong"]);
    assert_eq!(found["files"].as_array().map(Vec::len), Some(100_000));
}

#[test]
fn more_than_two_hundred_thousand_are_refused() {
    let entries: Vec<Entry> =
        (0..200_001).map(|n| Entry::stored(format!("{NAME}/data/{n}"), *b"")).collect();
    let end = End { large: Some(200_001), entries: Some(u64::MAX), ..End::default() };
    let room = temporary();
    let path = room.path().join(format!("{NAME}.zip"));
    fs::write(&path, zip(&entries, &end)).expect("to write it");
    let said = bounded(&["verify".as_ref(), path.as_os_str()]).exits(1);
    assert!(said.err.contains("it lists 200001 entries"), "{}", said.err);
}
