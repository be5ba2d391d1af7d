//! Pictures whose parts are what bytes say, with lengths and checksums that are right round them: what a decoder
//! sees of a picture that was made to do harm.

use lastdock::records::papers;
use lastdock::records::pictures::prepare;

use super::chunked::{self, Header};
use super::project::{Files, judged};

/// Words of these parts.
pub const WORDS: &[&str] = &[
    "Exif\u{0}\u{0}II*\u{0}\u{8}\u{0}\u{0}\u{0}",
    "MM\u{0}*\u{0}\u{0}\u{0}\u{8}",
    "ICC_PROFILE\u{0}\u{1}\u{1}",
    "JFIF\u{0}\u{1}\u{1}",
    "Adobe\u{0}d",
    "MPF\u{0}",
    "http://ns.adobe.com/xap/1.0/\u{0}",
    "http://ns.adobe.com/xmp/extension/\u{0}",
    "XML:com.adobe.xmp\u{0}\u{1}\u{0}\u{0}\u{0}",
    "icc\u{0}\u{0}",
    "\u{0}\u{0}\u{0}\u{1}\u{0}\u{0}\u{0}\u{0}",
    "2031:04:09 06:40:00\u{0}",
];

/// The chunks of a PNG; those that hold a zlib stream hold one.
const CHUNKS: [&[u8; 4]; 16] = [
    b"IDAT", b"PLTE", b"tRNS", b"iCCP", b"zTXt", b"iTXt", b"tEXt", b"eXIf", b"acTL", b"fcTL",
    b"fdAT", b"gAMA", b"cHRM", b"bKGD", b"sBIT", b"xxXX",
];

/// The segments of a JPEG: frames, tables, scans, what applications put there.
const SEGMENTS: [u8; 16] = [
    0xC0, 0xC1, 0xC2, 0xC3, 0xC4, 0xDA, 0xDB, 0xDD, 0xE0, 0xE1, 0xE2, 0xEE, 0xFE, 0xC9, 0xCC, 0xDC,
];

/// Reads a picture put together from bytes: the first says of which kind it is.
pub fn read(bytes: &[u8]) {
    let (which, rest) = super::first(bytes);
    let (picture, name) = match which % 3 {
        0 => (png(rest), "x.png"),
        1 => (jpeg(rest), "x.jpg"),
        _ => (progressive(rest), "x.jpg"),
    };
    let mut files = Files::bare();
    files.put(&format!("{}{name}", papers::FOLDER), &picture);
    let list = format!("file,about,taken_at,in_report\n{name},K1,2031-04-09T11:00:00+01:00,yes\n");
    files.put(papers::SPEC.path, list.as_bytes());
    judged(&files).expect("whatever a picture holds, the project can be read");
    match (prepare(&picture), prepare(&picture)) {
        (Ok(first), Ok(second)) => {
            assert_eq!(first.bytes, second.bytes, "made ready twice, another picture");
            assert!(prepare(&first.bytes).is_ok(), "what was made ready is a picture");
        }
        (Err(first), Err(second)) => assert!(!first.is_empty() && first == second),
        _ => panic!("made ready twice, once refused"),
    }
}

/// A number of two bytes from bytes, which are taken away.
fn number(bytes: &mut &[u8]) -> u16 {
    let (number, rest) = bytes.split_at(bytes.len().min(2));
    *bytes = rest;
    number.iter().fold(0, |sum, byte| sum << 8 | u16::from(*byte))
}

/// Parts of a picture: which, how often its bytes repeat, and the bytes, as many as a number says.
fn parts(mut bytes: &[u8]) -> Vec<(usize, Vec<u8>)> {
    let mut found = Vec::new();
    while !bytes.is_empty() && found.len() < 200 {
        let head = number(&mut bytes);
        let length = usize::from(number(&mut bytes)).min(bytes.len());
        let (inside, rest) = bytes.split_at(length);
        bytes = rest;
        let times = if head & 0x80 == 0 { 1 } else { 1 << (head & 0x0F) };
        let most = 1 << 20;
        let times = times.min(1 + most / inside.len().max(1));
        found.push((usize::from(head >> 8), inside.repeat(times)));
    }
    found
}

