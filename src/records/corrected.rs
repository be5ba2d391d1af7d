//! A bundle's records with the supplements that follow it: each supplement read against what came before it, and the
//! records as all of them together have them.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::sync::LazyLock;

use chrono::NaiveDate;

use super::budget::Budget;
use super::entry::Entry;
use super::errata::{self, Erratum};
use super::excerpt;
use super::history;
use super::keyed::KeyedSpec;
use super::known::Known;
use super::papers;
use super::place::Place;
use super::problem::{Alike, Problem, Problems};
use super::project::{FILES, KEYED_FILES, KNOWN, Project, read_within};
use super::spec::{FileSpec, Holds, Stands, TableSpec};
use super::standing::{Missed, Standing, Text, Which};
use super::store::{self, Store};
use super::supplement::{self, Stated};

/// As many supplements may follow a bundle: each is read against all before it.
pub const MOST: usize = 100;

/// The tables that a supplement may hold: those of a project but for its history, and its errata.
static TABLES: LazyLock<Vec<&'static FileSpec>> = LazyLock::new(|| {
    let of_project = FILES.iter().copied().filter(|spec| spec.path != history::SPEC.path);
    std::iter::once(&errata::SPEC).chain(of_project).collect()
});

static KEYED: &[&KeyedSpec] = &[&supplement::SPEC];

fn known() -> Known {
    Known { rows: &TABLES, tables: KEYED, required: &[supplement::PATH], papers: papers::FOLDER }
}

/// An erratum and where what it corrects stands.
#[derive(Debug, Clone)]
pub struct Placed {
    pub erratum: Erratum,
    /// The file in which the corrected records have the value.
    path: String,
    /// The line on which the row begins or the key stands.
    pub line: u32,
}

impl Placed {
    /// Whether it is about the value of another erratum, which stands in that file on that line; tables that were not
    /// there have no line, and are told apart by their names.
    fn is_of_value(&self, path: &str, line: u32, other: &Erratum) -> bool {
        let column = |erratum: &Erratum| erratum.column.trim().to_lowercase();
        let is_there = self.path == path && self.line == line;
        is_there
            && column(&self.erratum) == column(other)
            && (line > 0 || self.erratum.row == other.row)
    }
}

/// A supplement as it was read.
#[derive(Debug)]
pub struct Supplement {
    pub stated: Stated,
    /// In the order of the file.
    pub errata: Vec<Placed>,
    /// The rows of its other tables, by the tables' paths.
    pub rows: BTreeMap<&'static str, Vec<Entry>>,
    /// Its papers, by their names in `papers/`.
    pub papers: Vec<String>,
    /// The files of the corrected records that are its own tables.
    parts: Vec<String>,
}

/// What stands in a note about a row or table that supplements added or corrected: `entry` is one of the corrected
/// records. `None` where none did.
pub fn note_on(entry: &Entry, supplements: &[Supplement]) -> Option<String> {
    let file = &*entry.place.file;
    let places = entry.values().filter_map(|(column, _)| entry.place_of(column).line);
    let lines: BTreeSet<u32> = places.chain(entry.place.line).collect();
    let mut notes = Vec::new();
    for supplement in supplements {
        let name = &supplement.stated.about.name;
        if supplement.parts.iter().any(|part| part == file) {
            let about = &supplement.stated.about;
            notes.push(format!("{name}: the whole row; by {}, {}", about.made_by, about.made_on));
        }
        let here = |placed: &&Placed| placed.path == file && lines.contains(&placed.line);
        for Placed { erratum, .. } in supplement.errata.iter().filter(here) {
            notes.push(format!(
                "{name} {}: {} was {}, is {}; says {}, {}",
                erratum.id,
                erratum.column,
                erratum.stands.as_deref().unwrap_or("empty"),
                erratum.right.as_deref().unwrap_or("withdrawn"),
                erratum.by,
                erratum.on,
            ));
        }
    }
    (!notes.is_empty()).then(|| notes.join("; "))
}

impl Supplement {
    /// Whether it says nothing.
    fn is_empty(&self) -> bool {
        self.errata.is_empty() && self.rows.is_empty() && self.papers.is_empty()
    }

