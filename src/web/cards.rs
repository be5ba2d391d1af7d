//! A card for each thing that records name: all rows of the derived tables that name it, in the project's units.
//!
//! Since the tables know what their columns hold, a record that is added has its place on the cards without a line
//! here.

use std::collections::BTreeMap;

use chrono::DateTime;
use maud::{Markup, html};

use super::hull::{missing, steel_card};
use super::markup::{Setting, link};
use super::shapes::card;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::recomputed::coating::Part;
use crate::findings::recomputed::coating::applied::Applied;
use crate::pages::errata::Correction;
use crate::pages::later::{Added, Later, all_corrections};
use crate::pages::{Cell, Column, Table as PageTable};
use crate::records::Project;
use crate::records::coats;
use crate::records::place::Place;
use crate::records::spec::{Holds, Kind};
use crate::tables::{Cells, Table, TableColumn};
use crate::text;
use crate::text::{Form, Measure, Piece, Text, count, id};
use crate::units::Quantity;

/// Rows of one table that a card shows; of more it says how many and where they stand.
const MOST_ROWS: usize = 12;

/// What has cards, in their order: by its kind's word, as ids of findings name it too.
const KINDS: [(Kind, &str, &str); 6] = [
    (Kind::Position, "position", "Positions"),
    (Kind::Block, "block", "Blocks"),
    (Kind::Opening, "opening", "Openings"),
    (Kind::Zone, "zone", "Zones of the coating"),
    (Kind::Product, "product", "Products"),
    (Kind::Anode, "anode", "Anodes"),
];

const PAPERS: &str = "Photographs and papers";

/// The derived table of the gaugings.
const GAUGINGS: &str = "hull-plating.csv";

/// The derived table of the papers.
const PAPERS_TABLE: &str = "papers-papers.csv";

/// Pictures that a card shows of what it is about.
const MOST_PICTURES: usize = 6;

/// One thing, with the rows that name it: of which table, and which of its rows.
struct Named {
    fragment: String,
    title: String,
    /// How papers name it with the word of its kind: `plate:F-S.14`.
    with_word: Option<String>,
    rows: Vec<(usize, usize)>,
}

/// All cards, and where each id has its card.
pub struct Cards<'a> {
    examined: &'a Examined,
    tables: Vec<Table>,
    groups: Vec<(&'static str, Vec<Named>)>,
    corrections: Vec<Correction>,
    supplements: &'a [Later],
}

impl<'a> Cards<'a> {
    pub fn new(examined: &'a Examined, supplements: &'a [Later]) -> Self {
        let tables = crate::tables::tables(examined);
        let mut groups: Vec<(&'static str, Vec<Named>)> =
            KINDS.iter().map(|(kind, word, title)| (*title, named(&tables, *kind, word))).collect();
        groups.push(("Coats as applied", applied(&tables, examined)));
        groups.push(("Plates", by_key(&tables, GAUGINGS, "plate", &["strake", "plate"])));
        groups.push(("Strakes", by_key(&tables, GAUGINGS, "strake", &["strake"])));
        groups.push(("Frames that papers name", frames(&tables)));
        groups.push((PAPERS, by_key(&tables, PAPERS_TABLE, "paper", &["file"])));
        groups.retain(|(_, things)| !things.is_empty());
        let corrections = all_corrections(supplements);
        Self { examined, tables, groups, corrections, supplements }
    }

    /// Fragments of cards by the ids that people write; an id of two things leads to neither.
    pub fn by_id(&self) -> BTreeMap<String, Option<String>> {
        let mut found: BTreeMap<String, Option<String>> = BTreeMap::new();
        for (_, things) in &self.groups {
            for thing in things {
                let fragment = Some(thing.fragment.clone());
                if let Some(name) = &thing.with_word {
                    found.insert(name.clone(), fragment.clone());
                }
                found.entry(thing.title.clone()).and_modify(|one| *one = None).or_insert(fragment);
            }
        }
        for finding in &self.examined.findings {
            let fragment = card("finding", &finding.id);
            found.entry(finding.id.clone()).or_insert(Some(fragment));
        }
        found
    }

    pub fn markup(&self, setting: &Setting<'_>) -> Markup {
        let about = self.findings_about();
        html! {
            section #cards aria-labelledby="cards-head" {
                h2 #cards-head { "Cards" }
                p {
                    "What the records say of each thing by itself, and what was recomputed of it. Beneath each group of \
                     rows stands where it comes from: the file and its line, or the derived table."
                }
                @for (title, things) in &self.groups {
                    details {
                        summary { (title) " (" (things.len()) ")" }
                        @if *title == PAPERS { (setting.previews.said()) }
                        @for thing in things { (self.card(thing, &about, setting)) }
                    }
                }
                (self.steel(setting))
            }
        }
    }

