//! Decoded pixels, and what every kind of picture goes through on its way to print.

use image::metadata::Orientation;
use image::{DynamicImage, GrayImage, RgbImage};

use crate::records::contents::MOST_PIXELS;

/// The kinds of picture that are decoded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Png,
    Jpeg,
    Tiff,
}

/// A picture as it was decoded.
pub(super) struct Decoded {
    pub picture: DynamicImage,
    pub kind: Kind,
    /// The profile that says what its colours are.
    pub profile: Option<Vec<u8>>,
    /// Whether its colours were those of printing inks, which a profile of theirs would describe.
    pub of_inks: bool,
    /// Whether the file ends before the picture does.
    pub cut_short: bool,
}

pub(super) fn rgb(width: u32, height: u32, pixels: Vec<u8>) -> Option<DynamicImage> {
    RgbImage::from_raw(width, height, pixels).map(DynamicImage::ImageRgb8)
}

pub(super) fn grey(width: u32, height: u32, pixels: Vec<u8>) -> Option<DynamicImage> {
    GrayImage::from_raw(width, height, pixels).map(DynamicImage::ImageLuma8)
}

pub(super) fn upright(
    picture: Option<DynamicImage>,
    orientation: Option<Orientation>,
) -> Result<DynamicImage, String> {
    let mut picture = picture.ok_or("it holds fewer pixels than it says")?;
    picture.apply_orientation(orientation.unwrap_or(Orientation::NoTransforms));
    Ok(picture)
}

/// What is transparent laid on white, as on paper, in the place where it stands: `colours` bytes of each pixel and
/// one of how opaque it is become the colours alone.
pub(super) fn on_white(mut pixels: Vec<u8>, colours: usize) -> Vec<u8> {
    let count = pixels.len() / (colours + 1);
    for number in 0..count {
        let from = number * (colours + 1);
        let opaque = u32::from(pixels[from + colours]);
        for colour in 0..colours {
            let laid = u32::from(pixels[from + colour]) * opaque + 255 * (255 - opaque);
            pixels[number * colours + colour] = ((laid + 127) / 255).min(255) as u8;
        }
    }
    pixels.truncate(count * colours);
    pixels
}

pub(super) fn within_limit(width: u32, height: u32) -> Result<(), String> {
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