    /// How many rows its tables have together.
    pub fn row_count(&self) -> usize {
        self.rows.values().map(Vec::len).sum()
    }

    /// Which of its files hold records or papers: a table without a row is none.
    pub fn holds(&self, path: &str) -> bool {
        let spec = known().files(&BTreeMap::from([(path.to_string(), 0)])).into_keys().next();
        match spec {
            None => true,
            Some(spec) if spec == errata::SPEC.path => !self.errata.is_empty(),
            Some(spec) if spec == papers::SPEC.path => !self.papers.is_empty(),
            Some(spec) => self.rows.get(spec).is_some_and(|rows| !rows.is_empty()),
        }
    }
}

/// What a file of the corrected records holds.
#[derive(Clone)]
enum Held<'a> {
    /// What it always held.
    First,
    Bytes(Vec<u8>),
    /// What a file of a supplement holds.
    Of(&'a dyn Store, String),
}

/// A bundle's records with the supplements that follow it.
pub struct Line<'a> {
    first: &'a dyn Store,
    supplements: Vec<(Supplement, &'a dyn Store)>,
    files: BTreeMap<String, Held<'a>>,
    /// The records as the supplements so far have them; `None` before the first supplement.
    project: Option<Project>,
    /// When the first record was closed out, if that is known.
    closed_on: Option<NaiveDate>,
}

impl<'a> Line<'a> {
    /// A bundle's records with no supplement. Papers and earlier dockings are left aside.
    pub fn new(first: &'a dyn Store) -> Self {
        let aside = [papers::FOLDER, history::FOLDER];
        let kept = first.sizes().keys().filter(|path| !aside.iter().any(|at| path.starts_with(at)));
        let files = kept.map(|path| (path.clone(), Held::First)).collect();
        Self { first, supplements: Vec::new(), files, project: None, closed_on: None }
    }

    /// The same line with the day on which the first record was closed out.
    pub fn closed_on(self, day: NaiveDate) -> Self {
        Self { closed_on: Some(day), ..self }
    }

    /// The supplements read so far.
    pub fn supplements(&self) -> impl Iterator<Item = &Supplement> {
        self.supplements.iter().map(|(supplement, _)| supplement)
    }

    /// The supplements, and the records as they have them; these only if there is a supplement. Of papers only the last
    /// supplement's are among them, and no earlier docking.
    pub fn into_parts(self) -> (Vec<Supplement>, Option<Project>) {
        let supplements = self.supplements.into_iter().map(|(supplement, _)| supplement).collect();
        (supplements, self.project)
    }

    /// Reads a supplement against what came before it. `problems` may hold what listing its folder found. Its places are
    /// those of its own files.
    pub fn add(&mut self, from: &'a dyn Store, problems: Problems) -> Result<(), Vec<Problem>> {
        let mut problems = problems.for_closed_out(from.was_closed_out());
        let read = self.read(from, &mut problems);
        if problems.is_empty()
            && let Some((supplement, files, project)) = read
        {
            self.files = files;
            self.project = Some(project);
            self.supplements.push((supplement, from));
            return Ok(());
        }
        let mut problems = problems.into_sorted();
        excerpt::show(&mut problems, |path| from.read(path).ok());
        Err(problems)
    }

