//! What the next docking begins with: of the last one's records those that are the ship's own or that a
//! new plan grows from, without what only that docking could know.

use std::collections::BTreeMap;

use super::blank::{self, House};
use super::form::{self, CORRECTED, Filled, MARK};
use crate::records::blocks::{self, Block};
use crate::records::characters::coded;
use crate::records::corrected::{Supplement, note_on};
use crate::records::drafts::{self, DraftReading};
use crate::records::entry::Entry;
use crate::records::openings::{self, Opening};
use crate::records::plating::{self, Anode, Gauging};
use crate::records::positions::{self, Sighting};
use crate::records::sheet::Sheet;
use crate::records::spec::{Column, FileSpec, TableSpec};
use crate::records::{Project, archive, bottom, bounds, docking, film, hydrostatics, keel, layers};
use crate::records::{plan, products, scheme, weights, zones};

/// A column whose value is not carried but copied into a note.
struct Noted {
    column: Column,
    note: &'static str,
    /// What the note says where the column was empty.
    if_empty: &'static str,
}

/// A file that is carried, row by row.
struct CarriedFile {
    spec: &'static FileSpec,
    /// Columns that are left blank.
    left: &'static [Column],
    noted: &'static [Noted],
    /// Whether its rows are places to be read again: what is left of them stands once, without the notes of that docking.
    is_read_again: bool,
}

const fn whole(spec: &'static FileSpec) -> CarriedFile {
    CarriedFile { spec, left: &[], noted: &[], is_read_again: false }
}

const fn read_again(
    spec: &'static FileSpec,
    left: &'static [Column],
    noted: &'static [Noted],
) -> CarriedFile {
    CarriedFile { spec, left, noted, is_read_again: true }
}

const SHEETS: &[CarriedFile] = &[
    CarriedFile {
        spec: &blocks::SPEC,
        left: &[Block::top_level_m],
        noted: &[
            Noted { column: Block::positions, note: "note_stood_in", if_empty: "all" },
            Noted {
                column: Block::left_out_because,
                note: "note_was_left_out_because",
                if_empty: "",
            },
        ],
        is_read_again: false,
    },
    whole(&layers::SPEC),
    CarriedFile {
        spec: &openings::SPEC,
        left: &[
            Opening::opened_at,
            Opening::opened_by,
            Opening::closed_at,
            Opening::closed_by,
            Opening::tested_how,
        ],
        noted: &[Noted { column: Opening::state, note: "note_state_then", if_empty: "" }],
        is_read_again: false,
    },
    read_again(
        &drafts::SPEC,
        &[
            DraftReading::position,
            DraftReading::planned_draft_m,
            DraftReading::draft_m,
            DraftReading::water_density_t_m3,
            DraftReading::at,
            DraftReading::by,
        ],
        &[],
    ),
    read_again(
        &positions::MARKS_SPEC,
        &[
            Sighting::position,
            Sighting::dock_station_m,
            Sighting::dock_offset_m,
            Sighting::read_by,
            Sighting::at,
        ],
        &[],
    ),
    read_again(
        &plating::SPEC,
        &[
            Gauging::pit_depth_m,
            Gauging::pitted_pct,
            Gauging::instrument,
            Gauging::through_coating,
            Gauging::at,
            Gauging::by,
        ],
        &[Noted { column: Gauging::measured_m, note: "note_measured_then", if_empty: "" }],
    ),
    read_again(
        &plating::ANODES_SPEC,
        &[Anode::at, Anode::by],
        &[
            Noted { column: Anode::mass_fitted_t, note: "note_mass_fitted_then", if_empty: "" },
            Noted { column: Anode::mass_found_t, note: "note_mass_found_then", if_empty: "" },
            Noted { column: Anode::renewed, note: "note_renewed_then", if_empty: "" },
        ],
    ),
    whole(&bottom::SPEC),
    whole(&keel::SPEC),
    whole(&plan::SPEC),
    whole(&hydrostatics::SPEC),
    whole(&weights::STIFFNESS_SPEC),
    whole(&zones::SPEC),
    whole(&zones::AREAS_SPEC),
    whole(&scheme::SPEC),
];

