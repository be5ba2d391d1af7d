//! Ids: unique within their kind, and every reference names an existing one.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::entry::{Entry, refers};
use super::entry::{Rejected, kinds, plain};
use super::grammar::numbers::decimal;
use super::grammar::words::folded;
use super::keyed::Keyed;
use super::known::Known;
use super::place::Place;
use super::problem::{Alike, Problem, Problems, Reach};
use super::sheet::Sheet;
use super::spec::{Column, EXTENTS, Holds, Kind, Need};
use super::value::{Value, nearest};
use crate::units;

/// The ids of a project and where each was given.
#[derive(Debug, Default)]
pub struct Ids {
    /// The file that describes things of a kind.
    described_in: BTreeMap<Kind, &'static str>,
    known: BTreeMap<Kind, BTreeMap<String, Place>>,
    /// The known ids by how they are written without capital letters.
    lower: BTreeMap<(Kind, String), String>,
    /// Of rows with a problem that give a name of a kind, which could not be read: what stands in them that may
    /// be that name.
    rejected: BTreeMap<Kind, MayBe>,
    /// Kinds of which a file could not be read.
    unread: BTreeSet<Kind>,
    /// The known ids by what is left of them without capital letters and leading zeros.
    folded: BTreeMap<(Kind, String), Vec<String>>,
}

/// The entries of all files in the order of their places, those of rows with a problem too.
fn all_entries<'a>(sheets: &'a [Sheet], keyed: &'a [Keyed]) -> Vec<&'a Entry> {
    let mut entries: Vec<&Entry> = sheets.iter().flat_map(|sheet| &sheet.entries).collect();
    entries.extend(keyed.iter().flat_map(|file| file.entries().map(|(_, entry)| entry)));
    let left_out = sheets.iter().map(|sheet| &sheet.left_out);
    let left_out = left_out.chain(keyed.iter().map(|file| &file.left_out));
    entries
        .extend(left_out.flat_map(|left_out| &left_out.rejected).map(|rejected| &rejected.entry));
    entries.sort_by(|a, b| a.place.cmp(&b.place));
    entries
}

/// Reads the id of a thing that several rows make up as in the first of them, where only capital letters differ.
fn read_parts_as_one(sheet: &mut Sheet, problems: &mut Problems) {
    let is_part = |column: &Column| matches!(column.holds, Holds::Part(_));
    let Some(at) = sheet.spec.columns.iter().position(is_part) else { return };
    let column = &sheet.spec.columns[at];
    let mut entries: Vec<&mut Entry> = sheet.every_entry().collect();
    entries.sort_by(|a, b| a.place.cmp(&b.place));
    let mut first: BTreeMap<String, Arc<str>> = BTreeMap::new();
    for entry in entries {
        let place = entry.place_of(column);
        let Some(Value::Text(id)) = entry.cells[at].as_mut().map(|cell| &mut cell.value) else {
            continue;
        };
        let known = first.entry(id.to_lowercase()).or_insert_with(|| id.clone());
        if known != id {
            problems.notes.read_as(&place, id, known);
            *id = known.clone();
        }
    }
}

/// Reads some names of a list as others. One that stands in it already stays as it is, and is missed as that.
fn replace(
    ids: &mut [String],
    instead: impl Fn(&str) -> Option<String>,
    mut read: impl FnMut(&str, String) -> String,
) {
    for at in 0..ids.len() {
        if let Some(name) = instead(&ids[at]).filter(|name| !ids.contains(name)) {
            ids[at] = read(&ids[at], name);
        }
    }
}

/// What may be a name in rows that could not be read.
#[derive(Debug, Default)]
struct MayBe {
    /// Whether there is a row in which any name may have been meant.
    any: bool,
    /// The texts of such rows, as [`plain`] has them.
    texts: BTreeSet<String>,
}