    /// Findings by the fragments of what they are about.
    fn findings_about(&self) -> BTreeMap<String, Vec<&'a Finding>> {
        let mut found: BTreeMap<String, Vec<&Finding>> = BTreeMap::new();
        for finding in &self.examined.findings {
            for (kind, id) in finding.subject.names() {
                found.entry(card(kind, id)).or_default().push(finding);
            }
        }
        found
    }

    fn card(
        &self,
        thing: &Named,
        about: &BTreeMap<String, Vec<&Finding>>,
        setting: &Setting<'_>,
    ) -> Markup {
        // What is said of the thing itself stands apart from what is said of others and names it.
        let mut by_table: Vec<(usize, bool, Vec<usize>)> = Vec::new();
        for (table, row) in &thing.rows {
            let is_own = self.is_own(*table, *row, &thing.title);
            match by_table.iter_mut().rev().find(|(last, own, _)| (last, own) == (table, &is_own)) {
                Some((_, _, rows)) => rows.push(*row),
                None => by_table.push((*table, is_own, vec![*row])),
            }
        }
        let corrections = self.corrections_of(thing);
        let added = self.added_about(thing);
        let findings = about.get(&thing.fragment).map(Vec::as_slice).unwrap_or_default();
        let (agree, others): (Vec<&Finding>, Vec<&Finding>) =
            findings.iter().copied().partition(|finding| finding.outcome == Outcome::Agrees);
        html! {
            article.card id=(thing.fragment) {
                h3 { (thing.title) }
                @if thing.fragment == card("paper", &thing.title) { (setting.previews.shown(&thing.title)) }
                @else { (self.pictures_of(thing, setting)) }
                @for (table, _, rows) in &by_table {
                    (setting.rows(&self.tables[*table], rows, &thing.title))
                }
                @if !corrections.is_empty() {
                    h4 { "What supplements say is wrong in it" }
                    ul { @for correction in &corrections { li { (setting.text(&correction.sentence())) } } }
                }
                @if !added.is_empty() {
                    h4 { "What supplements add about it" }
                    ul { @for row in &added { li { (setting.text(row)) } } }
                }
                @if !findings.is_empty() {
                    h4 { "Findings" }
                    ul {
                        @for finding in &others {
                            li { (setting.finding_link(&finding.id)) ": " (setting.text(&finding.sentence)) }
                        }
                        @if !agree.is_empty() {
                            li { (count(agree.len(), "comparison agrees", "comparisons agree")) "." }
                        }
                    }
                }
            }
        }
    }

    /// The corrections of the rows in which the record describes a thing.
    fn corrections_of(&self, thing: &Named) -> Vec<&Correction> {
        let is_own = |(table, row): &(usize, usize)| self.is_own(*table, *row, &thing.title);
        let is_plate = thing.with_word.as_deref().is_some_and(|word| word.starts_with("plate:"));
        // A plate has no id of its own: every row of its gaugings describes it.
        let describes = |place: &&(usize, usize)| {
            is_own(place) || is_plate && self.tables[place.0].name == GAUGINGS
        };
        let rows: Vec<&(usize, usize)> = thing.rows.iter().filter(describes).collect();
        let is_of = |correction: &&Correction| {
            let row = correction.row.as_deref().unwrap_or_default();
            let name = row.rsplit_once('.').filter(|_| correction.file.ends_with(".toml"));
            let is_named = name.map_or(row, |(_, name)| name) == thing.title;
            let line = correction.found_on;
            let is_there = |(table, row): &&(usize, usize)| {
                let table = &self.tables[*table];
                let is_in = table.from.contains(&correction.file);
                is_in && (is_named || table.stands_at(*row, &correction.file, line))
            };
            correction.of.is_none() && rows.iter().any(is_there)
        };
        self.corrections.iter().filter(is_of).collect()
    }

    /// The rows of supplements that name a thing.
    fn added_about(&self, thing: &Named) -> Vec<Text> {
        let Some(word) = &thing.with_word else { return Vec::new() };
        let all =
            self.supplements.iter().flat_map(|one| one.rows.iter().map(move |row| (one, row)));
        let about = all.filter(|(_, row)| row.about.contains(word));
        let say = |(one, row): (&Later, &Added)| {
            text!("{}: {} ({}, {})", row.file, row.shown(), id(&one.name), one.on.as_str())
        };
        about.map(say).collect()
    }

    /// The pictures that are about a thing, each a link to its own card.
    fn pictures_of(&self, thing: &Named, setting: &Setting<'_>) -> Markup {
        let files = thing.rows.iter().filter_map(|(table, row)| {
            let table = &self.tables[*table];
            let file = table.columns.iter().position(|column| column.name == "file")?;
            (table.name == PAPERS_TABLE).then(|| table.rows[*row][file].as_str())
        });
        let pictures: Vec<&str> = files
            .filter(|file| setting.previews.place_of(file).is_some())
            .take(MOST_PICTURES)
            .collect();
        html! {
            @if !pictures.is_empty() {
                p {
                    @for file in &pictures {
                        a href=(link(&card("paper", file))) { (setting.previews.shown(file)) } " "
                    }
                }
            }
        }
    }

    /// Whether a row is about a thing by itself.
    fn is_own(&self, table: usize, row: usize, id: &str) -> bool {
        let table = &self.tables[table];
        let mut cells = table.columns.iter().zip(&table.rows[row]);
        cells.any(|(column, cell)| matches!(column.holds(), Some(Holds::Id(_))) && cell == id)
    }

    /// The steel of each zone by what it lay under and what it got.
    fn steel(&self, setting: &Setting<'_>) -> Markup {
        let project = &self.examined.project;
        let zones = project.zones.iter().zip(&self.examined.recomputed.coating.zones);
        let zones: Vec<_> = zones.filter(|(_, history)| !history.parts.is_empty()).collect();
        html! {
            @if !zones.is_empty() {
                details {
                    summary { "Steel by what it lay under and which coats it got" }
                    @for (zone, history) in zones {
                        @for (n, part) in history.parts.iter().enumerate() {
                            article.card id=(steel_card(&zone.id, n)) {
                                h3 { (self.steel_title(&zone.id, part)) }
                                (self.coats_of(part, history.scheme.len(), setting))
                            }
                        }
                    }
                }
            }
        }
    }

    fn steel_title(&self, zone: &str, part: &Part) -> String {
        let positions = self.examined.project.positions.iter().zip(&part.hidden_in);
        let hidden: Vec<&str> =
            positions.filter(|(_, hidden)| **hidden).map(|(one, _)| one.id.as_str()).collect();
        match hidden.as_slice() {
            [] => format!("Zone {zone}, under no block"),
            hidden => format!("Zone {zone}, under blocks in {}", text::and(hidden)),
        }
    }

    fn coats_of(&self, part: &Part, scheme: usize, setting: &Setting<'_>) -> Markup {
        let project = &self.examined.project;
        let recomputed = &self.examined.recomputed.coating;
        let columns = [
            Column::figure("Coat"),
            Column::name("Application"),
            Column::name("Product"),
            Column::name("Batch"),
            Column::name("Put on"),
            Column::measure("Nominal", Form::Film),
            Column::measure("Mean of the zone\u{2019}s readings, all coats so far", Form::Film),
            Column::measure("Least margin over the dew point", Form::TemperatureDifference),
            Column::text("Climate readings that count for it"),
        ];
        let rows = part.chain.iter().filter_map(|at| {
            let coat = project.coats.get(*at)?;
            let applied = recomputed.applied.get(*at)?;
            let zone = project.zones.iter().position(|zone| zone.id == coat.zone);
            let film = recomputed
                .film
                .iter()
                .find(|film| Some(film.zone) == zone && film.coat == coat.coat);
            let mean = film.and_then(|film| Some(film.statistics?.mean_m));
            let span: Option<Piece> = coat.began.map(|began| Piece::Span(began, coat.ended));
            let row: [Cell; 9] = [
                coat.coat.to_string().into(),
                id(&coat.name).into(),
                id(&coat.product).into(),
                coat.batch.as_deref().into(),
                span.into(),
                applied.nominal_m.map(|m| Form::Film.measure(m)).into(),
                mean.map(|m| Form::Film.measure(m)).into(),
                applied
                    .climate
                    .as_ref()
                    .and_then(|climate| climate.least_margin_k)
                    .map(|(k, _)| Form::TemperatureDifference.measure(k))
                    .into(),
                readings_of(project, applied).into(),
            ];
            Some(row)
        });
        let table = PageTable::new(columns).rows(rows).about("Coats, from the steel outward:");
        html! {
            @if part.chain.is_empty() {
                p { "No coat of this docking." }
            } @else {
                (setting.page_table(&table))
            }
            @match missing(part) {
                Some(lacks) => { p { "Missing of its scheme: " (lacks) "." } }
                None if scheme == 0 => { p { "No scheme is recorded for it." } }
                None => { p { "Nothing of its scheme is missing." } }
            }
            @if let Some(area) = part.area_m2 {
                p { (setting.text(&text!("Such steel in this zone: {}.", Form::Area.measure(area)))) }
            }
        }
    }
}

