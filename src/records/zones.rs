//! `coating/zones.csv` and `coating/areas.csv`: the zones of the coating, areas drawn for its logs,
//! and the extent that a log claims.

use std::collections::BTreeMap;

use geo::Polygon;

use super::budget::{MOST_ZONES, one_too_many};
use super::entry::Entry;
use super::input::Input;
use super::outline::outline;
use super::place::Place;
use super::problem::{Alike, Problem, Problems};
use super::record::{record, words};
use super::sheet::Sheet;
use super::spec::{Column, EXTENTS, FileSpec, Kind, PLACE, Range};
use crate::units::Quantity;

words! {
    enum ZoneKind {
        Bottom = "bottom",
        Side = "side",
    }
}

record! {
    struct ZoneRow: SPEC =
        "a vertex of a zone's outline, or a zone without an outline" in "coating/zones.csv", at most 5_000
    {
        zone = always("zone", Part(Kind::Zone), "the zone's name"),
        kind = optional(
            "kind",
            Word(ZoneKind::WORDS),
            "bottom, where blocks can stand, or side; in one row of each zone",
        ),
        order = optional("order", Whole { least: 0 }, "its number in the order of the outline"),
        x = optional("x", PLACE, "x of the vertex"),
        y = optional("y", PLACE, "y of the vertex"),
        true_area = optional(
            "true_area",
            Measure(Quantity::Area, Range::Positive),
            "the zone's area along the plating; in one row of the zone",
        ),
        lowest_z = optional("lowest_z", PLACE, "z of a side's lowest edge; in one row of the zone"),
    }
}

record! {
    /// A corner of an area.
    pub struct AreaRow: AREAS_SPEC = "a vertex of an area that logs refer to" in "coating/areas.csv", at most 5_000 {
        area = always("area", Part(Kind::Area), "the area's name"),
        order = always("order", Whole { least: 0 }, "its number in the order of the outline"),
        x = always("x", PLACE, "x of the vertex"),
        y = always("y", PLACE, "y of the vertex"),
    }
}

const ZONE_VERTEX: [&Column; 3] = [&ZoneRow::order, &ZoneRow::x, &ZoneRow::y];
const AREA_VERTEX: [&Column; 3] = [&AreaRow::order, &AreaRow::x, &AreaRow::y];

/// Where a zone lies.
#[derive(Debug, Clone, PartialEq)]
pub enum Lies {
    /// On the bottom, within an outline; `None` where the zone is the whole bottom.
    Bottom(Option<Polygon<f64>>),
    /// On a side, from a lowest z in m on, if that is recorded.
    Side {
        /// z of its lowest edge, m.
        lowest_z_m: Option<f64>,
    },
}

/// A zone of the coating.
#[derive(Debug, Clone)]
pub struct Zone {
    /// Its name.
    pub id: String,
    pub lies: Lies,
    /// Its area along the plating, m2, if that is recorded.
    pub true_area_m2: Option<f64>,
    /// Its first row in the file.
    pub place: Place,
}

impl Zone {
    /// Whether it lies on the bottom.
    pub fn is_bottom(&self) -> bool {
        matches!(self.lies, Lies::Bottom(_))
    }

    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let Some(sheet) = input.sheet(spec) else { return Vec::new() };
        let problems = &mut *input.problems;
        let parts = parts(sheet, &ZoneRow::zone);
        if parts.len() > MOST_ZONES {
            let mut firsts: Vec<&Place> =
                parts.values().filter_map(|part| Some(&part.rows.first()?.place)).collect();
            firsts.sort();
            let next =
                firsts.get(MOST_ZONES).map_or_else(|| Place::file(spec.path), |p| (*p).clone());
            problems.add(one_too_many(next, MOST_ZONES, "zone"));
            return Vec::new();
        }
        let mut zones: Vec<Self> =
            parts.iter().filter_map(|(id, part)| Self::read(id, part, problems)).collect();
        let has_vertex = |row: &&Entry| row.value(&ZoneRow::order).is_some();
        let bare = |zone: &&Self| {
            let part = parts.get(&zone.id).filter(|part| part.whole);
            zone.is_bottom() && part.is_some_and(|part| !part.rows.iter().any(has_vertex))
        };
        let bottoms = zones.iter().filter(|zone| zone.is_bottom()).count();
        for zone in zones.iter().filter(bare).filter(|_| bottoms > 1) {
            problems.add(
                Problem::new(zone.place.clone(), "has no outline, but is not the only bottom zone")
                    .value(zone.id.clone())
                    .expected("an outline for each bottom zone if there are several")
                    .advice("give its vertices; a bottom zone without any is the whole bottom"),
            );
        }
        zones.sort_by(|a, b| a.place.cmp(&b.place));
        zones
    }

    fn read(id: &str, part: &Part<'_>, problems: &mut Problems) -> Option<Self> {
        let rows = &part.rows;
        let first = rows.first()?;
        let once = |column: &Column, problems: &mut Problems| {
            let mut written = rows.iter().filter(|row| row.value(column).is_some());
            let one = *written.next()?;
            for other in written.filter(|other| other.value(column) != one.value(column)) {
                problems.add(
                    Problem::new(other.place_of(column), "differs from an earlier row of the zone")
                        .value(other.as_written(column))
                        .expected(format!("the same as at {}", one.place_of(column)))
                        .advice("give it in one row of the zone only"),
                );
            }
            Some(one)
        };
        let kind = once(&ZoneRow::kind, problems).and_then(|row| row.get(&ZoneRow::kind));
        let true_area_m2 =
            once(&ZoneRow::true_area, problems).and_then(|row| row.get(&ZoneRow::true_area));
        let lowest_z_m =
            once(&ZoneRow::lowest_z, problems).and_then(|row| row.get(&ZoneRow::lowest_z));
        for row in rows {
            let given = ZONE_VERTEX.map(|column| row.value(column).is_some());
            if given.contains(&true) && given.contains(&false) {
                problems.add(
                    Problem::new(row.place.clone(), "has an incomplete vertex")
                        .value(id)
                        .expected("order, x and y, or none of the three")
                        .advice("fill in the missing cells"),
                );
            }
        }
        let shape = outline(rows.iter().copied(), ZONE_VERTEX, id, part.whole, problems);
        let lies = match kind {
            Some(ZoneKind::Side) => {
                if shape.is_some() {
                    problems.add(
                        Problem::new(
                            first.place.clone(),
                            "is a side zone, but has an outline in plan",
                        )
                        .value(id)
                        .expected("for a side zone only its true area and lowest z")
                        .advice("remove the vertices, or correct its kind if it is a bottom zone"),
                    );
                }
                Lies::Side { lowest_z_m }
            }
            Some(ZoneKind::Bottom) => Lies::Bottom(shape),
            None if !part.whole => return None,
            None => {
                problems.add(
                    Problem::new(first.place.clone(), "has no kind")
                        .value(id)
                        .expected("bottom or side in the column kind, in one row of the zone")
                        .advice("fill it in"),
                );
                return None;
            }
        };
        Some(Self { id: id.to_string(), lies, true_area_m2, place: first.place.clone() })
    }
}