    fn read(
        &self,
        from: &'a dyn Store,
        problems: &mut Problems,
    ) -> Option<(Supplement, BTreeMap<String, Held<'a>>, Project)> {
        known().report_unknown(from.sizes(), problems);
        let stated = supplement::read(from, problems);
        if let Some(stated) = &stated {
            self.refuse_repeated(stated, problems);
        }
        if self.supplements.len() >= MOST {
            problems.add(
                Problem::new(
                    Place::file(supplement::PATH),
                    format!("is one more than {MOST} supplements"),
                )
                .expected(format!("at most {MOST} supplements to one bundle"))
                .advice("gather what is new in one supplement"),
            );
        }
        let stated = stated.filter(|_| problems.is_empty())?;
        let mut found = Problems::default();
        let errata = errata::read(from, &mut found);
        found.into_sorted().into_iter().for_each(|problem| problems.add(with_year_first(problem)));
        if !from.was_closed_out() {
            self.refuse_days(&stated, &errata, problems);
        }
        let mut files = self.files.clone();
        files.retain(|path, _| !path.starts_with(papers::FOLDER));
        let mut placed: Vec<Corrected> = Vec::new();
        for erratum in errata {
            placed.extend(self.correct(erratum, &placed, &mut files, problems));
        }
        let parts = self.add_files(&stated.about.name, from, &mut files, problems);
        if !problems.is_empty() {
            return None;
        }
        let mut project = None;
        // What later versions refuse in a project is refused in a supplement that is being made, and not in a record
        // that was closed out.
        for closed_out in [false, true] {
            if from.was_closed_out() && !closed_out {
                continue;
            }
            let store = CorrectedStore::new(self.first, &files, closed_out);
            match read_within(&mut Budget::default(), &store, Problems::default()) {
                Ok(read) => project = Some(read),
                Err(found) => told_as_its_own(found, &parts, &placed, closed_out, problems),
            }
            if !problems.is_empty() {
                return None;
            }
        }
        let project = project?;
        let mut rows: BTreeMap<&'static str, Vec<Entry>> = BTreeMap::new();
        for sheet in project.sheets.iter().filter(|sheet| sheet.spec.path != papers::SPEC.path) {
            let own = sheet.entries.iter().filter(|row| parts.contains_key(&*row.place.file));
            let own: Vec<Entry> = own.cloned().collect();
            if !own.is_empty() {
                rows.insert(sheet.spec.path, own);
            }
        }
        let papers = project.paper_files().map(|(name, _)| name.to_string()).collect();
        let errata = placed.into_iter().map(|corrected| corrected.placed).collect();
        let parts = parts.into_keys().collect();
        let supplement = Supplement { stated, errata, rows, papers, parts };
        if supplement.is_empty() && !from.was_closed_out() {
            problems.add(
                Problem::new(
                    Place::file(supplement::PATH),
                    "has nothing to seal: no erratum, row or paper",
                )
                .expected("a row in errata.csv or in another table, or a file in papers/")
                .advice("fill in what became known, then run the same command again"),
            );
            return None;
        }
        Some((supplement, files, project))
    }

    /// Nobody makes a supplement before there is what it follows, nor says in it what is only said later.
    fn refuse_days(&self, stated: &Stated, errata: &[Erratum], problems: &mut Problems) {
        let made_on = stated.about.made_on;
        let last = self
            .supplements()
            .last()
            .map(|last| (last.stated.about.name.as_str(), last.stated.about.made_on));
        let first = || Some((stated.first.name.as_str(), self.closed_on?));
        if let Some((name, before)) = last.or_else(first).filter(|(_, before)| made_on < *before) {
            problems.add(
                Problem::new(
                    Place { name: "made_on".into(), ..stated.about.place.clone() },
                    format!("is before {name} was made"),
                )
                .value(made_on.to_string())
                .expected(format!("a day not before {before}"))
                .advice("correct the day"),
            );
        }
        for erratum in errata.iter().filter(|erratum| erratum.on > made_on) {
            problems.add(
                Problem::new(
                    Place { name: "on".into(), ..erratum.place.clone() },
                    "is after the day on which the supplement is made",
                )
                .value(erratum.on.to_string())
                .expected(format!(
                    "a day not after {made_on}, which is made_on in {}",
                    supplement::PATH
                ))
                .advice("correct this day, or made_on"),
            );
        }
    }

    /// A name that stands in the line already would make what is meant by it unclear.
    fn refuse_repeated(&self, stated: &Stated, problems: &mut Problems) {
        let name = &stated.about.name;
        let taken = self.supplements().map(|supplement| &supplement.stated.about.name);
        if taken.chain([&stated.first.name]).any(|taken| taken.eq_ignore_ascii_case(name)) {
            problems.add(
                Problem::new(stated.about.place.clone(), "has the name of what it supplements")
                    .value(name.clone())
                    .expected("a name of its own")
                    .advice("give the supplement another name"),
            );
        }
    }

