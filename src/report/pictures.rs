//! Pictures made fit for print: decoded with a limit, turned upright, shrunk, written anew.
//!
//! The originals are kept in the bundle as they are; what stands in the report is for looking at.
//! Writing them anew keeps colour profiles, hidden data and broken files out of the PDF.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{
    DynamicImage, GenericImageView, GrayImage, ImageDecoder, ImageFormat, Limits, RgbImage,
};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// The most pixels that are decoded: what the largest cameras give, and little enough for memory.
pub const MOST_PIXELS: u64 = 64_000_000;

/// The longest edge in print, pixels: over 400 to the inch where two pictures stand side by side.
const LONGEST_EDGE: u32 = 1400;

const JPEG_QUALITY: u8 = 88;

/// A picture ready for the report.
#[derive(Debug)]
pub struct Picture {
    /// The new file's bytes.
    pub bytes: Vec<u8>,
    /// `png` or `jpg`.
    pub extension: &'static str,
    /// Whether it is wider than it is high.
    pub wide: bool,
}

/// Makes a picture ready, or says in a sentence part why it can't be shown.
pub fn prepare(bytes: &[u8]) -> Result<Picture, String> {
    let format = image::guess_format(bytes)
        .map_err(|_| "it is neither a PNG nor a JPEG picture".to_string())?;
    let (decoded, extension) = match format {
        ImageFormat::Png => (decode_png(bytes)?, "png"),
        ImageFormat::Jpeg => (decode_jpeg(bytes)?, "jpg"),
        _ => return Err("it is neither a PNG nor a JPEG picture".to_string()),
    };
    let small = shrunk(on_white(decoded));
    let mut out = Vec::new();
    let written = match extension {
        "png" => small.write_to(&mut Cursor::new(&mut out), ImageFormat::Png),
        _ => small.write_with_encoder(JpegEncoder::new_with_quality(&mut out, JPEG_QUALITY)),
    };
    written.map_err(|error| format!("it can't be written for print ({error})"))?;
    Ok(Picture { bytes: out, extension, wide: small.width() >= small.height() })
}

fn decode_png(bytes: &[u8]) -> Result<DynamicImage, String> {
    let undecodable = |error: image::ImageError| format!("it can't be decoded ({error})");
    let mut decoder =
        image::codecs::png::PngDecoder::new(Cursor::new(bytes)).map_err(undecodable)?;
    let (width, height) = decoder.dimensions();
    within_limit(width, height)?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_PIXELS * 8);
    decoder.set_limits(limits).map_err(undecodable)?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(undecodable)?;
    picture.apply_orientation(orientation);
    Ok(picture)
}

/// JPEG decoded without the machine's own shortcuts, so that every machine sees the same pixels.
fn decode_jpeg(bytes: &[u8]) -> Result<DynamicImage, String> {
    let undecodable =
        |error: zune_jpeg::errors::DecodeErrors| format!("it can't be decoded ({error})");
    let options = DecoderOptions::default()
        .set_use_unsafe(false)
        .set_strict_mode(false)
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(undecodable)?;
    let (width, height) = decoder.dimensions().ok_or("it gives no size")?;
    let edge = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let (width, height) = (edge(width), edge(height));
    within_limit(width, height)?;
    let grey = decoder.input_colorspace() == Some(ColorSpace::Luma);
    if grey {
        decoder.set_options(options.jpeg_set_out_colorspace(ColorSpace::Luma));
    }
    let pixels = decoder.decode().map_err(undecodable)?;
    let orientation = decoder.exif().and_then(|exif| Orientation::from_exif_chunk(exif));
    let picture = if grey {
        GrayImage::from_raw(width, height, pixels).map(DynamicImage::ImageLuma8)
    } else {
        RgbImage::from_raw(width, height, pixels).map(DynamicImage::ImageRgb8)
    };
    let mut picture = picture.ok_or("it holds fewer pixels than it says")?;
    picture.apply_orientation(orientation.unwrap_or(Orientation::NoTransforms));
    Ok(picture)
}

