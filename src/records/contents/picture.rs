//! How large a PNG or JPEG picture says it is, and whether it is there to its end.

use std::io::{self, BufRead, Read};

use super::parts::Parts;
use super::recognise::find;

/// What is seen without decoding.
pub struct Looked {
    pub pixels: Option<(u32, u32)>,
    pub broken: Option<&'static str>,
}

/// Looks at a picture; `None` for other kinds.
pub fn look(parts: &mut Parts<'_>, media: &str) -> io::Result<Option<Looked>> {
    let (pixels, end): (_, &[u8]) = match media {
        "image/png" => (png_size(&parts.head()?), b"IEND"),
        "image/jpeg" => (jpeg_size(&mut parts.stream()), &[0xFF, 0xD9]),
        _ => return Ok(None),
    };
    let broken = match pixels {
        None => Some("its header gives no size"),
        Some((0, _) | (_, 0)) => Some("it has no pixels"),
        Some(_) if find(&parts.tail()?, end).is_none() => Some("it stops before its end"),
        Some(_) => None,
    };
    Ok(Some(Looked { pixels, broken }))
}

/// PNG (third edition) 11.2.1: the first chunk is IHDR, with width and height.
fn png_size(head: &[u8]) -> Option<(u32, u32)> {
    let header = head.get(12..24)?.strip_prefix(b"IHDR")?;
    let (width, height) = header.split_first_chunk::<4>()?;
    Some((u32::from_be_bytes(*width), u32::from_be_bytes(*height.first_chunk()?)))
}

/// ITU-T T.81 B.2.2: the frame header follows one of the markers SOF, which other segments precede.
fn jpeg_size(stream: &mut impl BufRead) -> Option<(u32, u32)> {
    let mut start = [0; 2];
    stream.read_exact(&mut start).ok()?;
    loop {
        let mut marker = [0; 2];
        stream.read_exact(&mut marker).ok()?;
        let [0xFF, mut code] = marker else { return None };
        // Any number of fill bytes may stand before a marker.
        while code == 0xFF {
            let mut next = [0];
            stream.read_exact(&mut next).ok()?;
            [code] = next;
        }
        if matches!(code, 0x01 | 0xD0..=0xD8) {
            continue;
        }
        let mut length = [0; 2];
        stream.read_exact(&mut length).ok()?;
        let length = u64::from(u16::from_be_bytes(length)).checked_sub(2)?;
        match code {
            0xC4 | 0xC8 | 0xCC => {}
            0xC0..=0xCF => {
                let mut frame = [0; 5];
                stream.read_exact(&mut frame).ok()?;
                let [_, h0, h1, w0, w1] = frame;
                let edge = |a, b| u32::from(u16::from_be_bytes([a, b]));
                return Some((edge(w0, w1), edge(h0, h1)));
            }
            0xD9 | 0xDA => return None,
            _ => {}
        }
        io::copy(&mut stream.by_ref().take(length), &mut io::sink()).ok()?;
    }
}