/// How many readings of the climate count for an application, from when to when, and their extremes; `None` without one.
fn readings_of(project: &Project, applied: &Applied) -> Option<Text> {
    let worst = applied.climate?;
    let (first, last) = applied.read_between(project)?;
    let temperature = |(c, _): (f64, usize)| Form::Temperature.measure(c);
    let range =
        |what: &str, coldest: Option<(f64, usize)>, warmest: Option<(f64, usize)>| match coldest
            .zip(warmest)
        {
            Some((coldest, warmest)) => {
                text!("{} {} to {}", what, temperature(coldest), temperature(warmest))
            }
            None => text!("{} not recorded", what),
        };
    let mut said = text!(
        "{}, {}: {}, {}",
        count(worst.count, "reading", "readings"),
        Piece::Span(first, Some(last)),
        range("air", worst.coldest_air_c, worst.warmest_air_c),
        range("steel", worst.coldest_steel_c, worst.warmest_steel_c)
    );
    if let Some((humidity_pct, _)) = worst.highest_humidity_pct {
        said.extend(text!(", humidity at most {}", Form::Ratio.measure(humidity_pct)));
    }
    Some(said)
}

/// The applications, done and planned, by the names that the program gives to those without an id, with every row that names them: one of
/// their own among the records, in the same order, and those of the derived tables.
fn applied(tables: &[Table], examined: &Examined) -> Vec<Named> {
    let project = &examined.project;
    let coats = || project.coats.iter().chain(&project.planned_coats);
    let mut things: Vec<Named> = coats()
        .map(|coat| Named {
            fragment: card("coat", &coat.name),
            title: coat.name.clone(),
            with_word: None,
            rows: Vec::new(),
        })
        .collect();
    let at: BTreeMap<&str, usize> = coats().map(|coat| coat.name.as_str()).zip(0..).collect();
    let own = coats::SPEC.table_name();
    let places: BTreeMap<&Place, usize> = coats().map(|coat| &coat.place).zip(0..).collect();
    let sheet = project.sheets.iter().find(|sheet| sheet.spec.path == coats::SPEC.path);
    let entries = sheet.into_iter().flat_map(|sheet| &sheet.entries);
    let of_rows: Vec<usize> =
        entries.filter_map(|entry| places.get(&entry.place).copied()).collect();
    for (n, table) in tables.iter().enumerate() {
        let is_own = table.name == format!("{own}.csv") && table.rows.len() == of_rows.len();
        let names = |column: &TableColumn| {
            table.name.starts_with("recomputed-")
                && matches!(&*column.name, "application" | "upper" | "lower")
        };
        for (r, row) in table.rows.iter().enumerate() {
            let cells = table.columns.iter().zip(row);
            let named = cells.flat_map(|(column, cell)| match names(column) {
                true => vec![cell.as_str()],
                false => ids(column, cell, Kind::Application, "coat"),
            });
            let named = named.filter_map(|name| at.get(name).copied());
            for thing in is_own.then(|| of_rows[r]).into_iter().chain(named) {
                if things[thing].rows.last() != Some(&(n, r)) {
                    things[thing].rows.push((n, r));
                }
            }
        }
    }
    things
}

