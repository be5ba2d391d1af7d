//! `plan/layers.csv`: what each block is built of.

use super::blocks::BlockRow;
use super::entry::Entry;
use super::input::Input;
use super::problem::Problem;
use super::record::record;
use super::spec::{FileSpec, Kind, Range, SIZE};
use crate::units::Quantity;

/// Whose layer it is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum LayerOwner {
    /// One block's.
    Block(String),
    /// That of every block of a row for which no layers of its own are given.
    Row(BlockRow),
}

record! {
    #[derive(Debug, Clone)]
    pub struct Layer: SPEC = "a layer of a block's build" in "plan/layers.csv" {
        block = optional("block", Ref(Kind::Block), "the block, or empty for a whole row"),
        row = optional(
            "row",
            Word(BlockRow::WORDS),
            "the row of blocks that are all built this way, or empty for one block",
        ),
        order: i64 = always("order", Whole { least: 1 }, "its number, counted from the floor up"),
        material: String = always("material", Text, "what it is made of"),
        thickness_m: f64 = always("thickness", SIZE, "its thickness"),
        area_m2: f64 = always(
            "area",
            Measure(Quantity::Area, Range::Positive),
            "the area that carries the load",
        ),
        elastic_modulus_kpa: f64 = always(
            "elastic_modulus",
            Measure(Quantity::Pressure, Range::Positive),
            "its elastic modulus, for timber across the grain",
        ),
    }
    with {
        /// Whose it is.
        owner: LayerOwner,
    }
}

impl Layer {
    fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let owner = match (entry.get(&Self::block), entry.get(&Self::row)) {
            (Some(block), None) => LayerOwner::Block(block),
            (None, Some(row)) => LayerOwner::Row(row),
            _ => {
                input.problems.add(
                    Problem::new(
                        entry.place.clone(),
                        "must name either a block or a row of blocks",
                    )
                    .expected("a block or a row of blocks, not both")
                    .advice("fill in one of the two columns only"),
                );
                return None;
            }
        };
        Self::from_entry(entry, owner)
    }

    /// All layers, each block's and row's in order; the same order given twice is a problem.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let mut layers: Vec<Self> =
            input.rows(spec).filter_map(|entry| Self::read(entry, input)).collect();
        layers.sort_by(|a, b| (&a.owner, a.order).cmp(&(&b.owner, b.order)));
        for pair in
            layers.windows(2).filter(|p| p[0].owner == p[1].owner && p[0].order == p[1].order)
        {
            input.problems.add(
                Problem::new(
                    pair[1].place.clone(),
                    format!("is also the order of the layer at {}", pair[0].place),
                )
                .value(pair[1].order.to_string())
                .expected("a different number for each layer of a block or row")
                .advice("number the layers from the floor up"),
            );
        }
        layers
    }
}
