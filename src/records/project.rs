//! A project: which files of records there are, all of them read, and the earlier dockings with it.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::bilge::BilgeBlock;
use super::blocks::Block;
use super::bottom::Bottom;
use super::budget::Budget;
use super::checks::{Gap, LandingCheck};
use super::climate::Climate;
use super::coats::Application;
use super::contents::Content;
use super::contents::kinds::Kind;
use super::crossings::Crossing;
use super::divers::DiversSighting;
use super::docking::Docking;
use super::drafts::DraftReading;
use super::entry::Entry;
use super::film::{FilmReading, GaugeCheck};
use super::grammar::orders::Calendar;
use super::history::{self, Source, docking_of, folder_of};
use super::holds::Hold;
use super::hydrostatics::HydrostaticRow;
use super::ids::Ids;
use super::input::{Input, checked, rows, tables};
use super::keel::Keel;
use super::keyed::{Keyed, KeyedSpec};
use super::known::Known;
use super::layers::Layer;
use super::openings::{Opened, Opening};
use super::papers::Paper;
use super::pictures::Album;
use super::place::Place;
use super::plan::PlanPosition;
use super::plating::{Anode, Gauging, InstrumentCheck};
use super::positions::{Position, Sighting};
use super::preparation::Preparation;
use super::problem::{Alike, Problem, Problems};
use super::products::Products;
use super::remarks::Remarks;
use super::repairs::Repair;
use super::scheme::SchemeCoat;
use super::sheet::{self, Part, Sheet};
use super::spec::{Column, FileSpec};
use super::stops::Stop;
use super::store::{self, Store, Within};
use super::stripes::Stripe;
use super::supplement::KeptSupplement;
use super::tested::CoatingTest;
use super::water::WaterLevel;
use super::weights::{Buoyancy, Moved, Stiffness, Weight};
use super::workbook::Workbook;
use super::zones::{DrawnArea, Zone};
use super::{
    bilge, blocks, bottom, checks, climate, coats, crossings, divers, docking, drafts, excerpt,
    film, holds, hydrostatics, keel, keyed, layers, openings, papers, parts, plan, plating,
    positions, preparation, products, remarks, repairs, scheme, stops, stripes, tested, water,
    weights, workbook, zones,
};

/// The files that may have only so many rows, and the tables that may stand only so often in a file: the file's path,
/// the table's name (empty for a CSV file), and how many.
pub fn bounded_rows() -> impl Iterator<Item = (&'static str, &'static str, usize)> {
    let tables = KEYED_FILES
        .iter()
        .flat_map(|spec| spec.tables.iter().map(|table| (spec.path, table.name, table.most)));
    let files = FILES.iter().map(|spec| (spec.path, "", spec.most_rows));
    tables.chain(files).filter(|(.., most)| *most < usize::MAX)
}

