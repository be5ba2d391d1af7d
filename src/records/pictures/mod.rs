//! Pictures that the report is to show, made fit for print: decoded with a limit, turned upright, shrunk, their colours
//! turned into those of sRGB, written anew.
//!
//! The originals are kept in the bundle as they are; what stands in the report is for looking at.
//! Writing them anew keeps hidden data and broken files out of the PDF. They are made ready when the project is read,
//! so that whoever checks it learns of a picture that can't be shown.

mod colours;
mod decoded;
mod tiff;

use std::collections::BTreeMap;
use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, GenericImageView, ImageFormat};

use decoded::{Decoded, Kind, decoded};
use rayon::prelude::*;

use super::contained::contained;
use super::contents::{Content, MOST_PIXELS};
use super::papers::Paper;
use super::store::{LARGEST_RECORD_FILE, Store};

/// Pixels to the inch in print: what the eye tells apart at arm's length.
pub const PER_INCH: u32 = 200;

/// The longest edge, pixels: the 81 mm that one of two pictures side by side has.
const LONGEST_EDGE: u32 = PER_INCH * 810 / 254;

/// The most bytes of one picture in the report; a picture that takes more is written more coarsely.
const MOST_BYTES: usize = 250_000;

/// The most bytes of all pictures in a report, so that it can be sent and opened anywhere.
pub const MOST_BYTES_OF_ALL: usize = 24_000_000;

/// Qualities of JPEG, tried in this order until a picture is small enough.
const JPEG_QUALITIES: [u8; 4] = [88, 70, 40, 20];

/// The pictures of a report in their order, or why one is not shown, as a sentence part.
#[derive(Debug)]
pub struct Album {
    pictures: Vec<(String, Result<Picture, String>)>,
    left: usize,
}

impl Default for Album {
    fn default() -> Self {
        Self { pictures: Vec::new(), left: MOST_BYTES_OF_ALL }
    }
}

impl Album {
    /// The pictures of those papers that the report is to show and whose files are there, in their order. As many are
    /// decoded side by side as have together no more pixels than one may have, so that memory is bounded as for one.
    pub(super) fn read(
        store: &dyn Store,
        papers: &[Paper],
        contents: &BTreeMap<String, Content>,
    ) -> Self {
        let mut album = Self::default();
        let mut wanted = papers
            .iter()
            .filter_map(|paper| Some((paper, *store.sizes().get(&paper.path())?)))
            .filter(|(paper, _)| paper.in_report)
            .peekable();
        while wanted.peek().is_some() {
            let (mut pixels_left, mut bytes_left) = (MOST_PIXELS, LARGEST_RECORD_FILE);
            let mut together: Vec<(&Paper, Result<Vec<u8>, String>)> = Vec::new();
            while let Some((paper, _)) = wanted.next_if(|(paper, bytes)| {
                let pixels = contents.get(&paper.file).and_then(|content| content.pixels);
                let pixels = pixels.map_or(MOST_PIXELS, |(w, h)| u64::from(w) * u64::from(h));
                let fits = together.is_empty() || pixels <= pixels_left && *bytes <= bytes_left;
                pixels_left = pixels_left.saturating_sub(pixels);
                bytes_left = bytes_left.saturating_sub(*bytes);
                fits
            }) {
                together.push((paper, bytes_of(store, &paper.path())));
            }
            let made: Vec<(&Paper, Result<Picture, String>)> = together
                .into_par_iter()
                .map(|(paper, bytes)| (paper, bytes.and_then(|bytes| prepare(&bytes))))
                .collect();
            for (paper, picture) in made {
                album.put(&paper.file, picture);
            }
        }
        album
    }

    /// Adds a picture by its file's name inside `papers/`.
    pub fn add(&mut self, name: &str, bytes: Result<&[u8], String>) {
        self.put(name, bytes.and_then(prepare));
    }

    fn put(&mut self, name: &str, picture: Result<Picture, String>) {
        let picture = picture.and_then(|picture| {
            match self.left.checked_sub(picture.bytes.len()) {
                Some(left) => {
                    self.left = left;
                    Ok(picture)
                }
                None => Err(format!(
                    "the pictures before it fill the {} MB that pictures may take in the report",
                    MOST_BYTES_OF_ALL / 1_000_000
                )),
            }
        });
        self.pictures.push((name.to_string(), picture));
    }

    /// Those that are not shown, and why, as a sentence part.
    pub fn not_shown(&self) -> Vec<(String, String)> {
        let why = |(name, picture): &(String, Result<Picture, String>)| {
            Some((name.clone(), picture.as_ref().err()?.clone()))
        };
        self.pictures.iter().filter_map(why).collect()
    }

    /// Each with its file's name inside `papers/`.
    pub fn pictures(&self) -> &[(String, Result<Picture, String>)] {
        &self.pictures
    }
}

