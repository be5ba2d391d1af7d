//! Bags that others made: judged by their own manifests as RFC 8493 says, looked into for a bundle, and never read
//! without end.

use std::fs;
use std::path::Path;

use lastdock::bundle::layout;
use lastdock::bundle::manifests::State;
use lastdock::bundle::open::Bundle;
use lastdock::bundle::others;

use super::bagged::{BAGS, list, write};
use super::made::{End, Entry, zip};
use super::zips::{NAME, bounded, bounded_in, golden, unpacked};
use crate::common::{Said, expected, files, list_tags_anew, squeezed, temporary};

#[track_caller]
fn says(said: &Said, status: i32, wanted: &[&str], what: &str) {
    let told = format!("{}{}", said.out, said.err);
    assert_eq!(said.status, status, "{what}:\n{told}");
    for wanted in wanted {
        assert!(
            squeezed(&told).contains(&squeezed(wanted)),
            "{what}: {wanted:?} is not in\n{told}"
        );
    }
}

fn verify(at: &Path) -> Said {
    bounded(&["verify".as_ref(), at.as_os_str()])
}

#[test]
fn bags_of_others_are_judged_by_their_own_manifests() {
    let mut amiss = String::new();
    for case in BAGS {
        let room = temporary();
        let bag = room.path().join("bag");
        (case.make)(&bag);
        let said = bounded_in(room.path(), &["verify".as_ref(), "bag".as_ref()]);
        says(&said, if case.sound { 1 } else { 3 }, &[], case.what);
        let text = format!("{}{}", said.out, said.err);
        amiss
            .extend(expected::hold_case("tests/hostile/expected/bags.txt", case.what, &text).err());
        assert_eq!(said.out.contains("  sound  "), case.sound, "{}: {}", case.what, said.out);
        assert!(!said.out.contains("  whole  "), "{}: {}", case.what, said.out);
        let start = bounded(&[
            "start".as_ref(),
            room.path().join("next").as_os_str(),
            "--from".as_ref(),
            bag.as_os_str(),
        ]);
        says(&start, 1, &["holds no docking record of its own"], case.what);
        let data = bounded(&["verify".as_ref(), "--json".as_ref(), bag.as_os_str()]).json();
        assert_eq!(data[0]["bag"]["sound"], case.sound, "{}: {data}", case.what);
        assert_eq!(data[0]["well"], false, "{}: {data}", case.what);
    }
    assert!(amiss.is_empty(), "{amiss}");
}

/// A bag around the golden bundle as an archive makes one: the zip as its payload, or the folder.
fn bagged_anew(root: &Path, unpacked: Option<&Path>) {
    match unpacked {
        None => write(root, &format!("data/{NAME}.zip"), fs::read(golden()).expect("the bundle")),
        Some(bag) => {
            for (path, bytes) in files(bag) {
                write(root, &format!("data/kept/{NAME}/{path}"), bytes);
            }
        }
    }
    write(root, "bagit.txt", "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n");
    list_payload(root);
}

fn list_payload(root: &Path) {
    let all: Vec<String> = files(root).into_iter().map(|(path, _)| path).collect();
    let payload: Vec<&str> =
        all.iter().map(String::as_str).filter(|p| p.starts_with("data/")).collect();
    list(root, "manifest-md5.txt", &payload);
    list(root, "tagmanifest-md5.txt", &["bagit.txt", "manifest-md5.txt"]);
}

#[test]
fn a_bundle_in_a_bag_is_found_and_both_are_judged() {
    let (_keep, folder) = unpacked();
    for (inner, unpacked) in
        [(format!("data/{NAME}.zip"), None), (format!("data/kept/{NAME}"), Some(folder.as_path()))]
    {
        let room = temporary();
        let bag = room.path().join("anew");
        bagged_anew(&bag, unpacked);
        let wanted = [
            "what its manifest says, by md5",
            inner.as_str(),
            "every one is what both",
            "recomputed",
        ];
        says(&verify(&bag), 0, &wanted, &inner);
        let compare = bounded(&["compare".as_ref(), bag.as_os_str(), golden().as_os_str()]);
        says(&compare, 1, &["inside it there is", inner.as_str(), "name that"], &inner);
        let next = room.path().join("next");
        let start = |from: &Path| {
            bounded(&["start".as_ref(), next.as_os_str(), "--from".as_ref(), from.as_os_str()])
        };
        says(&start(&bag), 1, &["inside it there is", inner.as_str()], &inner);
        says(&start(&bag.join(&inner)), 0, &["the bundle was whole"], &inner);

        // The archive's own manifests are right, and the bundle is damaged; then the other way round.
        let hurt = match unpacked {
            None => inner.clone(),
            Some(_) => format!("{inner}/data/papers/note.txt"),
        };
        let sound = fs::read(bag.join(&hurt)).expect("a file");
        let mut bytes = sound.clone();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        write(&bag, &hurt, &bytes);
        list_payload(&bag);
        says(&verify(&bag), 3, &["what its manifest says, by md5", "not whole"], &inner);
        write(&bag, &hurt, &sound);
        says(&verify(&bag), 3, &["not a sound BagIt bag", "every one is what both"], &inner);
    }
}