const fn filled(table: TableSpec, advice: &'static str) -> Filled {
    Filled { table: table.name, advice }
}

const DOCKING: &[Filled] = &[
    filled(docking::SHIP, "confirm, and correct what has changed since"),
    filled(docking::FRAMES, "confirm"),
    filled(
        docking::DOCK,
        "confirm each figure with the dock; if it is another dock, write its own",
    ),
    filled(hydrostatics::TABLE, "confirm that the table still holds for her"),
    filled(
        archive::TABLE,
        "confirm each; identifier, originals and plans are that docking's: write this one's",
    ),
    filled(film::TABLE, "confirm with the specification of this docking"),
    filled(film::ZONE_TABLE, "confirm with the specification of this docking"),
    filled(bounds::LIMIT_TABLE, "confirm each with the plan or specification of this docking"),
    filled(bounds::TOLERANCE_TABLE, "confirm with those who measure"),
];

const PRODUCTS: &[Filled] = &[
    filled(
        products::PRODUCT,
        "confirm with the data sheet of today, or take out what is no longer made",
    ),
    filled(products::RECOAT, "confirm with the data sheet of today"),
];

/// What was carried: files by their paths in the project, and how many rows or tables of each.
#[derive(Debug, Default)]
pub struct Carried {
    /// The files, to stand in the place of blank ones.
    pub files: BTreeMap<String, Vec<u8>>,
    /// Rows of a CSV file, tables of a TOML file.
    pub counts: BTreeMap<&'static str, usize>,
    /// Names that can't be carried, since they hold what no name may hold: `[ship] name in docking.toml`.
    pub left_out: Vec<String>,
}

/// Carries forward from the project of the docking that is called `from`, as these supplements have corrected it: what
/// they changed is noted beside it.
pub fn carried(
    project: &Project,
    (from, supplements): (&str, &[Supplement]),
    house: House,
) -> Result<Carried, csv::Error> {
    let mut carried = Carried::default();
    for file in SHEETS {
        let found = project.sheets.iter().find(|sheet| sheet.spec.path == file.spec.path);
        let entries = found.into_iter().flat_map(|sheet| &sheet.entries);
        let entries: Vec<&Entry> =
            entries.filter(|entry| !is_of_moved_block(project, file.spec, entry)).collect();
        let Some(sheet) = found.filter(|_| !entries.is_empty()) else { continue };
        let headings = headings(project, file.spec, &entries, house);
        let (bytes, count) = rows(file, (sheet, headings), &entries, (from, supplements))?;
        carried.files.insert(file.spec.path.to_string(), bytes);
        carried.counts.insert(file.spec.path, count);
    }
    for (path, tables) in [(docking::SPEC.path, DOCKING), (products::SPEC.path, PRODUCTS)] {
        let record = project.keyed.iter().find(|keyed| keyed.path == path);
        let (Some(record), Some(blank)) = (record, blank::form(path, house)) else { continue };
        let count = tables.iter().map(|one| record.all(one.table).count()).sum();
        if count > 0 {
            let mut text = form::fill(&blank, tables, record, (from, supplements));
            if path == docking::SPEC.path {
                text = form::with_roles(&text, &roles(project), from);
            }
            carried.left_out.extend(
                form::left_out(tables, record).into_iter().map(|key| format!("{key} in {path}")),
            );
            carried.files.insert(path.to_string(), text.into_bytes());
            carried.counts.insert(path, count);
        }
    }
    Ok(carried)
}

/// The roles of the people of that docking, each once.
fn roles(project: &Project) -> Vec<String> {
    let mut roles: Vec<String> = Vec::new();
    for (_, role) in &project.docking.people {
        if !roles.contains(role) {
            roles.push(role.clone());
        }
    }
    roles
}