/// An area drawn for a log.
#[derive(Debug, Clone)]
pub struct DrawnArea {
    /// Its name.
    pub id: String,
    pub outline: Polygon<f64>,
    /// Its first row in the file.
    pub place: Place,
}

impl DrawnArea {
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let Some(sheet) = input.sheet(spec) else { return Vec::new() };
        let problems = &mut *input.problems;
        let mut areas = Vec::new();
        for (id, part) in parts(sheet, &AreaRow::area) {
            let Some(first) = part.rows.first() else { continue };
            if Extent::from_word(&id).is_some() {
                problems.add(
                    Problem::new(
                        first.place_of(&AreaRow::area),
                        "is a word that logs use for an extent",
                    )
                    .value(id.clone())
                    .expected("another name; all, exposed and patches are reserved")
                    .advice("rename the area, here and in the logs"),
                );
            }
            if let Some(shape) =
                outline(part.rows.iter().copied(), AREA_VERTEX, &id, part.whole, problems)
            {
                areas.push(Self { id, outline: shape, place: first.place.clone() });
            }
        }
        areas.sort_by(|a, b| a.place.cmp(&b.place));
        areas
    }
}

/// The rows of one thing that several rows make up.
struct Part<'a> {
    rows: Vec<&'a Entry>,
    /// Whether none of its rows was left out.
    whole: bool,
}

/// The rows of each thing that several rows make up.
fn parts<'a>(sheet: &'a Sheet, column: &Column) -> BTreeMap<String, Part<'a>> {
    let mut parts: BTreeMap<String, Part<'a>> = BTreeMap::new();
    for entry in &sheet.entries {
        if let Some(id) = entry.get::<String>(column) {
            let whole = || !sheet.left_out.may_hold(column, &id);
            let part = || Part { rows: Vec::new(), whole: whole() };
            parts.entry(id.clone()).or_insert_with(part).rows.push(entry);
        }
    }
    parts
}

/// Which part of a zone a log entry covers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Extent {
    All,
    /// What the position of the time left free.
    Exposed,
    /// What an earlier position hid, whose scheme is not yet complete, and that stands free.
    Patches,
    Area(String),
}

impl Extent {
    /// The extent for its word; areas have names and not words.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "all" => Some(Self::All),
            "exposed" => Some(Self::Exposed),
            "patches" => Some(Self::Patches),
            _ => None,
        }
    }

    /// Its word, or the area's name.
    pub fn word(&self) -> &str {
        match self {
            Self::All => "all",
            Self::Exposed => "exposed",
            Self::Patches => "patches",
            Self::Area(area) => area,
        }
    }

    /// Reads an extent; a name that is not an area of the project is a problem.
    pub(super) fn read(entry: &Entry, column: &Column, input: &mut Input<'_>) -> Option<Self> {
        let word: String = entry.get(column)?;
        let ids = input.ids;
        if let Some(extent) = Self::from_word(&word) {
            return Some(extent);
        }
        if ids.knows(Kind::Area, &word) {
            return Some(Self::Area(word));
        }
        if ids.may_know(Kind::Area, &word) {
            return None;
        }
        let near = super::value::nearest(&word, EXTENTS.into_iter().chain(ids.names(Kind::Area)));
        input.problems.add(
            Problem::new(entry.place_of(column), "is neither an extent nor a drawn area")
                .value(word)
                .alike(Alike::OfValue)
                .expected(
                    "all (the whole zone), exposed (what no block hides in this position), patches (what blocks hid in \
                     the one before), or an area of coating/areas.csv",
                )
                .advice(match near {
                    Some(near) => format!("write {near}, or draw the area"),
                    None => "draw the area, or correct the name".to_string(),
                }),
        );
        None
    }
}
