//! A picture's colours as its profile means them, turned into those of sRGB, in which a page shows its pictures.
//!
//! Worked out in `f64`, for which the library has one way alone and not one for each kind of processor, so that every
//! machine sees the same colours.

use image::DynamicImage;
use moxcms::{ColorProfile, DataColorSpace, Layout, ParsingOptions, TransformOptions};

use crate::records::contained::contained;

/// The most bytes of a colour profile: those of printing presses have two million, a camera's some thousands.
pub(super) const MOST_PROFILE: usize = 4 << 20;

/// Turns a picture's colours into those of sRGB, or says in a sentence part why its profile can't be used.
pub(super) fn to_srgb(
    picture: DynamicImage,
    profile: &[u8],
) -> Result<DynamicImage, (DynamicImage, String)> {
    let converted = contained(|| converted(&picture, profile));
    match converted {
        Ok(Ok(converted)) => Ok(converted),
        Ok(Err(why)) => Err((picture, why)),
        Err(panicked) => Err((picture, format!("it can't be read ({panicked})"))),
    }
}

fn converted(picture: &DynamicImage, profile: &[u8]) -> Result<DynamicImage, String> {
    let unusable = |error: moxcms::CmsError| format!("it can't be read ({error})");
    let bounds = ParsingOptions {
        max_profile_size: MOST_PROFILE + 1,
        max_allowed_clut_size: MOST_PROFILE,
        ..ParsingOptions::default()
    };
    let profile = ColorProfile::new_from_slice_with_options(profile, bounds).map_err(unusable)?;
    let is_grey = !picture.color().has_color();
    let layout = match (is_grey, profile.color_space) {
        (true, DataColorSpace::Gray) => Layout::Gray,
        (false, DataColorSpace::Rgb) => Layout::Rgb,
        _ => return Err("it is for other colours than the picture has".to_string()),
    };
    let options = TransformOptions { prefer_fixed_point: false, ..TransformOptions::default() };
    let transform = profile
        .create_transform_f64(layout, &ColorProfile::new_srgb(), layout, options)
        .map_err(unusable)?;
    let (width, height) = (picture.width(), picture.height());
    let pixels = if is_grey { picture.to_luma8().into_raw() } else { picture.to_rgb8().into_raw() };
    let from: Vec<f64> = pixels.iter().map(|value| f64::from(*value) / 255.0).collect();
    let mut to = vec![0.0; from.len()];
    transform.transform(&from, &mut to).map_err(unusable)?;
    let pixels = to.iter().map(|value| (value * 255.0).round().clamp(0.0, 255.0) as u8).collect();
    let whole = if is_grey {
        super::pixels::grey(width, height, pixels)
    } else {
        super::pixels::rgb(width, height, pixels)
    };
    whole.ok_or_else(|| "it gives fewer pixels than the picture has".to_string())
}