/// Whether a row of the block plan or of what blocks are built of is about a block found elsewhere than
/// planned: the next plan grows from the plan.
fn is_of_moved_block(project: &Project, spec: &FileSpec, entry: &Entry) -> bool {
    let of_blocks = [blocks::SPEC.path, layers::SPEC.path].contains(&spec.path);
    let name = entry.get::<String>(&Block::id).filter(|_| of_blocks);
    let moved = |block: &&Block| block.moved_from.is_some();
    name.is_some_and(|name| project.blocks.iter().filter(moved).any(|block| block.id == name))
}

/// A file's rows as they are carried, and how many there are.
fn rows(
    file: &CarriedFile,
    (sheet, mut header): (&Sheet, Vec<String>),
    entries: &[&Entry],
    (from, supplements): (&str, &[Supplement]),
) -> Result<(Vec<u8>, usize), csv::Error> {
    let is_ours = |note: &str| {
        note == MARK
            || note == CORRECTED
            || file.noted.iter().any(|noted| note.starts_with(noted.note))
    };
    let is_kept = |note: &str| !file.is_read_again && !is_ours(note);
    let named = |noted: &Noted| {
        let unit = header.iter().find_map(|heading| noted.column.unit_in(heading));
        unit.map_or(noted.note.to_string(), |unit| format!("{}_{}", noted.note, unit.suffix))
    };
    let notes: Vec<String> = file.noted.iter().map(named).collect();
    let kept: Vec<String> =
        sheet.note_columns.iter().filter(|note| is_kept(note)).cloned().collect();
    header.extend(kept.iter().cloned());
    header.extend(notes);
    header.push(MARK.to_string());
    let corrected = |entry: &Entry| note_on(entry, supplements);
    let is_corrected = entries.iter().any(|entry| corrected(entry).is_some());
    if is_corrected {
        header.push(CORRECTED.to_string());
    }
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(header.iter().map(|head| coded(head)))?;
    let mut written: Vec<Vec<String>> = Vec::new();
    for entry in entries {
        // Each part of a table may have units of its own: a value is written in those of the header.
        let texts: Vec<(&Column, Option<String>)> = entry
            .values()
            .zip(&header)
            .map(|((column, value), heading)| {
                (column, value.map(|value| value.text(column.unit_in(heading))))
            })
            .collect();
        let text = |wanted: Column| {
            texts.iter().find(|(column, _)| **column == wanted).and_then(|(_, text)| text.clone())
        };
        let note = |name: &String| {
            entry.noted().find(|(note, _)| note == name).map_or("", |(_, text)| text).to_string()
        };
        let mut row: Vec<String> = texts
            .iter()
            .map(|(column, text)| {
                let noted = file.noted.iter().any(|noted| noted.column == **column);
                let left = noted || file.left.contains(column);
                text.clone().filter(|_| !left).unwrap_or_default()
            })
            .collect();
        row.extend(kept.iter().map(note));
        row.extend(file.noted.iter().map(|n| text(n.column).unwrap_or(n.if_empty.to_string())));
        row.push(from.to_string());
        if is_corrected {
            row.push(corrected(entry).unwrap_or_default());
        }
        if !(file.is_read_again && written.contains(&row)) {
            out.write_record(row.iter().map(|cell| coded(cell)))?;
            written.push(row);
        }
    }
    let bytes = out.into_inner().map_err(|error| error.into_error())?;
    Ok((bytes, written.len()))
}

/// The headings of a blank file, but those of columns in use as the record writes them, of parts with several units as
/// the first of them does.
fn headings(project: &Project, spec: &FileSpec, entries: &[&Entry], house: House) -> Vec<String> {
    let mut headings = blank::headings(spec, house, Some(project));
    for (at, heading) in headings.iter_mut().enumerate() {
        let mut written = entries.iter().filter_map(|entry| entry.written().nth(at));
        if let Some((_, written, _)) = written.find(|(.., value)| value.is_some()) {
            *heading = written.to_string();
        }
    }
    headings
}
