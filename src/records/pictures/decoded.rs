//! A picture's bytes decoded into its pixels, upright and on white, within bounds that hold before the first byte
//! is decoded: of pixels, of what is kept beside them, and of how often they are gone over. Texts and the later
//! frames of an animation are passed over and never unpacked; a colour profile is, as far as its bound.

use std::io::Cursor;

use image::metadata::Orientation;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::colours::MOST_PROFILE;
use super::pixels::{Decoded, Kind, grey, on_white, rgb, upright, within_limit};
use super::tiff;
use crate::records::contained::contained;

/// The most bytes that a PNG's chunks beside its pixels may take: what a camera says of a picture has some
/// thousands.
const MOST_BESIDE: usize = 16 << 20;

/// The most scans of a JPEG. A progressive one has about ten; each goes over all pixels, for some bytes of file.
const MOST_SCANS: usize = 64;

/// The kinds of picture that are shown, in words.
pub(super) const SHOWN: &str = "PNG, JPEG and TIFF";

/// Decodes a picture, or says in a sentence part why it can't be. The decoders are libraries and see whatever
/// bytes there are: a panic of theirs is one of the reasons.
pub(super) fn decoded(bytes: &[u8]) -> Result<Decoded, String> {
    let kind = if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Kind::Png
    } else if bytes.starts_with(b"\xff\xd8\xff") {
        Kind::Jpeg
    } else if [&b"II*\0"[..], b"MM\0*", b"II+\0", b"MM\0+"]
        .iter()
        .any(|sign| bytes.starts_with(sign))
    {
        Kind::Tiff
    } else {
        return Err(format!("it is none of the kinds of picture that are shown, {SHOWN}"));
    };
    let picture = contained(|| match kind {
        Kind::Png => png(bytes),
        Kind::Jpeg => jpeg(bytes),
        Kind::Tiff => tiff::decode(bytes),
    });
    picture.unwrap_or_else(|panicked| Err(format!("it can't be decoded ({panicked})")))
}

/// Eight bits a colour: of sixteen the upper half.
fn png(bytes: &[u8]) -> Result<Decoded, String> {
    let undecodable = |error: png::DecodingError| match error {
        png::DecodingError::LimitsExceeded => format!(
            "what it holds beside its pixels is more than the {} MiB that are read",
            MOST_BESIDE >> 20
        ),
        error => format!("it can't be decoded ({error})"),
    };
    let limits = png::Limits { bytes: MOST_BESIDE };
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), limits);
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::STRIP_16);
    let (width, height) = decoder.read_header_info().map_err(undecodable)?.size();
    within_limit(width, height)?;
    let mut reader = decoder.read_info().map_err(undecodable)?;
    let mut pixels = vec![0; reader.output_buffer_size().ok_or("it gives no size")?];
    let frame = reader.next_frame(&mut pixels).map_err(undecodable)?;
    if (frame.width, frame.height) != (width, height) {
        return Err("its pixels fill a part of it alone".to_string());
    }
    let exif = reader.info().exif_metadata.as_deref();
    let orientation = exif.and_then(Orientation::from_exif_chunk);
    let whole = match frame.color_type {
        png::ColorType::Rgb => rgb(width, height, pixels),
        png::ColorType::Rgba => rgb(width, height, on_white(pixels, 3)),
        png::ColorType::GrayscaleAlpha => grey(width, height, on_white(pixels, 1)),
        png::ColorType::Grayscale => grey(width, height, pixels),
        png::ColorType::Indexed => return Err("its palette can't be looked up".to_string()),
    };
    Ok(Decoded {
        picture: upright(whole, orientation)?,
        kind: Kind::Png,
        profile: profile_of_png(bytes),
        of_inks: false,
        cut_short: false,
    })
}

/// The profile in a PNG's chunk iCCP (PNG, third edition, 11.3.2.3), unpacked as far as a profile may be long. The
/// decoder itself would unpack as much as it may hold beside the pixels, and refuse a picture that has two.
fn profile_of_png(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut rest = bytes.get(8..)?;
    loop {
        let (length, after) = rest.split_first_chunk::<4>()?;
        let (name, after) = after.split_first_chunk::<4>()?;
        let length = usize::try_from(u32::from_be_bytes(*length)).ok()?;
        let data = after.get(..length)?;
        match name {
            b"iCCP" => {
                let name_ends = data.iter().take(80).position(|byte| *byte == 0)?;
                let packed = data.get(name_ends + 2..)?;
                return fdeflate::decompress_to_vec_bounded(packed, MOST_PROFILE).ok();
            }
            b"IDAT" => return None,
            _ => rest = after.get(length + 4..)?,
        }
    }
}

