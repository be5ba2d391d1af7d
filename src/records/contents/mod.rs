//! What the files in `papers/` hold, by their content and not by their names.
//!
//! A file's beginning and end are read, and of pictures and films the few places that say more; a paper of
//! many gigabytes costs no more memory or time than a small one. No size that a file declares is believed.

pub mod kinds;
mod parts;
mod picture;
mod recognise;
mod sorts;
#[cfg(test)]
mod tests;

use std::io;

use kinds::Kind;
use parts::Parts;
pub use picture::CameraTime;

use super::store::Store;

/// The most pixels of a picture that are decoded: what the largest cameras give, and little enough for
/// memory.
pub const MOST_PIXELS: u64 = 64_000_000;

/// What a file holds.
#[derive(Debug, Default)]
pub struct Content {
    /// Whether nothing is in it.
    pub empty: bool,
    /// Its kind; `None` where it is none that is known.
    pub kind: Option<&'static Kind>,
    /// Width and height in pixels that a PNG or JPEG picture declares.
    pub pixels: Option<(u32, u32)>,
    /// Why a PNG or JPEG picture can't be decoded, as a sentence part, if that shows without decoding it.
    pub broken: Option<&'static str>,
    /// Which version of its format a picture is, by the name that PRONOM has for it.
    pub sort: Option<&'static str>,
    /// When the camera says it was taken.
    pub taken: Option<CameraTime>,
}

impl Content {
    /// Looks at a file of the store.
    pub fn read(store: &dyn Store, path: &str, size: u64) -> io::Result<Self> {
        let mut parts = Parts::new(store, path, size);
        let mut content = Self { empty: size == 0, ..Self::default() };
        let Some(media) = recognise::media(&mut parts, kinds::end_of(path).as_deref())? else {
            return Ok(content);
        };
        content.kind = kinds::by_media_type(media);
        if let Some(looked) = picture::look(&mut parts, media)? {
            (content.pixels, content.broken) = (looked.pixels, looked.broken);
        }
        if media.starts_with("image/") {
            content.sort = sorts::of_picture(&parts, media)?;
            content.taken = picture::time_taken(&parts);
        }
        Ok(content)
    }

    /// Whether a picture has more pixels than are decoded.
    pub fn too_many_pixels(&self) -> bool {
        self.pixels
            .is_some_and(|(width, height)| u64::from(width) * u64::from(height) > MOST_PIXELS)
    }
}
