//! The tag files of a BagIt 1.0 bag (RFC 8493), written and read.

use std::collections::BTreeMap;

use super::digest::Digests;
use super::directory::{MOST_ENTRIES, Oddities};
use super::layout::DATA;

/// The bag declaration, in the one order that RFC 8493 section 2.1.1 allows.
pub const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

/// A manifest: one line a file, by path. `which` is 0 for SHA-256 and 1 for SHA-512.
pub fn manifest(files: &BTreeMap<String, Digests>, which: usize) -> String {
    files
        .iter()
        .map(|(path, digests)| format!("{}  {}\n", digests.hex[which], encoded(path)))
        .collect()
}

/// The payload's size as `bytes.files` (RFC 8493 section 2.2.2).
pub fn oxum(files: &BTreeMap<String, Digests>) -> String {
    let payload = || files.iter().filter(|(path, _)| path.starts_with(DATA));
    let bytes: u64 = payload().map(|(_, digests)| digests.size).sum();
    format!("{bytes}.{}", payload().count())
}

/// The payload's size for people: `38.7 MB`, in millions of bytes.
pub fn size(files: &BTreeMap<String, Digests>) -> String {
    let payload = files.iter().filter(|(path, _)| path.starts_with(DATA));
    let bytes: u64 = payload.map(|(_, digests)| digests.size).sum();
    format!("{} MB", crate::units::fixed(bytes as f64 / 1e6, 1))
}

/// `bag-info.txt` from labels and values; a value's line breaks become spaces.
pub fn info(lines: &[(&str, String)]) -> String {
    lines
        .iter()
        .filter(|(_, value)| !value.trim().is_empty())
        .map(|(label, value)| {
            let value: Vec<&str> = value.split_whitespace().collect();
            format!("{label}: {}\n", value.join(" "))
        })
        .collect()
}

/// A path as a manifest writes it: line breaks and the per cent sign encoded (section 2.1.3).
pub fn encoded(path: &str) -> String {
    path.replace('%', "%25").replace('\n', "%0A").replace('\r', "%0D")
}

/// The path that a manifest's text stands for. A per cent sign before anything else stands for itself, as
/// older writers meant it.
pub fn decoded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut parts = text.split('%');
    out.push_str(parts.next().unwrap_or_default());
    for part in parts {
        let code = part.get(..2).unwrap_or_default().to_ascii_uppercase();
        let stands_for = match code.as_str() {
            "0A" => '\n',
            "0D" => '\r',
            "25" => '%',
            _ => {
                out.push('%');
                out.push_str(part);
                continue;
            }
        };
        out.push(stands_for);
        out.push_str(part.get(2..).unwrap_or_default());
    }
    out
}

/// The longest path that is accepted, bytes: far longer than any in a bundle.
const LONGEST_PATH: usize = 1024;

/// What a manifest lists: digest by path, and what is wrong with its lines.
#[derive(Debug, Default)]
pub struct Manifest {
    /// Lower-case hexadecimal digest by path.
    pub digests: BTreeMap<String, String>,
    /// Sentences on lines that can't be used.
    pub wrong: Vec<String>,
}

/// Reads a manifest of `hex_digits` digits a line.
pub fn read_manifest(name: &str, text: &str, hex_digits: usize) -> Manifest {
    let mut manifest = Manifest::default();
    let mut wrong = Oddities::default();
    let text = match text.strip_prefix('\u{feff}') {
        None => text,
        Some(rest) => {
            wrong.add(format!("{name} begins with a byte order mark"));
            rest
        }
    };
    for (number, line) in text.lines().enumerate() {
        let number = number + 1;
        if number as u64 > MOST_ENTRIES {
            manifest.wrong.push(format!(
                "{name} has more than {MOST_ENTRIES} lines, more files than a bundle may have: the rest was not read"
            ));
            break;
        }
        if line.trim().is_empty() {
            continue;
        }
        let split = line.split_once([' ', '\t']);
        let Some((digest, path)) = split.map(|(digest, path)| (digest, path.trim_start())) else {
            wrong.add(format!("{name}:{number} is not a digest and a path"));
            continue;
        };
        if path.len() > LONGEST_PATH {
            wrong.add(format!("{name}:{number} has a path of {} bytes", path.len()));
            continue;
        }
        // Some tools of the time put an asterisk before the path of a file read as binary.
        let path = decoded(path.strip_prefix('*').unwrap_or(path));
        let digest = digest.to_ascii_lowercase();
        if digest.len() != hex_digits || !digest.bytes().all(|b| b.is_ascii_hexdigit()) {
            wrong.add(format!(
                "{name}:{number} has a digest that is not {hex_digits} hexadecimal digits"
            ));
            continue;
        }
        if let Some(why) = unsafe_path(&path) {
            wrong.add(format!("{name}:{number} lists a path that {why}"));
            continue;
        }
        if manifest.digests.insert(path.clone(), digest).is_some() {
            wrong.add(format!("{name}:{number} lists {} a second time", path.escape_debug()));
        }
    }
    manifest.wrong.extend(wrong.sentences());
    manifest
}

/// Why a path must not be followed, if it must not.
pub fn unsafe_path(path: &str) -> Option<&'static str> {
    if path.is_empty() {
        return Some("is empty");
    }
    if path.starts_with('/') || path.starts_with('~') || path.contains('\\') || path.contains('\0')
    {
        return Some("is not a plain path inside the bundle");
    }
    if path.get(1..2) == Some(":") {
        return Some("names a drive");
    }
    if path.split('/').any(|part| part.is_empty() || part == "." || part == "..") {
        return Some("leaves the bundle or is not plain");
    }
    None
}

/// The value of a label in `bag-info.txt`.
pub fn info_value<'a>(text: &'a str, label: &str) -> Option<&'a str> {
    text.lines().find_map(|line| {
        let (found, value) = line.split_once(':')?;
        found.trim().eq_ignore_ascii_case(label).then(|| value.trim())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn manifests_are_read_as_they_were_written() {
        let files: BTreeMap<String, Digests> = [("data/100 % sure.txt", "a"), ("data/b.txt", "bc")]
            .map(|(path, text)| (path.to_string(), super::super::digest::digests(text.as_bytes())))
            .into();
        let read = read_manifest("m", &manifest(&files, 0), 64);
        assert!(read.wrong.is_empty(), "{:?}", read.wrong);
        assert_eq!(read.digests.len(), 2);
        for (path, digests) in &files {
            assert_eq!(read.digests[path], digests.hex[0]);
        }
        assert_eq!(oxum(&files), "3.2");
    }

    #[test]
    fn lines_that_cant_be_used_are_named() {
        let digest = "0".repeat(64);
        let text = format!(
            "{digest}  data/a\n{digest}  data/a\nabc  data/b\n{digest}  ../c\n{digest} *data/d\nx\n\
             {digest}  /etc/e\n"
        );
        let read = read_manifest("m", &text, 64);
        assert_eq!(read.digests.keys().collect::<Vec<_>>(), ["data/a", "data/d"]);
        let lines: Vec<&str> =
            read.wrong.iter().map(|w| w.split_whitespace().next().unwrap_or_default()).collect();
        assert_eq!(lines, ["m:2", "m:3", "m:4", "m:6", "m:7"]);
    }
}
