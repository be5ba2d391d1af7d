//! What was recomputed, as tables: for readers without the program, and for plain tools.
//!
//! Figures are rounded to six decimals of the kept unit, far below the precision of the records.

use geo::MultiPolygon;

use super::table::{Table, TableColumn};
use crate::calc::exposure::{Class, Piece};
use crate::calc::plane::area_m2;
use crate::findings::Examined;
use crate::findings::recomputed::history::{self, History};
use crate::records::spec::{Column, Holds, Kind, Range};
use crate::records::zones::Lies;
use crate::units::{Quantity, fixed};

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const LENGTH: Holds = Holds::Measure(Quantity::Length, Range::NotNegative);
const AREA: Holds = Holds::Measure(Quantity::Area, Range::NotNegative);
const ANGLE: Holds = Holds::Measure(Quantity::Angle, Range::Any);
const COUNT: Holds = Holds::Whole { least: 1 };

/// The tables of what was recomputed; one is left out where the records do not give it.
pub(super) fn tables(examined: &Examined) -> Vec<Table> {
    let project = &examined.project;
    let mut tables = Vec::new();
    if !project.positions.is_empty() {
        tables.push(positions(examined));
    }
    if !project.positions.is_empty() && !project.openings.is_empty() {
        tables.push(openings(examined));
    }
    if examined.recomputed.never_exposed_m2().is_some() {
        tables.push(exposure(examined));
        tables.push(never_exposed(examined));
    }
    if !project.areas.is_empty() {
        tables.push(areas(examined));
    }
    if !project.zones.is_empty() {
        tables.push(zones(examined));
        tables.push(coats(examined));
    }
    if let Some(history) = &examined.recomputed.history {
        tables.push(never_exposed_in_history(history));
        tables.push(uppermost(history));
    }
    tables
}

/// A table in the making: what its rows are about is given first, then each column with what fills it.
struct Draft<R> {
    table: Table,
    subjects: Vec<R>,
}

impl<R> Draft<R> {
    fn new(name: &str, about: &str, subjects: impl IntoIterator<Item = R>) -> Self {
        let subjects: Vec<R> = subjects.into_iter().collect();
        let table = Table {
            name: format!("recomputed-{name}.csv"),
            title: format!("recomputed, {}", name.replace('-', " ")),
            about: about.to_string(),
            columns: Vec::new(),
            rows: vec![Vec::new(); subjects.len()],
        };
        Self { table, subjects }
    }

    fn column(mut self, column: TableColumn, fill: impl Fn(&R) -> String) -> Self {
        for (row, subject) in self.table.rows.iter_mut().zip(&self.subjects) {
            row.push(fill(subject));
        }
        self.table.columns.push(column);
        self
    }

    /// Adds a column that belongs to the table's key.
    fn key(
        self,
        name: &'static str,
        holds: Holds,
        about: &'static str,
        fill: impl Fn(&R) -> String,
    ) -> Self {
        let column = Column::always(name, holds, about);
        self.column(TableColumn::from(&column).as_key(), fill)
    }

    /// Adds a column that is filled in every row.
    fn always(
        self,
        name: &'static str,
        holds: Holds,
        about: &'static str,
        fill: impl Fn(&R) -> String,
    ) -> Self {
        self.column(TableColumn::from(&Column::always(name, holds, about)), fill)
    }

    /// Adds a column that may be empty.
    fn optional(
        self,
        name: &'static str,
        holds: Holds,
        about: &'static str,
        fill: impl Fn(&R) -> String,
    ) -> Self {
        self.column(TableColumn::from(&Column::optional(name, holds, about)), fill)
    }
}

