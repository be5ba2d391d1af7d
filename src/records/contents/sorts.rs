//! Which sort of a picture a file is where PRONOM, the registry of file formats of The National Archives (UK), keeps its
//! versions apart: told by the same bytes as there (signature file 109).

use std::io;

use super::parts::Parts;
use super::recognise::find;

/// The registry's name of a picture's sort, with its version; `None` where it can't be told.
pub fn of_picture(parts: &Parts<'_>, media: &str) -> io::Result<Option<&'static str>> {
    Ok(match media {
        "image/png" => of_png(&parts.head()?, &parts.tail()?),
        "image/jpeg" => of_jpeg(&parts.head()?, &parts.tail()?),
        "image/gif" => of_gif(&parts.head()?, &parts.tail()?),
        _ => None,
    })
}

/// The last chunk of a PNG: no bytes, its name, its checksum.
const PNG_END: &[u8] = b"\0\0\0\0IEND\xAE\x42\x60\x82";

/// A PNG is of version 1.2 with a chunk iTXt, else of 1.1 with iCCP, sPLT or sRGB, else of 1.0. All but iTXt stand before
/// the pixels; where these are not reached, nothing is said.
fn of_png(head: &[u8], tail: &[u8]) -> Option<&'static str> {
    if !tail.ends_with(PNG_END) {
        return None;
    }
    let (mut later, mut at) = (false, 8);
    loop {
        let chunk = head.get(at..at + 8)?;
        let (length, name) = chunk.split_first_chunk::<4>()?;
        match name {
            b"iTXt" => return Some("Portable Network Graphics 1.2"),
            b"iCCP" | b"sPLT" | b"sRGB" => later = true,
            b"IDAT" => break,
            _ => {}
        }
        at = at.checked_add(usize::try_from(u32::from_be_bytes(*length)).ok()?)?.checked_add(12)?;
    }
    Some(match later {
        _ if find(tail, b"iTXt").is_some() => "Portable Network Graphics 1.2",
        true => "Portable Network Graphics 1.1",
        false => "Portable Network Graphics 1.0",
    })
}

/// A JPEG that begins with the segment of JFIF, by the version there.
fn of_jpeg(head: &[u8], tail: &[u8]) -> Option<&'static str> {
    find(tail, b"\xFF\xD9")?;
    let jfif = head.strip_prefix(b"\xFF\xD8\xFF\xE0")?.get(2..)?.strip_prefix(b"JFIF\0")?;
    match jfif {
        [1, 0, 0..=2, ..] => Some("JPEG File Interchange Format 1.00"),
        [1, 1, 0..=2, ..] => Some("JPEG File Interchange Format 1.01"),
        [1, 2, 0..=2, ..] => Some("JPEG File Interchange Format 1.02"),
        _ => None,
    }
}

fn of_gif(head: &[u8], tail: &[u8]) -> Option<&'static str> {
    match head.get(..6)? {
        _ if !tail.ends_with(b";") => None,
        b"GIF87a" => Some("Graphics Interchange Format 87a"),
        b"GIF89a" => Some("Graphics Interchange Format 89a"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn png(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
        let mut bytes = b"\x89PNG\r\n\x1A\n".to_vec();
        for (name, data) in chunks {
            bytes.extend((data.len() as u32).to_be_bytes());
            bytes.extend(*name);
            bytes.extend(*data);
            bytes.extend([0; 4]);
        }
        bytes.extend(PNG_END);
        bytes
    }

    #[test]
    fn a_png_is_of_the_version_that_its_chunks_ask_for() {
        let of = |chunks: &[(&[u8; 4], &[u8])]| {
            let bytes = png(chunks);
            of_png(&bytes, &bytes)
        };
        let header: (&[u8; 4], &[u8]) = (b"IHDR", &[0; 13]);
        let pixels: (&[u8; 4], &[u8]) = (b"IDAT", b"pixels, and iTX");
        assert_eq!(of(&[header, pixels]), Some("Portable Network Graphics 1.0"));
        assert_eq!(of(&[header, (b"sRGB", &[0]), pixels]), Some("Portable Network Graphics 1.1"));
        assert_eq!(
            of(&[header, (b"sRGB", &[0]), (b"iTXt", b"x"), pixels]),
            Some("Portable Network Graphics 1.2")
        );
        assert_eq!(of(&[header, pixels, (b"iTXt", b"x")]), Some("Portable Network Graphics 1.2"));
        assert_eq!(of(&[header]), None);
        let cut = png(&[header, pixels]);
        assert_eq!(of_png(&cut, &cut[..cut.len() - 1]), None);
    }

    #[test]
    fn a_jpeg_and_a_gif_state_their_version() {
        let of = |head: &[u8]| of_jpeg(head, b"..\xFF\xD9");
        assert_eq!(
            of(b"\xFF\xD8\xFF\xE0\0\x10JFIF\0\x01\x01\x01..."),
            Some("JPEG File Interchange Format 1.01")
        );
        assert_eq!(of(b"\xFF\xD8\xFF\xE1\0\x10Exif\0\0..."), None);
        assert_eq!(of(b"\xFF\xD8\xFF\xE0\0\x10JFIF\0\x02\x01\x01..."), None);
        assert_eq!(of_gif(b"GIF89a..", b"..;"), Some("Graphics Interchange Format 89a"));
        assert_eq!(of_gif(b"GIF88a..", b"..;"), None);
    }
}
