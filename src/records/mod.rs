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
mod dialect;
pub mod docking;
pub mod drafts;
pub mod entry;
pub mod excerpt;
mod feet;
pub mod film;
mod hints;
pub mod history;
pub mod hydrostatics;
pub mod ids;
pub mod keel;
pub mod keyed;
mod known;
pub mod layers;
pub mod left_out;
#[cfg(test)]
pub mod memory;
pub mod near;
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
pub mod remarks;
mod rows;
pub mod scheme;
pub mod sheet;
pub mod spec;
pub mod store;
mod texts;
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
use zones::{Drawn, Extent, Zone};

/// The CSV files of a project, in the order in which they are read and shown.
pub static FILES: &[&FileSpec] = &[
    &blocks::SPEC,
    &layers::SPEC,
    &openings::SPEC,
    &openings::OPENED_SPEC,
    &bottom::SPEC,
    &keel::SPEC,
    &positions::SPEC,
    &positions::MARKS_SPEC,
    &hydrostatics::SPEC,
    &drafts::SPEC,
    &water::SPEC,
    &checks::SPEC,
    &checks::GAPS_SPEC,
    &weights::SPEC,
    &weights::STIFFNESS_SPEC,
    &weights::BUOYANCY_SPEC,
    &weights::MOVED_SPEC,
    &zones::SPEC,
    &zones::AREAS_SPEC,
    &scheme::SPEC,
    &preparation::SPEC,
    &coats::SPEC,
    &climate::SPEC,
    &film::SPEC,
    &film::GAUGES_SPEC,
    &plating::SPEC,
    &plating::ANODES_SPEC,
    &papers::SPEC,
    &history::SPEC,
];

/// The TOML files of a project, in the order in which they are read and shown.
pub static KEYED_FILES: &[&KeyedSpec] = &[&docking::SPEC, &products::SPEC, &remarks::SPEC];

/// The files without which there is no project.
static MUST_BE_THERE: &[&str] = &[docking::SPEC.path, blocks::SPEC.path];

/// A project, read whole.
#[derive(Debug)]
pub struct Project {
    /// Every file of the project with its size in bytes.
    pub files: BTreeMap<String, u64>,
    /// `docking.toml`.
    pub docking: Docking,
    /// The block plan.
    pub blocks: Vec<Block>,
    /// What blocks are built of, each block's and row's layers in order.
    pub layers: Vec<Layer>,
    /// The openings.
    pub openings: Vec<Opening>,
    /// Openings opened and closed.
    pub opened: Vec<Opened>,
    /// Outlines of the bottom.
    pub bottom: Bottom,
    /// The keel's own line.
    pub keel: Keel,
    /// Docking positions in the order of the file.
    pub positions: Vec<Position>,
    /// Sightings.
    pub sightings: Vec<Sighting>,
    /// The hydrostatic table, row by row.
    pub hydrostatics: Vec<HydrostaticRow>,
    /// Readings of the draft marks.
    pub drafts: Vec<DraftReading>,
    /// Dock water levels.
    pub water: Vec<WaterLevel>,
    /// Landing checks.
    pub checks: Vec<LandingCheck>,
    /// Gaps measured between caps and hull.
    pub gaps: Vec<Gap>,
    /// The weight curve.
    pub weights: Vec<Weight>,
    /// The hull girder.
    pub stiffness: Vec<Stiffness>,
    /// The buoyancy curve, if it is recorded.
    pub buoyancy: Vec<Buoyancy>,
    /// Weights moved while docked.
    pub moved: Vec<Moved>,
    /// The zones of the coating.
    pub zones: Vec<Zone>,
    /// Areas drawn for its logs.
    pub areas: Vec<Drawn>,
    /// Products, recoat tables, batches.
    pub products: Products,
    /// The scheme, each zone's coats in order.
    pub scheme: Vec<SchemeCoat>,
    /// Preparation checks.
    pub preparation: Vec<Preparation>,
    /// Applications, in the order of the file.
    pub coats: Vec<Application>,
    /// Climate readings.
    pub climate: Vec<Climate>,
    /// Film readings.
    pub film: Vec<FilmReading>,
    /// Gauge checks.
    pub gauges: Vec<GaugeCheck>,
    /// Plate gaugings.
    pub plating: Vec<Gauging>,
    /// Anodes.
    pub anodes: Vec<Anode>,
    /// Papers and photographs that are listed.
    pub papers: Vec<Paper>,
    /// What the files in `papers/` hold, by their names there.
    pub contents: BTreeMap<String, Content>,
    /// Answers to findings.
    pub remarks: Remarks,
    /// The ship's earlier dockings, the oldest first.
    pub history: Vec<Past>,
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
    let mut problems = problems.of_closed_out(store.was_closed_out());
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
    let nothing = Keyed::default();
    let tables = |spec: &KeyedSpec| keyed.iter().find(|file| file.path == spec.path);
    let tables = |spec: &KeyedSpec| tables(spec).unwrap_or(&nothing);
    let docking = Docking::read(tables(&docking::SPEC), &mut problems);