fn within_limit(width: u32, height: u32) -> Result<(), String> {
    let pixels = u64::from(width) * u64::from(height);
    if width == 0 || height == 0 {
        return Err("it has no pixels".to_string());
    }
    if pixels > MOST_PIXELS {
        return Err(format!(
            "its {width} by {height} pixels are more than the {} million that are decoded for print",
            MOST_PIXELS / 1_000_000
        ));
    }
    Ok(())
}

/// Eight bits a colour, and what is transparent laid on white, as on paper.
fn on_white(picture: DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return if picture.color().has_color() {
            DynamicImage::ImageRgb8(picture.into_rgb8())
        } else {
            DynamicImage::ImageLuma8(picture.into_luma8())
        };
    }
    let rgba = picture.into_rgba8();
    let mut flat = RgbImage::new(rgba.width(), rgba.height());
    for (to, from) in flat.pixels_mut().zip(rgba.pixels()) {
        let [r, g, b, a] = from.0.map(u32::from);
        let laid = |c: u32| ((c * a + 255 * (255 - a) + 127) / 255).min(255) as u8;
        to.0 = [laid(r), laid(g), laid(b)];
    }
    DynamicImage::ImageRgb8(flat)
}

fn shrunk(picture: DynamicImage) -> DynamicImage {
    let (width, height) = picture.dimensions();
    if width.max(height) <= LONGEST_EDGE {
        picture
    } else {
        picture.thumbnail(LONGEST_EDGE, LONGEST_EDGE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Rgba, RgbaImage};

    fn png(picture: &DynamicImage) -> Vec<u8> {
        let mut out = Vec::new();
        picture.write_to(&mut Cursor::new(&mut out), ImageFormat::Png).unwrap();
        out
    }

    #[test]
    fn transparent_steel_is_laid_on_white() {
        let clear = DynamicImage::ImageRgba8(RgbaImage::from_pixel(4, 2, Rgba([0, 0, 0, 0])));
        let picture = prepare(&png(&clear)).unwrap();
        let again = image::load_from_memory(&picture.bytes).unwrap();
        assert!(!again.color().has_alpha() && picture.wide);
        assert_eq!(again.to_rgb8().get_pixel(0, 0).0, [255; 3]);
    }

    #[test]
    fn a_large_jpeg_is_shrunk_and_grey_stays_grey() {
        let grey = DynamicImage::ImageLuma8(GrayImage::from_pixel(100, 2000, image::Luma([90])));
        let mut bytes = Vec::new();
        grey.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 90)).unwrap();
        let picture = prepare(&bytes).unwrap();
        let again = image::load_from_memory(&picture.bytes).unwrap();
        assert_eq!((again.width(), again.height()), (70, 1400));
        assert!(!again.color().has_color() && !picture.wide && picture.extension == "jpg");
    }

    #[test]
    fn what_is_no_picture_says_so() {
        assert!(prepare(b"").unwrap_err().contains("neither"));
        assert!(prepare(b"GIF89a").unwrap_err().contains("neither"));
        let whole = png(&DynamicImage::ImageLuma8(GrayImage::new(300, 300)));
        assert!(prepare(&whole[..whole.len() / 2]).unwrap_err().contains("decoded"));
        assert!(prepare(&[0xFF, 0xD8, 0xFF, 0xE0, 0, 16]).unwrap_err().contains("decoded"));
    }

    #[test]
    fn more_pixels_than_the_limit_are_refused_before_they_are_decoded() {
        let mut bytes = png(&DynamicImage::ImageLuma8(GrayImage::new(1, 1)));
        // Width and height of the header, and its checksum, say 60000 by 60000.
        bytes[16..24].copy_from_slice(&[0, 0, 0xEA, 0x60, 0, 0, 0xEA, 0x60]);
        let sum = crc(&bytes[12..29]);
        bytes[29..33].copy_from_slice(&sum.to_be_bytes());
        assert!(prepare(&bytes).unwrap_err().contains("million"));
    }

    fn crc(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0, |mut sum: u32, byte| {
            sum ^= u32::from(*byte);
            for _ in 0..8 {
                sum = (sum >> 1) ^ (0xEDB8_8320 & (!(sum & 1)).wrapping_add(1));
            }
            sum
        })
    }
}
