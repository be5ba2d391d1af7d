//! Manifests, tag files and signatures.

use std::collections::BTreeMap;

use lastdock::bundle::bag::{self, Manifest, read_manifest, unsafe_path};
use lastdock::bundle::digest::{self, Digests};
use lastdock::bundle::signature::{self, Signed};

/// Words of these files.
pub const WORDS: &[&str] = &[
    "  ",
    " *",
    "\t",
    "\r\n",
    "\n",
    "\r",
    "%0A",
    "%0d",
    "%25",
    "%",
    "../",
    "/",
    "..",
    ".",
    "~",
    "C:",
    "\\",
    "\u{0}",
    "data/",
    "data/a",
    "\u{feff}",
    "e\u{301}",
    "\u{e9}",
    ":",
    "Payload-Oxum: ",
    "1.1",
    "BagIt-Version: 1.0",
    "Tag-File-Character-Encoding: UTF-8",
    "-----BEGIN SSH SIGNATURE-----",
    "-----END SSH SIGNATURE-----",
    "U1NIU0lH",
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
];

/// Reads a manifest of either sort, one whose lines have a digest put before them, paths as a manifest of our
/// own lists them, tag values, or a signature.
pub fn read(bytes: &[u8]) {
    let (what, rest) = super::first(bytes);
    match what % 5 {
        0 => is_well_read(&String::from_utf8_lossy(rest), 64),
        1 => is_well_read(&String::from_utf8_lossy(rest), 128),
        2 => {
            let digest = digest::sha256(rest);
            let lines: Vec<String> =
                super::parts(rest, b'\n').map(|path| format!("{digest}  {path}")).collect();
            is_well_read(&lines.join("\n"), 64);
        }
        3 => is_read_as_written(rest),
        _ => {
            let text = String::from_utf8_lossy(rest);
            let (label, text) = text.split_once('\n').unwrap_or(("Payload-Oxum", &text));
            if let Some(value) = bag::info_value(text, label) {
                assert!(text.contains(value));
            }
            let info = bag::info(&[("Label", text.to_string())]);
            let value = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert_eq!(bag::info_value(&info, "label").unwrap_or_default(), value);
            // Nobody signs by chance.
            assert!(matches!(signature::check(rest, text.as_bytes(), None), Signed::Wrong(_)));
        }
    }
}

/// Every line is used or named, and what is used is safe.
fn is_well_read(text: &str, hex_digits: usize) {
    let read = |text: &str| read_manifest("manifest.txt", text, hex_digits);
    let Manifest { digests, wrong } = read(text);
    assert_eq!((&digests, &wrong), (&read(text).digests, &read(text).wrong), "read twice");
    for (path, digest) in &digests {
        assert_eq!(unsafe_path(path), None, "{path:?}");
        assert!(digest.len() == hex_digits && digest.bytes().all(|b| b.is_ascii_hexdigit()));
        assert!(!digest.bytes().any(|b| b.is_ascii_uppercase()));
    }
    // Where very much is wrong, the last sentence says how much more.
    let more = wrong.last().and_then(|last| {
        let count = last.strip_prefix("and ")?.strip_suffix(" more of this kind")?;
        count.parse::<usize>().ok()
    });
    let named = &wrong[..wrong.len() - usize::from(more.is_some())];
    assert!(named.iter().all(|sentence| sentence.starts_with("manifest.txt")), "{wrong:?}");
    // Some sentences are of the whole file.
    let of_lines: Vec<&str> =
        named.iter().filter_map(|sentence| sentence.strip_prefix("manifest.txt:")).collect();
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = text.lines().filter(|line| !line.trim().is_empty()).count();
    assert_eq!(digests.len() + of_lines.len() + more.unwrap_or(0), lines, "{wrong:?}");
    let count = text.lines().count();
    for sentence in of_lines {
        let number = sentence.split(' ').next().and_then(|number| number.parse().ok());
        assert!(number.is_some_and(|number| (1..=count).contains(&number)), "{sentence}");
    }
}

/// What a bundle may hold is listed so that it is read again as it is. Longer paths no bundle holds.
fn is_read_as_written(bytes: &[u8]) {
    let paths = super::parts(bytes, 0).map(|path| format!("data/{path}"));
    let files: BTreeMap<String, Digests> = paths
        .filter(|path| path.len() <= 200 && unsafe_path(path).is_none())
        .map(|path| (path.clone(), digest::digests(path.as_bytes())))
        .collect();
    for (which, hex_digits) in [(0, 64), (1, 128)] {
        let text = bag::manifest(&files, which);
        let read = read_manifest("manifest.txt", &text, hex_digits);
        assert!(read.wrong.is_empty(), "{:?}", read.wrong);
        let listed = files.iter().map(|(path, digests)| (path, &digests.hex[which]));
        assert!(listed.eq(read.digests.iter()), "{text:?}\n{:?}", read.digests);
    }
}

/// Manifests of both sorts, paths, tags, and a signature.
pub fn seeds() -> Vec<Vec<u8>> {
    let paths = ["data/records/docking.toml", "data/papers/100 %.txt", "bagit.txt", "data/a\nb"];
    let files: BTreeMap<String, Digests> =
        paths.iter().map(|path| (path.to_string(), digest::digests(path.as_bytes()))).collect();
    let signature = "-----BEGIN SSH SIGNATURE-----\nU1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAg\n\
                     -----END SSH SIGNATURE-----\n";
    let info = format!("Payload-Oxum\n{}Payload-Oxum: 12.3\nContact: nobody\n", bag::DECLARATION);
    vec![
        format!("0{}", bag::manifest(&files, 0)).into_bytes(),
        format!("1{}", bag::manifest(&files, 1)).into_bytes(),
        format!("2{}", paths.join("\r\n")).into_bytes(),
        format!("3{}", paths.join("\0")).into_bytes(),
        format!("4{info}").into_bytes(),
        format!("4{signature}").into_bytes(),
    ]
}