impl Ids {
    /// Collects every id and reports every reference to an unknown one. A row with a problem defines and names
    /// things like any other; where its own id could not be read, references that may mean it are not reported.
    pub(super) fn collect(
        known: Known,
        sheets: &mut [Sheet],
        keyed: &mut [Keyed],
        unread: &[&str],
        problems: &mut Problems,
    ) -> Self {
        sheets.iter_mut().for_each(|sheet| read_parts_as_one(sheet, problems));
        let ids = Self::gather(known, sheets, keyed, unread, problems);
        ids.read_as_known(sheets, keyed, problems);
        ids.check(&all_entries(sheets, keyed), problems);
        ids
    }

    /// Collects every id.
    fn gather(
        known: Known,
        sheets: &[Sheet],
        keyed: &[Keyed],
        unread: &[&str],
        problems: &mut Problems,
    ) -> Self {
        let mut ids = Self::default();
        for (path, columns) in known.columns() {
            let named = columns.iter().filter_map(|column| column.naming);
            for kind in kinds(columns).map(|(kind, _)| kind).chain(named) {
                ids.described_in.entry(kind).or_insert(path);
            }
        }
        let of_sheets = sheets.iter().map(|sheet| (sheet.spec.path, &sheet.left_out));
        let of_tables = keyed.iter().map(|file| (file.path, &file.left_out));
        let left_out: Vec<_> = of_sheets.chain(of_tables).collect();
        for rejected in left_out.iter().flat_map(|(_, left_out)| &left_out.rejected) {
            ids.take_rejected(rejected);
        }
        let partly = left_out.iter().filter(|(_, left_out)| left_out.unread).map(|(path, _)| *path);
        let unread: BTreeSet<&str> = unread.iter().copied().chain(partly).collect();
        for (_, columns) in known.columns().filter(|(path, _)| unread.contains(path)) {
            let named = columns.iter().filter_map(|column| column.naming);
            ids.unread.extend(kinds(columns).map(|(kind, _)| kind).chain(named));
        }
        let entries = all_entries(sheets, keyed);
        entries.iter().for_each(|entry| ids.take_from(entry, problems));
        entries.iter().for_each(|entry| ids.take_named(entry));
        for (kind, names) in &ids.known {
            for name in names.keys() {
                ids.folded.entry((*kind, folded(name))).or_default().push(name.clone());
            }
        }
        ids
    }

    /// The known name from which one that is not known differs by capital letters or leading zeros alone, if it is
    /// one alone.
    pub fn meant(&self, kind: Kind, id: &str) -> Option<&str> {
        match self.folded.get(&(kind, folded(id)))?.as_slice() {
            [one] if one != id => Some(one),
            _ => None,
        }
    }

    /// Reads each name that is not known as the one that is meant, and takes note of it.
    fn read_as_known(&self, sheets: &mut [Sheet], keyed: &mut [Keyed], problems: &mut Problems) {
        let of_sheets = sheets.iter_mut().flat_map(Sheet::every_entry);
        for entry in of_sheets.chain(keyed.iter_mut().flat_map(Keyed::every_entry)) {
            for at in 0..entry.cells.len() {
                let column = &entry.frame.columns[at];
                let (place, is_optional) = (entry.place_of(column), column.need == Need::Optional);
                let Some(cell) = &mut entry.cells[at] else { continue };
                let mut read = |written: &str, name: String| {
                    problems.notes.read_as(&place, written, &name);
                    name
                };
                match (column.holds, &mut cell.value) {
                    (Holds::Ref(kind), Value::Text(id)) => {
                        if let Some(name) = self.instead(kind, id) {
                            *id = read(id, name).into();
                        } else if &**id == "-" && is_optional && !self.knows(kind, id) {
                            entry.cells[at] = None;
                        }
                    }
                    (Holds::Name, Value::Text(word)) if column.is_extent() => {
                        match self.extent(word) {
                            // Of a word capital letters say nothing.
                            Some(name) if EXTENTS.contains(&&*name) => *word = name.into(),
                            Some(name) => *word = read(word, name).into(),
                            None => {}
                        }
                    }
                    (Holds::Refs(kind), Value::List(ids)) => {
                        if is_optional && ids.as_slice() == ["-"] && !self.knows(kind, "-") {
                            entry.cells[at] = None;
                        } else {
                            replace(ids, |id| self.instead(kind, id), read);
                        }
                    }
                    (Holds::AnyRefs, Value::List(ids)) => {
                        if is_optional && ids.as_slice() == ["-"] {
                            entry.cells[at] = None;
                        } else {
                            replace(ids, |id| self.instead_of_any(id), read);
                        }
                    }
                    _ => {}
                }
            }
        }
    }