/// The things of a kind in the order of the table that has a row for each, with every row that names them.
fn named(tables: &[Table], kind: Kind, word: &str) -> Vec<Named> {
    let mut things: Vec<Named> = Vec::new();
    let mut at: BTreeMap<&str, usize> = BTreeMap::new();
    let columns = |table: &'_ Table, holds: Holds| -> Vec<usize> {
        let all = table.columns.iter().enumerate();
        all.filter(|(_, column)| column.holds() == Some(holds)).map(|(n, _)| n).collect()
    };
    for table in tables {
        for column in columns(table, Holds::Id(kind)) {
            for id in table.rows.iter().map(|row| row[column].as_str()).filter(|id| !id.is_empty())
            {
                at.entry(id).or_insert_with(|| {
                    let (fragment, title) = (card(word, id), id.to_string());
                    let with_word = Some(format!("{word}:{id}"));
                    things.push(Named { fragment, title, with_word, rows: Vec::new() });
                    things.len() - 1
                });
            }
        }
    }
    for (n, table) in tables.iter().enumerate() {
        for (r, row) in table.rows.iter().enumerate() {
            let cells = table.columns.iter().zip(row);
            for id in cells.flat_map(|(column, cell)| ids(column, cell, kind, word)) {
                let Some(thing) = at.get(id).map(|at| &mut things[*at]) else { continue };
                if thing.rows.last() != Some(&(n, r)) {
                    thing.rows.push((n, r));
                }
            }
        }
    }
    things
}