    /// Holds an erratum against the file that it corrects, and corrects that.
    fn correct(
        &self,
        erratum: Erratum,
        before: &[Corrected],
        files: &mut BTreeMap<String, Held<'a>>,
        problems: &mut Problems,
    ) -> Option<Corrected> {
        let mut refuse = |problem: Problem| {
            problems.add(problem);
            None
        };
        let place = |column: &str| Place { name: column.into(), ..erratum.place.clone() };
        let (store, path): (&dyn Store, String) = match &erratum.of {
            None => (self.first, erratum.file.clone()),
            Some(name) => {
                let found = self.supplements.iter().find(|(one, _)| one.stated.about.name == *name);
                let Some((_, store)) = found else {
                    let names: Vec<&str> =
                        self.supplements().map(|one| one.stated.about.name.as_str()).collect();
                    let expected = match names.as_slice() {
                        [] => "nothing, as no supplement comes before this one".to_string(),
                        names => format!("nothing, or one of {}", names.join(", ")),
                    };
                    return refuse(
                        Problem::new(place("of"), "is no supplement that comes before this one")
                            .value(name.clone())
                            .expected(expected)
                            .advice("name the supplement whose record is wrong, or leave the cell empty if it is the bundle's"),
                    );
                };
                (*store, part_path(name, &erratum.file))
            }
        };
        let store_has = store.sizes().contains_key(&erratum.file);
        if store_has && [errata::SPEC.path, supplement::PATH].contains(&erratum.file.as_str()) {
            return refuse(
                Problem::new(place("file"), "is what a supplement says, and no record")
                    .value(erratum.file.clone())
                    .expected("the file of records in which the value itself stands")
                    .advice("correct that value once more: the last erratum of a value counts"),
            );
        }
        let spec = table_of(&erratum.file);
        let is_record = !erratum.file.starts_with(history::FOLDER)
            && (spec.is_some() || erratum.file.ends_with(".toml"));
        if !is_record || !store_has {
            let own = [errata::SPEC.path, supplement::PATH];
            let there = store.sizes().keys().filter(|path| {
                (path.ends_with(".csv") || path.ends_with(".toml")) && !own.contains(&path.as_str())
            });
            let near = super::value::nearest(&erratum.file, there.map(String::as_str));
            let expected = match near {
                Some(near) => format!("a CSV or TOML file of its records, such as {near}"),
                None => {
                    "a CSV or TOML file of its records, by its path below data/records/".to_string()
                }
            };
            return refuse(
                Problem::new(place("file"), "is no file of the record that it corrects")
                    .value(erratum.file.clone())
                    .expected(expected)
                    .advice("copy the path from the record; a paper is not corrected but supplemented by a better one"),
            );
        }
        if erratum.row.is_none() && erratum.line.is_none() {
            return refuse(
                Problem::new(erratum.place.clone(), "names neither a row nor a line")
                    .expected("the row by its name, or the line on which it stands in its file")
                    .advice("fill in row or line"),
            );
        }
        let line = erratum.line.and_then(|line| u32::try_from(line).ok());
        let which = Which { row: erratum.row.as_deref(), line, column: &erratum.column };
        let key = spec.and_then(|spec| spec.columns.first());
        let bytes = match store.read(&erratum.file) {
            Ok(bytes) => bytes,
            Err(error) => return refuse(store::unreadable(&erratum.file, &error.to_string())),
        };
        let read = Text::read(&erratum.file, &bytes, key);
        let found = read.ok_or(Missed::Unreadable).and_then(|text| text.find(which));
        let standing = match found {
            Ok(standing) => standing,
            // The file has no heading or key for what nobody wrote down.
            Err(Missed::Column(_, line)) if is_added(&erratum) => {
                Standing { line, text: String::new() }
            }
            Err(Missed::Row(_)) if is_added(&erratum) && is_of_new_table(&erratum) => {
                Standing { line: 0, text: String::new() }
            }
            Err(missed) => return refuse(not_found(&erratum, missed)),
        };
        let earlier = self.earlier(&path, standing.line, &erratum);
        let written = erratum.stands.as_deref().unwrap_or_default();
        if standing.text != written.trim() {
            let expected = match (standing.text.as_str(), earlier) {
                ("", _) => "nothing, as the cell is empty there".to_string(),
                (text, None) => format!("{text}, which is what stands there"),
                (text, Some((supplement, one))) => format!(
                    "{text}, which is what stands there; what {} {} says is right is told by that erratum alone",
                    supplement.stated.about.name, one.erratum.id
                ),
            };
            return refuse(
                Problem::new(
                    place("stands"),
                    format!("does not stand at {}:{} ({})", erratum.file, standing.line, erratum.column),
                )
                .value(written)
                .expected(expected)
                .advice("copy what stands there, if this is the value that is meant; otherwise correct file, row or column"),
            );
        }
        // What an earlier supplement corrected may turn out to have been right.
        let is_as_it_stands = erratum.right.as_deref().unwrap_or_default().trim() == standing.text;
        if is_as_it_stands && earlier.is_none() {
            return refuse(
                Problem::new(place("right"), "is what stands there already")
                    .value(standing.text)
                    .expected("another value")
                    .advice("correct it, or remove the row"),
            );
        }
        let column = erratum.column.trim().to_lowercase();
        let placed = Placed { erratum, path, line: standing.line };
        let corrected = Corrected { column, placed };
        let this = &corrected.placed;
        let is_same =
            |other: &&Corrected| other.placed.is_of_value(&this.path, this.line, &this.erratum);
        if let Some(other) = before.iter().find(is_same) {
            let erratum = &corrected.placed.erratum;
            return refuse(
                Problem::new(
                    erratum.place.clone(),
                    format!("corrects the value that {} corrects", other.placed.erratum.id),
                )
                .value(erratum.id.clone())
                .expected("one row for each value")
                .advice("keep the row that is right"),
            );
        }
        self.replace(&corrected, &standing, files, key);
        Some(corrected)
    }