    /// What is read in place of an id that is not known.
    fn instead(&self, kind: Kind, id: &str) -> Option<String> {
        if self.knows(kind, id) { None } else { self.meant(kind, id).map(String::from) }
    }

    /// The same of one that may be of any kind, with the kind before it or without.
    fn instead_of_any(&self, id: &str) -> Option<String> {
        let (kinds, name) = match id.split_once(':') {
            Some((word, name)) => (vec![Kind::by(&word.to_lowercase())?], name),
            None => (Kind::WITH_ID.to_vec(), id),
        };
        let prefix = id.contains(':').then(|| format!("{}:", kinds[0].word()));
        let prefix = prefix.unwrap_or_default();
        let written = format!("{prefix}{name}");
        if kinds.iter().any(|kind| self.knows(*kind, name)) {
            return (written != id).then_some(written);
        }
        let found: Vec<&str> = kinds.iter().filter_map(|kind| self.meant(*kind, name)).collect();
        match found.as_slice() {
            [one] => Some(format!("{prefix}{one}")),
            _ => None,
        }
    }

    /// The extent or the drawn area that is meant by a word that is neither.
    fn extent(&self, word: &str) -> Option<String> {
        if EXTENTS.contains(&word) || self.knows(Kind::Area, word) {
            return None;
        }
        let lower = word.to_lowercase();
        let is_word = EXTENTS.contains(&lower.as_str());
        if is_word { Some(lower) } else { self.meant(Kind::Area, word).map(String::from) }
    }