#[test]
fn a_bundle_in_a_bag_in_a_zip_is_named() {
    let room = temporary();
    let bag = room.path().join("anew");
    bagged_anew(&bag, None);
    let seal = format!("data/{NAME}-seal.txt");
    write(&bag, &seal, "the seal");
    list_payload(&bag);
    let stored = files(&bag).into_iter();
    let entries: Vec<Entry> =
        stored.map(|(path, bytes)| Entry::stored(format!("anew/{path}"), bytes)).collect();
    let at = room.path().join("anew.zip");
    fs::write(&at, zip(&entries, &End::default())).expect("to write it");
    says(&verify(&at), 1, &["unpack the bag", &format!("data/{NAME}.zip")], "a bag in a zip");
}

/// What an archive may add to a bundle's own folder: held against the files as far as that can be done.
#[test]
fn more_manifests_in_a_bundle_are_held_against_its_files() {
    fn payload(bag: &Path, name: &str) {
        let all: Vec<String> = files(bag).into_iter().map(|(path, _)| path).collect();
        let inside = |path: &&str| path.starts_with(layout::DATA);
        list(bag, name, &all.iter().map(String::as_str).filter(inside).collect::<Vec<_>>());
    }
    fn changed(bag: &Path, name: &str) {
        payload(bag, name);
        let text = fs::read_to_string(bag.join(name)).expect("a manifest");
        let lines = text.lines().map(|line| match line.ends_with("data/papers/note.txt") {
            true => {
                format!("{}  data/papers/note.txt\n", "0".repeat(line.find(' ').expect("a digest")))
            }
            false => format!("{line}\n"),
        });
        write(bag, name, lines.collect::<String>());
    }
    type Case = (&'static str, fn(&Path), i32, &'static str);
    let cases: &[Case] = &[
        ("md5", |bag| payload(bag, "manifest-md5.txt"), 0, "every one is what both"),
        ("sha384", |bag| payload(bag, "manifest-sha384.txt"), 0, "every one is what both"),
        ("wrong md5", |bag| changed(bag, "manifest-md5.txt"), 3, "data/papers/note.txt: changed"),
        ("wrong sha1", |bag| changed(bag, "manifest-sha1.txt"), 3, "data/papers/note.txt: changed"),
        (
            "md5 of one file",
            |bag| list(bag, "manifest-md5.txt", &["data/papers/note.txt"]),
            3,
            "data/README.txt: not listed",
        ),
        (
            "nobody's algorithm",
            |bag| write(bag, "manifest-sum9.txt", "00  data/papers/note.txt\n"),
            3,
            "manifest-sum9.txt was not checked",
        ),
        (
            "nothing to be fetched",
            |bag| write(bag, "fetch.txt", "https://example.org/note - data/papers/note.txt\n"),
            0,
            "every one is what both",
        ),
        (
            "something to be fetched that nothing lists",
            |bag| write(bag, "fetch.txt", "https://example.org/more - data/papers/more.txt\n"),
            3,
            "fetch.txt:1 names data/papers/more.txt",
        ),
        (
            "something still to be fetched",
            |bag| {
                write(bag, "fetch.txt", "https://example.org/note - data/papers/note.txt\n");
                fs::remove_file(bag.join("data/papers/note.txt")).expect("to remove it");
            },
            3,
            "nothing is fetched",
        ),
    ];
    for (what, change, status, wanted) in cases {
        let (_keep, bag) = unpacked();
        change(&bag);
        list_tags_anew(&bag);
        says(&verify(&bag), *status, &[wanted], what);
    }
    let (_keep, bag) = unpacked();
    let name = layout::TAG_MANIFESTS[0];
    let text = fs::read_to_string(bag.join(name)).expect("a tag manifest");
    write(&bag, name, format!("{text}{}  {name}\n", "0".repeat(64)));
    says(
        &verify(&bag),
        3,
        &["no tag manifest may list a tag manifest"],
        "a tag manifest that lists itself",
    );
}

/// Sparse files of a terabyte, which nobody has to pay for: they are named and not read.
#[test]
fn far_more_than_the_oxum_says_is_not_read() {
    let (_keep, golden) = unpacked();
    let room = temporary();
    let other = room.path().join("bag");
    let sha256 = BAGS.iter().find(|case| case.what.contains("with metadata")).expect("the case");
    (sha256.make)(&other);
    for bag in [golden, other] {
        for path in ["data/sparse", "sparse.txt"] {
            let file = fs::File::create(bag.join(path)).expect("a file");
            file.set_len(1 << 40).expect("a sparse file");
            let wanted =
                format!("{path}: not read, since there is far more than Payload-Oxum says");
            let said = verify(&bag);
            says(&said, 3, &[&wanted], path);
            assert!(!said.out.contains("bagit.txt: not read"), "{}", said.out);
            fs::remove_file(bag.join(path)).expect("to remove it");
        }
    }
}

/// A file that has grown since the bag was listed, to a terabyte: no more than its size is read, and it is told.
#[test]
fn a_file_that_grows_is_not_read_to_its_end() {
    let room = temporary();
    let bag = room.path().join("bag");
    (BAGS[0].make)(&bag);
    let bundle = Bundle::open(&bag).expect("a bag");
    let grown = fs::OpenOptions::new().write(true).open(bag.join("data/letter.txt"));
    grown.and_then(|file| file.set_len(1 << 40)).expect("a file that grows");
    let judged = others::judge(&bundle, &|_| {});
    assert!(!judged.is_sound());
    assert_eq!(judged.files["data/letter.txt"], State::Unreadable);
    assert!(judged.bytes < 1000, "{} bytes", judged.bytes);
}
