//! A new project's folder: blank, or carried forward from the docking before.

use std::collections::BTreeMap;
use std::io;
use std::sync::Mutex;

use super::before::Before;
use super::blank::{self, House};
use super::carried::carried;
use super::folder::{Content, Place};
use super::forms::{Wanted, forms};
use super::{readme, workbook};
use crate::bundle::error::BundleError;
use crate::findings::examine;
use crate::records::problem::Problems;
use crate::records::store::Store;
use crate::records::{self, Project, printed};

/// What was written.
#[derive(Debug)]
pub struct Started {
    /// How many files.
    pub files: usize,
    /// What was carried forward: rows of each CSV file, tables of each TOML file, by its path.
    pub carried: BTreeMap<&'static str, usize>,
    /// Names that were not carried, since they hold what no name may hold: to be filled in.
    pub left_out: Vec<String>,
}

/// The files of a new folder before they are written, read as a project.
struct Beginning<'a> {
    files: &'a BTreeMap<String, Content<'a>>,
    sizes: BTreeMap<String, u64>,
    /// The first failure to read the bundle.
    unread: Mutex<Option<BundleError>>,
}

impl<'a> Beginning<'a> {
    fn new(files: &'a BTreeMap<String, Content<'a>>) -> Self {
        let sizes = files.iter().map(|(path, one)| (path.clone(), one.size())).collect();
        Self { files, sizes, unread: Mutex::new(None) }
    }

    /// The project, if it can be read as one. A bundle that can't be read is another matter.
    fn project(self) -> Result<Option<Project>, BundleError> {
        let project = records::read(&self, Problems::default()).ok();
        let unread = self.unread.into_inner().unwrap_or_else(|e| e.into_inner());
        unread.map_or(Ok(project), Err)
    }
}

impl Store for Beginning<'_> {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        match self.files.get(path) {
            Some(Content::Bytes(bytes)) => Ok(bytes.clone()),
            Some(Content::Kept { bundle, path }) => bundle.read(path).inspect_err(|error| {
                let mut unread = self.unread.lock().unwrap_or_else(|e| e.into_inner());
                let at = bundle.at.join(path);
                unread.get_or_insert_with(|| BundleError::io(at, "can't be read", error));
            }),
            None => Err(io::ErrorKind::NotFound.into()),
        }
    }

    fn takes_workbooks(&self) -> bool {
        true
    }
}

/// Writes the folder, whole or not at all; its tables as CSV files, or as the sheets of one workbook.
pub fn start(
    place: &Place,
    before: Option<&Before>,
    as_workbook: bool,
    house: House,
    program: &str,
) -> Result<Started, BundleError> {
    let mut written = blank::files(house, before.map(Before::corrected));
    let mut counts = BTreeMap::new();
    let mut left_out = Vec::new();
    if let Some(before) = before {
        let carried = carried(before.corrected(), (&before.name, &before.supplements), house)
            .map_err(|error| {
                BundleError::new(
                    &before.file,
                    format!("can't be carried: {error}"),
                    "free some memory, then run again",
                )
            })?;
        written.extend(carried.files);
        counts = carried.counts;
        left_out = carried.left_out;
    }
    let tables = if as_workbook {
        workbook::replace_tables(&mut written, house).map_err(|error| {
            BundleError::new(
                workbook::PATH,
                format!("can't be made: {error}"),
                "free some memory, then run again",
            )
        })?;
        workbook::ABOUT
    } else {
        workbook::ABOUT_CSV
    };
    let readme = readme::text(before, &counts, &left_out, tables, house.units);
    written.insert(readme::PATH.to_string(), readme.into_bytes());
    let bytes = |(path, bytes)| (path, Content::Bytes(bytes));
    let mut files: BTreeMap<String, Content<'_>> = written.into_iter().map(bytes).collect();
    if let Some(before) = before {
        files.extend(before.history()?);
    }
    // A blank project has no names yet and can't be read: its sheets are blank too.
    let project = Beginning::new(&files).project()?;
    let wanted = Wanted { otherwise: (house.units, house.paper), ..Wanted::default() };
    let examined = project.and_then(|project| examine(project).ok());
    let sheets = forms(examined.as_ref(), &wanted, program)
        .map_err(|error| BundleError::new(printed::FOLDER, error.to_string(), ""))?;
    files.extend(sheets.into_iter().map(|(path, bytes)| (path, Content::Bytes(bytes))));
    place.fill(&files)?;
    Ok(Started { files: files.len(), carried: counts, left_out })
}