    fn described_in(&self, kind: Kind) -> &'static str {
        self.described_in.get(&kind).copied().unwrap_or_default()
    }

    /// Whether an id of that kind is known.
    pub fn knows(&self, kind: Kind, id: &str) -> bool {
        let is_known = self.known.get(&kind).is_some_and(|ids| ids.contains_key(id));
        is_known || (kind == Kind::Frame && self.is_numbered(id))
    }

    /// Whether a frame has a number: of those that stretches of frames begin with the least, or a greater one. Between
    /// two frames it has decimals.
    fn is_numbered(&self, frame: &str) -> bool {
        let numbers = self.names(Kind::Frame).filter_map(decimal);
        let least = numbers.min_by(f64::total_cmp);
        least.zip(decimal(frame)).is_some_and(|(least, frame)| least <= frame)
    }

    /// Whether it is known, or may be the name in a row that could not be read.
    pub fn may_know(&self, kind: Kind, id: &str) -> bool {
        self.knows(kind, id)
            || self.unread.contains(&kind)
            || self.rejected.get(&kind).is_some_and(|may| may.any || may.texts.contains(&plain(id)))
    }

    /// The known names of a kind, in order.
    pub fn names(&self, kind: Kind) -> impl Iterator<Item = &str> {
        self.known.get(&kind).into_iter().flat_map(BTreeMap::keys).map(String::as_str)
    }

    /// Remembers a row with a problem; its id, if it could be read, is collected like any other.
    fn take_rejected(&mut self, rejected: &Rejected) {
        let given = kinds(rejected.entry.frame.columns);
        for (kind, _) in given.filter(|(_, column)| rejected.entry.value(column).is_none()) {
            let may = self.rejected.entry(kind).or_default();
            may.any |= rejected.unread.iter().any(String::is_empty);
            may.texts.extend(rejected.unread.iter().map(|text| plain(text)));
        }
    }

    /// Collects the ids that an entry defines. One given twice, but for a thing that several rows make
    /// up, or again with other capitals, is a problem.
    fn take_from(&mut self, entry: &Entry, problems: &mut Problems) {
        for (column, value) in entry.values() {
            let (Holds::Id(kind) | Holds::Part(kind), Some(Value::Text(id))) =
                (column.holds, value)
            else {
                continue;
            };
            let part = matches!(column.holds, Holds::Part(_));
            if part && self.knows(kind, id) {
                continue;
            }
            let place = entry.place_of(column);
            let ids = self.known.entry(kind).or_default();
            let lower = (kind, id.to_lowercase());
            let same = self.lower.get(&lower).and_then(|known| ids.get_key_value(known));
            if let Some((known, first)) = same {
                let wrong = if **known == **id {
                    format!("is already the name of the {} at {first}", kind.word())
                } else {
                    format!("differs from {known} at {first} only in capital letters")
                };
                problems.add(
                    Problem::new(place, wrong)
                        .value(id.to_string())
                        .expected(format!("a different name for each {}", kind.word()))
                        .advice("rename one of the two, or remove it if it repeats the other")
                        .reaches(Reach::Name),
                );
            } else {
                self.lower.insert(lower, id.to_string());
                ids.insert(id.to_string(), place);
            }
        }
    }

    /// Collects the things without an id that an entry names: a strake, a plate in it, the frame that begins a stretch.
    fn take_named(&mut self, entry: &Entry) {
        let mut name = String::new();
        for (column, value) in entry.values() {
            let Some(kind) = column.naming else { continue };
            let Some(value) = value else { return };
            let dot = if name.is_empty() { "" } else { "." };
            name = format!("{name}{dot}{}", value.text(None));
            let known = self.known.entry(kind).or_default().entry(name.clone());
            known.or_insert_with(|| entry.place_of(column));
        }
    }

    /// Reports every reference to an unknown id. Many to one id are reported once, with what they follow
    /// from.
    fn check(&self, entries: &[&Entry], problems: &mut Problems) {
        let mut missed = Missed::default();
        for entry in entries {
            for (column, value) in entry.values().filter(|(column, _)| refers(column.holds)) {
                let place = || entry.place_of(column);
                match (column.holds, value) {
                    (Holds::Ref(kind), Some(Value::Text(id))) => {
                        self.check_one(kind, id, place(), &mut missed);
                    }
                    (Holds::Refs(kind), Some(Value::List(ids))) => {
                        ids.iter().for_each(|id| self.check_one(kind, id, place(), &mut missed));
                    }
                    (Holds::AnyRefs, Some(Value::List(ids))) => {
                        ids.iter().for_each(|id| self.check_any(id, place(), &mut missed));
                    }
                    _ => {}
                }
            }
        }
        std::mem::take(&mut missed.problems).into_iter().for_each(|problem| problems.add(problem));
        let mut names: BTreeMap<(Kind, String), Problem> = BTreeMap::new();
        for ((kind, id), places) in std::mem::take(&mut missed.names) {
            let one = self.missing(kind, &id, places.len(), &mut missed);
            for place in places {
                problems.add(Problem { place, ..one.clone() });
            }
            names.insert((kind, id), one);
        }
        // What a list of things of any kind names may be what is missed elsewhere.
        for (kinds, id, problem) in std::mem::take(&mut missed.any) {
            let mut same = kinds.into_iter().filter_map(|kind| names.get(&(kind, id.clone())));
            problems.add(match same.next() {
                Some(one) => Problem { place: problem.place, ..one.clone() },
                None => problem,
            });
        }
    }

    fn check_one(&self, kind: Kind, id: &str, place: Place, missed: &mut Missed) {
        if self.knows(kind, id) {
            missed.met.insert((kind, id.to_string()));
        } else if !self.may_know(kind, id) {
            missed.names.entry((kind, id.to_string())).or_default().push(place);
        }
    }

    /// The problem with an unknown name that so many places name; where each of them is, is the caller's to fill in.
    fn missing(&self, kind: Kind, id: &str, count: usize, missed: &mut Missed) -> Problem {
        let file = self.described_in(kind);
        let known: Vec<&str> = self.names(kind).collect();
        if known.is_empty() {
            let wrong =
                format!("is not described: there is no {file}, or no {} in it", kind.word());
            return unknown(id, wrong)
                .expected(format!("in {file} a row for each {} that is named", kind.word()))
                .advice(format!("write {file}; if there is one, correct its name or its place"))
                .reaches(Reach::File)
                .alike(Alike::Anywhere);
        }
        let (near, expected) = missed.compared.with(id, &known);
        let alike = self.folded.get(&(kind, folded(id))).filter(|names| names.len() > 1);
        let alike = alike.map(|names| names.iter().map(String::as_str).collect::<Vec<_>>());
        let near = alike.map(|names| units::one_of(&names)).or(near.map(String::from));
        let advice = match (self.misnamed(kind, id, count, missed), near) {
            (Some((name, place)), _) => format!(
                "{name} at {place} is named nowhere else: if both mean the same {}, write {id} there; otherwise \
                 add {id} to {file}, or correct the name",
                kind.word()
            ),
            (None, Some(near)) => format!("write {near}, or add {id} to {file}"),
            (None, None) => format!("add {id} to {file}, or correct the name"),
        };
        unknown(id, format!("is not {} of this project", kind.with_article()))
            .expected(expected)
            .advice(advice)
    }

    /// The thing of almost the same name that nothing names, where many places name one that is not described: its own
    /// name is most likely the one that was mistyped.
    fn misnamed(
        &self,
        kind: Kind,
        id: &str,
        count: usize,
        missed: &mut Missed,
    ) -> Option<(&str, &Place)> {
        let met = |name: &&str| missed.met.contains(&(kind, name.to_string()));
        let unnamed: Vec<&str> =
            self.names(kind).filter(|name| count > FEW && !met(name)).collect();
        let name = missed.compared.with(id, &unnamed).0?;
        Some((name, self.known.get(&kind)?.get(name)?))
    }

    fn check_any(&self, id: &str, place: Place, missed: &mut Missed) {
        let (kinds, name): (Vec<Kind>, &str) = match id.split_once(':') {
            Some((word, name)) => {
                let Some(kind) = Kind::by(word) else {
                    missed.problems.push(
                        Problem::new(place, "does not begin with a known kind of thing")
                            .value(id)
                            .expected(self.nameable())
                            .advice("correct the word before the colon"),
                    );
                    return;
                };
                (vec![kind], name)
            }
            None => (Kind::WITH_ID.to_vec(), id),
        };
        let meets: Vec<Kind> = kinds.iter().copied().filter(|k| self.knows(*k, name)).collect();
        match meets.as_slice() {
            [kind] => _ = missed.met.insert((*kind, name.to_string())),
            [] if kinds.iter().any(|kind| self.may_know(*kind, name)) => {}
            [] => {
                let problem = self.missing_of_any(id, name, &kinds, &mut missed.compared);
                missed.any.push((kinds, name.to_string(), Problem { place, ..problem }));
            }
            [first, ..] => missed.problems.push(
                Problem::new(place, "names more than one thing in this project")
                    .value(id)
                    .expected("the kind and a colon before the name")
                    .advice(format!("write {}:{name}, for instance", first.word())),
            ),
        }
    }

    /// The problem with a name of something of one of these kinds that is not known; the place is the caller's to fill
    /// in.
    fn missing_of_any(
        &self,
        written: &str,
        name: &str,
        kinds: &[Kind],
        compared: &mut Compared,
    ) -> Problem {
        let known: Vec<&str> = kinds.iter().flat_map(|kind| self.names(*kind)).collect();
        let (near, expected) = compared.with(name, &known);
        let word = written.split_once(':').map(|(word, _)| format!("{word}:")).unwrap_or_default();
        let advice =
            match (self.with_word(name, kinds).or(near.map(|near| format!("{word}{near}"))), kinds)
            {
                (Some(near), _) => format!("write {near}"),
                (None, [kind]) => format!(
                    "name {} of this project; {} are described in {}",
                    kind.with_article(),
                    kind.plural(),
                    self.described_in(*kind)
                ),
                (None, _) => format!("name {}", self.nameable()),
            };
        let can_be = match (kinds, known.is_empty()) {
            ([Kind::Frame], false) => "the number of one of her frames".to_string(),
            (_, false) => expected,
            (_, true) => self.nameable(),
        };
        unknown(written, "is not a name in this project".into()).expected(can_be).advice(advice)
    }

    /// What has the same letters and digits and is named with the word of its kind before it: `plate:F-S.14` for
    /// `plate:FS14`, or for `F-S.14` alone; `None` where several have.
    fn with_word(&self, name: &str, kinds: &[Kind]) -> Option<String> {
        let sought = match kinds {
            [kind] => vec![*kind],
            _ => vec![Kind::Strake, Kind::Plate],
        };
        let sought = sought.into_iter().filter(|kind| Kind::WITH_WORD.contains(kind));
        let all = sought.flat_map(|kind| self.names(kind).map(move |known| (kind, known)));
        let mut same = all.filter(|(_, known)| plain(known) == plain(name));
        let (kind, known) = same.next()?;
        same.next().is_none().then(|| format!("{}:{known}", kind.word()))
    }

    /// What can be named in this project: of each kind that it has one.
    fn nameable(&self) -> String {
        let example = |kind: Kind| Some(format!("{}:{}", kind.word(), self.names(kind).next()?));
        let all = Kind::WITH_ID.into_iter().chain(Kind::WITH_WORD).filter_map(example);
        let all = all.collect::<Vec<_>>();
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        match all.as_slice() {
            [] => "a name that this project has; none is recorded yet".to_string(),
            all => format!("something that this project has, such as {}", units::one_of(all)),
        }
    }
}