/// The ids of a kind that a cell holds. Where things of any kind may be named, the kind's word and a colon may stand
/// before an id.
fn ids<'a>(column: &TableColumn, cell: &'a str, kind: Kind, word: &str) -> Vec<&'a str> {
    let listed = || cell.split(';').map(str::trim).filter(|id| !id.is_empty());
    match column.holds() {
        Some(Holds::Id(of) | Holds::Part(of) | Holds::Ref(of)) if of == kind => vec![cell],
        Some(Holds::Refs(of)) if of == kind => listed().collect(),
        Some(Holds::AnyRefs) => {
            let of_kind = |id: &'a str| match id.split_once(':') {
                Some((of, id)) => (of == word).then_some(id),
                None => Some(id),
            };
            listed().filter_map(of_kind).collect()
        }
        _ => Vec::new(),
    }
}

/// The things of one table that its key's columns name, with the papers that are about them.
fn by_key(tables: &[Table], name: &str, word: &str, key: &[&str]) -> Vec<Named> {
    let Some((n, table)) = tables.iter().enumerate().find(|(_, table)| table.name == name) else {
        return Vec::new();
    };
    let at = |wanted: &&str| table.columns.iter().position(|column| column.name == **wanted);
    let Some(columns) = key.iter().map(at).collect::<Option<Vec<usize>>>() else {
        return Vec::new();
    };
    let mut things: Vec<Named> = Vec::new();
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for (r, row) in table.rows.iter().enumerate() {
        let parts: Vec<&str> = columns.iter().map(|column| row[*column].as_str()).collect();
        let name = parts.join(".");
        let number = *seen.entry(name.clone()).or_insert_with(|| {
            // A strake may be called as a zone is.
            let title = if word == "strake" { format!("strake {name}") } else { parts.join(" ") };
            let with_word = Some(format!("{word}:{name}"));
            things.push(Named { fragment: card(word, &name), title, with_word, rows: Vec::new() });
            things.len() - 1
        });
        things[number].rows.push((n, r));
    }
    for (table, row, name) in named_by_papers(tables, word) {
        if let Some(number) = seen.get(name) {
            things[*number].rows.push((table, row));
        }
    }
    things
}

/// What papers are about that is named with the word of its kind: the paper's table and row, and the name.
fn named_by_papers<'a>(tables: &'a [Table], word: &str) -> Vec<(usize, usize, &'a str)> {
    let Some((n, table)) = tables.iter().enumerate().find(|(_, table)| table.name == PAPERS_TABLE)
    else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (r, row) in table.rows.iter().enumerate() {
        for (column, cell) in table.columns.iter().zip(row) {
            if column.holds() != Some(Holds::AnyRefs) {
                continue;
            }
            let names = cell.split(';').filter_map(|name| name.trim().split_once(':'));
            found.extend(names.filter(|(of, _)| *of == word).map(|(_, name)| (n, r, name)));
        }
    }
    found
}