    /// The last erratum of an earlier supplement about a value.
    fn earlier(&self, path: &str, line: u32, erratum: &Erratum) -> Option<(&Supplement, &Placed)> {
        let all = self.supplements().flat_map(|one| one.errata.iter().map(move |at| (one, at)));
        all.filter(|(_, placed)| placed.is_of_value(path, line, erratum)).last()
    }

    /// Puts the right value in the file as the supplements before have it. A row that one of them has replaced is no
    /// longer there: the erratum stays a statement about the older.
    fn replace(
        &self,
        corrected: &Corrected,
        standing: &Standing,
        files: &mut BTreeMap<String, Held<'a>>,
        key: Option<&super::spec::Column>,
    ) {
        let erratum = &corrected.placed.erratum;
        let Some(bytes) = self.bytes(files, &corrected.placed.path) else { return };
        let Some(mut text) = Text::read(&corrected.placed.path, &bytes, key) else { return };
        let by_line = Which { row: None, line: Some(standing.line), column: &erratum.column };
        let by_name = Which { row: erratum.row.as_deref(), ..by_line };
        let is_toml = corrected.placed.path.ends_with(".toml");
        let which = if is_toml { by_name } else { by_line };
        let replaced = match (text.replace(which, erratum.right.as_deref()), &erratum.right) {
            (Err(Missed::Column(_, line)), Some(right)) if is_added(erratum) => {
                text.add(line, &erratum.column, right, is_text(erratum));
                true
            }
            (Err(Missed::Row(_)), Some(right)) if is_of_new_table(erratum) => {
                let table = erratum.row.as_deref().unwrap_or_default();
                text.add_table(table, &erratum.column, right, is_text(erratum));
                true
            }
            (replaced, _) => replaced.is_ok(),
        };
        if replaced {
            files.insert(corrected.placed.path.clone(), Held::Bytes(text.bytes()));
        }
    }