/// A figure with at most six decimals; empty where there is none.
fn figure(value: impl Into<Option<f64>>) -> String {
    let Some(value) = value.into() else { return String::new() };
    let text = fixed(value, 6);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn flag(value: bool) -> String {
    if value { "yes" } else { "no" }.to_string()
}

fn list(items: impl IntoIterator<Item = String>) -> String {
    items.into_iter().collect::<Vec<_>>().join(";")
}

fn positions(examined: &Examined) -> Table {
    Draft::new(
        "positions",
        "one row is a docking position: where she lay by the sightings, and where she is taken to have lain",
        examined.project.positions.iter().zip(&examined.recomputed.positions),
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, _)| {
        position.id.clone()
    })
    .optional("fitted_srp_station", PLACE, "station of the SRP by the sightings", |(_, out)| {
        figure(out.fit.srp_station_m)
    })
    .optional(
        "fitted_offset",
        PLACE,
        "offset of the centreline there, by the sightings",
        |(_, out)| figure(out.fit.centreline_offset_m),
    )
    .optional("fitted_yaw", ANGLE, "yaw by the sightings", |(_, out)| figure(out.fit.yaw_deg))
    .optional(
        "taken_srp_station",
        PLACE,
        "station that footprints were reckoned with",
        |(_, out)| figure(out.lie.map(|lie| lie.srp_station_m)),
    )
    .optional("taken_offset", PLACE, "offset that footprints were reckoned with", |(_, out)| {
        figure(out.lie.map(|lie| lie.centreline_offset_m))
    })
    .optional("taken_yaw", ANGLE, "yaw that footprints were reckoned with", |(_, out)| {
        figure(out.lie.map(|lie| lie.yaw_deg))
    })
    .always(
        "yaw_unknown",
        Holds::Flag,
        "whether yaw is not known and was taken as 0",
        |(_, out)| flag(out.yaw_unknown),
    )
    .table
}

fn openings(examined: &Examined) -> Table {
    let project = &examined.project;
    let positions = project.positions.iter().zip(&examined.recomputed.positions);
    let rows = positions.flat_map(|(position, out)| {
        let openings = project.openings.iter().zip(&out.clearances);
        openings.map(move |(opening, nearest)| (position, opening, nearest))
    });
    Draft::new(
        "openings",
        "one row is an opening in a position: how far it was from the nearest cap",
        rows,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, ..)| {
        position.id.clone()
    })
    .key("opening", Holds::Ref(Kind::Opening), "the opening", |(_, opening, _)| opening.id.clone())
    .optional(
        "clear_distance",
        LENGTH,
        "clear distance in plan to the nearest cap; 0 where they overlap, empty where not known",
        |(.., nearest)| figure(nearest.map(|(distance_m, _)| distance_m)),
    )
    .optional(
        "nearest_block",
        Holds::Ref(Kind::Block),
        "the block that has that cap",
        |(.., nearest)| {
            let block = nearest.and_then(|(_, block)| project.blocks.get(block));
            block.map(|block| block.id.clone()).unwrap_or_default()
        },
    )
    .optional(
        "clearance_wanted",
        LENGTH,
        "the distance wanted, of its own or the limit",
        |(_, opening, _)| figure(opening.wants_clear_m(&project.docking.bounds)),
    )
    .table
}

impl<R> Draft<R> {
    /// Adds the column of the positions in which blocks hid something: those whose flags are set.
    fn hidden_in(self, examined: &Examined, flags: impl Fn(&R) -> &[bool]) -> Self {
        self.always(
            "hidden_in",
            Holds::Refs(Kind::Position),
            "the positions in which blocks hid it; the word none for none",
            |subject| {
                let positions = examined.project.positions.iter().zip(flags(subject));
                let hidden = positions.filter(|(_, flag)| **flag);
                match list(hidden.map(|(position, _)| position.id.clone())) {
                    ids if ids.is_empty() => "none".to_string(),
                    ids => ids,
                }
            },
        )
    }
}

fn exposure(examined: &Examined) -> Table {
    Draft::new(
        "exposure",
        "one row is the part of the bottom that blocks hid in exactly the same positions; areas in plan",
        &examined.recomputed.classes,
    )
    .hidden_in(examined, |class: &&Class| &class.hidden_in)
    .always("never_exposed", Holds::Flag, "whether that is every position", |class| {
        flag(class.never_exposed())
    })
    .always("pieces", COUNT, "how many pieces it is of", |class| class.shape.0.len().to_string())
    .always("area", AREA, "its area in plan", |class| figure(class.area_m2))
    .table
}

