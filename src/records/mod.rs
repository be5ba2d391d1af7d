//! What was written down: reading a project's files, with places and units, and nothing else.
//!
//! Every file of records is described by a table of columns ([`spec`]); reading, messages and the
//! derived tables all follow from it. All that is wrong in all files is reported at once.

pub mod blocks;
pub mod bottom;
pub mod bounds;
pub mod checks;
pub mod climate;
pub mod coats;
pub mod contents;
pub mod docking;
pub mod drafts;
pub mod entry;
pub mod film;
pub mod history;
pub mod hydrostatics;
pub mod ids;
pub mod keel;
pub mod keyed;
pub mod layers;
#[cfg(test)]
pub mod memory;
pub mod openings;
mod outline;
pub mod papers;
pub mod place;
pub mod plating;
pub mod positions;
pub mod preparation;
pub mod problem;
pub mod products;
pub mod remarks;
pub mod scheme;
pub mod sheet;
pub mod spec;
pub mod store;
pub mod value;
pub mod water;
pub mod weights;
pub mod zones;

use std::collections::BTreeMap;

use blocks::Block;
use bottom::Bottom;
use checks::{Gap, LandingCheck};
use climate::Climate;
use coats::Application;
use contents::Content;
use docking::Docking;
use drafts::DraftReading;
use film::{FilmReading, GaugeCheck};
use history::Past;
use hydrostatics::HydrostaticRow;
use ids::Ids;
use keel::Keel;
use keyed::{Keyed, KeyedSpec};
use layers::Layer;
use openings::{Opened, Opening};
use papers::Paper;
use place::Place;
use plating::{Anode, Gauging};
use positions::{Position, Sighting};
use preparation::Preparation;
use problem::{Problem, Problems};
use products::Products;
use remarks::Remark;
use scheme::SchemeCoat;
use sheet::Sheet;
use spec::FileSpec;
use store::Store;
use water::WaterLevel;
use weights::{Buoyancy, Moved, Stiffness, Weight};
use zones::{Drawn, Zone};

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
    pub remarks: Vec<Remark>,
    /// The ship's earlier dockings, the oldest first.
    pub history: Vec<Past>,
    /// The CSV files as typed rows, for the derived tables.
    pub sheets: Vec<Sheet>,
    /// The TOML files as typed tables, for the derived tables.
    pub keyed: Vec<Keyed>,
}

impl Project {
    /// Files that no description knows: kept as they are, never read. Papers are not among them.
    pub fn other_files(&self) -> impl Iterator<Item = &str> {
        self.files
            .keys()
            .map(String::as_str)
            .filter(|path| !is_known(path) && !path.starts_with(papers::FOLDER))
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

fn is_known(path: &str) -> bool {
    KEYED_FILES.iter().any(|spec| spec.path == path)
        || FILES.iter().any(|spec| spec.path == path)
        || history::is_record(path)
}

/// Reads a project. `problems` may hold what listing its folder found already; the result is a
/// project only if nothing at all is wrong.
pub fn read(store: &dyn Store, mut problems: Problems) -> Result<Project, Vec<Problem>> {
    let sizes = store.sizes();
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
    for path in [docking::SPEC.path, blocks::SPEC.path] {
        if !sizes.contains_key(path) {
            problems.add(
                Problem::new(Place::file(path), "is not there")
                    .expected("this file in the project's folder; all others may be absent")
                    .advice("name the project's own folder, or make the file"),
            );
        }
    }
    unknown_files(sizes.keys(), &mut problems);

    let keyed: Vec<Keyed> = KEYED_FILES
        .iter()
        .filter_map(|spec| {
            let bytes = bytes_of(spec.path, &mut problems)?;
            Some(keyed::read(spec, &bytes, &mut problems))
        })
        .collect();
    let nothing = Keyed::default();
    let tables = |spec: &KeyedSpec| keyed.iter().find(|file| file.path == spec.path);
    let tables = |spec: &KeyedSpec| tables(spec).unwrap_or(&nothing);
    let docking = Docking::read(tables(&docking::SPEC), &mut problems);

    // Without docking.toml nobody knows the offset; that is said once, not at every time.
    let unknown = docking.ship.name.is_empty().then(|| chrono::FixedOffset::east_opt(0)).flatten();
    let offset = docking.offset.or(unknown);
    let sheets: Vec<Sheet> = FILES
        .iter()
        .filter_map(|spec| {
            let bytes = bytes_of(spec.path, &mut problems)?;
            Some(sheet::read(spec, &bytes, offset, &mut problems))
        })
        .collect();
    let rows_sound = problems.is_empty();
    let mut ids = Ids::default();
    let entries = || {
        let keyed = keyed.iter().flat_map(|file| file.entries().map(|(_, entry)| entry));
        sheets.iter().flat_map(|sheet| &sheet.entries).chain(keyed)
    };
    entries().for_each(|entry| ids.take_from(entry, &mut problems));
    if rows_sound {
        // A row with a problem was left out, and then what refers to it would seem to meet nothing.
        entries().for_each(|entry| ids.check(entry, &mut problems));
    }

    let mut contents = BTreeMap::new();
    for (name, size) in papers_of(sizes) {
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
    let layers: Vec<Layer> =
        rows(&layers::SPEC).filter_map(|entry| Layer::read(entry, &mut problems)).collect();
    let project = Project {
        files: sizes.clone(),
        blocks: rows(&blocks::SPEC).filter_map(Block::read).collect(),
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
        positions: rows(&positions::SPEC).filter_map(Position::read).collect(),
        sightings: rows(&positions::MARKS_SPEC)
            .filter_map(|entry| Sighting::read(entry, &mut problems))
            .collect(),
        hydrostatics: rows(&hydrostatics::SPEC).filter_map(HydrostaticRow::read).collect(),
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
        coats: Application::read_all(rows(&coats::SPEC), &ids, &mut problems),
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
        remarks: Remark::read_all(tables(&remarks::SPEC), &mut problems),
        history: Past::read_all(sheet(&history::SPEC), store, &mut problems),
        docking,
        sheets,
        keyed,
    };
    if problems.is_empty() { Ok(project) } else { Err(problems.into_sorted()) }
}

/// A CSV or TOML file that no description knows is most often a known one with its name mistyped, and
/// nothing would be read from it; other files are kept as they are.
fn unknown_files<'a>(paths: impl Iterator<Item = &'a String>, problems: &mut Problems) {
    for path in paths.filter(|path| !is_known(path) && !path.starts_with(papers::FOLDER)) {
        let lower = path.to_lowercase();
        if !lower.ends_with(".csv") && !lower.ends_with(".toml") {
            continue;
        }
        let known = || {
            let named = KEYED_FILES.iter().map(|spec| spec.path);
            named.chain(FILES.iter().map(|spec| spec.path))
        };
        let advice = match value::nearest(path, known()) {
            Some(near) => format!("call it {near}, or move it to papers/ to have it kept unread"),
            None => "move it to papers/ to have it kept unread".to_string(),
        };
        problems.add(
            Problem::new(Place::file(path), "is not a file of records that is known")
                .expected(known().collect::<Vec<_>>().join(", "))
                .advice(advice),
        );
    }
}
