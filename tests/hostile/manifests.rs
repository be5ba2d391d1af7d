//! Manifests as other tools write them, and as somebody might write them who means harm (RFC 8493, section
//! 2.1.3).

use std::fs;
use std::path::Path;

use lastdock::bundle::layout::MANIFESTS;

use super::zips::unpacked;
use crate::common::{
    Project, SMALL, closeout, list_anew, list_tags_anew, run, small, squeezed, unpack, verify,
};

/// What is done to the text of both manifests, the status of `verify`, and what it says.
struct Case {
    what: &'static str,
    change: fn(&str) -> String,
    status: i32,
    says: &'static [&'static str],
}

/// A line with the digest of the first, and another path.
fn first_as(text: &str, path: &str) -> String {
    let (digest, _) = text.split_once(' ').expect("a digest");
    format!("{text}{digest}  {path}\n")
}

const CASES: &[Case] = &[
    Case { what: "CR LF", change: |text| text.replace('\n', "\r\n"), status: 0, says: &[] },
    Case {
        what: "no last line end",
        change: |text| text.trim_end().to_string(),
        status: 0,
        says: &[],
    },
    Case { what: "a tab", change: |text| text.replace("  ", "\t"), status: 0, says: &[] },
    Case { what: "an asterisk", change: |text| text.replace("  ", " *"), status: 0, says: &[] },
    Case { what: "empty lines", change: |text| text.replace('\n', "\n\n"), status: 0, says: &[] },
    Case {
        what: "digests in capital letters",
        change: |text| {
            let line = |line: &str| {
                let (digest, path) = line.split_once(' ').expect("a digest");
                format!("{} {path}\n", digest.to_uppercase())
            };
            text.lines().map(line).collect()
        },
        status: 0,
        says: &[],
    },
    Case {
        what: "a byte order mark",
        change: |text| format!("\u{feff}{text}"),
        status: 3,
        says: &["manifest-sha256.txt begins with a byte order mark"],
    },
    Case {
        what: "paths outside",
        change: |text| first_as(&first_as(&first_as(text, "../a"), "/etc/passwd"), "C:/a"),
        status: 3,
        says: &["leaves the bundle or is not plain", "is not a plain path", "names a drive"],
    },
    Case {
        what: "a line twice",
        change: |text| {
            first_as(text, text.lines().next().expect("a line").split_once("  ").expect("a path").1)
        },
        status: 3,
        says: &["a second time"],
    },
    Case {
        what: "a path in capital letters",
        change: |text| text.replace("data/papers/note.txt", "data/papers/NOTE.TXT"),
        status: 3,
        says: &["data/papers/NOTE.TXT: missing", "data/papers/note.txt: not listed"],
    },
    Case {
        what: "a file that is not there, with orders to the terminal",
        change: |text| first_as(text, "data/papers/\u{1b}[2J"),
        status: 3,
        says: &["data/papers/\\u{1b}[2J: missing"],
    },
    Case {
        what: "lines of megabytes",
        change: |text| first_as(&first_as(text, &"x/".repeat(1_000_000)), &"y".repeat(3_000_000)),
        status: 3,
        says: &["has a path of 2000000 bytes", "has a path of 3000000 bytes"],
    },
    Case {
        what: "a line that is no digest and path",
        change: |text| format!("{text}{}\n", "z".repeat(2_000_000)),
        status: 3,
        says: &["is not a digest and a path"],
    },
    Case {
        what: "more lines than a bundle has files",
        change: |text| format!("{text}{}", "x\n".repeat(300_000)),
        status: 3,
        says: &["has more than 200000 lines"],
    },
];

/// Changes both manifests, and lists them in the tag manifests as they are then.
fn change(bag: &Path, change: impl Fn(&str) -> String) {
    for name in MANIFESTS {
        let text = fs::read_to_string(bag.join(name)).expect("a manifest");
        fs::write(bag.join(name), change(&text)).expect("to write it");
    }
    list_tags_anew(bag);
}

#[test]
fn manifests_are_read_as_the_standard_allows_and_errors_are_named() {
    for case in CASES {
        let (_keep, bag) = unpacked();
        change(&bag, case.change);
        let said = verify(&bag);
        assert_eq!(said.status, case.status, "{}:\n{}{}", case.what, said.out, said.err);
        let told = said.squeezed();
        for wanted in case.says {
            assert!(
                told.contains(&squeezed(wanted)),
                "{}: {wanted:?} is not in\n{told}",
                case.what
            );
        }
        assert!(told.len() < 2_000_000, "{}: {} bytes were said", case.what, told.len());
    }
}

#[test]
fn signs_of_the_standard_in_names_are_read_back() {
    for name in ["100 % sure.txt", "25%25.txt", "a%0Ab.txt", "%", "50%0a.txt"] {
        let (_keep, bag) = unpacked();
        fs::write(bag.join("data/papers").join(name), "a paper").expect("to write it");
        list_anew(&bag);
        let text = fs::read_to_string(bag.join(MANIFESTS[0])).expect("a manifest");
        let written = format!("data/papers/{}\n", name.replace('%', "%25"));
        assert!(text.contains(&written), "{written:?} is not in\n{text}");
        assert!(is_whole(&bag, name));
        // An older writer would have left the sign as it is, where nothing can be mistaken for a code.
        if !name.contains("%0") && !name.contains("%25") {
            change(&bag, |text| text.replace("%25", "%"));
            assert!(is_whole(&bag, name));
        }
    }
    for name in ["two\nlines.txt", "a\rreturn.txt"] {
        let (_keep, bag) = unpacked();
        fs::write(bag.join("data/papers").join(name), "a paper").expect("to write it");
        list_anew(&bag);
        let text = fs::read_to_string(bag.join(MANIFESTS[0])).expect("a manifest");
        assert!(text.contains("two%0Alines.txt") || text.contains("a%0Dreturn.txt"), "{text}");
        // It is read as it was written, and told all the same: not every system can hold such a name.
        assert!(is_whole(&bag, name));
        let said = verify(&bag).exits(3);
        assert!(said.squeezed().contains(&squeezed("has a character in its name")), "{}", said.out);
        change(&bag, |text| text.replace("%0A", "%0a").replace("%0D", "%0d"));
        assert!(is_whole(&bag, name));
    }
}

/// Whether a paper of a bag is whole; what its findings are worth with one paper more is not asked.
fn is_whole(bag: &Path, name: &str) -> bool {
    let said = run(crate::common::program().args(["verify", "--json"]).arg(bag)).json();
    let files = said[0]["files"].as_array().cloned().unwrap_or_default();
    let path = format!("data/papers/{name}");
    files.iter().any(|file| file["path"] == path.as_str() && file["state"] == "whole")
}

#[test]
fn a_paper_with_a_per_cent_sign_is_closed_out_and_checked() {
    let project = Project::copy_of(&small());
    project.write("papers/draft 25%, 100 %0A.txt", "a paper");
    closeout(&project.root(), &project.out()).exits(0);
    let zip = project.out().join(format!("{SMALL}.zip"));
    verify(&zip).exits(0);
    let bag = unpack(&zip, &project.out().join("unpacked"));
    let manifest = fs::read_to_string(bag.join(MANIFESTS[0])).expect("a manifest");
    assert!(manifest.contains("  data/papers/draft 25%25, 100 %250A.txt\n"), "{manifest}");
}
