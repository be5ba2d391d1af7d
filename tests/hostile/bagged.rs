//! Bags as others make them, sound and unsound (RFC 8493), written out for the tests of `verify` and for the
//! judge of bags that it is held against.

// Each test target uses its own part of it.
#![allow(dead_code)]

use std::fs;
use std::path::Path;

use lastdock::bundle::bag::encoded;
use lastdock::bundle::digest;
use md5::{Digest, Md5};
use sha1::Sha1;
use sha2::{Sha224, Sha384};

/// A bag and how it is made. What `verify` says of it stands in `expected/bags.txt`.
pub struct Bagged {
    pub what: &'static str,
    pub make: fn(&Path),
    /// Whether it is sound: then the status of `verify` is 1, as it holds no docking record, and else 3.
    pub sound: bool,
    /// Whether `bagit.py` says the same; `None` where it does not look.
    pub judge_agrees: Option<bool>,
}

/// Writes a file of a bag.
pub fn write(bag: &Path, path: &str, bytes: impl AsRef<[u8]>) {
    let at = bag.join(path);
    fs::create_dir_all(at.parent().expect("a folder")).expect("a folder");
    fs::write(at, bytes).expect("to write it");
}

fn hex(bytes: &[u8], algorithm: &str) -> String {
    match algorithm {
        "md5" => digest::hex(&Md5::digest(bytes)),
        "sha1" => digest::hex(&Sha1::digest(bytes)),
        "sha224" => digest::hex(&Sha224::digest(bytes)),
        "sha384" => digest::hex(&Sha384::digest(bytes)),
        "sha256" => digest::digests(bytes).hex[0].clone(),
        "sha512" => digest::digests(bytes).hex[1].clone(),
        _ => panic!("{algorithm}"),
    }
}

/// Writes a manifest of files that are there.
pub fn list(bag: &Path, name: &str, paths: &[&str]) {
    let algorithm = name.split(['-', '.']).nth(1).expect("an algorithm");
    let line = |path: &&str| {
        let bytes = fs::read(bag.join(path)).expect("a file");
        format!("{}  {}\n", hex(&bytes, algorithm), encoded(path))
    };
    write(bag, name, paths.iter().map(line).collect::<String>());
}

const PAYLOAD: [&str; 2] = ["data/letter.txt", "data/plans/sheet 1.txt"];

/// A bag of two files by a version of BagIt, with a manifest for each algorithm.
fn bag(bag: &Path, version: &str, algorithms: &[&str]) {
    write(bag, PAYLOAD[0], "a letter");
    write(bag, PAYLOAD[1], "a sheet of plans");
    let declared = format!("BagIt-Version: {version}\nTag-File-Character-Encoding: UTF-8\n");
    write(bag, "bagit.txt", declared);
    for algorithm in algorithms {
        list(bag, &format!("manifest-{algorithm}.txt"), &PAYLOAD);
    }
}

const INFO: &str = "Source-Organization: a\n made up archive\nPayload-Oxum: 24.2\n";