/// JPEG decoded without the machine's own shortcuts, so that every machine sees the same pixels.
fn jpeg(bytes: &[u8]) -> Result<Decoded, String> {
    let undecodable =
        |error: zune_jpeg::errors::DecodeErrors| format!("it can't be decoded ({error})");
    let options = DecoderOptions::default()
        .set_use_unsafe(false)
        .set_strict_mode(false)
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_max_scans(MOST_SCANS)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(undecodable)?;
    let (width, height) = decoder.dimensions().ok_or("it gives no size")?;
    let edge = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let (width, height) = (edge(width), edge(height));
    within_limit(width, height)?;
    let (scans, ends) = scans(bytes);
    if scans > MOST_SCANS {
        return Err(format!("it goes over its pixels more than {MOST_SCANS} times"));
    }
    let stored = decoder.input_colorspace();
    let is_grey = stored == Some(ColorSpace::Luma);
    if is_grey {
        decoder.set_options(options.jpeg_set_out_colorspace(ColorSpace::Luma));
    }
    let pixels = decoder.decode().map_err(undecodable)?;
    let orientation = decoder.exif().and_then(|exif| Orientation::from_exif_chunk(exif));
    let profile = decoder.icc_profile().filter(|profile| profile.len() <= MOST_PROFILE);
    let whole = if is_grey { grey(width, height, pixels) } else { rgb(width, height, pixels) };
    Ok(Decoded {
        picture: upright(whole, orientation)?,
        kind: Kind::Jpeg,
        profile,
        of_inks: matches!(stored, Some(ColorSpace::CMYK | ColorSpace::YCCK)),
        cut_short: !ends,
    })
}

/// How many scans a JPEG has, and whether its end is marked, ITU-T T.81 B.1.1: segments begin with a marker and say how long they are; in the
/// coded data behind a scan's header 0xFF is followed by 0 or by the number of a restart.
fn scans(bytes: &[u8]) -> (usize, bool) {
    const START_OF_SCAN: u8 = 0xDA;
    const END_OF_IMAGE: u8 = 0xD9;
    let (mut at, mut found) = (0, 0);
    while let Some(next) = bytes.get(at..).and_then(|rest| rest.iter().position(|b| *b == 0xFF)) {
        at += next + 1;
        let Some(code) = bytes.get(at) else { break };
        match code {
            0xFF => continue,
            0 | 1 | 0xD0..=0xD8 => {}
            &END_OF_IMAGE => return (found, true),
            code => {
                found += usize::from(*code == START_OF_SCAN);
                let length = bytes.get(at + 1..at + 3).unwrap_or_default();
                at += length.iter().fold(0, |sum, byte| sum << 8 | usize::from(*byte));
            }
        }
        at += 1;
    }
    (found, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scans_are_counted_up_to_the_end_of_the_image() {
        let scan = b"\xff\xda\0\x02\x01\xff\0\xff\xd0\x02";
        let inside = b"\xff\xe1\0\x06\xff\xda\xff\xda";
        let jpeg = [b"\xff\xd8", &inside[..], scan, b"\xff\xff\xda\0\x02", scan, b"\xff\xd9", scan];
        assert_eq!(scans(&jpeg.concat()), (3, true));
        for cut in [&b""[..], b"\xff", b"\xff\xda", b"\xff\xda\0", b"\xff\xe1\xff\xff"] {
            let (found, ends) = scans(cut);
            assert!(found <= 1 && !ends, "{cut:?}");
        }
    }

    #[test]
    fn what_is_half_transparent_is_half_white() {
        assert_eq!(on_white(vec![0, 128, 0, 0, 9, 255, 50, 0], 1), [127, 255, 9, 255]);
        assert_eq!(on_white(vec![10, 20, 30, 255, 10, 20, 30, 0], 3), [10, 20, 30, 255, 255, 255]);
    }
}
