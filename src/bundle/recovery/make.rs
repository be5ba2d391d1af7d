//! Recovery data for a finished file, written and proved in a staging folder.

use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::super::error::BundleError;
use super::super::safely;
use super::super::staging::StagingDir;
use super::read::{self, Found};
use super::write::{self, Shape};

/// A recovery file, not yet in its place.
pub struct Made {
    /// Its name.
    pub name: String,
    /// The file, flushed and verified.
    pub file: NamedTempFile,
    /// Recovery slices in it.
    pub slices: usize,
}

/// Makes the recovery files for the file at `path`, which is to be called `name`; they are made
/// in `staging`. None if `percent` is 0. The file with recovery slices comes first.
pub fn make(
    path: &Path,
    name: &str,
    percent: u32,
    staging: &StagingDir,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Vec<Made>, BundleError> {
    let unread = |error: &std::io::Error| BundleError::io(path, "can't be read", error);
    let size = path.metadata().map_err(|error| unread(&error))?.len();
    let Some(shape) = Shape::plan(size, percent) else { return Ok(Vec::new()) };
    let summed = write::sum(path, name, &shape, progress).map_err(|error| unread(&error))?;
    let (set, critical) = write::critical(&summed, &shape);
    let [index, volume] = write::names(name, &shape);

    let mut slices = safely::temporary(staging)?;
    write::volume(path, size, &shape, (&set, &critical), slices.as_file_mut(), progress)
        .map_err(|error| safely::unwritten(staging, &error))?;
    safely::flush(staging, &slices)?;
    let made = vec![
        Made { name: volume, file: slices, slices: shape.outputs },
        Made { name: index, file: safely::filled(staging, &critical)?, slices: 0 },
    ];
    for made in &made {
        if !is_as_meant(made, summed.checksums.len(), &shape) {
            return Err(safely::not_as_written(staging.around(), "the packets of recovery data"));
        }
    }
    Ok(made)
}

/// Reads a recovery file back: it must hold nothing but whole packets of the expected set.
fn is_as_meant(made: &Made, inputs: usize, shape: &Shape) -> bool {
    let found: Found = read::read(&[made.file.path().to_path_buf()]);
    let whole = found.files.iter().all(|file| file.is_whole() && file.slices == made.slices);
    let sets: Vec<_> = found.sets().collect();
    let expected = matches!(sets.as_slice(), [Ok(set)]
        if set.slice == shape.slice
            && set.checksums.len() == inputs
            && set.recovery.len() == made.slices);
    whole && expected
}

/// Recovery files in a folder that go by their names with the file called `name`, but for those listed.
pub fn left_over(folder: &Path, name: &str, kept: &[&str]) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut found: Vec<PathBuf> = entries
        .flatten()
        .filter(|entry| {
            let file = entry.file_name();
            let Some(file) = file.to_str() else { return false };
            let Some(rest) = file.strip_prefix(name) else { return false };
            let ours = rest == ".par2" || (rest.starts_with(".vol") && rest.ends_with(".par2"));
            ours && !kept.contains(&file)
        })
        .map(|entry| entry.path())
        .collect();
    found.sort();
    found
}
