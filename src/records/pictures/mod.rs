//! Pictures that the report is to show, made fit for print: decoded with a limit, turned upright, shrunk, their colours
//! turned into those of sRGB, written anew.
//!
//! The originals are kept in the bundle as they are; what stands in the report is for looking at.
//! Writing them anew keeps hidden data and broken files out of the PDF. They are made ready when the project is read,
//! so that whoever checks it learns of a picture that can't be shown.

mod colours;
mod decoded;
mod pixels;
mod tiff;

use std::collections::BTreeMap;
use std::io;
use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, GenericImageView, ImageFormat};

use decoded::decoded;
use pixels::{Decoded, Kind};
use rayon::prelude::*;

use super::contained::contained;
use super::contents::{Content, MOST_PIXELS};
use super::papers::Paper;
use super::problem::Problem;
use super::store::{LARGEST_RECORD_FILE, Store, unreadable};

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

/// The longest edge of a preview, pixels: what a card on a telephone has room for.
pub const PREVIEW_EDGE: u32 = 320;

/// The most bytes of a preview, but for one that no quality makes smaller.
const MOST_PREVIEW_BYTES: usize = 24_000;

/// Qualities of a preview, tried in this order.
const PREVIEW_QUALITIES: [u8; 3] = [70, 50, 25];

