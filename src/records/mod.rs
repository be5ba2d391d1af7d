//! What was written down: reading a project's files, with places and units, and nothing else.
//!
//! Every file of records is described by a table of columns ([`spec`]); reading, messages and the
//! derived tables all follow from it. All that is wrong in all files is reported at once.

pub mod blocks;
pub mod bottom;
pub mod bounds;
pub mod budget;
pub mod characters;
pub mod checks;
pub mod climate;
pub mod coats;
pub mod contained;
pub mod contents;
pub mod docking;
pub mod drafts;
pub mod entry;
pub mod excerpt;
pub mod film;
pub mod hints;
pub mod history;
pub mod hydrostatics;
pub mod ids;
mod input;
pub mod keel;
pub mod keyed;
mod known;
pub mod layers;
#[cfg(test)]
pub mod memory;
pub mod openings;
mod outline;
pub mod papers;
pub mod place;
pub mod plain;
pub mod plating;
pub mod positions;
pub mod preparation;
pub mod printed;
pub mod problem;
pub mod products;
mod record;
pub mod remarks;
mod rows;
pub mod scheme;
pub mod sheet;
pub mod spec;
pub mod store;
pub mod value;
pub mod water;
pub mod weights;
pub mod workbook;
pub mod zones;

use std::collections::BTreeMap;

use blocks::Block;
use bottom::Bottom;
use budget::Budget;
use checks::{Gap, LandingCheck};
use climate::Climate;
use coats::Application;
use contents::Content;
use docking::Docking;
use drafts::DraftReading;
use entry::Entry;
use film::{FilmReading, GaugeCheck};
use history::Past;
use hydrostatics::HydrostaticRow;
use ids::Ids;
use input::{Input, checked, rows, tables};
use keel::Keel;
use keyed::{Keyed, KeyedSpec};
use known::{is_known, known_files, meant, unknown_files};
use layers::Layer;
use openings::{Opened, Opening};
use papers::Paper;
use place::Place;
use plating::{Anode, Gauging};
use positions::{Position, Sighting};
use preparation::Preparation;
use problem::{Problem, Problems};
use products::Products;
use remarks::Remarks;
use scheme::SchemeCoat;
use sheet::Sheet;
use spec::FileSpec;
use store::Store;
use water::WaterLevel;
use weights::{Buoyancy, Moved, Stiffness, Weight};
use workbook::Workbook;
use zones::{DrawnArea, Zone};

/// Declares the files of records: for each a field of the project, its type, how it is read, and its description. A
/// new one is a line here. What a field means its type says.
macro_rules! project {
    (
        tables { $($table:ident: $table_type:ty = $read_table:path, in $keyed:path;)* }
        rows { $($field:ident: $type:ty = $read:expr, in $spec:path;)* }
    ) => {
        /// The TOML files of a project, in the order in which they are read and shown.
        pub static KEYED_FILES: &[&KeyedSpec] = &[$(&$keyed),*];

        /// The CSV files of a project, in the order in which they are read and shown.
        pub static FILES: &[&FileSpec] = &[$(&$spec),*];

        /// A project, read whole.
        #[derive(Debug)]
        pub struct Project {
            $(pub $table: $table_type,)*
            $(pub $field: $type,)*
            /// Every file of the project with its size in bytes.
            pub files: BTreeMap<String, u64>,
            /// What the files in `papers/` hold, by their names there.
            pub contents: BTreeMap<String, Content>,
            /// The CSV files as typed rows, for the derived tables.
            pub sheets: Vec<Sheet>,
            /// The TOML files as typed tables, for the derived tables.
            pub keyed: Vec<Keyed>,
            /// The workbook whose sheets stand for CSV files, if there is one.
            pub workbook: Option<Workbook>,
            /// What ought to be known and keeps nothing from being read.
            pub warnings: Vec<Problem>,
        }

        impl Project {
            /// Reads its records from what its files hold; the rest of it is empty.
            fn read(input: &mut Input<'_>) -> Self {
                Self {
                    $($table: $read_table(input.tables(&$keyed), input.problems),)*
                    $($field: $read(&$spec, input),)*
                    files: BTreeMap::new(),
                    contents: BTreeMap::new(),
                    sheets: Vec::new(),
                    keyed: Vec::new(),
                    workbook: None,
                    warnings: Vec::new(),
                }
            }
        }
    };
}

