//! A supplement sealed: a bag of its own in a zip, its seal and recovery data beside it, or nothing at all.
//!
//! Order of writing: papers and records, each read once, then the README and the format's text, the description of all of
//! them, manifests and tag files go into a zip in a staging folder; it is flushed and read back; recovery data is made of it; then all are renamed.

use std::fs::File;
use std::io::Seek;
use std::path::{Path, PathBuf};

use super::bag;
use super::closeout::{pack_file, read_back, unchanged};
use super::digest;
use super::error::BundleError;
use super::first_sight;
use super::format_text;
use super::layout;
use super::open::Kept;
use super::pack::Packer;
use super::readme;
use super::recovery::make::{self, Made};
use super::ro_crate::{self, SupplementTold};
use super::safely::{self, Finished};
use super::seal;
use super::signature;
use super::staging::StagingDir;
use super::version;
use crate::records::corrected::Supplement;
use crate::records::docking::Docking;
use crate::records::store::{Folder, Store};
use crate::records::supplement::stated;

/// What is to be sealed.
pub struct Request<'a> {
    /// The supplement's folder.
    pub folder: &'a Folder,
    /// What was read from it.
    pub supplement: &'a Supplement,
    /// Of what docking.
    pub docking: &'a Docking,
    /// Where to write.
    pub out: &'a Path,
    /// Whether files that are there already and differ may be replaced.
    pub replace: bool,
    /// Recovery slices for each hundred slices of the supplement; 0 for no recovery data.
    pub repair_percent: u32,
    /// The key that signs, if somebody wants to.
    pub sign_with: Option<&'a ssh_key::PrivateKey>,
    /// Name and version of the program.
    pub program: &'a str,
    /// Called with the number of bytes packed or processed.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

/// What was written.
#[derive(Debug)]
pub struct Written {
    /// The supplement.
    pub supplement: PathBuf,
    /// The seal beside it.
    pub seal_file: PathBuf,
    /// What the files beside each other are, for whoever finds them.
    pub read_me_first: PathBuf,
    /// The signature beside it, if it was signed.
    pub signature: Option<PathBuf>,
    /// The recovery files beside it.
    pub recovery: Vec<PathBuf>,
    /// The seal, 64 hexadecimal digits.
    pub seal: String,
    /// Files in the payload.
    pub files: usize,
    /// Bytes in the payload.
    pub bytes: u64,
    /// Whether the very same supplement was there already.
    pub unchanged: bool,
}

/// Writes supplement, seal and recovery data, and a signature if a key is given.
pub fn write(request: &Request<'_>) -> Result<Written, Vec<BundleError>> {
    let about = &request.supplement.stated.about;
    let name = &about.name;
    let one = |error: BundleError| vec![error];
    let staging = StagingDir::making(request.out).map_err(one)?;
    let unwritten = |error: std::io::Error| one(safely::unwritten(&staging, &error));
    let temporary = safely::temporary(&staging).map_err(one)?;
    let file = temporary.as_file().try_clone().map_err(unwritten)?;
    let mut packer = Packer::new(file, request.out, name, about.made_on);
    pack(&mut packer, request).map_err(one)?;
    let files = packer.files().len();
    let bytes = packer.files().values().map(|digests| digests.size).sum();
    let info = info(&packer, request);
    let tag_manifest = packer.add_tags(&info).map_err(one)?;
    let seal = digest::sha256(tag_manifest.as_bytes());
    let mut file = packer.finish().map_err(one)?;
    let counted = file.stream_position().map_err(unwritten)?;
    file.sync_all().map_err(unwritten)?;
    if file.metadata().map_err(unwritten)?.len() != counted {
        return Err(one(safely::not_as_written(request.out, "the supplement's length")));
    }
    prove(temporary.path(), request, &seal)?;

    let zip = format!("{name}.zip");
    let made =
        make::make(temporary.path(), &zip, request.repair_percent, &staging, request.progress)
            .map_err(|error| one(error.reported_at(request.out)))?;
    let names: Vec<&str> = made.iter().map(|made| made.name.as_str()).collect();
    let left_over = make::left_over(request.out, &zip, &names);
    let mut written = Written {
        supplement: request.out.join(&zip),
        seal_file: request.out.join(format!("{name}-seal.txt")),
        read_me_first: request.out.join(first_sight::file_name(name)),
        signature: request.sign_with.map(|_| signature::beside(&request.out.join(&zip))),
        recovery: names.iter().rev().map(|name| request.out.join(name)).collect(),
        files,
        bytes,
        unchanged: false,
        seal,
    };
    let stated = &request.supplement.stated;
    let seal_text = seal::of_supplement(stated, request.docking, &written.seal);
    let seal_file = safely::filled(&staging, seal_text.as_bytes()).map_err(one)?;
    let mut finished = vec![Finished { file: seal_file, place: written.seal_file.clone() }];
    if let (Some(key), Some(place)) = (request.sign_with, &written.signature) {
        finished.push(signature::finished(key, &tag_manifest, &staging, place).map_err(one)?);
    }
    finished.extend(
        made.into_iter()
            .map(|Made { name, file, .. }| Finished { file, place: request.out.join(name) }),
    );
    let files = std::iter::once(&written.supplement).chain(finished.iter().map(|one| &one.place));
    let files: Vec<String> =
        files.filter_map(|place| Some(place.file_name()?.to_string_lossy().into_owned())).collect();
    let first_sight = first_sight::of_supplement(stated, request.docking, &files);
    let file = safely::filled(&staging, first_sight.as_bytes()).map_err(one)?;
    finished.push(Finished { file, place: written.read_me_first.clone() });
    // The supplement comes last: once it has its final name, all the others have theirs.
    finished.push(Finished { file: temporary, place: written.supplement.clone() });
    for (path, _) in packed(request) {
        unchanged(request.folder, path).map_err(one)?;
    }
    written.unchanged = !safely::put_in_place(finished, &left_over, request.replace)?;
    Ok(written)
}