/// A table of pieces of the bottom, each by its extent and its area in m2.
fn pieces<R>(
    name: &str,
    about: &str,
    pieces: impl IntoIterator<Item = R>,
    extent: impl Fn(&R) -> [f64; 4],
    area_m2: impl Fn(&R) -> f64,
) -> Draft<(usize, R)> {
    let side = |side: usize| {
        let extent = &extent;
        move |(_, piece): &(usize, R)| figure(extent(piece)[side])
    };
    Draft::new(name, about, (1..).zip(pieces))
        .key("piece", COUNT, "its number", |(number, _)| number.to_string())
        .always("from_x", PLACE, "x of its aft end", side(0))
        .always("to_x", PLACE, "x of its forward end", side(1))
        .always("from_y", PLACE, "y of its edge to starboard", side(2))
        .always("to_y", PLACE, "y of its edge to port", side(3))
        .always("area", AREA, "its area in plan", |(_, piece)| figure(area_m2(piece)))
}

fn never_exposed(examined: &Examined) -> Table {
    let blocks = &examined.project.blocks;
    pieces(
        "never-exposed",
        "one row is a piece of the bottom that blocks hid in every position, from aft to forward",
        &examined.recomputed.never_exposed,
        |piece| piece.extent,
        |piece| piece.area_m2,
    )
    .always(
        "hidden_by",
        Holds::Refs(Kind::Block),
        "the blocks that hid it",
        |(_, piece): &(usize, &Piece)| {
            let mut hiding: Vec<usize> = piece.hidden_by.iter().flatten().copied().collect();
            hiding.sort_unstable();
            hiding.dedup();
            list(hiding.into_iter().filter_map(|at| Some(blocks.get(at)?.id.clone())))
        },
    )
    .table
}

fn areas(examined: &Examined) -> Table {
    Draft::new(
        "areas",
        "one row is an area that was drawn for the coating's logs",
        &examined.project.areas,
    )
    .key("area", Holds::Id(Kind::Area), "the area's name", |area| area.id.clone())
    .always("plan_area", AREA, "its area in plan", |area| {
        figure(area_m2(&MultiPolygon(vec![area.outline.clone()])))
    })
    .table
}

fn zones(examined: &Examined) -> Table {
    let zones = examined.project.zones.iter().zip(&examined.recomputed.coating.zones);
    Draft::new(
        "zones",
        "one row is a zone of the coating; areas along the plating where its true area is recorded, else in plan",
        zones.map(|(zone, history)| (zone, history, history.completeness())),
    )
    .key("zone", Holds::Id(Kind::Zone), "the zone's name", |(zone, ..)| zone.id.clone())
    .always("kind", Holds::Word(&["bottom", "side"]), "bottom or side", |(zone, ..)| {
        if matches!(zone.lies, Lies::Side { .. }) { "side" } else { "bottom" }.to_string()
    })
    .optional("plan_area", AREA, "its area in plan", |(_, history, _)| figure(history.plan_area_m2))
    .optional("true_area", AREA, "its area along the plating, as recorded", |(zone, ..)| {
        figure(zone.true_area_m2)
    })
    .always(
        "scheme_coats",
        Holds::Whole { least: 0 },
        "how many coats its scheme has",
        |(_, history, _)| history.scheme.len().to_string(),
    )
    .optional("full_scheme", AREA, "area that got every coat of the scheme", |(.., sum)| {
        figure(sum.map(|sum| sum.full_m2))
    })
    .optional("part_of_scheme", AREA, "area that got some of its coats, not all", |(.., sum)| {
        figure(sum.map(|sum| sum.less_m2))
    })
    .optional("none_of_scheme", AREA, "area that got none of its coats", |(.., sum)| {
        figure(sum.map(|sum| sum.none_m2))
    })
    .table
}

