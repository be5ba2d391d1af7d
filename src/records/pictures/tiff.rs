//! The first page of a TIFF (TIFF 6.0) as its pixels: grey, RGB or of printing inks, with or without what is
//! transparent, of 8 or 16 bits a colour. Pages of two tones and palettes are not among them.

use std::io::Cursor;

use image::DynamicImage;
use image::metadata::Orientation;
use tiff::ColorType;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use super::colours::MOST_PROFILE;
use super::pixels::{Decoded, Kind, grey, on_white, rgb, upright, within_limit};

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
    let samples = match colours {
        ColorType::Gray(8 | 16) => 1,
        ColorType::Gray(bits) if bits < 8 => {
            return Err(format!("its pixels have {bits} bits, fewer than the 8 that are read"));
        }
        ColorType::GrayA(8 | 16) => 2,
        ColorType::RGB(8 | 16) => 3,
        ColorType::RGBA(8 | 16) | ColorType::CMYK(8 | 16) => 4,
        _ => return Err(format!("its kind of pixels is none that is shown ({colours:?})")),
    };
    let mut number = |tag| decoder.find_tag_unsigned::<u16>(tag).ok().flatten();
    let orientation =
        number(Tag::Orientation).and_then(|n| Orientation::from_exif(u8::try_from(n).ok()?));
    if samples > 1 && number(Tag::PlanarConfiguration) == Some(IN_PLANES) {
        return Err("each of its colours stands in a plane of its own".to_string());
    }
    if number(Tag::Compression).is_some_and(|way| JPEG.contains(&way)) {
        return Err("it is compressed as a JPEG inside a TIFF".to_string());
    }
    let profile = decoder.get_tag_u8_vec(ICC_PROFILE).ok();
    let pixels = match decoder.read_image().map_err(undecodable)? {
        DecodingResult::U8(bytes) => bytes,
        DecodingResult::U16(words) => words.into_iter().map(|word| (word >> 8) as u8).collect(),
        _ => return Err("its pixels are no whole numbers of 8 or 16 bits".to_string()),
    };
    let count = width as usize * height as usize;
    if pixels.len() < count * samples {
        return Err("it holds fewer pixels than it says".to_string());
    }
    let whole = match colours {
        ColorType::RGB(_) => rgb(width, height, pixels),
        ColorType::RGBA(_) => rgb(width, height, on_white(pixels, 3)),
        ColorType::GrayA(_) => grey(width, height, on_white(pixels, 1)),
        ColorType::CMYK(_) => rgb(width, height, of_inks(&pixels)),
        _ => grey(width, height, pixels),
    };
    let of_inks = matches!(colours, ColorType::CMYK(_));
    let picture: DynamicImage = upright(whole, orientation)?;
    Ok(Decoded { picture, kind: Kind::Tiff, profile, of_inks, cut_short: false })
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