/// The files of the folder that are packed, papers first: tables without a row are left out.
fn packed<'a>(request: &'a Request<'_>) -> Vec<(&'a str, u64)> {
    let sizes = request.folder.sizes().iter().map(|(path, size)| (path.as_str(), *size));
    let mut files: Vec<(&str, u64)> =
        sizes.filter(|(path, _)| request.supplement.holds(path)).collect();
    files.sort_by_key(|(path, _)| {
        let place = layout::in_bundle(path);
        (!place.starts_with(layout::PAPERS), place)
    });
    files
}

fn pack(packer: &mut Packer<File>, request: &Request<'_>) -> Result<(), BundleError> {
    for (path, size) in packed(request) {
        let place = layout::in_bundle(path);
        pack_file(packer, &place, request.folder, (path, size), request.progress)?;
    }
    packer.add_bytes(layout::FORMAT_TEXT, format_text::text().as_bytes())?;
    let readme = readme::of_supplement(request.supplement, request.docking, request.program);
    packer.add_bytes(layout::README, readme.as_bytes())?;
    let told = SupplementTold {
        stated: &request.supplement.stated,
        docking: request.docking,
        program: request.program,
        files: packer.files(),
    };
    let failed =
        |error: serde_json::Error| BundleError::new(layout::RO_CRATE, error.to_string(), "");
    let description = ro_crate::written_of_supplement(&told).map_err(failed)?;
    packer.add_bytes(layout::RO_CRATE, &description)
}

/// `bag-info.txt`: the names and seals of what it supplements are in it for who looks no further.
fn info(packer: &Packer<File>, request: &Request<'_>) -> String {
    let stated = &request.supplement.stated;
    let (ship, archive) = (&request.docking.ship.name, &request.docking.archive);
    let payload = packer.files();
    bag::info(&[
        ("Contact-Name", stated.about.made_by.clone()),
        (
            "External-Description",
            format!(
                "Supplement to the dry-docking record of {ship}, {}: {}{}",
                stated.first.name,
                stated.about.about,
                archive.statement().map(|statement| format!(". {statement}")).unwrap_or_default()
            ),
        ),
        ("External-Identifier", stated.about.name.clone()),
        (
            "Internal-Sender-Description",
            format!("Supplements {} (seal {})", stated.parent.name, stated.parent.seal),
        ),
        ("Bagging-Date", stated.about.made_on.to_string()),
        ("Bag-Size", bag::size(payload)),
        ("Payload-Oxum", bag::oxum(payload)),
        ("Bag-Group-Identifier", archive.identifier_of_ship().unwrap_or_else(|| ship.clone())),
        ("Bag-Software-Agent", request.program.to_string()),
        (version::SUPPLEMENT_LABEL, version::WRITTEN.to_string()),
    ])
}

/// Reads back what was written and checks that every file is whole, that the seal is the one computed, and that it still
/// names what it supplements.
fn prove(temporary: &Path, request: &Request<'_>, seal: &str) -> Result<(), Vec<BundleError>> {
    let bundle = read_back(temporary, request.out, seal)?;
    match stated(&Kept::new(&bundle)) {
        Ok(stated) if stated.parent.seal == request.supplement.stated.parent.seal => Ok(()),
        _ => Err(vec![safely::not_as_written(request.out, "what it supplements")]),
    }
}