project! {
    tables {
        docking: Docking = Docking::read, in docking::SPEC;
        products: Products = Products::read, in products::SPEC;
        remarks: Remarks = Remarks::read, in remarks::SPEC;
    }
    rows {
        blocks: Vec<Block> = Block::read_all, in blocks::SPEC;
        layers: Vec<Layer> = Layer::read_all, in layers::SPEC;
        openings: Vec<Opening> = checked(Opening::read), in openings::SPEC;
        opened: Vec<Opened> = Opened::read_all, in openings::OPENED_SPEC;
        bottom: Bottom = Bottom::read, in bottom::SPEC;
        keel: Keel = Keel::read, in keel::SPEC;
        positions: Vec<Position> = rows(Position::read), in positions::SPEC;
        sightings: Vec<Sighting> = checked(Sighting::read), in positions::MARKS_SPEC;
        hydrostatics: Vec<HydrostaticRow> = HydrostaticRow::read_all, in hydrostatics::SPEC;
        drafts: Vec<DraftReading> = rows(DraftReading::from_entry), in drafts::SPEC;
        water: Vec<WaterLevel> = rows(WaterLevel::from_entry), in water::SPEC;
        checks: Vec<LandingCheck> = rows(LandingCheck::from_entry), in checks::SPEC;
        gaps: Vec<Gap> = rows(Gap::from_entry), in checks::GAPS_SPEC;
        weights: Vec<Weight> = checked(Weight::read), in weights::SPEC;
        stiffness: Vec<Stiffness> = checked(Stiffness::read), in weights::STIFFNESS_SPEC;
        buoyancy: Vec<Buoyancy> = checked(Buoyancy::read), in weights::BUOYANCY_SPEC;
        moved: Vec<Moved> = rows(Moved::from_entry), in weights::MOVED_SPEC;
        zones: Vec<Zone> = Zone::read_all, in zones::SPEC;
        areas: Vec<DrawnArea> = DrawnArea::read_all, in zones::AREAS_SPEC;
        scheme: Vec<SchemeCoat> = SchemeCoat::read_all, in scheme::SPEC;
        preparation: Vec<Preparation> = Preparation::read_all, in preparation::SPEC;
        coats: Vec<Application> = Application::read_all, in coats::SPEC;
        climate: Vec<Climate> = checked(Climate::read), in climate::SPEC;
        film: Vec<FilmReading> = checked(FilmReading::read), in film::SPEC;
        gauges: Vec<GaugeCheck> = rows(GaugeCheck::from_entry), in film::GAUGES_SPEC;
        plating: Vec<Gauging> = checked(Gauging::read), in plating::SPEC;
        anodes: Vec<Anode> = checked(Anode::read), in plating::ANODES_SPEC;
        papers: Vec<Paper> = Paper::read_all, in papers::SPEC;
        history: Vec<Past> = Past::read_all, in history::SPEC;
    }
}

/// The files without which there is no project.
static MUST_BE_THERE: &[&str] = &[docking::SPEC.path, blocks::SPEC.path];

impl Project {
    /// Files that no description knows: kept as they are, never read. Papers are not among them.
    pub fn other_files(&self) -> impl Iterator<Item = &str> {
        let workbook = self.workbook.as_ref().map(|workbook| workbook.path.as_str());
        self.files
            .keys()
            .map(String::as_str)
            .filter(move |path| !is_known(path) && Some(*path) != workbook)
            .filter(|path| !path.starts_with(papers::FOLDER))
    }

    /// The papers that are listed, by their files' names.
    pub fn listed_papers(&self) -> BTreeMap<&str, &Paper> {
        self.papers.iter().map(|paper| (paper.file.as_str(), paper)).collect()
    }

    /// Files inside `papers/`, by their names there.
    pub fn paper_files(&self) -> impl Iterator<Item = (&str, u64)> {
        papers_of(&self.files)
    }
}

fn papers_of(files: &BTreeMap<String, u64>) -> impl Iterator<Item = (&str, u64)> {
    files
        .iter()
        .filter(|(path, _)| *path != papers::SPEC.path)
        .filter_map(|(path, size)| path.strip_prefix(papers::FOLDER).map(|name| (name, *size)))
}

/// Reads a project. `problems` may hold what listing its folder found already; the result is a
/// project only if nothing at all is wrong.
pub fn read(store: &dyn Store, problems: Problems) -> Result<Project, Vec<Problem>> {
    read_within(&mut Budget::default(), store, problems)
}