    fn bytes(&self, files: &BTreeMap<String, Held<'a>>, path: &str) -> Option<Vec<u8>> {
        match files.get(path)? {
            Held::First => self.first.read(path).ok(),
            Held::Bytes(bytes) => Some(bytes.clone()),
            Held::Of(store, path) => store.read(path).ok(),
        }
    }

    /// Adds the supplement's tables as parts of those before it, and its papers. Gives for each part the supplement's own
    /// file.
    fn add_files(
        &self,
        name: &str,
        from: &'a dyn Store,
        files: &mut BTreeMap<String, Held<'a>>,
        problems: &mut Problems,
    ) -> Parts {
        let mut parts = Parts::new();
        for path in from.sizes().keys() {
            if path.starts_with(papers::FOLDER) {
                files.insert(path.clone(), Held::Of(from, path.clone()));
                if *path == papers::SPEC.path {
                    parts.insert(path.clone(), path.clone());
                }
                continue;
            }
            let Some(spec) = table_of(path) else { continue };
            let bytes = match from.read(path) {
                Ok(bytes) => bytes,
                Err(error) => {
                    problems.add(store::unreadable(path, &error.to_string()));
                    continue;
                }
            };
            let part = part_path(name, path);
            self.supersede(spec, path, &bytes, files);
            files.insert(part.clone(), Held::Bytes(bytes));
            parts.insert(part, path.clone());
        }
        parts
    }

    /// A row about a thing that has a row already takes its place: the thing as it is now.
    fn supersede(
        &self,
        spec: &'static FileSpec,
        path: &str,
        bytes: &[u8],
        files: &mut BTreeMap<String, Held<'a>>,
    ) {
        let Some(key) = spec.columns.first() else { return };
        if !matches!(key.holds, Holds::Id(_) | Holds::Part(_)) {
            return;
        }
        let Some(names) = Text::read(path, bytes, Some(key)).map(|text| text.names()) else {
            return;
        };
        let sizes = files.keys().map(|path| (path.clone(), 0)).collect();
        for older in KNOWN.files(&sizes).remove(spec.path).unwrap_or_default() {
            let Some(bytes) = self.bytes(files, &older) else { continue };
            let Some(mut text) = Text::read(&older, &bytes, Some(key)) else { continue };
            let (there, here): (BTreeSet<String>, BTreeSet<&String>) =
                (text.names().into_iter().collect(), names.iter().collect());
            if there.iter().any(|name| here.contains(name)) {
                text.take_out(&names);
                files.insert(older, Held::Bytes(text.bytes()));
            }
        }
    }
}

/// The parts that a supplement's tables are: for each the supplement's own file.
type Parts = BTreeMap<String, String>;

/// An erratum with the file in which the corrected records have its value, and its heading.
struct Corrected {
    column: String,
    placed: Placed,
}

/// A supplement has no place in which the order of dates could be settled.
fn with_year_first(problem: Problem) -> Problem {
    if problem.alike != Alike::SettledBy("the order of dates") {
        return problem;
    }
    problem
        .expected("a day that can be read in one way only: the year, the month, the day")
        .advice("write it with the year first, such as 2034-06-10")
}

/// Whether an erratum gives a value for what stands nowhere.
fn is_added(erratum: &Erratum) -> bool {
    erratum.stands.is_none() && erratum.right.is_some()
}

/// The tables of a TOML file that bear the name which an erratum begins its row with.
fn tables_of(erratum: &Erratum) -> impl Iterator<Item = &'static TableSpec> {
    let spec = KEYED_FILES.iter().find(|spec| spec.path == erratum.file);
    let row = erratum.row.clone().unwrap_or_default();
    let tables = spec.into_iter().flat_map(|spec| spec.tables);
    tables.filter(move |one| row.split('.').next() == Some(one.name))
}

/// Whether it is about a table that the format knows and the file may lack.
fn is_of_new_table(erratum: &Erratum) -> bool {
    erratum.line.is_none()
        && tables_of(erratum)
            .any(|table| table.stands == Stands::Once && erratum.row.as_deref() == Some(table.name))
}

