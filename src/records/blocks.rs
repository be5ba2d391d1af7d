//! `plan/blocks.csv`: the block plan.

use std::collections::BTreeMap;

use geo::{BoundingRect, Coord};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree, RTreeObject};

use super::entry::Entry;
use super::input::Input;
use super::place::Place;
use super::problem::Problem;
use super::record::{record, words};
use super::spec::{FileSpec, Kind, PLACE, Range, SIZE};
use crate::hull::Cap;
use crate::units::Quantity;

words! {
    /// The row that a block stands in.
    pub enum BlockRow {
        Keel = "keel",
        BilgePort = "bilge-port",
        BilgeStarboard = "bilge-starboard",
        Other = "other",
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Block: SPEC = "a block" in "plan/blocks.csv", at most 2_000 {
        id: String = always("block", Id(Kind::Block), "the block's name"),
        row: BlockRow = always("row", Word(BlockRow::WORDS), "the row it stands in"),
        station = always("station", PLACE, "station of the middle of its cap"),
        offset = always("offset", PLACE, "offset of the middle of its cap, + to port"),
        length = always("length_fore_and_aft", SIZE, "length of its cap fore and aft").or_named("length"),
        width = always("width_athwart", SIZE, "width of its cap athwart").or_named("width"),
        height_m: Option<f64> = optional(
            "height",
            SIZE,
            "height from the dock's floor to the top of its cap",
        ),
        top_level_m: Option<f64> = optional("top_level", PLACE, "measured level of the top of its cap"),
        clearance_m: Option<f64> = optional(
            "clearance",
            PLACE,
            "clearance built in between a bilge block and the hull",
        ),
        skew = optional(
            "skew",
            Measure(Quantity::Angle, Range::Any),
            "rotation of its cap about its middle, anticlockwise seen from above",
        ),
        cap_material: Option<String> = optional("cap_material", Text, "what its cap is made of"),
        mass_t: Option<f64> = optional(
            "mass",
            Measure(Quantity::Mass, Range::Positive),
            "mass of the whole block",
        ),
        bearing_limit_kpa: Option<f64> = optional(
            "bearing_limit",
            Measure(Quantity::Pressure, Range::Positive),
            "greatest bearing pressure allowed on its cap",
        ),
        positions: Option<Vec<String>> = optional(
            "positions",
            Refs(Kind::Position),
            "positions in which it stands: all if empty, `none` if it was left out of all",
        ),
        left_out_because: Option<String> = optional("left_out_because", Text, "why it was left out"),
        moved_from: Option<String> = optional(
            "moved_from",
            Ref(Kind::Block),
            "the planned block that this one is, if it was found elsewhere than planned, for \
             instance after it slipped: this row says where it was found and in which positions, the \
             planned block's row where it was planned and in which positions it stood there",
        ),
    }
    with {
        /// Its cap in dock axes.
        cap: Cap,
    }
}

impl Block {
    pub fn stands_in(&self, position: &str) -> bool {
        self.positions.as_ref().is_none_or(|positions| positions.iter().any(|p| p == position))
    }

    /// Reads all rows. A block moved from one that moved itself, or that stands in its planned place in the
    /// same position, is a problem.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let rows: Vec<&Entry> = input.rows(spec).collect();
        let blocks: Vec<Self> = rows.iter().filter_map(|entry| Self::read(entry)).collect();
        let by_id: BTreeMap<&str, &Self> =
            blocks.iter().map(|block| (block.id.as_str(), block)).collect();
        for entry in rows {
            let Some(moved) = entry.get::<String>(&Self::id) else { continue };
            let Some((moved, from)) = by_id.get(moved.as_str()).and_then(|moved| {
                // A name that is not known is reported with all other such.
                Some((*moved, *by_id.get(moved.moved_from.as_deref()?)?))
            }) else {
                continue;
            };
            if let Some(problem) = moved.contradicts(from, entry.place_of(&Self::moved_from)) {
                input.problems.add(problem);
            }
        }
        problems_of_crowds(&blocks).into_iter().for_each(|problem| input.problems.add(problem));
        blocks
    }

    /// Whether it stands in some position in which another stands too.
    fn stands_with(&self, other: &Self) -> bool {
        let stands = |block: &Self| !block.positions.as_ref().is_some_and(Vec::is_empty);
        match &self.positions {
            Some(positions) => positions.iter().any(|position| other.stands_in(position)),
            None => stands(other),
        }
    }

    /// What keeps it from being another block that was found elsewhere.
    fn contradicts(&self, from: &Self, place: Place) -> Option<Problem> {
        let (moved, planned) = (&self.id, &from.id);
        if moved == planned {
            return Some(
                Problem::new(place, "says that the block was moved from itself")
                    .value(planned.clone())
                    .expected("the name of the planned block, which has a row of its own")
                    .advice(
                        "write one row for the block as planned and one, under another name, for the \
                         block as found",
                    ),
            );
        }
        if let Some(first) = &from.moved_from {
            return Some(
                Problem::new(place, "names a block that was itself moved from another")
                    .value(planned.clone())
                    .expected("a block as it was planned")
                    .advice(format!(
                        "name the planned block; {planned} says that it was moved from {first}"
                    )),
            );
        }
        let both = match (&self.positions, &from.positions) {
            (Some(positions), _) => positions.iter().find(|p| from.stands_in(p)).cloned(),
            (None, Some(positions)) => positions.first().cloned(),
            (None, None) => Some("every position".to_string()),
        }?;
        Some(
            Problem::new(
                place,
                format!("puts one block in two places in {both}: as {planned} and as {moved}"),
            )
            .value(planned.clone())
            .expected(format!("positions for {moved} in which {planned} does not stand"))
            .advice(format!(
                "in `positions` of {planned} list only those in which it stood as planned, and in \
                 `positions` of {moved} those in which it stood where it was found"
            )),
        )
    }

    fn read(entry: &Entry) -> Option<Self> {
        let cap = Cap {
            centre: Coord { x: entry.get(&Self::station)?, y: entry.get(&Self::offset)? },
            length_m: entry.get(&Self::length)?,
            width_m: entry.get(&Self::width)?,
            turn_deg: entry.get(&Self::skew).unwrap_or(0.0),
        };
        Self::from_entry(entry, cap)
    }
}

