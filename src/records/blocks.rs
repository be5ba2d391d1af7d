//! `plan/blocks.csv`: the block plan.

use std::collections::BTreeMap;

use geo::{BoundingRect, Coord};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree, RTreeObject};

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use super::value::Value;
use crate::hull::Cap;
use crate::units::Quantity;

const SIZE: Holds = Holds::Measure(Quantity::Length, Range::Positive);
const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "plan/blocks.csv",
    row_is: "a block",
    example: include_str!("../../templates/example/plan/blocks.csv"),
    columns: &[
        Column::always("block", Holds::Id(Kind::Block), "the block's name"),
        Column::always("row", Holds::Word(ROWS), "the row it stands in"),
        Column::always("station", PLACE, "station of the middle of its cap"),
        Column::always("offset", PLACE, "offset of the middle of its cap, + to port"),
        Column::always("length_fore_and_aft", SIZE, "length of its cap fore and aft")
            .or_named("length"),
        Column::always("width_athwart", SIZE, "width of its cap athwart").or_named("width"),
        Column::optional("height", SIZE, "height from the dock's floor to the top of its cap"),
        Column::optional("top_level", PLACE, "measured level of the top of its cap"),
        Column::optional(
            "clearance",
            Holds::Measure(Quantity::Length, Range::Any),
            "clearance built in between a bilge block and the hull",
        ),
        Column::optional(
            "skew",
            Holds::Measure(Quantity::Angle, Range::Any),
            "turn of its cap about its middle, anticlockwise seen from above",
        ),
        Column::optional("cap_material", Holds::Text, "what its cap is made of"),
        Column::optional(
            "mass",
            Holds::Measure(Quantity::Mass, Range::Positive),
            "mass of the whole block",
        ),
        Column::optional(
            "bearing_limit",
            Holds::Measure(Quantity::Pressure, Range::Positive),
            "greatest bearing pressure allowed on its cap",
        ),
        Column::optional(
            "positions",
            Holds::Refs(Kind::Position),
            "positions in which it stands: all if empty, `none` if it was left out of all",
        ),
        Column::optional("left_out_because", Holds::Text, "why it was left out"),
        Column::optional(
            "moved_from",
            Holds::Ref(Kind::Block),
            "the block of the plan that this one is, if it was found elsewhere than planned, as after it \
             slipped: its row gives where it was found and in which positions, that of the other where it \
             was planned and in which positions it stood there",
        ),
    ],
};

/// The words for the rows.
pub(super) const ROWS: &[&str] = &["keel", "bilge-port", "bilge-starboard", "other"];

/// The row that a block stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum BlockRow {
    /// Under the keel.
    Keel,
    /// Under the bilge to port.
    BilgePort,
    /// Under the bilge to starboard.
    BilgeStarboard,
    /// Anywhere else.
    Other,
}

impl BlockRow {
    /// The row that a word of [`ROWS`] names.
    pub(super) fn of_word(word: &str) -> Option<Self> {
        match word {
            "keel" => Some(Self::Keel),
            "bilge-port" => Some(Self::BilgePort),
            "bilge-starboard" => Some(Self::BilgeStarboard),
            "other" => Some(Self::Other),
            _ => None,
        }
    }
}

/// A block.
#[derive(Debug, Clone)]
pub struct Block {
    /// Its name.
    pub id: String,
    /// Its row.
    pub row: BlockRow,
    /// Its cap in dock axes.
    pub cap: Cap,
    /// Floor to top of cap, m.
    pub height_m: Option<f64>,
    /// Measured level of the top, m.
    pub top_level_m: Option<f64>,
    /// Clearance built in, m.
    pub clearance_m: Option<f64>,
    /// Material of the cap.
    pub cap_material: Option<String>,
    /// Mass, t.
    pub mass_t: Option<f64>,
    /// Greatest bearing pressure allowed, kPa.
    pub bearing_limit_kpa: Option<f64>,
    /// Positions in which it stands; `None` for all.
    pub positions: Option<Vec<String>>,
    /// Why it was left out.
    pub left_out_because: Option<String>,
    /// The block of the plan that it is, found elsewhere than planned; it stands in no plan itself.
    pub moved_from: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Block {
    /// Whether it stands in a position.
    pub fn stands_in(&self, position: &str) -> bool {
        self.positions.as_ref().is_none_or(|positions| positions.iter().any(|p| p == position))
    }

    /// Reads all rows. A block moved from one that moved itself, or that stands in its planned place in the
    /// same position, is a problem.
    pub(super) fn read_all<'a>(
        rows: impl Iterator<Item = &'a Entry>,
        problems: &mut Problems,
    ) -> Vec<Self> {
        let rows: Vec<&Entry> = rows.collect();
        let blocks: Vec<Self> = rows.iter().filter_map(|entry| Self::read(entry)).collect();
        let by_id: BTreeMap<&str, &Self> =
            blocks.iter().map(|block| (block.id.as_str(), block)).collect();
        for entry in rows {
            let Some(moved) = entry.text("block") else { continue };
            let Some((moved, from)) = by_id.get(moved.as_str()).and_then(|moved| {
                // A name that is not known is reported with all other such.
                Some((*moved, *by_id.get(moved.moved_from.as_deref()?)?))
            }) else {
                continue;
            };
            if let Some(problem) = moved.contradicts(from, entry.place_of("moved_from")) {
                problems.add(problem);
            }
        }
        problems_of_crowds(&blocks).into_iter().for_each(|problem| problems.add(problem));
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
                Problem::new(place, "says that the block is itself, found elsewhere")
                    .value(planned.clone())
                    .expected("the name of the block as it was planned, in a row of its own")
                    .advice(
                        "give the block as planned and the block as found a row each, under two names",
                    ),
            );
        }
        if let Some(first) = &from.moved_from {
            return Some(
                Problem::new(place, "names a block that was itself found elsewhere than planned")
                    .value(planned.clone())
                    .expected("a block of the plan")
                    .advice(format!(
                        "name the block as it was planned; {planned} says that it is {first}"
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
                format!("has one block stand in two places in {both}: as {planned} and as {moved}"),
            )
            .value(planned.clone())
            .expected(format!("positions for {moved} in which {planned} does not stand"))
            .advice(format!(
                "write under `positions` of {planned} those in which it stood as planned, and under those of \
                 {moved} those in which it stood where it was found"
            )),
        )
    }

    fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            id: entry.text("block")?,
            row: BlockRow::of_word(&entry.text("row")?)?,
            cap: Cap {
                centre: Coord { x: entry.number("station")?, y: entry.number("offset")? },
                length_m: entry.number("length_fore_and_aft")?,
                width_m: entry.number("width_athwart")?,
                turn_deg: entry.number("skew").unwrap_or(0.0),
            },
            height_m: entry.number("height"),
            top_level_m: entry.number("top_level"),
            clearance_m: entry.number("clearance"),
            cap_material: entry.text("cap_material"),
            mass_t: entry.number("mass"),
            bearing_limit_kpa: entry.number("bearing_limit"),
            positions: match entry.value("positions") {
                Some(Value::List(positions)) => Some(positions.clone()),
                _ => None,
            },
            left_out_because: entry.text("left_out_because"),
            moved_from: entry.text("moved_from"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

/// With so many others the cap of a block may overlap. A few are a slip of the pencil that is found and told; of more
/// the plan says nothing of where blocks stood, and it would take long to find that out (our choice).
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
            .expected("blocks that stand beside each other in each position")
            .advice("correct stations, offsets and sizes of the blocks, and their units"),
    )
}
