//! What papers hold, against files that Pillow, openpyxl, qpdf and Python's own library made
//! (`papers.json`, written by `papers.py`), and against this program's own PDF/A, which judges accept.

use std::collections::BTreeMap;
use std::io;

use lastdock::bundle::layout;
use lastdock::bundle::open::Bundle;
use lastdock::records::contents::Content;
use lastdock::records::store::Store;

use crate::damage::golden;

/// One file under whatever name is asked for.
struct One {
    bytes: Vec<u8>,
    sizes: BTreeMap<String, u64>,
}

impl Store for One {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, _: &str) -> io::Result<Vec<u8>> {
        Ok(self.bytes.clone())
    }
}

fn content(name: &str, bytes: &[u8]) -> Content {
    let one = One { bytes: bytes.to_vec(), sizes: BTreeMap::new() };
    Content::read(&one, name, bytes.len() as u64).expect("it can be read from memory")
}

fn media(content: &Content) -> &'static [&'static str] {
    content.kind.map(|kind| kind.media).unwrap_or_default()
}

type Row = (String, String, Option<(u32, u32)>, Option<String>, String);

#[test]
fn files_that_others_made_are_what_they_say() {
    let rows: Vec<Row> = serde_json::from_str(include_str!("papers.json")).expect("rows of five");
    assert!(rows.len() > 20);
    for (name, wanted, pixels, taken, hex) in rows {
        let bytes: Vec<u8> = hex
            .as_bytes()
            .chunks(2)
            .map(|two| u8::from_str_radix(std::str::from_utf8(two).unwrap(), 16).unwrap())
            .collect();
        let seen = content(&name, &bytes);
        assert!(media(&seen).contains(&wanted.as_str()), "{name}: {wanted}, not {:?}", seen.kind);
        assert_eq!((seen.pixels, seen.broken), (pixels, None), "{name}");
        let said = seen.taken.map(|taken| match taken.offset {
            Some(offset) => format!("{} {offset}", taken.at.format("%Y:%m:%d %H:%M:%S")),
            None => taken.at.format("%Y:%m:%d %H:%M:%S").to_string(),
        });
        assert_eq!(said, taken, "{name}");
        if pixels.is_some() {
            // Cut off anywhere, it is refused or is short of its end, and nothing panics.
            for length in (0..bytes.len()).step_by(7) {
                let cut = content(&name, &bytes[..length]);
                assert!(cut.kind.is_none() || cut.broken.is_some(), "{name} of {length} bytes");
            }
        }
    }
}

#[test]
fn a_report_of_this_program_says_that_it_is_pdf_a() {
    let bundle = Bundle::open(&golden()).expect("the golden bundle opens");
    let report = bundle.read(layout::REPORT).expect("its report");
    assert_eq!(media(&content("report.pdf", &report)), ["application/pdf; archival"]);
}