/// The frames that papers are about.
fn frames(tables: &[Table]) -> Vec<Named> {
    let mut things: Vec<(f64, Named)> = Vec::new();
    for (table, row, name) in named_by_papers(tables, "frame") {
        let Ok(number) = name.parse::<f64>() else { continue };
        let new = Named {
            fragment: card("frame", name),
            title: format!("frame {name}"),
            with_word: Some(format!("frame:{name}")),
            rows: vec![(table, row)],
        };
        match things.iter_mut().find(|(_, thing)| thing.fragment == new.fragment) {
            Some((_, thing)) => thing.rows.push((table, row)),
            None => things.push((number, new)),
        }
    }
    things.sort_by(|a, b| a.0.total_cmp(&b.0));
    things.into_iter().map(|(_, thing)| thing).collect()
}

impl Setting<'_> {
    /// Rows of a derived table on the card of a thing that each of them names.
    fn rows(&self, table: &Table, rows: &[usize], of: &str) -> Markup {
        let filled: Vec<usize> = (0..table.columns.len())
            .filter(|n| {
                let column = &table.columns[*n];
                let is_all_the_same = rows.iter().all(|row| table.rows[*row][*n] == of);
                ![RECORD_FILE, RECORD_LINE].contains(&column.name.as_str())
                    && !is_all_the_same
                    && rows.iter().any(|row| !table.rows[*row][*n].is_empty())
            })
            .collect();
        let stands = format!("data/tables/{}", table.name);
        let title = Text::from(table.title.as_str()).capitalized().shown(self.reader);
        if rows.len() > MOST_ROWS {
            let many = count(rows.len(), "row", "rows");
            return html! { h4 { (title) } p.note { (many) " in " code { (stands) } " of the bundle." } };
        }
        let cell = |row: usize, name: &str| {
            let at = table.columns.iter().position(|column| column.name == name)?;
            Some(table.rows[row][at].clone())
        };
        // The rows of a table that comes in parts say in which file they stand.
        let place = |row: usize| {
            let line = cell(row, RECORD_LINE)?;
            let file = cell(row, RECORD_FILE).unwrap_or_else(|| table.title.clone());
            Some(format!("{file}, line {line}"))
        };
        html! {
            h4 { (title) }
            @if let [row] = rows {
                dl.facts {
                    @for n in &filled {
                        @let column = &table.columns[*n];
                        @if !table.rows[*row][*n].is_empty() {
                            div { dt { (column.words()) } dd { (self.value(table, *n, *row)) } }
                        }
                    }
                }
                p.source {
                    @match place(*row) { Some(place) => { (place) } None => { (stands) } }
                }
            } @else {
                div.table tabindex="0" role="group" aria-label=(table.title) {
                    table {
                        caption.unseen { (table.about) }
                        thead { tr {
                            @for n in &filled { th scope="col" { (table.columns[*n].words()) } }
                        } }
                        tbody {
                            @for row in rows {
                                tr { @for n in &filled {
                                    td { (self.value(table, *n, *row)) }
                                } }
                            }
                        }
                    }
                }
                p.source { (stands) }
            }
        }
    }

    /// A cell of a derived table for people: in the project's units and by its clock, with its ids as links.
    fn value(&self, table: &Table, column: usize, row: usize) -> Markup {
        let (column, cell) = (&table.columns[column], table.rows[row][column].as_str());
        // What was written down has the decimals that it was written with.
        let is_recorded = table.columns.iter().any(|column| column.name == RECORD_LINE);
        let number = || cell.parse::<f64>().ok().filter(|value| value.is_finite());
        if let (Some(form), Some(value)) = (column.form(), number()) {
            let measure = match form.quantity() {
                Quantity::Force => Measure::load(value),
                _ if is_recorded => form.measure(value).as_stated(),
                _ => form.measure(value),
            };
            return html! { (measure.with_unit(self.reader.system)) };
        }
        if let (Some(Holds::Time), Ok(at)) = (column.holds(), DateTime::parse_from_rfc3339(cell)) {
            return self.text(&Text::from(at));
        }
        let is_ids = matches!(
            column.cells,
            Cells::Values(
                Holds::Id(_) | Holds::Part(_) | Holds::Ref(_) | Holds::Refs(_) | Holds::AnyRefs
            )
        );
        html! {
            @if is_ids {
                @for (n, one) in cell.split(';').enumerate() {
                    @if n > 0 { ", " }
                    (self.text(&Text::from(id(one.trim()))))
                }
            } @else {
                (cell)
            }
        }
    }
}

const RECORD_LINE: &str = "record_line";
const RECORD_FILE: &str = "record_file";