/// So many other caps the cap of a block may overlap. A few overlaps are slips, and each is reported; with more, the
/// plan no longer shows where blocks stood, and comparing them all would take long (our choice).
pub const MOST_OVERLAPPING: usize = 50;

/// The first block whose cap overlaps too many others that stand when it does.
fn problems_of_crowds(blocks: &[Block]) -> Option<Problem> {
    let extent = |(at, block): (usize, &Block)| {
        let extent = block.cap.polygon().bounding_rect()?;
        let [low, high] = [extent.min(), extent.max()].map(|corner| [corner.x, corner.y]);
        let finite = low.iter().chain(&high).all(|value| value.is_finite());
        finite.then(|| GeomWithData::new(Rectangle::from_corners(low, high), at))
    };
    let extents: Vec<_> = blocks.iter().enumerate().filter_map(extent).collect();
    let tree = RTree::bulk_load(extents.clone());
    let overlapping = |at: usize, envelope: &AABB<[f64; 2]>| -> Vec<usize> {
        let one = &blocks[at];
        let near = tree.locate_in_envelope_intersecting(envelope).map(|other| other.data);
        let near = near.filter(|other| *other != at);
        let near = near.filter(|other| one.cap.overlaps(&blocks[*other].cap));
        near.filter(|other| one.stands_with(&blocks[*other])).take(MOST_OVERLAPPING + 1).collect()
    };
    let found = extents.iter().find_map(|extent| {
        let others = overlapping(extent.data, &extent.envelope());
        (others.len() > MOST_OVERLAPPING).then_some(extent.data)
    });
    let one = &blocks[found?];
    let wrong = format!("is a block whose cap overlaps more than {MOST_OVERLAPPING} others");
    Some(
        Problem::new(one.place.clone(), wrong)
            .value(one.id.clone())
            .expected("caps that don't overlap within a position")
            .advice(
                "check the stations, offsets and sizes of the blocks, and the units of their \
                 columns",
            ),
    )
}
