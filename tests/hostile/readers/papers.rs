//! Papers and photographs: what kind of file each is, what a camera wrote into it, and the picture in the report.

use lastdock::records::papers;
use lastdock::records::pictures::prepare;

use super::project::{Files, judged};

/// Words of these files.
pub const WORDS: &[&str] = &[
    "\u{89}PNG\r\n\u{1a}\n",
    "IHDR",
    "IDAT",
    "IEND",
    "PLTE",
    "eXIf",
    "iCCP",
    "tRNS",
    "JFIF\u{0}",
    "Exif\u{0}\u{0}",
    "II*\u{0}",
    "MM\u{0}*",
    "%PDF-1.7\n",
    "%%EOF",
    "startxref\n",
    "trailer",
    "/Encrypt",
    "/Linearized 1",
    "obj",
    "endobj",
    "stream\n",
    "xref\n0 1\n",
    "PK\u{3}\u{4}",
    "2031:04:09 06:40:00",
    "<?xml",
    "<svg",
    "GIF89a",
    "RIFF",
    "ftypheic",
    "mimetype",
    "\u{0}\u{0}\u{0}\u{0}",
    "99999999999999999999",
];

const ENDS: [&str; 6] = ["png", "jpg", "pdf", "txt", "tif", "zip"];

/// Reads a file in `papers/` that the list of papers wants in the report.
pub fn read(bytes: &[u8]) {
    let (which, rest) = super::first(bytes);
    let name = format!("x.{}", ENDS[usize::from(which) % ENDS.len()]);
    let mut files = Files::bare();
    files.put(&format!("{}{name}", papers::FOLDER), rest);
    let list = format!("file,about,taken_at,in_report\n{name},K1,2031-04-09T11:00:00+01:00,yes\n");
    files.put(papers::SPEC.path, list.as_bytes());
    judged(&files).expect("whatever a paper holds, the project can be read");
    match (prepare(rest), prepare(rest)) {
        (Ok(first), Ok(second)) => {
            assert_eq!(first.bytes, second.bytes, "made ready twice, another picture");
            assert!(prepare(&first.bytes).is_ok(), "what was made ready is a picture");
        }
        (Err(first), Err(second)) => assert!(!first.is_empty() && first == second),
        _ => panic!("made ready twice, once refused"),
    }
}

/// A picture of the sample, a letter, and the beginnings of other files.
pub fn seeds() -> Vec<Vec<u8>> {
    const PICTURE: &[u8] = include_bytes!("../../../sample-project/papers/caisson-seated.png");
    const LETTER: &[u8] = include_bytes!("../../../sample-project/papers/letter-k23.txt");
    // A TIFF of one directory with one entry, DateTime, as a camera puts it into a JPEG.
    let taken =
        b"II*\0\x08\0\0\0\x01\0\x32\x01\x02\0\x14\0\0\0\x1a\0\0\0\0\0\0\x002031:04:09 06:40:00\0";
    let exif = [b"\xff\xd8\xff\xe1\0\x40Exif\0\0", &taken[..], b"\xff\xd9"].concat();
    let pdf = b"%PDF-1.4\n1 0 obj\n<< /Type /Catalog >>\nendobj\ntrailer\n<< /Root 1 0 R >>\nstartxref\n9\n%%EOF\n";
    let zip = super::bundle::zip_with(b"");
    let of = |which: u8, bytes: &[u8]| [&[which], bytes].concat();
    vec![
        of(0, PICTURE),
        of(1, &exif),
        of(2, pdf),
        of(3, LETTER),
        of(4, &taken[..]),
        of(5, &zip),
        of(0, &PICTURE[..100]),
    ]
}