/// Reads a project or an earlier docking of one, as far as the project may hold it.
fn read_within(
    budget: &mut Budget,
    store: &dyn Store,
    problems: Problems,
) -> Result<Project, Vec<Problem>> {
    let mut problems = problems.for_closed_out(store.was_closed_out());
    let workbook = workbook::read(store, &mut problems);
    let mut sizes = store.sizes().clone();
    let made = workbook.iter().flat_map(Workbook::made);
    sizes.extend(made.map(|(path, csv)| (path.to_string(), csv.len() as u64)));
    let bytes_of = |path: &str, problems: &mut Problems| -> Option<Vec<u8>> {
        if !sizes.contains_key(path) {
            return None;
        }
        match store.read(path) {
            Ok(bytes) => Some(bytes),
            Err(error) => {
                problems.add(store::unreadable(path, &error.to_string()));
                None
            }
        }
    };
    for path in MUST_BE_THERE {
        if !sizes.contains_key(*path) {
            problems.add(
                Problem::new(Place::file(path), "is not there")
                    .expected("this file in the project's folder; all others may be absent")
                    .advice("name the project's own folder, or make the file"),
            );
        }
    }
    unknown_files(&sizes, &mut problems);

    let keyed: Vec<Keyed> = KEYED_FILES
        .iter()
        .filter_map(|spec| {
            let bytes = bytes_of(spec.path, &mut problems)?;
            let allowed = Budget::allows_toml(spec.path, &bytes, &mut problems);
            allowed.then(|| keyed::read(spec, &bytes, &mut problems))
        })
        .collect();
    // Where the offset can't be read, that is said once, not at every time.
    let docking = tables(&keyed, &docking::SPEC);
    let offset = docking::offset(docking);
    let sheets: Vec<Sheet> = FILES
        .iter()
        .filter_map(|spec| {
            let of_sheet = workbook.as_ref().and_then(|w| Some((w, w.csv(spec.path)?)));
            if let Some((workbook, bytes)) = of_sheet {
                let allowed = budget.allows_table(spec.path, bytes, &mut problems);
                let mut read = || sheet::read_of(workbook, spec, offset, &mut problems);
                return if allowed { read() } else { None };
            }
            let bytes = bytes_of(spec.path, &mut problems)?;
            let allowed = budget.allows_table(spec.path, &bytes, &mut problems);
            allowed.then(|| sheet::read(spec, &bytes, offset, &mut problems))
        })
        .collect();
    docking::report_offset_once(docking, &mut problems);
    let unread = unread_files(&sizes, &sheets, &keyed);
    let ids = ids(&sheets, &keyed, &unread, &mut problems);

    let mut contents = BTreeMap::new();
    for (name, size) in papers_of(&sizes) {
        let path = format!("{}{name}", papers::FOLDER);
        match Content::read(store, &path, size) {
            Ok(content) => {
                contents.insert(name.to_string(), content);
            }
            Err(error) => problems.add(store::unreadable(&path, &error.to_string())),
        }
    }

    let mut project = Project::read(&mut Input {
        sheets: &sheets,
        keyed: &keyed,
        ids: &ids,
        store,
        budget,
        problems: &mut problems,
    });
    let warnings = problems.take_warnings();
    project = Project { files: sizes, contents, sheets, keyed, workbook, warnings, ..project };
    if problems.is_empty() {
        return Ok(project);
    }
    let mut problems = problems.into_sorted();
    let sheet = |path: &str| project.workbook.as_ref()?.csv(path).map(<[u8]>::to_vec);
    excerpt::show(&mut problems, |path| sheet(path).or_else(|| store.read(path).ok()));
    Err(problems)
}

/// The files that stand in the folder under another name, or could not be read, or must be there.
fn unread_files(
    sizes: &BTreeMap<String, u64>,
    sheets: &[Sheet],
    keyed: &[Keyed],
) -> Vec<&'static str> {
    let read = |path: &str| {
        sheets.iter().any(|sheet| sheet.spec.path == path) || keyed.iter().any(|k| k.path == path)
    };
    let meant: Vec<&str> = sizes.keys().filter_map(|path| meant(path)).collect();
    known_files()
        .filter(|path| !read(path))
        .filter(|path| {
            sizes.contains_key(*path) || meant.contains(path) || MUST_BE_THERE.contains(path)
        })
        .collect()
}

/// Takes up every name that is given and reports every one that meets none. A row with a problem gives
/// names and names things as every other; what it may have said and nobody can read is not held against
/// the rows that name it.
fn ids(sheets: &[Sheet], keyed: &[Keyed], unread: &[&'static str], problems: &mut Problems) -> Ids {
    let mut ids = Ids::default();
    let mut entries: Vec<&Entry> = sheets.iter().flat_map(|sheet| &sheet.entries).collect();
    entries.extend(keyed.iter().flat_map(|file| file.entries().map(|(_, entry)| entry)));
    let left_out = || {
        let sheets = sheets.iter().map(|sheet| &sheet.left_out);
        sheets.chain(keyed.iter().map(|file| &file.left_out))
    };
    entries
        .extend(left_out().flat_map(|left_out| &left_out.rejected).map(|rejected| &rejected.entry));
    entries.sort_by(|a, b| a.place.cmp(&b.place));
    left_out()
        .flat_map(|left_out| &left_out.rejected)
        .for_each(|rejected| ids.take_rejected(rejected));
    let columns = |path: &str| {
        let rows = FILES.iter().filter(move |spec| spec.path == path).map(|spec| spec.columns);
        let tables = KEYED_FILES.iter().filter(move |spec| spec.path == path);
        rows.chain(tables.flat_map(|spec| spec.tables).map(|table| table.keys)).collect::<Vec<_>>()
    };
    let unread = unread.iter().copied();
    let unread = unread
        .chain(sheets.iter().filter(|sheet| sheet.left_out.unread).map(|sheet| sheet.spec.path))
        .chain(keyed.iter().filter(|file| file.left_out.unread).map(|file| file.path));
    unread.flat_map(columns).for_each(|columns| ids.take_unread(columns));
    entries.iter().for_each(|entry| ids.take_from(entry, problems));
    ids.check(&entries, problems);
    ids
}