/// Whether a paper is a picture that says something to the next docking, and so stands on the page for it.
fn is_for_next_time(paper: &Paper, contents: &BTreeMap<String, Content>) -> bool {
    let kind = contents.get(&paper.file).and_then(|content| content.kind);
    let is_picture = kind.is_some_and(|kind| kind.is_picture());
    paper.for_next_time && is_picture
}

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
    /// The pictures of those papers that the report is to show, or that are meant for the next docking, and whose files are there, in their order. As many are
    /// decoded side by side as have together no more pixels than one may have, so that memory is bounded as for one.
    pub(super) fn read(
        store: &dyn Store,
        papers: &[Paper],
        contents: &BTreeMap<String, Content>,
        unread: &mut Vec<Problem>,
    ) -> Self {
        let mut album = Self::default();
        let mut wanted = papers
            .iter()
            .filter_map(|paper| Some((paper, *store.sizes().get(&paper.path())?)))
            .filter(|(paper, _)| paper.in_report || is_for_next_time(paper, contents))
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
                match bytes_of(store, &paper.path()) {
                    Ok(bytes) => together.push((paper, bytes)),
                    Err(error) => unread.push(unreadable(&paper.path(), &error.to_string())),
                }
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
        let picture =
            picture.and_then(|picture| match self.left.checked_sub(picture.bytes.len()) {
                Some(left) => {
                    self.left = left;
                    Ok(picture)
                }
                None => Err(format!(
                    "the pictures before it fill the {} MB that pictures may take in the report",
                    MOST_BYTES_OF_ALL / 1_000_000
                )),
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

/// The bytes of a picture, or why they are not read; an error where the disk does not give them.
fn bytes_of(store: &dyn Store, path: &str) -> io::Result<Result<Vec<u8>, String>> {
    if store.sizes().get(path).is_some_and(|size| *size > LARGEST_RECORD_FILE) {
        let most = LARGEST_RECORD_FILE >> 20;
        return Ok(Err(format!("it is larger than the {most} MiB that are read for print")));
    }
    store.read(path).map(Ok)
}

/// A picture in small, as a JPEG.
#[derive(Debug)]
pub struct Preview {
    /// The JPEG's bytes.
    pub bytes: Vec<u8>,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

impl Preview {
    /// The preview of a picture: upright, with the colours of sRGB; or why there is none, as a sentence part.
    pub fn of(bytes: &[u8]) -> Result<Self, String> {
        let (picture, _) = small(decoded(bytes)?, PREVIEW_EDGE)?;
        let out = as_jpeg(&picture, &PREVIEW_QUALITIES, MOST_PREVIEW_BYTES);
        let bytes = out.map_err(|error| unwritable(&error))?;
        Ok(Self { bytes, width: picture.width(), height: picture.height() })
    }

    /// That of a picture of a project, by its path.
    pub fn read(store: &dyn Store, path: &str) -> Result<Self, String> {
        if !store.sizes().contains_key(path) {
            return Err("its file is missing".to_string());
        }
        let bytes =
            bytes_of(store, path).map_err(|error| format!("it can't be read ({error})"))??;
        Self::of(&bytes)
    }
}

fn unwritable(why: &dyn std::fmt::Display) -> String {
    format!("it can't be written for print ({why})")
}

/// Makes a picture ready, or says in a sentence part why it can't be shown.
pub fn prepare(bytes: &[u8]) -> Result<Picture, String> {
    let decoded = decoded(bytes)?;
    let (kind, cut_short) = (decoded.kind, decoded.cut_short);
    let (small, colours) = small(decoded, LONGEST_EDGE)?;
    let cut = "The file is cut short: what is missing of the picture is grey or lacks its detail.";
    let notes: Vec<String> =
        cut_short.then(|| cut.to_string()).into_iter().chain(colours).collect();
    let (bytes, extension) = written(&small, kind).map_err(|error| unwritable(&error))?;
    let note = (!notes.is_empty()).then(|| notes.join(" "));
    Ok(Picture { bytes, extension, wide: small.width() >= small.height(), note })
}

/// A decoded picture with the colours of sRGB, its longer edge no longer than so many pixels, and a sentence on its
/// colours where they are only near.
fn small(decoded: Decoded, edge: u32) -> Result<(DynamicImage, Option<String>), String> {
    let Decoded { picture, profile, of_inks, .. } = decoded;
    let small = contained(|| shrunk(picture, edge)).map_err(|panicked| unwritable(&panicked))?;
    let of_other_inks = "it is for printing inks, whose colours are only reckoned here";
    let converted = match profile {
        None => Ok(small),
        Some(_) if of_inks => Err((small, of_other_inks.to_string())),
        Some(profile) => colours::to_srgb(small, &profile),
    };
    Ok(match converted {
        Ok(small) => (small, None),
        Err((small, why)) => (
            small,
            Some(format!(
                "Its colours are near, not exact: its colour profile is not used, since {why}."
            )),
        ),
    })
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
    Ok((as_jpeg(picture, &JPEG_QUALITIES, MOST_BYTES)?, "jpg"))
}

/// In the first of the qualities that takes no more than so many bytes, or else in the last.
fn as_jpeg(
    picture: &DynamicImage,
    qualities: &[u8],
    most_bytes: usize,
) -> Result<Vec<u8>, image::ImageError> {
    let mut out = Vec::new();
    for quality in qualities {
        out.clear();
        picture.write_with_encoder(JpegEncoder::new_with_quality(&mut out, *quality))?;
        if out.len() <= most_bytes {
            break;
        }
    }
    Ok(out)
}

fn shrunk(picture: DynamicImage, edge: u32) -> DynamicImage {
    let (width, height) = picture.dimensions();
    if width.max(height) <= edge { picture } else { picture.thumbnail(edge, edge) }
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

    /// Exif 2.32: tag 0x0112 of 6 says that the picture's first row is its right side. So what was taken 400 wide and 200
    /// high is seen 200 wide and 400 high.
    #[test]
    fn a_preview_is_small_upright_and_the_same_each_time() {
        let taken = DynamicImage::ImageRgb8(RgbImage::from_fn(400, 200, |x, _| {
            image::Rgb(if x < 200 { [250, 250, 250] } else { [5, 5, 5] })
        }));
        let exif = [
            &b"II*\0\x08\0\0\0"[..],
            b"\x01\0",
            b"\x12\x01\x03\0\x01\0\0\0\x06\0\0\0",
            b"\0\0\0\0",
        ];
        let mut bytes = Vec::new();
        let mut encoder = JpegEncoder::new_with_quality(&mut bytes, 90);
        image::ImageEncoder::set_exif_metadata(&mut encoder, exif.concat()).unwrap();
        taken.write_with_encoder(encoder).unwrap();
        let preview = Preview::of(&bytes).unwrap();
        assert_eq!((preview.width, preview.height), (160, 320));
        let seen = image::load_from_memory(&preview.bytes).unwrap().to_rgb8();
        assert_eq!(seen.dimensions(), (160, 320));
        assert!(seen.get_pixel(80, 20).0[0] > 240 && seen.get_pixel(80, 300).0[0] < 15);
        assert_eq!(Preview::of(&bytes).unwrap().bytes, preview.bytes);
        // What no coding makes small is coarse.
        let noisy = Preview::of(&png(&noise(600))).unwrap();
        assert_eq!((noisy.width, noisy.height), (PREVIEW_EDGE, PREVIEW_EDGE));
        assert!(noisy.bytes.len() < 2 * MOST_PREVIEW_BYTES, "{}", noisy.bytes.len());
        assert!(Preview::of(b"no picture").unwrap_err().contains("none of the kinds"));
    }

    /// A TIFF of one page put together from its tags, each with its type, and its pixels as they are stored (TIFF 6.0,
    /// section 2), little end first.
    fn tiff(
        tags: &[(u16, Vec<u16>)],
        bytes_of_tag: Option<(u16, &[u8])>,
        pixels: &[u8],
    ) -> Vec<u8> {
        const SHORT: u16 = 3;
        const LONG: u16 = 4;
        const UNDEFINED: u16 = 7;
        let count = tags.len() + 2 + usize::from(bytes_of_tag.is_some());
        let values_at = 8 + 2 + 12 * count + 4;
        let mut values: Vec<u8> = Vec::new();
        let mut entries: Vec<(u16, Vec<u8>)> = Vec::new();
        let mut put = |tag: u16, of_type: u16, count: usize, data: Vec<u8>| {
            let mut entry = [tag.to_le_bytes(), of_type.to_le_bytes()].concat();
            entry.extend((count as u32).to_le_bytes());
            if data.len() <= 4 {
                entry.extend(data.iter().copied().chain([0; 4]).take(4));
            } else {
                entry.extend(((values_at + values.len()) as u32).to_le_bytes());
                values.extend(data);
            }
            entries.push((tag, entry));
        };
        for (tag, numbers) in tags {
            let data = numbers.iter().flat_map(|number| number.to_le_bytes()).collect();
            put(*tag, SHORT, numbers.len(), data);
        }
        if let Some((tag, bytes)) = bytes_of_tag {
            put(tag, UNDEFINED, bytes.len(), bytes.to_vec());
        }
        put(273, LONG, 1, (values_at as u32 + 4096).to_le_bytes().to_vec());
        put(279, LONG, 1, (pixels.len() as u32).to_le_bytes().to_vec());
        entries.sort_by_key(|(tag, _)| *tag);
        let mut file = b"II*\0\x08\0\0\0".to_vec();
        file.extend((count as u16).to_le_bytes());
        file.extend(entries.into_iter().flat_map(|(_, entry)| entry));
        file.extend([0; 4]);
        file.extend(values);
        file.resize(values_at + 4096, 0);
        file.extend(pixels);
        file
    }

    /// Tags of so many pixels, bits of each colour, and what a pixel of 0 is (TIFF 6.0, PhotometricInterpretation).
    fn tags(wide: u16, high: u16, bits: &[u16], means: u16) -> Vec<(u16, Vec<u16>)> {
        let mut tags = vec![(256, vec![wide]), (257, vec![high]), (258, bits.to_vec())];
        tags.extend([(259, vec![1]), (262, vec![means]), (277, vec![bits.len() as u16])]);
        tags.push((278, vec![high]));
        tags
    }

    fn pixels(bytes: &[u8]) -> Vec<[u8; 3]> {
        let picture = prepare(bytes).unwrap();
        assert_eq!(picture.extension, "png");
        let again = image::load_from_memory(&picture.bytes).unwrap().to_rgb8();
        again.pixels().map(|pixel| pixel.0).collect()
    }

    #[test]
    fn the_pixels_of_a_tiff_are_those_that_it_stores() {
        let (red, blue) = ([255, 0, 0], [0, 0, 255]);
        let colours = [red, [1, 2, 3], blue, [9, 8, 7]];
        let stored = tiff(&tags(2, 2, &[8, 8, 8], 2), None, &colours.concat());
        assert_eq!(pixels(&stored), colours);
        // Of sixteen bits the upper eight count: 0x1234 is 0x12.
        let wide = [0x1234_u16, 0xFFFF, 0, 0x8080].map(u16::to_le_bytes).concat();
        let grey = pixels(&tiff(&tags(4, 1, &[16], 1), None, &wide));
        assert_eq!(grey, [[0x12; 3], [255; 3], [0; 3], [0x80; 3]]);
        let page = tiff(&tags(9, 2, &[1], 1), None, &[0; 4]);
        assert!(prepare(&page).unwrap_err().contains("fewer than the 8"));
        // Inks: no ink is white, black alone is black, cyan takes the red.
        let inks =
            pixels(&tiff(&tags(3, 1, &[8; 4], 5), None, &[0, 0, 0, 0, 0, 0, 0, 255, 255, 0, 0, 0]));
        assert_eq!(inks, [[255; 3], [0; 3], [0, 255, 255]]);
        // Turned by a quarter as the camera was held (orientation 6).
        let mut turned = tags(2, 1, &[8, 8, 8], 2);
        turned.push((274, vec![6]));
        let upright = prepare(&tiff(&turned, None, &[red, blue].concat())).unwrap();
        assert!(!upright.wide);
    }

    /// Written by Pillow 13.0.0 from the pixels that are expected: LZW, Deflate, PackBits.
    #[test]
    fn compressed_tiffs_are_those_of_another_program() {
        let of_hex = |hex: &str| -> Vec<u8> {
            let digit = |at: usize| u8::from_str_radix(&hex[at..at + 2], 16).unwrap();
            (0..hex.len()).step_by(2).map(digit).collect()
        };
        let colours =
            [[255, 0, 0], [0, 255, 0], [0, 0, 255], [10, 20, 30], [40, 50, 60], [70, 80, 90]];
        for hex in [
            "49492a001a000000803fc01038141014140f0a0643c23140b5010a000001030001000000030000000101030001\
             000000020000000201030003000000980000000301030001000000050000000601030001000000020000001101\
             040001000000080000001501030001000000030000001601030001000000020000001701040001000000120000\
             001c010300010000000100000000000000080008000800",
            "49492a0020000000789cfbcfc0c0f01f84b944e4348c6cdc02a200305a04c0000a000001030001000000030000\
             0001010300010000000200000002010300030000009e0000000301030001000000080000000601030001000000\
             020000001101040001000000080000001501030001000000030000001601030001000000020000001701040001\
             000000170000001c010300010000000100000000000000080008000800",
            "49492a001c00000000fffe0000fffe0000ff080a141e28323c46505a0a00000103000100000003000000010103\
             00010000000200000002010300030000009a000000030103000100000005800000060103000100000002000000\
             110104000100000008000000150103000100000003000000160103000100000002000000170104000100000014\
             0000001c010300010000000100000000000000080008000800",
        ] {
            assert_eq!(pixels(&of_hex(hex)), colours);
        }
    }

    #[test]
    fn a_tiff_that_lies_is_refused_within_bounds() {
        let whole = tiff(&tags(2, 2, &[8, 8, 8], 2), None, &[7; 12]);
        for cut in 0..whole.len() {
            if let Err(why) = prepare(&whole[..cut]) {
                assert!(!why.is_empty());
            }
        }
        let why = |file: &[u8]| prepare(file).unwrap_err();
        assert!(why(&whole[..whole.len() - 3]).contains("decoded"));
        let large = tags(60_000, 60_000, &[8, 8, 8], 2);
        assert!(why(&tiff(&large, None, &[0; 12])).contains("million"));
        assert!(!why(&tiff(&tags(0, 4, &[8], 1), None, &[])).is_empty());
        // 8000 by 7900 pixels of 48 bits are within the pixels and beyond the bytes.
        let deep = tags(8_000, 7_900, &[16, 16, 16], 2);
        assert!(
            why(&tiff(&deep, None, &[0; 12])).contains("256 MiB"),
            "{}",
            why(&tiff(&deep, None, &[0; 12]))
        );
        let mut planes = tags(2, 2, &[8, 8, 8], 2);
        planes.push((284, vec![2]));
        assert!(!why(&tiff(&planes, None, &[0; 12])).is_empty());
        let mut jpeg = tags(2, 2, &[8, 8, 8], 2);
        jpeg[3].1 = vec![7];
        assert!(!why(&tiff(&jpeg, None, &[0; 12])).is_empty());
    }

    /// A profile of version 2 (ICC.1:2001-04): its header, a table of its tags, and their values.
    fn profile(space: &[u8; 4], tags: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
        let mut table = (tags.len() as u32).to_be_bytes().to_vec();
        let (mut data, from) = (Vec::new(), 128 + 4 + 12 * tags.len());
        for (name, value) in tags {
            table.extend(*name);
            table.extend(((from + data.len()) as u32).to_be_bytes());
            table.extend((value.len() as u32).to_be_bytes());
            data.extend(value);
        }
        let mut head = ((from + data.len()) as u32).to_be_bytes().to_vec();
        head.extend(b"\0\0\0\0\x02\x10\0\0mntr");
        head.extend(space);
        head.extend(b"XYZ ");
        head.extend([2006_u16, 9, 7, 0, 0, 0].map(u16::to_be_bytes).concat());
        head.extend(b"acsp");
        head.resize(68, 0);
        head.extend(D50.map(fixed).concat());
        head.resize(128, 0);
        [head, table, data].concat()
    }

    const D50: [f64; 3] = [0.9642, 1.0, 0.8249];

    fn fixed(number: f64) -> [u8; 4] {
        ((number * 65_536.0).round() as i32).to_be_bytes()
    }

    fn xyz(values: [f64; 3]) -> Vec<u8> {
        [&b"XYZ \0\0\0\0"[..], &values.map(fixed).concat()].concat()
    }

    fn gamma(gamma: f64) -> Vec<u8> {
        let number = ((gamma * 256.0).round() as u16).to_be_bytes();
        [&b"curv\0\0\0\0\0\0\0\x01"[..], &number, &[0, 0]].concat()
    }

    /// The primaries of Adobe RGB (1998), as its publication gives them for D50, with a gamma of 2.2.
    fn wide_rgb() -> Vec<u8> {
        profile(
            b"RGB ",
            &[
                (b"wtpt", xyz(D50)),
                (b"rXYZ", xyz([0.60974, 0.31111, 0.01947])),
                (b"gXYZ", xyz([0.20528, 0.62567, 0.06087])),
                (b"bXYZ", xyz([0.14919, 0.06322, 0.74457])),
                (b"rTRC", gamma(2.2)),
                (b"gTRC", gamma(2.2)),
                (b"bTRC", gamma(2.2)),
            ],
        )
    }

    fn linear_grey() -> Vec<u8> {
        profile(b"GRAY", &[(b"wtpt", xyz(D50)), (b"kTRC", gamma(1.0))])
    }

    const WIDE: [[u8; 3]; 6] = [
        [200, 100, 50],
        [60, 120, 180],
        [128, 128, 128],
        [30, 200, 90],
        [255, 255, 255],
        [10, 20, 30],
    ];

    /// What Little CMS 2.19 makes of them with the same profiles, to its sRGB, perceptual intent (by Pillow 13.0.0's
    /// ImageCms).
    const AS_SRGB: [[u8; 3]; 6] = [
        [227, 100, 42],
        [0, 121, 184],
        [129, 129, 129],
        [0, 201, 80],
        [255, 255, 255],
        [0, 12, 24],
    ];

    #[track_caller]
    fn near(found: &[[u8; 3]], expected: &[[u8; 3]], most: u8) {
        assert_eq!(found.len(), expected.len());
        for (found, expected) in found.iter().flatten().zip(expected.iter().flatten()) {
            assert!(found.abs_diff(*expected) <= most, "{found} for {expected}");
        }
    }

    #[test]
    fn the_colours_of_a_profile_are_turned_into_those_of_srgb() {
        let with = |profile: &[u8]| {
            tiff(&tags(6, 1, &[8, 8, 8], 2), Some((34_675, profile)), &WIDE.concat())
        };
        near(&pixels(&with(&wide_rgb())), &AS_SRGB, 1);
        // A PNG and a JPEG have theirs elsewhere.
        let rgb = RgbImage::from_raw(6, 1, WIDE.concat()).unwrap();
        let mut bytes = Vec::new();
        let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
        image::ImageEncoder::set_icc_profile(&mut encoder, wide_rgb()).unwrap();
        DynamicImage::ImageRgb8(rgb).write_with_encoder(encoder).unwrap();
        near(&pixels(&bytes), &AS_SRGB, 1);
        let flat = RgbImage::from_pixel(16, 16, image::Rgb(WIDE[0]));
        let mut bytes = Vec::new();
        let mut encoder = JpegEncoder::new_with_quality(&mut bytes, 100);
        image::ImageEncoder::set_icc_profile(&mut encoder, wide_rgb()).unwrap();
        DynamicImage::ImageRgb8(flat).write_with_encoder(encoder).unwrap();
        let picture = prepare(&bytes).unwrap();
        assert_eq!(picture.note, None);
        let again = image::load_from_memory(&picture.bytes).unwrap().to_rgb8();
        near(&[again.get_pixel(8, 8).0], &AS_SRGB[..1], 3);
        // Light that is measured: Little CMS gives 0, 55, 137, 188, 229, 255.
        let grey =
            tiff(&tags(6, 1, &[8], 1), Some((34_675, &linear_grey())), &[0, 10, 64, 128, 200, 255]);
        near(&pixels(&grey), &[0, 55, 137, 188, 229, 255].map(|value| [value; 3]), 1);
    }

    #[test]
    fn a_profile_that_is_none_leaves_the_colours_and_says_so() {
        let with = |profile: &[u8]| {
            tiff(&tags(6, 1, &[8, 8, 8], 2), Some((34_675, profile)), &WIDE.concat())
        };
        let said = |profile: &[u8]| prepare(&with(profile)).unwrap().note.unwrap_or_default();
        let sound = wide_rgb();
        for (n, profile) in
            [&b"garbage"[..], &[0; 4000], &[0xFF; 4000], &linear_grey()].into_iter().enumerate()
        {
            assert!(said(profile).contains("colour profile is not used"), "{n}: {}", said(profile));
            assert_eq!(pixels(&with(profile)), WIDE);
        }
        // Whatever of a profile is missing or wrong, a picture comes of it, and the same again.
        for at in 0..sound.len() {
            let mut broken = sound.clone();
            broken[at] ^= 0xA5;
            let (one, other) = (prepare(&with(&broken)).unwrap(), prepare(&with(&broken)).unwrap());
            assert!(one.bytes == other.bytes && one.note == other.note);
            prepare(&with(&sound[..at])).unwrap();
        }
    }

    #[test]
    fn a_jpeg_that_is_cut_short_is_shown_and_said_to_be() {
        let mut bytes = Vec::new();
        noise(300).write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 90)).unwrap();
        assert_eq!(prepare(&bytes).unwrap().note, None);
        let cut = prepare(&bytes[..bytes.len() / 2]).unwrap();
        assert!(cut.note.unwrap().contains("cut short"));
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
