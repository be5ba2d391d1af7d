//! The first page of a TIFF (TIFF 6.0) as its pixels: grey, RGB, of a palette or of printing inks, with or without
//! what is transparent.

use std::io::Cursor;

use image::DynamicImage;
use image::metadata::Orientation;
use tiff::ColorType;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use super::colours::MOST_PROFILE;
use super::decoded::{Decoded, Kind, grey, on_white, rgb, upright, within_limit};

/// The most bytes that the pixels take as they are stored.
const MOST_STORED: usize = 256 << 20;

/// Where a TIFF holds the profile of its colours (ICC.1:2022, B.4).
const ICC_PROFILE: Tag = Tag::Unknown(34_675);
/// Colours in a plane each (TIFF 6.0, PlanarConfiguration).
const IN_PLANES: u16 = 2;
/// Ways of compression that are JPEG inside a TIFF, whose decoder has no bound on how often it goes over the pixels.
const JPEG: [u16; 2] = [6, 7];

pub(super) fn decode(bytes: &[u8]) -> Result<Decoded, String> {
    let undecodable = |error: tiff::TiffError| match error {
        tiff::TiffError::LimitsExceeded => {
            format!("it takes more than the {} MiB that are read of a picture", MOST_STORED >> 20)
        }
        error => format!("it can't be decoded ({error})"),
    };
    let limits = {
        let mut limits = Limits::default();
        limits.decoding_buffer_size = MOST_STORED;
        limits.intermediate_buffer_size = MOST_STORED;
        limits.ifd_value_size = MOST_PROFILE;
        limits
    };
    let decoder = Decoder::new(Cursor::new(bytes)).map_err(undecodable)?;
    let mut decoder = decoder.with_limits(limits);
    let (width, height) = decoder.dimensions().map_err(undecodable)?;
    within_limit(width, height)?;
    let colours = decoder.colortype().map_err(undecodable)?;
    let (samples, bits) = match colours {
        ColorType::Gray(bits) => (1, bits),
        ColorType::Palette(bits @ (1 | 2 | 4 | 8)) => (1, bits),
        ColorType::GrayA(bits @ (8 | 16)) => (2, bits),
        ColorType::RGB(bits @ (8 | 16)) => (3, bits),
        ColorType::RGBA(bits @ (8 | 16)) | ColorType::CMYK(bits @ (8 | 16)) => (4, bits),
        _ => return Err(format!("its kind of pixels is none that is shown ({colours:?})")),
    };
    let mut number = |tag| decoder.find_tag_unsigned::<u16>(tag).ok().flatten();
    let orientation = number(Tag::Orientation).and_then(|n| Orientation::from_exif(u8::try_from(n).ok()?));
    if samples > 1 && number(Tag::PlanarConfiguration) == Some(IN_PLANES) {
        return Err("each of its colours stands in a plane of its own".to_string());
    }
    if number(Tag::Compression).is_some_and(|way| JPEG.contains(&way)) {
        return Err("it is compressed as a JPEG inside a TIFF".to_string());
    }
    let palette = match colours {
        ColorType::Palette(_) => {
            Some(decoder.get_tag_u16_vec(Tag::ColorMap).map_err(undecodable)?)
        }
        _ => None,
    };
    let profile = decoder.get_tag_u8_vec(ICC_PROFILE).ok();
    let stored = match decoder.read_image().map_err(undecodable)? {
        DecodingResult::U8(bytes) => bytes,
        DecodingResult::U16(words) => words.into_iter().map(|word| (word >> 8) as u8).collect(),
        _ => return Err("its pixels are no whole numbers of 1 to 16 bits".to_string()),
    };
    let (wide, count) = (width as usize, width as usize * height as usize);
    let short = "it holds fewer pixels than it says";
    let pixels = match bits {
        1 | 2 | 4 => unpacked(&stored, bits, wide, palette.is_none()),
        _ => stored,
    };
    if pixels.len() < count * samples {
        return Err(short.to_string());
    }
    let whole = match (colours, palette) {
        (_, Some(palette)) => rgb(width, height, looked_up(&pixels, &palette).ok_or(short)?),
        (ColorType::RGB(_), _) => rgb(width, height, pixels),
        (ColorType::RGBA(_), _) => rgb(width, height, on_white(pixels, 3)),
        (ColorType::GrayA(_), _) => grey(width, height, on_white(pixels, 1)),
        (ColorType::CMYK(_), _) => rgb(width, height, of_inks(&pixels)),
        _ => grey(width, height, pixels),
    };
    let of_inks = matches!(colours, ColorType::CMYK(_));
    let picture: DynamicImage = upright(whole, orientation)?;
    Ok(Decoded { picture, kind: Kind::Tiff, profile, of_inks, cut_short: false })
}

/// Pixels of fewer than eight bits, of which each row begins with a byte: one byte each, of grey from black to white.
fn unpacked(stored: &[u8], bits: u8, wide: usize, is_grey: bool) -> Vec<u8> {
    let most = (1_u8 << bits) - 1;
    let in_byte = usize::from(8 / bits);
    let row = wide.div_ceil(in_byte);
    let mut pixels = Vec::with_capacity(stored.len() * in_byte);
    for row in stored.chunks_exact(row.max(1)) {
        pixels.extend((0..wide).map(|x| {
            let shift = 8 - bits * (1 + (x % in_byte) as u8);
            let value = row[x / in_byte] >> shift & most;
            if is_grey { value * (255 / most) } else { value }
        }));
    }
    pixels
}

/// The colours of a palette: all its reds, then all greens, then all blues, of sixteen bits (TIFF 6.0, ColorMap).
fn looked_up(pixels: &[u8], palette: &[u16]) -> Option<Vec<u8>> {
    let each = palette.len() / 3;
    let mut colours = Vec::with_capacity(pixels.len() * 3);
    for pixel in pixels {
        for plane in 0..3 {
            let at = usize::from(*pixel);
            let colour = if at < each { palette.get(plane * each + at)? } else { return None };
            colours.push((colour >> 8) as u8);
        }
    }
    Some(colours)
}

/// Cyan, magenta, yellow and black, each as much ink as its number says, as the light that they leave.
fn of_inks(pixels: &[u8]) -> Vec<u8> {
    let light = |ink: u8, black: u8| (u32::from(255 - ink) * u32::from(255 - black) / 255) as u8;
    let colours = pixels.chunks_exact(4).flat_map(|inks| {
        let [cyan, magenta, yellow, black] = [inks[0], inks[1], inks[2], inks[3]];
        [cyan, magenta, yellow].map(|ink| light(ink, black))
    });
    colours.collect()
}
