//! `plan/layers.csv`: what each block is built of.

use super::blocks::{BlockRow, ROWS};
use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "plan/layers.csv",
    row_is: "a layer of a block's build",
    example: include_str!("../../templates/example/plan/layers.csv"),
    columns: &[
        Column::optional("block", Holds::Ref(Kind::Block), "the block, or empty for a whole row"),
        Column::optional(
            "row",
            Holds::Word(ROWS),
            "the row of blocks that are all built so, or empty for one block",
        ),
        Column::always("order", Holds::Whole { least: 1 }, "its number from the floor upward"),
        Column::always("material", Holds::Text, "what it is made of"),
        Column::always(
            "thickness",
            Holds::Measure(Quantity::Length, Range::Positive),
            "its thickness",
        ),
        Column::always(
            "area",
            Holds::Measure(Quantity::Area, Range::Positive),
            "the area that carries the load",
        ),
        Column::always(
            "elastic_modulus",
            Holds::Measure(Quantity::Pressure, Range::Positive),
            "its elastic modulus, for timber across the grain",
        ),
    ],
};

/// Whose layer it is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// One block's.
    Block(String),
    /// That of every block of a row for which no layers of its own are given.
    Row(BlockRow),
}

/// A layer.
#[derive(Debug, Clone)]
pub struct Layer {
    /// Whose.
    pub of: Of,
    /// From the floor upward.
    pub order: i64,
    /// What it is made of.
    pub material: String,
    /// Its thickness, m.
    pub thickness_m: f64,
    /// Its loaded area, m2.
    pub area_m2: f64,
    /// Its elastic modulus, kPa.
    pub elastic_modulus_kpa: f64,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Layer {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let row = entry.text("row").and_then(|word| BlockRow::of_word(&word));
        let of = match (entry.text("block"), row) {
            (Some(block), None) => Of::Block(block),
            (None, Some(row)) => Of::Row(row),
            _ => {
                problems.add(
                    Problem::new(entry.place.clone(), "does not say whose layer it is")
                        .expected("a block or a row of blocks, and not both")
                        .advice("fill in one of the two columns"),
                );
                return None;
            }
        };
        Some(Self {
            of,
            order: entry.whole("order")?,
            material: entry.text("material")?,
            thickness_m: entry.number("thickness")?,
            area_m2: entry.number("area")?,
            elastic_modulus_kpa: entry.number("elastic_modulus")?,
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }

    /// All layers, each block's and row's in order; the same order given twice is a problem.
    pub(super) fn in_order(mut layers: Vec<Self>, problems: &mut Problems) -> Vec<Self> {
        layers.sort_by(|a, b| (&a.of, a.order).cmp(&(&b.of, b.order)));
        for pair in layers.windows(2).filter(|p| p[0].of == p[1].of && p[0].order == p[1].order) {
            problems.add(
                Problem::new(
                    pair[1].place.clone(),
                    format!("has the order of the layer at {} too", pair[0].place),
                )
                .value(pair[1].order.to_string())
                .expected("each layer of a block or row with a number of its own")
                .advice("number the layers from the floor upward"),
            );
        }
        layers
    }
}