/// Whether a key of a TOML file holds a text.
fn is_text(erratum: &Erratum) -> bool {
    let mut keys = tables_of(erratum).flat_map(|table| table.keys);
    keys.any(|key| {
        key.name == erratum.column
            && matches!(key.holds, Holds::Text | Holds::Name | Holds::Called | Holds::Id(_))
    })
}

/// The table of a project that a file is, or is a part of.
fn table_of(path: &str) -> Option<&'static FileSpec> {
    FILES.iter().copied().find(|spec| spec.path == path).or_else(|| KNOWN.table_of_part(path))
}

/// Where a supplement's table stands among the corrected records.
fn part_path(supplement: &str, path: &str) -> String {
    let Some(spec) = table_of(path) else { return path.to_string() };
    let own = match path.rsplit_once('/') {
        Some((_, name)) if path != spec.path => format!("-{}", name.trim_end_matches(".csv")),
        _ => String::new(),
    };
    let folder = spec.path.trim_end_matches(".csv");
    format!("{folder}/supplement-{supplement}{own}.csv")
}

fn not_found(erratum: &Erratum, missed: Missed) -> Problem {
    let at = |column: &str, wrong: String| {
        Problem::new(Place { name: column.into(), ..erratum.place.clone() }, wrong)
    };
    let file = &erratum.file;
    match missed {
        Missed::Unreadable => at("file", "can't be read as a file of records".to_string())
            .value(file.clone())
            .expected("a CSV or TOML file")
            .advice("correct the path"),
        Missed::Row(near) => {
            let is_toml = file.ends_with(".toml");
            let what = if is_toml { "table" } else { "row" };
            let (column, value) = match (&erratum.row, erratum.line) {
                (Some(row), None) => ("row", row.clone()),
                (_, line) => ("line", line.unwrap_or_default().to_string()),
            };
            let wrong = match (&erratum.row, erratum.line) {
                (Some(row), Some(_)) => format!("is no line of {file} on which {row} stands"),
                (None, Some(_)) if is_toml => format!("is no line of {file} on which a key or table begins"),
                _ => format!("is no {what} of {file}"),
            };
            at(column, wrong)
                .value(value)
                .expected(match (near, is_toml) {
                    (Some(near), _) if column == "row" => format!("a {what} of that file, such as {near}"),
                    (_, true) => "a table of that file, such as ship, or for one of several its name behind a point, such as product.P1; or the line on which the key stands".to_string(),
                    (_, false) => "a row of that file by what stands in its first column, or the line on which it begins".to_string(),
                })
                .advice("copy it from the record")
        }
        Missed::Several(lines) => {
            let several: Vec<String> = lines.iter().take(20).map(u32::to_string).collect();
            let (what, line) = match file.ends_with(".toml") {
                true => ("tables", "the line on which the key stands, or the table begins"),
                false => ("rows", "the line on which the row begins"),
            };
            at("row", format!("names {} {what} of {file}", lines.len()))
                .value(erratum.row.clone().unwrap_or_default())
                .expected(format!("in the column line one of {}", several.join(", ")))
                .advice(format!("fill in {line}"))
        }
        Missed::Column(there, _) => at("column", format!("is no heading or key there in {file}"))
            .value(erratum.column.clone())
            .expected(crate::units::one_of(&there.iter().map(String::as_str).collect::<Vec<_>>()))
            .advice("copy it from the file; for what it has no heading or key for, leave stands empty and write what is right"),
    }
}