fn coats(examined: &Examined) -> Table {
    let project = &examined.project;
    let zones = project.zones.iter().zip(&examined.recomputed.coating.zones);
    let coats = |chain: &[usize]| -> Vec<_> {
        chain.iter().filter_map(|at| project.coats.get(*at)).collect()
    };
    let rows = zones.flat_map(|(zone, history)| {
        history.parts.iter().map(move |part| (zone, part, coats(&part.chain)))
    });
    Draft::new(
        "coats",
        "one row is the steel of a zone that was hidden in the same positions and received the same coats",
        rows,
    )
    .always("zone", Holds::Ref(Kind::Zone), "the zone", |(zone, ..)| zone.id.clone())
    .hidden_in(examined, |(_, part, _)| &part.hidden_in)
    .column(
        TableColumn::wholes("chain", "numbers of the coats that it received, in order of time"),
        |(.., coats)| list(coats.iter().map(|coat| coat.coat.to_string())),
    )
    .column(
        TableColumn::wholes(
            "chain_lines",
            "the lines of data/records/coating/coats.csv where they stand, in that order",
        ),
        |(.., coats)| {
            list(coats.iter().filter_map(|coat| Some(coat.place.line?.to_string())))
        },
    )
    .column(
        TableColumn::wholes("missing", "numbers of the scheme's coats that it did not get"),
        |(_, part, _)| list(part.missing.iter().map(ToString::to_string)),
    )
    .optional(
        "area",
        AREA,
        "its area, along the plating where the zone's true area is recorded, else in plan",
        |(_, part, _)| figure(part.area_m2),
    )
    .table
}

fn never_exposed_in_history(history: &History) -> Table {
    pieces(
        "history-never-exposed",
        "one row is a piece of the bottom that blocks hid in every position of every docking on record that \
         can be placed, from aft to forward",
        &history.never_exposed,
        |piece| piece.extent,
        |piece| piece.area_m2,
    )
    .table
}

/// The words for what lies uppermost.
const LIES: &[&str] = &["coat", "blasted", "not-known", "none"];

fn uppermost(history: &History) -> Table {
    const HOURS_IN_A_DAY: f64 = 24.0;
    // The last row is the part with no coat on record.
    let no_coat = (!history.no_coat.0.is_empty()).then_some(None);
    Draft::new(
        "uppermost",
        "one row is the part of the bottom on which one docking's coat of one day lies uppermost, the newest \
         first; areas in plan",
        history.uppermost.iter().map(Some).chain(no_coat),
    )
    .optional("docking", Holds::Text, "the name of that docking's bundle", |part| {
        let docking = part.and_then(|part| history.dockings.get(part.docking));
        docking.map(|docking| docking.name.clone()).unwrap_or_default()
    })
    .always(
        "lies",
        Holds::Word(LIES),
        "a coat; none, since it was blasted and not coated again; not known, since what its coats reached \
         can't be told; or none on record",
        |part| {
            let lies = part.map_or("none", |part| match part.lies {
                history::Lies::Coat(_) => "coat",
                history::Lies::Blasted => "blasted",
                history::Lies::NotKnown => "not-known",
            });
            lies.to_string()
        },
    )
    .optional("day", Holds::Date, "the day on which the coat was finished", |part| match part {
        Some(part) => match part.lies {
            history::Lies::Coat(day) => day.to_string(),
            _ => String::new(),
        },
        None => String::new(),
    })
    .optional(
        "age",
        Holds::Measure(Quantity::Duration, Range::Any),
        "from that day to the last day of the newest docking",
        |part| figure(part.and_then(|part| part.age_d).map(|days| days as f64 * HOURS_IN_A_DAY)),
    )
    .always("area", AREA, "its area in plan", |part| {
        figure(part.map_or_else(|| area_m2(&history.no_coat), |part| part.area_m2))
    })
    .table
}
