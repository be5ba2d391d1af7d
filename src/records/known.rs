//! Which file of records a path names, or was most likely meant to name.

use std::collections::BTreeMap;

use super::place::Place;
use super::problem::{Problem, Problems};
use super::store::Strange;
use super::{FILES, KEYED_FILES, history, papers, value};

/// Whether a path is that of a file of records.
pub(super) fn is_known(path: &str) -> bool {
    KEYED_FILES.iter().any(|spec| spec.path == path)
        || FILES.iter().any(|spec| spec.path == path)
        || history::is_record(path)
}

/// Every file of records by its path.
pub(super) fn known_files() -> impl Iterator<Item = &'static str> {
    KEYED_FILES.iter().map(|spec| spec.path).chain(FILES.iter().map(|spec| spec.path))
}

/// The file of records that a path with a mistyped name or in another folder is most likely meant to be.
pub(super) fn meant(path: &str) -> Option<&'static str> {
    if is_known(path) || path.starts_with(papers::FOLDER) {
        return None;
    }
    let stem = |path: &str| {
        let name = path.rsplit('/').next().unwrap_or(path).to_lowercase();
        name.rsplit_once('.').map_or(name.clone(), |(stem, _)| stem.to_string())
    };
    let written = stem(path);
    // `blocks (1).csv` and `blocks - copy.csv` are what systems call a copy.
    let copy = |stem: &str| {
        let rest = written.strip_prefix(stem);
        rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    };
    let known: Vec<(String, &str)> = known_files().map(|known| (stem(known), known)).collect();
    let named = |stem: &str| known.iter().find(|(known, _)| known == stem).map(|(_, path)| *path);
    let copied = known.iter().find(|(stem, _)| copy(stem)).map(|(_, path)| *path);
    let near = || value::nearest(&written, known.iter().map(|(stem, _)| stem.as_str()));
    copied.or_else(|| near().and_then(named))
}

/// The known files of the folder in which a file lies; all if there is none.
fn neighbours(path: &str) -> Vec<&'static str> {
    let folder = path.rfind('/').map_or("", |at| &path[..=at]);
    let here = |known: &&str| !folder.is_empty() && known.starts_with(folder);
    let here: Vec<&str> = known_files().filter(here).collect();
    if here.is_empty() { known_files().collect() } else { here }
}

/// A CSV or TOML file that no description knows is most often a known one with its name mistyped, and
/// nothing would be read from it; other files are kept as they are.
pub(super) fn unknown_files(sizes: &BTreeMap<String, u64>, problems: &mut Problems) {
    let mut strange = Strange::default();
    for path in sizes.keys().filter(|path| !is_known(path) && !path.starts_with(papers::FOLDER)) {
        let lower = path.to_lowercase();
        if !lower.ends_with(".csv") && !lower.ends_with(".toml") {
            continue;
        }
        let advice = match meant(path) {
            Some(near) if sizes.contains_key(near) => {
                format!("{near} is there too: take this one away, or move it to papers/")
            }
            Some(near) => format!(
                "if it is {near}, call it that; else move it to papers/ to have it kept unread"
            ),
            None => "move it to papers/ to have it kept unread".to_string(),
        };
        let problem = Problem::new(Place::file(path), "is not a file of records that is known")
            .expected(neighbours(path).join(", "))
            .advice(advice);
        strange.add(problem, problems);
    }
    strange.report_rest(problems);
}
