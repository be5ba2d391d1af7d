//! The payload as data entities: folders, files, and what each was made from.

use std::collections::{BTreeMap, BTreeSet};

use super::around::{self, People};
use super::entity::{Entity, address, link};
use super::told::{Made, Told, interval};
use crate::bundle::formats::{self, Described, Known};
use crate::bundle::layout;
use crate::records::{FILES, KEYED_FILES, Past};

const RECORDS: &str = "records/";
pub const PROGRAM: &str = "#program";

/// A file's path from the payload's folder.
pub fn within(path: &str) -> &str {
    path.strip_prefix(layout::DATA).unwrap_or(path)
}

/// The payload's folders that hold files, each with what it holds.
fn folders(told: &Told<'_>) -> Vec<(&'static str, &'static str)> {
    let is_folder = |path: &&(&'static str, &'static str)| path.0.ends_with('/');
    layout::CONTENTS
        .iter()
        .filter(is_folder)
        .filter(|(folder, _)| told.files.keys().any(|path| path.starts_with(folder)))
        .map(|(folder, about)| (within(folder), *about))
        .collect()
}

/// The ids of what lies at the top of the payload, in the order of their paths.
pub fn at_the_top(told: &Told<'_>) -> Vec<String> {
    let folders = folders(told).into_iter().map(|(folder, _)| folder.to_string());
    let files = told.paths().filter(|path| !path.contains('/')).map(address);
    folders.chain(files).collect::<BTreeSet<String>>().into_iter().collect()
}

/// Folders, files, and the formats that these are of.
pub fn entities(told: &Told<'_>, people: &People) -> Vec<Entity> {
    let mut out: Vec<Entity> = Vec::new();
    let earlier = &told.examined.project.history;
    let folder_of = |past: &Past| format!("{RECORDS}{}", past.source.folder());
    for (folder, about) in folders(told) {
        let within_earlier =
            |path: &str| earlier.iter().any(|past| path.starts_with(&folder_of(past)));
        let parts = told.paths().filter(|path| path.starts_with(folder) && !within_earlier(path));
        let dockings = earlier.iter().map(folder_of).filter(|_| folder == RECORDS);
        let parts: Vec<String> =
            parts.map(address).chain(dockings.map(|path| address(&path))).collect();
        out.push(
            Entity::new(folder, &["Dataset"])
                .with("name", folder)
                .with("description", plain(about))
                .naming("hasPart", parts),
        );
    }
    for past in earlier {
        out.extend(earlier_docking(told, past, &folder_of(past)));
    }
    let payload = told.files.iter().filter(|(path, _)| path.starts_with(layout::DATA));
    let payload: Vec<_> =
        payload.map(|(path, digests)| (path, digests.size, format_of(told, path))).collect();
    for (path, size, known) in &payload {
        out.push(describe(told, people, path, sized(path, *size, *known)));
    }
    out.extend(formats_of(payload.iter().map(|(.., known)| *known)));
    out
}

/// A file of the payload with its size in bytes and its format.
pub fn sized(path: &str, size: u64, (media_type, format): Known) -> Entity {
    let format = format.map(|format| link(format.address));
    let formats: Vec<_> = std::iter::once(media_type.into()).chain(format).collect();
    Entity::new(address(within(path)), &["File"])
        .with("contentSize", size.to_string())
        .with("encodingFormat", formats)
}

/// The entities of the formats that files are of, each once.
pub fn formats_of(known: impl Iterator<Item = Known>) -> Vec<Entity> {
    let described = known.filter_map(|(_, format)| Some((format?.address, format?)));
    let described: BTreeMap<&str, Described> = described.collect();
    let page = |format: Described| {
        Entity::new(format.address, &["WebPage", "Standard"]).with("name", format.name)
    };
    described.into_values().map(page).collect()
}

/// The records of an earlier docking, and the bundle that they came from.
fn earlier_docking(told: &Told<'_>, past: &Past, folder: &str) -> [Entity; 2] {
    let source = &past.source;
    let state = match (&source.damage, source.fixity) {
        (Some(damage), _) => format!("which was damaged: {damage}"),
        (None, found) => format!("which was {}", found.word()),
    };
    let seal = format!("#bundle-of-{}", address(&source.name));
    let of = past.project.days();
    let parts = told.paths().filter(|path| path.starts_with(folder)).map(address);
    let dataset = Entity::new(address(folder), &["Dataset"])
        .with("name", format!("Records of the docking {}", source.name))
        .with("description", format!("Taken from the bundle {}, {state}.", source.bundle))
        .with_some("temporalCoverage", interval(of))
        .naming("identifier", [&seal])
        .naming("hasPart", parts);
    let value = source.seal.as_deref().unwrap_or(&source.bundle);
    let kind = match source.seal {
        Some(_) => "seal of the bundle: SHA-256 of its tagmanifest-sha256.txt",
        None => "name of the bundle; its seal is not recorded",
    };
    [dataset, around::number(seal, kind, value)]
}

fn format_of(told: &Told<'_>, path: &str) -> Known {
    if let Some(paper) = path.strip_prefix(layout::PAPERS) {
        let content = told.examined.project.contents.get(paper);
        return content
            .map_or_else(|| formats::of_other(path), |content| formats::of_paper(paper, content));
    }
    match path.strip_prefix(layout::RECORDS) {
        Some(record) if !is_read(record) => formats::of_other(path),
        _ => formats::of_name(path),
    }
}

/// Whether a file of the project is one that the program reads as a record.
fn is_read(record: &str) -> bool {
    about_record(record).is_some()
}

/// What one row or table of a file of records is.
fn about_record(record: &str) -> Option<&'static str> {
    let rows = FILES.iter().find(|spec| spec.path == record).map(|spec| spec.row_is);
    let keyed = KEYED_FILES.iter().any(|spec| spec.path == record);
    rows.or_else(|| keyed.then_some("a table of names and values"))
}