/// Sides, depth and colours, then chunks. A side is small unless it is odd, so that most are quickly decoded.
fn png(mut bytes: &[u8]) -> Vec<u8> {
    let side = |number: u16| {
        let side = u32::from(number);
        if number % 16 == 15 { side << (number % 17) } else { side % 300 }
    };
    let (width, height) = (side(number(&mut bytes)), side(number(&mut bytes)));
    let looks = number(&mut bytes);
    let header = Header {
        width,
        height,
        depth: [8, 16, 1, 2, 4, 8, 8, 3][usize::from(looks & 7)],
        colour: [0, 2, 3, 4, 6, 6, 2, 5][usize::from(looks >> 3 & 7)],
        interlaced: looks & 64 != 0,
    };
    let chunks: Vec<(&[u8; 4], Vec<u8>)> = parts(bytes)
        .into_iter()
        .map(|(which, inside)| {
            let name = CHUNKS[which % CHUNKS.len()];
            // A name, a method, the stream; or a number, and the stream; or the stream alone.
            let before: &[u8] = match name {
                b"iCCP" | b"zTXt" => b"a\0\0",
                b"iTXt" => b"a\0\x01\0\0\0",
                b"fdAT" => &inside[..inside.len().min(4)],
                _ => b"",
            };
            let is_packed = matches!(name, b"IDAT" | b"fdAT" | b"iCCP" | b"zTXt" | b"iTXt");
            let data = if is_packed && which < 128 {
                [before, &chunked::stored(&inside)].concat()
            } else {
                inside.clone()
            };
            (name, data)
        })
        .collect();
    chunked::png(header, &chunks)
}

/// Segments with coded data behind each scan.
fn jpeg(bytes: &[u8]) -> Vec<u8> {
    let segments: Vec<(u8, Vec<u8>, Vec<u8>)> = parts(bytes)
        .into_iter()
        .map(|(which, mut inside)| {
            let code = SEGMENTS[which % SEGMENTS.len()];
            let at = if code == 0xDA { inside.len().min(10) } else { inside.len().min(65_000) };
            let behind = inside.split_off(at);
            (code, inside, if code == 0xDA { behind } else { Vec::new() })
        })
        .collect();
    chunked::jpeg(&segments)
}

/// A sound frame and sound tables, then scans: from which coefficient to which, and their data.
fn progressive(mut bytes: &[u8]) -> Vec<u8> {
    let (width, height) = (number(&mut bytes), number(&mut bytes));
    let components = [1, 3, 4, 2][usize::from(width >> 11 & 3)];
    let sides = (width % 2000, height % 2000);
    let mut segments = chunked::before_scans(sides, components, height < 0x8000);
    for (which, data) in parts(bytes) {
        let (from, to) = ([0, 1, 1, 6][which % 4], [0, 63, 5, 63][which / 4 % 4]);
        segments.push(chunked::scan(1 + which as u8 / 16 % 5, from, to, data));
    }
    chunked::jpeg(&segments)
}

/// A part as bytes: which, how it repeats, how long it is, and what it holds.
fn part(which: u8, times: u8, inside: &[u8]) -> Vec<u8> {
    let length = u16::try_from(inside.len()).expect("a short part");
    [&[which, times][..], &length.to_be_bytes(), inside].concat()
}

/// A small picture of every kind of pixel, with every chunk; and JPEGs of a few segments.
pub fn seeds() -> Vec<Vec<u8>> {
    const SAMPLE: &[u8] = include_bytes!("../../../sample-project/papers/caisson-seated.png");
    let mut seeds = Vec::new();
    for looks in 0..128_u8 {
        // Eight rows of eight pixels, each row with the filter none, as wide as the widest pixel.
        let rows = part(0, 0x80 | 4, &[&[0][..], &[looks; 64]].concat());
        let head = [&[0, 0, 8, 0, 8, 0, looks][..], &part(1, 0, &[7; 9])].concat();
        seeds.push([head, rows].concat());
    }
    for chunk in 1..CHUNKS.len() as u8 {
        let head = [0, 0, 4, 0, 4, 0, 0];
        let rows = part(0, 0, &[0; 20]);
        seeds.push([&head[..], &part(chunk, 0x8A, &[0; 100]), &rows].concat());
        seeds.push([&head[..], &part(chunk | 0x80, 0, &SAMPLE[..60]), &rows].concat());
    }
    let exif = b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0";
    let frame = [8, 0, 16, 0, 16, 1, 1, 0x11, 0];
    let table = [&[0][..], &[1; 64]].concat();
    let codes = [&[0, 1][..], &[0; 15], &[0]].concat();
    let scan = [&[1, 1, 0, 0, 63, 0][..], &[0; 20]].concat();
    let jpeg: Vec<Vec<u8>> = [(9, &exif[..]), (6, &table), (0, &frame), (4, &codes), (5, &scan)]
        .map(|(which, inside)| part(which, 0, inside))
        .to_vec();
    seeds.push([&[1][..], &jpeg.concat()].concat());
    let scans: Vec<Vec<u8>> = (0..8).map(|which| part(which * 5, 0, &[0x55; 9])).collect();
    seeds.push([&[2, 0, 64, 0, 64][..], &scans.concat()].concat());
    seeds.push([&[2, 0, 64, 0x80, 64][..], &scans.concat()].concat());
    seeds
}