/// Declares the files of records: for each a field of the project, its type, how it is read, and its description. A
/// new file is one more line here.
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
            /// Coats that are planned, and of which nothing says that they were done.
            pub planned_coats: Vec<Application>,
            /// Every file of the project with its size in bytes.
            pub files: BTreeMap<String, u64>,
            /// What the files in `papers/` hold, by their names there.
            pub contents: BTreeMap<String, Content>,
            /// The pictures that the report is to show, made ready.
            pub pictures: Album,
            /// The tables of CSV files as typed rows, for the derived tables.
            pub sheets: Vec<Sheet>,
            /// The TOML files as typed tables, for the derived tables.
            pub keyed: Vec<Keyed>,
            /// The workbooks whose sheets stand for CSV files.
            pub workbooks: Vec<Workbook>,
            /// What is worth knowing but does not keep the project from being read.
            pub warnings: Vec<Problem>,
        }

        impl Project {
            /// Reads the records from the files' contents; all other fields are empty.
            fn read(input: &mut Input<'_>) -> Self {
                Self {
                    $($table: $read_table(input.tables(&$keyed), input.problems),)*
                    $($field: $read(&$spec, input),)*
                    planned_coats: Vec::new(),
                    files: BTreeMap::new(),
                    contents: BTreeMap::new(),
                    pictures: Album::default(),
                    sheets: Vec::new(),
                    keyed: Vec::new(),
                    workbooks: Vec::new(),
                    warnings: Vec::new(),
                }
            }

            /// Its records alone, without the files that they were read from, to be changed.
            pub(super) fn copy_of_records(&self) -> Self {
                Self {
                    $($table: self.$table.clone(),)*
                    $($field: self.$field.clone(),)*
                    planned_coats: self.planned_coats.clone(),
                    files: BTreeMap::new(),
                    contents: BTreeMap::new(),
                    pictures: Album::default(),
                    sheets: Vec::new(),
                    keyed: Vec::new(),
                    workbooks: Vec::new(),
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
        plan_positions: Vec<PlanPosition> = rows(PlanPosition::from_entry), in plan::SPEC;
        positions: Vec<Position> = rows(Position::read), in positions::SPEC;
        sightings: Vec<Sighting> = checked(Sighting::read), in positions::MARKS_SPEC;
        divers: Vec<DiversSighting> = checked(DiversSighting::read), in divers::SPEC;
        hydrostatics: Vec<HydrostaticRow> = HydrostaticRow::read_all, in hydrostatics::SPEC;
        drafts: Vec<DraftReading> = checked(DraftReading::read), in drafts::SPEC;
        water: Vec<WaterLevel> = rows(WaterLevel::from_entry), in water::SPEC;
        crossings: Vec<Crossing> = rows(Crossing::from_entry), in crossings::SPEC;
        stops: Vec<Stop> = rows(Stop::from_entry), in stops::SPEC;
        checks: Vec<LandingCheck> = rows(LandingCheck::from_entry), in checks::SPEC;
        gaps: Vec<Gap> = rows(Gap::from_entry), in checks::GAPS_SPEC;
        bilge: Vec<BilgeBlock> = rows(BilgeBlock::from_entry), in bilge::SPEC;
        holds: Vec<Hold> = rows(Hold::from_entry), in holds::SPEC;
        weights: Vec<Weight> = checked(Weight::read), in weights::SPEC;
        stiffness: Vec<Stiffness> = checked(Stiffness::read), in weights::STIFFNESS_SPEC;
        buoyancy: Vec<Buoyancy> = checked(Buoyancy::read), in weights::BUOYANCY_SPEC;
        moved: Vec<Moved> = checked(Moved::read), in weights::MOVED_SPEC;
        zones: Vec<Zone> = Zone::read_all, in zones::SPEC;
        areas: Vec<DrawnArea> = DrawnArea::read_all, in zones::AREAS_SPEC;
        scheme: Vec<SchemeCoat> = SchemeCoat::read_all, in scheme::SPEC;
        preparation: Vec<Preparation> = Preparation::read_all, in preparation::SPEC;
        coats: Vec<Application> = Application::read_all, in coats::SPEC;
        stripes: Vec<Stripe> = rows(Stripe::from_entry), in stripes::SPEC;
        climate: Vec<Climate> = checked(Climate::read), in climate::SPEC;
        film: Vec<FilmReading> = checked(FilmReading::read), in film::SPEC;
        gauges: Vec<GaugeCheck> = rows(GaugeCheck::from_entry), in film::GAUGES_SPEC;
        tests: Vec<CoatingTest> = checked(CoatingTest::read), in tested::SPEC;
        plating: Vec<Gauging> = checked(Gauging::read), in plating::SPEC;
        instruments: Vec<InstrumentCheck> = rows(InstrumentCheck::from_entry), in plating::INSTRUMENTS_SPEC;
        repairs: Vec<Repair> = Repair::read_all, in repairs::SPEC;
        anodes: Vec<Anode> = checked(Anode::read), in plating::ANODES_SPEC;
        papers: Vec<Paper> = Paper::read_all, in papers::SPEC;
        history: Vec<Past> = Past::read_all, in history::SPEC;
    }
}

/// The files without which there is no project.
const REQUIRED: &[&str] = &[docking::SPEC.path, blocks::SPEC.path];

pub(super) const KNOWN: Known =
    Known { rows: FILES, tables: KEYED_FILES, required: REQUIRED, papers: papers::FOLDER };

impl Project {
    /// Files that are neither records nor papers: kept as they are, never read.
    pub fn other_files(&self) -> impl Iterator<Item = &str> {
        let is_workbook = |path: &str| self.workbooks.iter().any(|workbook| workbook.path == path);
        self.files
            .keys()
            .map(String::as_str)
            .filter(move |path| !KNOWN.contains(path) && !is_workbook(path))
            .filter(|path| !path.starts_with(papers::FOLDER))
    }

    /// The papers that are listed, by their files' names.
    pub fn listed_papers(&self) -> BTreeMap<&str, &Paper> {
        self.papers.iter().map(|paper| (paper.file.as_str(), paper)).collect()
    }

    /// Whether a paper says something to the next docking, and is a text that can be printed.
    pub fn is_letter_for_next_time(&self, paper: &Paper) -> bool {
        let is_text =
            |kind: &Kind| kind.media.first().is_some_and(|media| media.starts_with("text/plain"));
        paper.for_next_time && self.kind(paper).is_some_and(is_text)
    }

    /// The same of a picture.
    pub fn is_picture_for_next_time(&self, paper: &Paper) -> bool {
        paper.for_next_time && self.kind(paper).is_some_and(Kind::is_picture)
    }

    /// What a paper's file holds; `None` where it is not known.
    fn kind(&self, paper: &Paper) -> Option<&'static Kind> {
        self.contents.get(&paper.file).and_then(|content| content.kind)
    }

    /// First and last day of the docking: as its period states them, else by the times of its positions.
    pub fn days(&self) -> (Option<NaiveDate>, Option<NaiveDate>) {
        let times = || {
            let each = self.positions.iter().flat_map(|position| position.times.in_order());
            each.filter_map(|(_, at): (_, Option<DateTime<FixedOffset>>)| Some(at?.date_naive()))
        };
        let (began, ended) = self.docking.period;
        (began.or_else(|| times().min()), ended.or_else(|| times().max()))
    }

    /// Whether a row of a file is planned only: nothing says that what it tells was done.
    pub fn is_to_come(&self, file: &FileSpec, row: &Entry) -> bool {
        let is_empty = |column: &Column| row.value(column).is_none();
        match file.path {
            path if path == coats::SPEC.path => {
                self.planned_coats.iter().any(|coat| coat.place == row.place)
            }
            path if path == drafts::SPEC.path => is_empty(&DraftReading::draft_m),
            path if path == weights::MOVED_SPEC.path => is_empty(&Moved::at),
            _ => false,
        }
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

/// Reads a project, or an earlier docking of one, within what is left of the budget.
pub(super) fn read_within(
    budget: &mut Budget,
    store: &dyn Store,
    problems: Problems,
) -> Result<Project, Vec<Problem>> {
    let mut problems = problems.for_closed_out(store.was_closed_out());
    let workbooks = workbook::read(store, FILES, &mut problems);
    let mut sizes = store.sizes().clone();
    let made = workbooks.iter().flat_map(Workbook::made);
    sizes.extend(made.map(|(path, csv)| (path.to_string(), csv.len() as u64)));
    let files = KNOWN.files(&sizes);
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
    for path in REQUIRED {
        if !sizes.contains_key(*path) && !files.contains_key(path) {
            problems.add(
                Problem::new(Place::file(path), "is missing")
                    .alike(Alike::Anywhere)
                    .expected(
                        "docking.toml and plan/blocks.csv in the project's folder; other files \
                         may be absent",
                    )
                    .advice("name the folder that holds the project's files, or create this one"),
            );
        }
    }
    KNOWN.report_unknown(&sizes, &mut problems);

    // docking.toml is the first of them, and says by which clock and in which order the others' times are read.
    let mut calendar = Calendar::default();
    let mut keyed: Vec<Keyed> = Vec::new();
    for spec in KEYED_FILES {
        let Some(bytes) = bytes_of(spec.path, &mut problems) else { continue };
        if Budget::allows_toml(spec.path, &bytes, &mut problems) {
            let read = keyed::read(spec, &bytes, &calendar, &mut problems);
            if spec.path == docking::SPEC.path {
                calendar = docking::calendar(&read, &mut problems);
            }
            keyed.push(read);
        }
    }
    // An offset that can't be read is reported once, not at every time.
    let docking = tables(&keyed, &docking::SPEC);
    if docking.path.is_empty() {
        calendar = docking::calendar(docking, &mut problems);
    }
    let mut sheets: Vec<Sheet> = Vec::new();
    for spec in FILES {
        let paths = files.get(spec.path).map_or(&[][..], Vec::as_slice);
        let (mut read, mut rows_before): (Vec<Sheet>, usize) = (Vec::new(), 0);
        for path in paths {
            let workbook = workbooks.iter().find(|workbook| workbook.csv(path).is_some());
            let bytes = match workbook.and_then(|workbook| workbook.csv(path)) {
                Some(made) => Some(Cow::Borrowed(made)),
                None => bytes_of(path, &mut problems).map(Cow::Owned),
            };
            let Some(bytes) = bytes else { continue };
            if budget.allows_table(path, &bytes, &mut problems) {
                let part = Part { path, bytes: &bytes, rows_before, workbook };
                let sheet = sheet::read_part(spec, part, &calendar, &mut problems);
                rows_before += sheet.count();
                read.push(sheet);
            }
        }
        let is_whole = read.len() == paths.len();
        if let Some(mut sheet) = parts::joined(read, &mut problems) {
            sheet.left_out.unread |= !is_whole;
            sheets.push(sheet);
        }
    }
    docking::report_offset_once(docking, &mut problems);
    let unread = KNOWN.unread(&sizes, &sheets, &keyed);
    let ids = Ids::collect(KNOWN, &mut sheets, &mut keyed, &unread, &mut problems);

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
    project.planned_coats = coats::set_planned_apart(&mut project.coats);
    let mut warnings = problems.take_warnings();
    warnings.append(&mut problems.take_notes());
    project = Project { files: sizes, contents, sheets, keyed, workbooks, warnings, ..project };
    if problems.is_empty() {
        let mut unread = Vec::new();
        project.pictures = Album::read(store, &project.papers, &project.contents, &mut unread);
        return if unread.is_empty() { Ok(project) } else { Err(unread) };
    }
    let mut problems = problems.into_sorted();
    let made = |path: &str| project.workbooks.iter().find_map(|workbook| workbook.csv(path));
    let sheet = |path: &str| made(path).map(<[u8]>::to_vec);
    excerpt::show(&mut problems, |path| sheet(path).or_else(|| store.read(path).ok()));
    Err(problems)
}

/// An earlier docking of the ship.
#[derive(Debug, Clone)]
pub struct Past {
    /// Where its records come from.
    pub source: Source,
    /// Its records. They have no history of their own, and no papers.
    pub project: Arc<Project>,
    /// What supplements to its bundle say, the earliest first. Its records stand as the bundle has them.
    pub supplements: Vec<KeptSupplement>,
}

impl Past {
    /// Where one of its records stands in the project that holds it.
    pub fn whole_place(&self, place: &Place) -> Place {
        within(&self.source.folder(), place)
    }

    /// Reads every earlier docking. Whatever is wrong with one goes to `problems` with its whole path.
    fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let folders: BTreeSet<&str> =
            input.store.sizes().keys().filter_map(|path| docking_of(path)).collect();
        // A row with a problem was left out, and its folder would seem to have none.
        if !input.problems.concern(spec.path) {
            let names = input.rows(spec).filter_map(|row| row.get(&Source::name));
            let listed: BTreeSet<String> = names.collect();
            for folder in folders.iter().filter(|folder| !listed.contains(**folder)) {
                input.problems.add(not_listed(folder));
            }
        }
        let mut past: Vec<Self> = Vec::new();
        for row in input.rows(spec) {
            let found = Self::read(row, &folders, input);
            if let (Some(earlier), Some(found)) = (past.last(), &found) {
                in_order(earlier, found, row, input.problems);
            }
            past.extend(found);
        }
        past
    }

    fn read(row: &Entry, folders: &BTreeSet<&str>, input: &mut Input<'_>) -> Option<Self> {
        let source = Source::read(row, input.problems)?;
        let folder = source.folder();
        if !folders.contains(source.name.as_str()) {
            input.problems.add(
                Problem::new(row.place_of(&Source::name), format!("has no folder {folder}"))
                    .value(source.name)
                    .expected(
                        "a folder with that docking's records, as its bundle keeps them in \
                         data/records",
                    )
                    .advice("put them there, or remove the row"),
            );
            return None;
        }
        let inside = Within::new(input.store, &folder, &[history::FOLDER, history::SUPPLEMENTS]);
        if input.store.sizes().keys().any(|path| inside.holds_below(path, history::FOLDER)) {
            let place = Place::file(&format!("{folder}{}", history::FOLDER));
            input.problems.add(
                Problem::new(place, "is the history of a docking that is itself in history/")
                    .expected(
                        "each earlier docking in history/ itself, with a row in history/dockings.csv",
                    )
                    .advice("move its folders and rows there"),
            );
        }
        match read_within(input.budget, &inside, Problems::default()) {
            Ok(project) => {
                let supplements = supplements(&folder, input)?;
                Some(Self { source, project: Arc::new(project), supplements })
            }
            Err(found) => {
                for problem in found {
                    let place = within(&folder, &problem.place);
                    input.problems.add(Problem { place, ..problem });
                }
                None
            }
        }
    }
}

/// The supplements beside the records of an earlier docking in `folder`, by day and name.
fn supplements(folder: &str, input: &mut Input<'_>) -> Option<Vec<KeptSupplement>> {
    let all = format!("{folder}{}", history::SUPPLEMENTS);
    let names = input.store.sizes().keys().filter_map(|path| {
        path.strip_prefix(&all)?.split_once('/').map(|(name, _)| name.to_string())
    });
    let names: BTreeSet<String> = names.collect();
    let mut found = Vec::new();
    for name in &names {
        let folder = format!("{all}{name}/");
        match KeptSupplement::read(&Within::new(input.store, &folder, &[])) {
            Ok(kept) => found.push(kept),
            Err(problems) => {
                for problem in problems {
                    let place = within(&folder, &problem.place);
                    input.problems.add(Problem { place, ..problem });
                }
            }
        }
    }
    let is_whole = found.len() == names.len();
    found.sort_by(|a, b| {
        let key =
            |kept: &KeptSupplement| (kept.stated.about.made_on, kept.stated.about.name.clone());
        key(a).cmp(&key(b))
    });
    is_whole.then_some(found)
}

fn within(folder: &str, place: &Place) -> Place {
    Place { file: format!("{folder}{}", place.file).into(), ..place.clone() }
}

fn not_listed(folder: &str) -> Problem {
    Problem::new(Place::file(&folder_of(folder)), "has no row in history/dockings.csv")
        .expected("a row for each folder in history/")
        .advice("add the row, or remove the folder")
}

/// Rows go from the oldest docking to the newest, as far as their days are recorded.
fn in_order(earlier: &Past, later: &Past, row: &Entry, problems: &mut Problems) {
    let (Some(ended), Some(began)) = (earlier.project.days().1, later.project.days().0) else {
        return;
    };
    if began < ended {
        problems.add(
            Problem::new(
                row.place_of(&Source::name),
                format!("began on {began}, and {} above it ended on {ended}", earlier.source.name),
            )
            .value(later.source.name.clone())
            .expected("the oldest docking first")
            .advice("put the rows in chronological order"),
        );
    }
}

#[cfg(test)]
mod tests;