/// A picture ready for the report.
#[derive(Debug)]
pub struct Picture {
    /// The new file's bytes.
    pub bytes: Vec<u8>,
    /// `png` or `jpg`.
    pub extension: &'static str,
    /// Whether it is wider than it is high.
    pub wide: bool,
    /// What whoever looks at it has to know, as a sentence.
    pub note: Option<String>,
}

/// The bytes of a picture, or why they can't be read.
fn bytes_of(store: &dyn Store, path: &str) -> Result<Vec<u8>, String> {
    if store.sizes().get(path).is_some_and(|size| *size > LARGEST_RECORD_FILE) {
        let most = LARGEST_RECORD_FILE >> 20;
        return Err(format!("it is larger than the {most} MiB that are read for print"));
    }
    store.read(path).map_err(|error| format!("it can't be read ({error})"))
}

/// Makes a picture ready, or says in a sentence part why it can't be shown.
pub fn prepare(bytes: &[u8]) -> Result<Picture, String> {
    let Decoded { picture, kind, profile, of_inks, cut_short } = decoded(bytes)?;
    let unwritable = |why: &dyn std::fmt::Display| format!("it can't be written for print ({why})");
    let small = contained(|| shrunk(picture)).map_err(|panicked| unwritable(&panicked))?;
    let of_other_inks = "it is for printing inks, whose colours are only reckoned here";
    let converted = match profile {
        None => Ok(small),
        Some(_) if of_inks => Err((small, of_other_inks.to_string())),
        Some(profile) => colours::to_srgb(small, &profile),
    };
    let (small, colours) = match converted {
        Ok(small) => (small, None),
        Err((small, why)) => {
            (small, Some(format!("Its colours are near, not exact: its colour profile is not used, since {why}.")))
        }
    };
    let cut = "The file is cut short: what is missing of the picture is grey or lacks its detail.";
    let notes: Vec<String> =
        cut_short.then(|| cut.to_string()).into_iter().chain(colours).collect();
    let (bytes, extension) = written(&small, kind).map_err(|error| unwritable(&error))?;
    let note = (!notes.is_empty()).then(|| notes.join(" "));
    Ok(Picture { bytes, extension, wide: small.width() >= small.height(), note })
}

/// The picture without loss as a PNG, unless it was a JPEG, or as a coarser JPEG where that is too large.
fn written(
    picture: &DynamicImage,
    kind: Kind,
) -> Result<(Vec<u8>, &'static str), image::ImageError> {
    let mut out = Vec::new();
    if kind != Kind::Jpeg {
        picture.write_to(&mut Cursor::new(&mut out), ImageFormat::Png)?;
        if out.len() <= MOST_BYTES {
            return Ok((out, "png"));
        }
    }
    for quality in JPEG_QUALITIES {
        out.clear();
        picture.write_with_encoder(JpegEncoder::new_with_quality(&mut out, quality))?;
        if out.len() <= MOST_BYTES {
            break;
        }
    }
    Ok((out, "jpg"))
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
    use image::{GrayImage, RgbImage, Rgba, RgbaImage};

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
        assert_eq!((again.width(), again.height()), (32, 637));
        assert!(!again.color().has_color() && !picture.wide && picture.extension == "jpg");
    }

    /// What no coding makes small: every byte by chance, from a fixed beginning.
    fn noise(edge: u32) -> DynamicImage {
        let mut state: u32 = 1;
        DynamicImage::ImageRgb8(RgbImage::from_fn(edge, edge, |_, _| {
            image::Rgb([(); 3].map(|()| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 24) as u8
            }))
        }))
    }

    #[test]
    fn the_pictures_of_a_report_stay_under_what_they_may_take() {
        let noise = png(&noise(600));
        assert!(noise.len() > 4 * MOST_BYTES);
        let one = prepare(&noise).unwrap();
        assert!(one.bytes.len() <= MOST_BYTES && one.extension == "jpg", "{}", one.bytes.len());
        assert_eq!(Album::default().left, MOST_BYTES_OF_ALL);
        let fit = 3;
        let mut album = Album { left: fit * one.bytes.len(), ..Album::default() };
        for n in 0..fit + 2 {
            album.add(&format!("{n}.png"), Ok(&noise));
        }
        let shown = |(_, picture): &&(String, Result<Picture, String>)| picture.is_ok();
        assert_eq!(album.pictures().iter().filter(shown).count(), fit);
        let last = album.pictures().last().unwrap().1.as_ref().unwrap_err();
        assert!(last.contains("fill the 24 MB"), "{last}");
        album.add("unread.png", Err("it is away".to_string()));
        assert_eq!(album.pictures().last().unwrap().1.as_ref().unwrap_err(), "it is away");
    }

    #[test]
    fn what_is_no_picture_says_so() {
        assert!(prepare(b"").unwrap_err().contains("none of the kinds"));
        assert!(prepare(b"GIF89a").unwrap_err().contains("none of the kinds"));
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
