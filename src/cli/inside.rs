//! What is to be written must not lie in a folder that is read: it would be taken for a part of it the next time.

use std::path::{Component, Path, PathBuf};

use crate::bundle::error::BundleError;

/// An error if `out` lies inside a project's or a supplement's folder.
pub fn refuse(folder: &Path, out: &Path) -> Option<BundleError> {
    let wrong = "lies inside the project's folder";
    lies_inside(folder, out).then(|| BundleError::new(out, wrong, "name a folder outside it"))
}

/// An error if `out` lies inside a bundle that was unpacked to a folder.
pub fn refuse_in_bundle(folder: &Path, out: &Path) -> Option<BundleError> {
    let wrong = "lies inside the bundle, which would then no longer be whole";
    let is_inside = folder.is_dir() && lies_inside(folder, out);
    is_inside.then(|| BundleError::new(out, wrong, "name a place outside it"))
}

/// Neither need be there yet: `..` is taken out first, then the nearest folder above it that is there decides.
fn lies_inside(folder: &Path, out: &Path) -> bool {
    let Ok(folder) = folder.canonicalize() else { return false };
    let Ok(absolute) = std::path::absolute(out) else { return false };
    let mut plain = PathBuf::new();
    for part in absolute.components() {
        if part == Component::ParentDir {
            plain.pop();
        } else {
            plain.push(part);
        }
    }
    let there = plain.ancestors().find_map(|above| above.canonicalize().ok());
    there.is_some_and(|there| there.starts_with(&folder))
}