/// A problem with a name that meets nothing.
fn unknown(id: &str, wrong: String) -> Problem {
    Problem::new(Place::default(), wrong).value(id).reaches(Reach::Name).alike(Alike::OfValue)
}

/// A name that no more places than these give may well be mistyped in each of them.
const FEW: usize = 3;

/// What came of following every reference.
#[derive(Default)]
struct Missed {
    /// The names that were met.
    met: BTreeSet<(Kind, String)>,
    /// Those that were not, with the places that name them.
    names: BTreeMap<(Kind, String), Vec<Place>>,
    /// Names of things of any kind that were not met: of which kinds they may be, and what is wrong.
    any: Vec<(Vec<Kind>, String, Problem)>,
    /// What else is wrong with a reference.
    problems: Vec<Problem>,
    /// How often a name that was missed was held against a known one.
    compared: Compared,
}

/// So often names are held against each other to find out what a mistyped one was meant to be. Whoever has more of
/// them has not mistyped them.
const MOST_COMPARED: usize = 400_000;

/// How often names were held against each other.
#[derive(Default)]
struct Compared(usize);

impl Compared {
    /// Which known name a mistyped one was meant to be, and the known names, of many those that are most like it:
    /// while not too many were compared already.
    fn with<'a>(&mut self, written: &str, known: &[&'a str]) -> (Option<&'a str>, String) {
        self.0 = self.0.saturating_add(known.len());
        if self.0 > MOST_COMPARED {
            return (None, first(known));
        }
        (nearest(written, known.iter().copied()), shortened(written, known.to_vec()))
    }
}

/// Known names that are shown at the most.
const SHOWN: usize = 12;

/// The known names, of many those that are most like the one that was written.
fn shortened(written: &str, mut known: Vec<&str>) -> String {
    if known.len() > SHOWN {
        known.sort_by_cached_key(|name| (strsim::damerau_levenshtein(written, name), *name));
    }
    first(&known)
}

/// The first of the known names, and how many more there are.
fn first(known: &[&str]) -> String {
    match known.len() {
        0 => "none is recorded yet".to_string(),
        n if n <= SHOWN => known.join(", "),
        n => format!("{} and {} more", known[..SHOWN].join(", "), n - SHOWN),
    }
}