pub const BAGS: &[Bagged] = &[
    Bagged {
        what: "md5 alone",
        make: |at| bag(at, "1.0", &["md5"]),
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "sha1 and sha224",
        make: |at| bag(at, "1.0", &["sha1", "sha224"]),
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "sha384, with metadata and a tag manifest",
        make: |at| {
            bag(at, "1.0", &["sha384"]);
            write(at, "bag-info.txt", INFO);
            list(at, "tagmanifest-md5.txt", &["bagit.txt", "bag-info.txt", "manifest-sha384.txt"]);
        },
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "version 0.97",
        make: |at| bag(at, "0.97", &["md5", "sha512"]),
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "version 0.95, whose metadata had another name",
        make: |at| {
            bag(at, "0.95", &["md5"]);
            write(at, "package-info.txt", INFO);
        },
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "version 0.97 with a file in one of two manifests",
        make: |at| {
            bag(at, "0.97", &["md5", "sha256"]);
            list(at, "manifest-md5.txt", &PAYLOAD[..1]);
        },
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "tag files in ISO 8859-1",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "data/pl\u{e2}n.txt", "a plan");
            list(at, "manifest-md5.txt", &[PAYLOAD[0], "data/pl\u{e2}n.txt", PAYLOAD[1]]);
            let text = fs::read_to_string(at.join("manifest-md5.txt")).expect("a manifest");
            write(at, "manifest-md5.txt", text.chars().map(|c| c as u8).collect::<Vec<u8>>());
            write(at, "bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: ISO-8859-1\n");
        },
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a file to be fetched that is there",
        make: |at| {
            bag(at, "1.0", &["sha256"]);
            write(at, "fetch.txt", "https://example.org/letter 8 data/letter.txt\n");
        },
        sound: true,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a manifest by an algorithm that nobody knows",
        make: |at| {
            bag(at, "1.0", &["sha256"]);
            write(at, "manifest-sum9.txt", "00  data/letter.txt\n00  data/plans/sheet 1.txt\n");
        },
        sound: true,
        judge_agrees: None,
    },
    Bagged {
        what: "no manifest but one by an algorithm that nobody knows",
        make: |at| {
            bag(at, "1.0", &[]);
            write(at, "manifest-sum9.txt", "00  data/letter.txt\n00  data/plans/sheet 1.txt\n");
        },
        sound: false,
        judge_agrees: None,
    },
    Bagged {
        what: "a byte changed",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, PAYLOAD[0], "a lettre");
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "one manifest right and another wrong",
        make: |at| {
            bag(at, "1.0", &["sha256", "md5"]);
            let text = fs::read_to_string(at.join("manifest-md5.txt")).expect("a manifest");
            let wrong = text.replacen(|c: char| c.is_ascii_hexdigit(), "z", 1).replace('z', "0");
            let wrong = if wrong == text { text.replacen('0', "1", 1) } else { wrong };
            write(at, "manifest-md5.txt", wrong);
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a file missing",
        make: |at| {
            bag(at, "1.0", &["sha1"]);
            fs::remove_file(at.join(PAYLOAD[1])).expect("to remove it");
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a file that no manifest lists",
        make: |at| {
            bag(at, "1.0", &["sha1"]);
            write(at, "data/more.txt", "more");
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "version 1.0 with a file in one of two manifests",
        make: |at| {
            bag(at, "1.0", &["md5", "sha256"]);
            list(at, "manifest-md5.txt", &PAYLOAD[..1]);
        },
        sound: false,
        judge_agrees: None,
    },
    Bagged {
        what: "an Oxum that does not fit",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "bag-info.txt", INFO.replace("24.2", "25.2"));
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a file still to be fetched",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "bag-info.txt", INFO);
            write(at, "fetch.txt", "https://example.org/letter 8 data/letter.txt\n");
            fs::remove_file(at.join(PAYLOAD[0])).expect("to remove it");
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a file to be fetched to outside",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "fetch.txt", "https://example.org/letter 8 ../letter.txt\n");
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a file to be fetched that no manifest lists",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "fetch.txt", "https://example.org/more - data/more.txt\n");
        },
        sound: false,
        judge_agrees: None,
    },
    Bagged {
        what: "a tag manifest that lists itself",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            list(at, "tagmanifest-md5.txt", &["bagit.txt", "manifest-md5.txt"]);
            list(
                at,
                "tagmanifest-md5.txt",
                &["bagit.txt", "manifest-md5.txt", "tagmanifest-md5.txt"],
            );
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a tag file changed",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "bag-info.txt", INFO);
            list(at, "tagmanifest-md5.txt", &["bag-info.txt", "manifest-md5.txt"]);
            write(at, "bag-info.txt", INFO.replace("made up", "invented"));
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a tag manifest without the manifest of the payload",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            list(at, "tagmanifest-md5.txt", &["bagit.txt"]);
        },
        sound: false,
        judge_agrees: None,
    },
    Bagged {
        what: "a manifest that lists a tag file",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            list(at, "manifest-md5.txt", &["bagit.txt", PAYLOAD[0], PAYLOAD[1]]);
        },
        sound: false,
        judge_agrees: None,
    },
    Bagged {
        what: "no encoding declared",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(at, "bagit.txt", "BagIt-Version: 1.0\n");
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a byte order mark before the declaration",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            write(
                at,
                "bagit.txt",
                "\u{feff}BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
            );
        },
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a version that is not there yet",
        make: |at| bag(at, "7.3", &["md5"]),
        sound: false,
        judge_agrees: None,
    },
    Bagged {
        what: "no manifest",
        make: |at| bag(at, "1.0", &[]),
        sound: false,
        judge_agrees: Some(true),
    },
    Bagged {
        what: "a manifest that lists a file outside",
        make: |at| {
            bag(at, "1.0", &["md5"]);
            let text = fs::read_to_string(at.join("manifest-md5.txt")).expect("a manifest");
            write(at, "manifest-md5.txt", format!("{text}{}  ../letter.txt\n", "0".repeat(32)));
        },
        sound: false,
        judge_agrees: Some(true),
    },
];
