//! What was recomputed, as tables: for readers who have no program, and for plain tools.
//!
//! Figures are rounded to six decimals of the kept unit, a thousandth of what they can be trusted to.

use geo::MultiPolygon;

use super::column::TableColumn;
use super::table::Table;
use crate::calc::exposure::{Class, Piece};
use crate::calc::plane::area_m2;
use crate::findings::Examined;
use crate::findings::recomputed::PositionRecomputed;
use crate::records::positions::Position;
use crate::records::spec::{Holds, Kind, Range};
use crate::records::zones::{DrawnArea, Lies};
use crate::units::{Quantity, fixed};

pub(super) const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const LENGTH: Holds = Holds::Measure(Quantity::Length, Range::NotNegative);
pub(super) const AREA: Holds = Holds::Measure(Quantity::Area, Range::NotNegative);
const POSITIONS: Holds = Holds::Refs(Kind::Position);

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
    tables
}

pub(super) fn table(
    name: &str,
    about: &str,
    key: &[&'static str],
    columns: Vec<TableColumn>,
    rows: Vec<Vec<String>>,
) -> Table {
    Table {
        name: format!("recomputed-{name}.csv"),
        title: format!("recomputed, {}", name.replace('-', " ")),
        about: about.to_string(),
        columns,
        key: key.to_vec(),
        rows,
    }
}

/// A figure with six decimals at most.
pub(super) fn figure(value: impl Into<Option<f64>>) -> String {
    let Some(value) = value.into() else { return String::new() };
    let text = fixed(value, 6);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The positions whose flags are set; `none` where none is.
fn hidden_in(examined: &Examined, flags: &[bool]) -> String {
    let positions = examined.project.positions.iter().zip(flags);
    let ids: Vec<&str> = positions.filter(|(_, flag)| **flag).map(|(p, _)| p.id.as_str()).collect();
    if ids.is_empty() { "none".to_string() } else { ids.join(";") }
}

fn positions(examined: &Examined) -> Table {
    let row = |(position, out): (&Position, &PositionRecomputed)| {
        vec![
            position.id.clone(),
            figure(out.fit.srp_station_m),
            figure(out.fit.centreline_offset_m),
            figure(out.fit.yaw_deg),
            figure(out.lie.map(|lie| lie.srp_station_m)),
            figure(out.lie.map(|lie| lie.centreline_offset_m)),
            figure(out.lie.map(|lie| lie.yaw_deg)),
            if out.yaw_unknown { "yes" } else { "no" }.to_string(),
        ]
    };
    let out = examined.project.positions.iter().zip(&examined.recomputed.positions);
    table(
        "positions",
        "one row is a docking position: where she lay by the sightings, and where she is taken to have lain",
        &["position"],
        vec![
            TableColumn::always("position", Holds::Ref(Kind::Position), "the position"),
            TableColumn::optional(
                "fitted_srp_station",
                PLACE,
                "station of the SRP by the sightings",
            ),
            TableColumn::optional(
                "fitted_offset",
                PLACE,
                "offset of the centreline there, by the sightings",
            ),
            TableColumn::optional(
                "fitted_yaw",
                Holds::Measure(Quantity::Angle, Range::Any),
                "yaw by the sightings",
            ),
            TableColumn::optional(
                "taken_srp_station",
                PLACE,
                "station that footprints were reckoned with",
            ),
            TableColumn::optional(
                "taken_offset",
                PLACE,
                "offset that footprints were reckoned with",
            ),
            TableColumn::optional(
                "taken_yaw",
                Holds::Measure(Quantity::Angle, Range::Any),
                "yaw that footprints were reckoned with",
            ),
            TableColumn::always(
                "yaw_unknown",
                Holds::Flag,
                "whether yaw is not known and was taken as 0",
            ),
        ],
        out.map(row).collect(),
    )
}

fn openings(examined: &Examined) -> Table {
    let project = &examined.project;
    let mut rows = Vec::new();
    for (position, out) in project.positions.iter().zip(&examined.recomputed.positions) {
        for (opening, nearest) in project.openings.iter().zip(&out.clearances) {
            let block = nearest.and_then(|(_, block)| project.blocks.get(block));
            rows.push(vec![
                position.id.clone(),
                opening.id.clone(),
                figure(nearest.map(|(distance, _)| distance)),
                block.map(|block| block.id.clone()).unwrap_or_default(),
                figure(opening.wants_clear_m(&project.docking.bounds)),
            ]);
        }
    }
    table(
        "openings",
        "one row is an opening in a position: how far it was from the nearest cap",
        &["position", "opening"],
        vec![
            TableColumn::always("position", Holds::Ref(Kind::Position), "the position"),
            TableColumn::always("opening", Holds::Ref(Kind::Opening), "the opening"),
            TableColumn::optional(
                "clear_distance",
                LENGTH,
                "clear distance in plan to the nearest cap; 0 where they overlap, empty where not known",
            ),
            TableColumn::optional(
                "nearest_block",
                Holds::Ref(Kind::Block),
                "the block that has that cap",
            ),
            TableColumn::optional(
                "clearance_wanted",
                LENGTH,
                "the distance wanted, of its own or the limit",
            ),
        ],
        rows,
    )
}

fn exposure(examined: &Examined) -> Table {
    let classes = &examined.recomputed.classes;
    let row = |class: &Class| {
        vec![
            hidden_in(examined, &class.hidden_in),
            if class.never_exposed() { "yes" } else { "no" }.to_string(),
            class.shape.0.len().to_string(),
            figure(class.area_m2),
        ]
    };
    table(
        "exposure",
        "one row is the part of the bottom that blocks hid in exactly the same positions; areas in plan",
        &[],
        vec![
            TableColumn::always(
                "hidden_in",
                POSITIONS,
                "the positions in which blocks hid it; the word none for none",
            ),
            TableColumn::always("never_exposed", Holds::Flag, "whether that is every position"),
            TableColumn::always("pieces", Holds::Whole { least: 1 }, "how many pieces it is of"),
            TableColumn::always("area", AREA, "its area in plan"),
        ],
        classes.iter().map(row).collect(),
    )
}

/// The columns of a table of pieces of the bottom.
pub(super) fn piece_columns() -> Vec<TableColumn> {
    vec![
        TableColumn::always("piece", Holds::Whole { least: 1 }, "its number"),
        TableColumn::always("from_x", PLACE, "x of its aft end"),
        TableColumn::always("to_x", PLACE, "x of its forward end"),
        TableColumn::always("from_y", PLACE, "y of its edge to starboard"),
        TableColumn::always("to_y", PLACE, "y of its edge to port"),
        TableColumn::always("area", AREA, "its area in plan"),
    ]
}

fn never_exposed(examined: &Examined) -> Table {
    let blocks = &examined.project.blocks;
    let pieces = examined.recomputed.never_exposed.iter().enumerate();
    let row = |(n, piece): (usize, &Piece)| {
        let mut hiding: Vec<usize> = piece.hidden_by.iter().flatten().copied().collect();
        hiding.sort_unstable();
        hiding.dedup();
        let ids = hiding.iter().filter_map(|at| blocks.get(*at)).map(|block| block.id.as_str());
        let mut row = vec![(n + 1).to_string()];
        row.extend(piece.extent.map(figure));
        row.extend([figure(piece.area_m2), ids.collect::<Vec<_>>().join(";")]);
        row
    };
    let mut columns = piece_columns();
    let hiding = "the blocks that hid it";
    columns.push(TableColumn::always("hidden_by", Holds::Refs(Kind::Block), hiding));
    table(
        "never-exposed",
        "one row is a piece of the bottom that blocks hid in every position, from aft to forward",
        &["piece"],
        columns,
        pieces.map(row).collect(),
    )
}

fn areas(examined: &Examined) -> Table {
    let row = |area: &DrawnArea| {
        let shape = MultiPolygon(vec![area.outline.clone()]);
        vec![area.id.clone(), figure(area_m2(&shape))]
    };
    table(
        "areas",
        "one row is an area that was drawn for the coating's logs",
        &["area"],
        vec![
            TableColumn::always("area", Holds::Id(Kind::Area), "the area's name"),
            TableColumn::always("plan_area", AREA, "its area in plan"),
        ],
        examined.project.areas.iter().map(row).collect(),
    )
}

fn zones(examined: &Examined) -> Table {
    let zones = examined.project.zones.iter().zip(&examined.recomputed.coating.zones);
    let rows = zones.map(|(zone, history)| {
        let sum = history.completeness();
        vec![
            zone.id.clone(),
            if matches!(zone.lies, Lies::Side { .. }) { "side" } else { "bottom" }.to_string(),
            figure(history.plan_area_m2),
            figure(zone.true_area_m2),
            history.scheme.len().to_string(),
            figure(sum.map(|sum| sum.full_m2)),
            figure(sum.map(|sum| sum.less_m2)),
            figure(sum.map(|sum| sum.none_m2)),
        ]
    });
    table(
        "zones",
        "one row is a zone of the coating; areas along the plating where its true area is recorded, else in plan",
        &["zone"],
        vec![
            TableColumn::always("zone", Holds::Id(Kind::Zone), "the zone's name"),
            TableColumn::always("kind", Holds::Word(&["bottom", "side"]), "bottom or side"),
            TableColumn::optional("plan_area", AREA, "its area in plan"),
            TableColumn::optional("true_area", AREA, "its area along the plating, as recorded"),
            TableColumn::always(
                "scheme_coats",
                Holds::Whole { least: 0 },
                "how many coats its scheme has",
            ),
            TableColumn::optional("full_scheme", AREA, "area that got every coat of the scheme"),
            TableColumn::optional(
                "part_of_scheme",
                AREA,
                "area that got some of its coats, not all",
            ),
            TableColumn::optional("none_of_scheme", AREA, "area that got none of its coats"),
        ],
        rows.collect(),
    )
}

fn coats(examined: &Examined) -> Table {
    let project = &examined.project;
    let mut rows = Vec::new();
    for (zone, history) in project.zones.iter().zip(&examined.recomputed.coating.zones) {
        for part in &history.parts {
            let list = |numbers: Vec<String>| numbers.join(";");
            let chain = || part.chain.iter().filter_map(|at| project.coats.get(*at));
            rows.push(vec![
                zone.id.clone(),
                hidden_in(examined, &part.hidden_in),
                list(chain().map(|coat| coat.coat.to_string()).collect()),
                list(
                    chain()
                        .filter_map(|coat| coat.place.line)
                        .map(|line| line.to_string())
                        .collect(),
                ),
                list(part.missing.iter().map(ToString::to_string).collect()),
                figure(part.area_m2),
            ]);
        }
    }
    table(
        "coats",
        "one row is the steel of a zone that was hidden in the same positions and received the same coats",
        &[],
        vec![
            TableColumn::always("zone", Holds::Ref(Kind::Zone), "the zone"),
            TableColumn::always(
                "hidden_in",
                POSITIONS,
                "the positions in which blocks hid it; the word none for none",
            ),
            TableColumn::wholes("chain", "numbers of the coats that it received, in order of time"),
            TableColumn::wholes(
                "chain_lines",
                "the lines of data/records/coating/coats.csv where they stand, in that order",
            ),
            TableColumn::wholes("missing", "numbers of the scheme's coats that it did not get"),
            TableColumn::optional(
                "area",
                AREA,
                "its area, along the plating where the zone's true area is recorded, else in plan",
            ),
        ],
        rows,
    )
}