    // Where the offset can't be read, that is said once, not at every time.
    let told = tables(&docking::SPEC).is_sound("period");
    let unknown = if told { None } else { chrono::FixedOffset::east_opt(0) };
    let offset = docking.offset.or(unknown);
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
    docking::offset_once(tables(&docking::SPEC), &mut problems);
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

    let sheet = |spec: &FileSpec| sheets.iter().find(|sheet| sheet.spec.path == spec.path);
    let rows = |spec: &FileSpec| sheet(spec).into_iter().flat_map(|sheet| &sheet.entries);
    for spec in [&preparation::SPEC, &coats::SPEC] {
        let torn = sheet(spec).into_iter().flat_map(|sheet| &sheet.left_out.torn);
        torn.for_each(|torn| _ = Extent::read(&torn.entry, &ids, &mut problems));
    }
    let layers: Vec<Layer> =
        rows(&layers::SPEC).filter_map(|entry| Layer::read(entry, &mut problems)).collect();
    let positions: Vec<Position> = rows(&positions::SPEC).filter_map(Position::read).collect();
    let project = Project {
        files: sizes,
        blocks: Block::read_all(rows(&blocks::SPEC), &mut problems),
        openings: rows(&openings::SPEC)
            .filter_map(|entry| Opening::read(entry, &mut problems))
            .collect(),
        opened: rows(&openings::SPEC)
            .chain(rows(&openings::OPENED_SPEC))
            .filter_map(Opened::read)
            .collect(),
        layers: Layer::in_order(layers, &mut problems),
        bottom: sheet(&bottom::SPEC)
            .map(|sheet| Bottom::read(sheet, &mut problems))
            .unwrap_or_default(),
        keel: sheet(&keel::SPEC).map(|sheet| Keel::read(sheet, &mut problems)).unwrap_or_default(),
        sightings: rows(&positions::MARKS_SPEC)
            .filter_map(|entry| Sighting::read(entry, &mut problems))
            .collect(),
        hydrostatics: HydrostaticRow::read_all(rows(&hydrostatics::SPEC), &mut problems),
        drafts: rows(&drafts::SPEC).filter_map(DraftReading::read).collect(),
        water: rows(&water::SPEC).filter_map(WaterLevel::read).collect(),
        checks: rows(&checks::SPEC).filter_map(LandingCheck::read).collect(),
        gaps: rows(&checks::GAPS_SPEC).filter_map(Gap::read).collect(),
        weights: rows(&weights::SPEC)
            .filter_map(|entry| Weight::read(entry, &mut problems))
            .collect(),
        stiffness: rows(&weights::STIFFNESS_SPEC)
            .filter_map(|entry| Stiffness::read(entry, &mut problems))
            .collect(),
        buoyancy: rows(&weights::BUOYANCY_SPEC)
            .filter_map(|entry| Buoyancy::read(entry, &mut problems))
            .collect(),
        moved: rows(&weights::MOVED_SPEC).filter_map(Moved::read).collect(),
        zones: sheet(&zones::SPEC)
            .map(|sheet| Zone::read_all(sheet, &mut problems))
            .unwrap_or_default(),
        areas: sheet(&zones::AREAS_SPEC)
            .map(|sheet| Drawn::read_all(sheet, &mut problems))
            .unwrap_or_default(),
        products: Products::read(tables(&products::SPEC), &mut problems),
        scheme: SchemeCoat::read_all(rows(&scheme::SPEC), &mut problems),
        preparation: rows(&preparation::SPEC)
            .filter_map(|entry| Preparation::read(entry, &ids, &mut problems))
            .collect(),
        coats: Application::read_all(rows(&coats::SPEC), &positions, &ids, &mut problems),
        positions,
        climate: rows(&climate::SPEC)
            .filter_map(|entry| Climate::read(entry, &mut problems))
            .collect(),
        film: rows(&film::SPEC)
            .filter_map(|entry| FilmReading::read(entry, &mut problems))
            .collect(),
        gauges: rows(&film::GAUGES_SPEC).filter_map(GaugeCheck::read).collect(),
        plating: rows(&plating::SPEC)
            .filter_map(|entry| Gauging::read(entry, &mut problems))
            .collect(),
        anodes: rows(&plating::ANODES_SPEC)
            .filter_map(|entry| Anode::read(entry, &mut problems))
            .collect(),
        papers: sheet(&papers::SPEC)
            .map(|sheet| Paper::read_all(sheet, &mut problems))
            .unwrap_or_default(),
        contents,
        remarks: Remarks::read(tables(&remarks::SPEC), &mut problems),
        history: Past::read_all(sheet(&history::SPEC), store, budget, &mut problems),
        docking,
        sheets,
        keyed,
        workbook,
        warnings: problems.take_warnings(),
    };
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
    entries.extend(left_out().flat_map(|left_out| &left_out.torn).map(|torn| &torn.entry));
    entries.sort_by(|a, b| a.place.cmp(&b.place));
    left_out().flat_map(|left_out| &left_out.torn).for_each(|torn| ids.take_torn(torn));
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
