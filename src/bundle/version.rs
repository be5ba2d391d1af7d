//! Which versions of the bundle format this program reads, and which it writes.
//!
//! The version is stated in `bag-info.txt`, where it can be read before anything else. A version that was
//! ever released stays readable; `tests/formats` keeps bundles of each.

use super::bag;
use super::error::BundleError;
use super::layout;
use super::open::Bundle;

/// The oldest version that is read.
pub const OLDEST_READABLE: u32 = 1;
/// The newest version that is read.
pub const NEWEST_READABLE: u32 = 1;
/// The version that is written.
pub const WRITTEN: u32 = 1;

/// The label in `bag-info.txt` under which the version stands.
pub const LABEL: &str = "Docking-Record-Format";

/// The label under which a supplement states the version of the format: it is no bundle, and no reader is to take it for
/// one.
pub const SUPPLEMENT_LABEL: &str = "Docking-Supplement-Format";

/// The version of a bundle or supplement; `None` where it states none or nothing that is a number. If the system does not
/// let it be read, that is an error.
pub fn stated(bundle: &Bundle) -> Result<Option<u32>, BundleError> {
    let info = bundle.tag_text(layout::BAG_INFO)?;
    let value = |info: &str, label| bag::info_value(info, label)?.parse().ok();
    Ok(info.ok().and_then(|info| value(&info, LABEL).or_else(|| value(&info, SUPPLEMENT_LABEL))))
}

/// An error for a bundle of a version that is not read. A bundle that states no version may be damaged, and is left
/// to fixity.
pub fn refuse_others(bundle: &Bundle) -> Result<(), BundleError> {
    match stated(bundle)? {
        Some(version) if version > NEWEST_READABLE => Err(BundleError::new(
            &bundle.at,
            format!(
                "has format {version}, and this program reads formats {OLDEST_READABLE} to \
                 {NEWEST_READABLE}"
            ),
            "use a newer version of this program; the bundle's own README.txt says how to check and \
             read it without",
        )),
        Some(version) if version < OLDEST_READABLE => Err(BundleError::new(
            &bundle.at,
            format!("has format {version}, which was never released"),
            "check whether bag-info.txt has been changed; its checksum is in tagmanifest-sha256.txt",
        )),
        _ => Ok(()),
    }
}