/// What is wrong with the corrected records, told of the supplement's own files. Of a record that an earlier version took
/// nothing is told that concerns it alone.
fn told_as_its_own(
    found: Vec<Problem>,
    parts: &Parts,
    errata: &[Corrected],
    closed_out: bool,
    problems: &mut Problems,
) {
    for problem in found {
        if let Some(own) = parts.get(&*problem.place.file) {
            let place = Place { file: own.as_str().into(), ..problem.place };
            problems.add(with_year_first(Problem { place, ..problem }));
            continue;
        }
        let on_line = errata.iter().filter(|one| {
            *one.placed.path == *problem.place.file && Some(one.placed.line) == problem.place.line
        });
        let in_file = errata.iter().filter(|one| *one.placed.path == *problem.place.file);
        let is_named = |one: &&Corrected| problem.place.name.to_lowercase() == one.column;
        let of_row: Vec<&Corrected> = on_line.clone().collect();
        let one = on_line.clone().find(is_named).or(match of_row.as_slice() {
            [one] => Some(*one),
            [] => in_file.clone().find(|one| is_named(one) && is_added(&one.placed.erratum)),
            _ => None,
        });
        if let Some(Corrected { placed: Placed { erratum, .. }, .. }) = one {
            let (expected, advice) = match &erratum.right {
                Some(_) => (problem.expected, problem.advice),
                None => (
                    format!("a value: {}", problem.expected),
                    "give what is right; a value that every such row has to have can't be withdrawn".to_string(),
                ),
            };
            let wrong = match &erratum.right {
                Some(_) => format!("can't stand there: {}", problem.wrong),
                None => "can't be withdrawn, as the record can't be without it".to_string(),
            };
            let place = Place { name: "right".into(), ..erratum.place.clone() };
            let problem = Problem::new(place, wrong).expected(expected).advice(advice);
            problems.add(match &erratum.right {
                Some(right) => problem.value(right.clone()),
                None => problem,
            });
            continue;
        }
        let mut concerned: Vec<&Corrected> =
            if of_row.is_empty() { in_file.collect() } else { of_row };
        let is_unplaced = concerned.is_empty() && closed_out;
        if is_unplaced {
            concerned = errata.iter().collect();
        }
        if !closed_out && concerned.is_empty() {
            continue;
        }
        let ids: Vec<&str> = concerned.iter().map(|one| one.placed.erratum.id.as_str()).collect();
        let (place, what) = match concerned.first() {
            Some(first) => {
                let tables = if is_unplaced && !parts.is_empty() { " or its tables" } else { "" };
                let what = format!("{}{tables}", ids.join(", "));
                (first.placed.erratum.place.clone(), what)
            }
            None => (Place::file(supplement::PATH), "what it says".to_string()),
        };
        problems.add(
            Problem::new(
                place,
                format!(
                    "with {what} the record can't be read: {}: {}",
                    problem.place, problem.wrong
                ),
            )
            .expected(problem.expected)
            .advice("correct or remove what the supplement says about it"),
        );
    }
}

/// The corrected records as a project's files.
struct CorrectedStore<'a> {
    first: &'a dyn Store,
    files: &'a BTreeMap<String, Held<'a>>,
    sizes: BTreeMap<String, u64>,
    closed_out: bool,
}

impl<'a> CorrectedStore<'a> {
    fn new(first: &'a dyn Store, files: &'a BTreeMap<String, Held<'a>>, closed_out: bool) -> Self {
        let size = |path: &String, held: &Held<'_>| match held {
            Held::First => first.sizes().get(path).copied(),
            Held::Bytes(bytes) => Some(bytes.len() as u64),
            Held::Of(store, path) => store.sizes().get(path).copied(),
        };
        let sizes = files.iter().filter_map(|(path, held)| Some((path.clone(), size(path, held)?)));
        Self { first, files, sizes: sizes.collect(), closed_out }
    }
}

impl Store for CorrectedStore<'_> {
    fn was_closed_out(&self) -> bool {
        self.closed_out
    }

    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        match self.files.get(path) {
            Some(Held::First) => self.first.read(path),
            Some(Held::Bytes(bytes)) => Ok(bytes.clone()),
            Some(Held::Of(store, path)) => store.read(path),
            None => Err(io::ErrorKind::NotFound.into()),
        }
    }

    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        match self.files.get(path) {
            Some(Held::First) => self.first.part(path, from, most),
            Some(Held::Of(store, path)) => store.part(path, from, most),
            _ => {
                let bytes = self.read(path)?;
                let to = |at: u64| usize::try_from(at).unwrap_or(usize::MAX).min(bytes.len());
                Ok(bytes[to(from)..to(from.saturating_add(most))].to_vec())
            }
        }
    }
}

#[cfg(test)]
mod tests;