fn describe(told: &Told<'_>, people: &People, path: &str, entity: Entity) -> Entity {
    let short = within(path);
    if let Some(file) = path.strip_prefix(layout::PAPERS) {
        return describe_paper(told, people, file, entity);
    }
    if let Some(Made { title, about, from }) = told.made.get(path) {
        let from = from.iter().map(|path| address(within(path)));
        return entity
            .with("name", title.as_str())
            .with("description", about.as_str())
            .naming("isBasedOn", from);
    }
    let about = if let Some(record) = path.strip_prefix(layout::RECORDS) {
        match about_record(record) {
            Some(about) => format!("Records as they were written: one row is {about}"),
            None => "A file of the project, as it was".to_string(),
        }
    } else {
        let mut listed = layout::CONTENTS.iter().filter(|(listed, _)| path.starts_with(listed));
        plain(listed.next().map_or("", |(_, about)| about))
    };
    entity.with("name", short).with("description", about)
}

fn describe_paper(told: &Told<'_>, people: &People, file: &str, entity: Entity) -> Entity {
    let project = &told.examined.project;
    let paper = project.papers.iter().find(|paper| paper.file == file);
    let kind = project.contents.get(file).and_then(|content| content.kind);
    let entity = entity.with("description", kind.map_or("a paper, as it was", |kind| kind.name));
    let Some(paper) = paper else { return entity.with("name", file) };
    let by = paper.by.as_deref();
    let author = by.map(|by| people.id(by).map_or_else(|| by.into(), link));
    entity
        .with("name", paper.caption.as_deref().unwrap_or(file))
        .with_some("author", author)
        .with_some("dateCreated", paper.taken_at.map(|at| at.to_rfc3339()))
        .with_some("inLanguage", paper.language.as_deref())
}

/// A text of the list of contents on one line.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the program did: the files that it made, and from which.
pub fn actions(told: &Told<'_>, people: &People) -> Vec<(String, Entity)> {
    let docking = &told.examined.project.docking;
    let on = docking.closeout.as_ref().map(|closeout| closeout.prepared_on.to_string());
    let mut out: Vec<(String, Entity)> = Vec::new();
    let mut act = |id: String, name: String, from: Vec<String>, made: Vec<String>| {
        if made.is_empty() {
            return;
        }
        let action = Entity::new(id.clone(), &["CreateAction"])
            .with("name", name)
            .with_some("endTime", on.clone())
            .naming("agent", people.preparer(docking))
            .naming("instrument", [PROGRAM])
            .naming("object", from)
            .naming("result", made);
        out.push((id, action));
    };
    for (n, workbook) in (1..).zip(&told.examined.project.workbooks) {
        let from = address(within(&format!("{}{}", layout::WORKBOOK, workbook.path)));
        let made = workbook.made().map(|(path, _)| address(within(&layout::in_bundle(path))));
        let name = format!("Sheets of {} written out as CSV files", workbook.path);
        act(format!("#made-from-workbook-{n}"), name, vec![from], made.collect());
    }
    let under = |folder: &str| -> Vec<String> {
        told.paths().filter(|path| path.starts_with(within(folder))).map(address).collect()
    };
    let there = |places: &[&str]| -> Vec<String> {
        let is_there = |place: &&&str| {
            told.files
                .keys()
                .any(|path| path == *place || (place.ends_with('/') && path.starts_with(*place)))
        };
        places.iter().filter(is_there).map(|place| address(within(place))).collect()
    };
    let records = || there(&[layout::RECORDS]);
    let with_papers = || there(&[layout::RECORDS, layout::PAPERS]);
    let findings = [layout::FINDINGS_CSV, layout::FINDINGS_JSON];
    act(
        "#made-tables".into(),
        "Tables worked out from the records".into(),
        records(),
        under(layout::TABLES),
    );
    act(
        "#made-findings".into(),
        "Records held against their recomputation".into(),
        with_papers(),
        there(&findings),
    );
    act(
        "#made-drawings".into(),
        "Drawings made of the records".into(),
        with_papers(),
        under(layout::DRAWINGS),
    );
    act(
        "#made-readme".into(),
        "README.txt written for this record".into(),
        records(),
        there(&[layout::README]),
    );
    let texts = there(&[layout::FORMAT_TEXT, layout::FINDINGS_SCHEMA]);
    act(
        "#made-descriptions".into(),
        "Descriptions of the format, the same for every record".into(),
        Vec::new(),
        texts,
    );
    let shown = [layout::RECORDS, layout::PAPERS, layout::DRAWINGS];
    act(
        "#made-page".into(),
        "Page for a web browser made of the records".into(),
        there(&shown),
        there(&[layout::START_HERE]),
    );
    let set = [layout::RECORDS, layout::PAPERS, layout::DRAWINGS, findings[0], findings[1]];
    let mut volumes = there(&[layout::REPORT, layout::SUMMARY]);
    volumes.extend(under(layout::TABLES_ON_PAPER));
    act("#made-report".into(), "Report set for paper".into(), there(&set), volumes);
    out
}

/// The program, with its version.
pub fn program(program: &str) -> Entity {
    let (name, version) = program.split_once(' ').unwrap_or((program, ""));
    Entity::new(PROGRAM, &["SoftwareApplication"])
        .with("name", name)
        .with("softwareVersion", version)
        .with("version", version)
        .with("description", "The program that wrote the bundle. Nothing needs it to read one; format.txt says what it does.")
        // The specification asks for an address; one on the web would not last as long as the bundle.
        .naming("url", [within(layout::FORMAT_TEXT)])
}
