//! Gaps and block loads, then and now: the first position against the first, the second against the second.

use serde::Serialize;

use super::shared::{self, ELSEWHERE, greatest, ids_and, least};
use crate::calc::loads::Outcome;
use crate::findings::Examined;
use crate::findings::recomputed::loads::Loads;
use crate::hull::on_hull;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::blocks::{Block, BlockRow};
use crate::records::checks::Gap;
use crate::records::positions::Position;
use crate::report::figures::{Pressed, PressedPair, PressedRow};
use crate::text;
use crate::text::{Form, Measure, Text, count, id};

/// A block of another name counts as the same place if its centre lies no farther off along the hull, m:
/// about the distance from one block to the next (our choice).
pub const NEAR_M: f64 = 1.5;

/// The positions of both dockings.
#[derive(Debug, Clone, Serialize)]
pub struct Positions {
    /// Those that are compared.
    pub pairs: Vec<PositionPair>,
    /// Positions then that have none to be compared with.
    pub older_alone: Vec<String>,
    /// Positions now that have none to be compared with.
    pub newer_alone: Vec<String>,
}

/// A position of the older docking against one of the newer.
#[derive(Debug, Clone, Serialize)]
pub struct PositionPair {
    /// The position then.
    pub older: String,
    /// The position now.
    pub newer: String,
    /// Weight on the blocks then, t; null where the loads can't be recomputed.
    #[serde(serialize_with = "shared::maybe")]
    pub older_weight_t: Option<f64>,
    /// Weight on the blocks now, t.
    #[serde(serialize_with = "shared::maybe")]
    pub newer_weight_t: Option<f64>,
    /// How the loads then come out: `girder` or `rigid` ship.
    pub older_loads_of: Option<&'static str>,
    /// How the loads now come out.
    pub newer_loads_of: Option<&'static str>,
    /// Why there are no loads then, or no girder.
    pub older_why_not: Option<Text>,
    /// Why there are no loads now, or no girder.
    pub newer_why_not: Option<Text>,
    /// The blocks: first those of now, then those of then that have no match.
    pub blocks: Vec<BlockPair>,
}

/// A block now and the one that stood under the same steel then.
#[derive(Debug, Clone, Serialize)]
pub struct BlockPair {
    /// The row: `keel`, `bilge-port`, `bilge-starboard` or `other`.
    pub row: &'static str,
    /// Then.
    pub older: Option<BlockSide>,
    /// Now.
    pub newer: Option<BlockSide>,
    /// What the two were matched by: `name`, where caps of one name overlap along the hull, or `place`, the
    /// nearest of the row.
    pub matched_by: Option<&'static str>,
    /// How much farther forward on the hull the one of now stands, m.
    #[serde(serialize_with = "shared::maybe")]
    pub forward_m: Option<f64>,
}

/// A block in a position of one docking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BlockSide {
    /// The block.
    pub block: String,
    /// x of its centre on the hull, m.
    #[serde(serialize_with = "shared::maybe")]
    pub x_m: Option<f64>,
    /// Length of its cap along the ship, m.
    #[serde(serialize_with = "shared::plain")]
    pub length_m: f64,
    /// The gap measured with the dock dry, m; the last of several.
    #[serde(serialize_with = "shared::maybe")]
    pub gap_m: Option<f64>,
    /// Its load as recomputed, kN.
    #[serde(serialize_with = "shared::maybe")]
    pub load_kn: Option<f64>,
    /// Its bearing pressure as recomputed, kPa.
    #[serde(serialize_with = "shared::maybe")]
    pub pressure_kpa: Option<f64>,
}

impl BlockPair {
    /// How much higher its pressure is now, kPa: unlike loads, pressures of blocks of different sizes compare.
    pub fn more_pressure_kpa(&self) -> Option<f64> {
        Some(self.newer.as_ref()?.pressure_kpa? - self.older.as_ref()?.pressure_kpa?)
    }

    /// How much wider its gap is now, m, where it was measured both times.
    fn wider_m(&self) -> Option<f64> {
        Some(self.newer.as_ref()?.gap_m? - self.older.as_ref()?.gap_m?)
    }
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> Positions {
    let (was, is) = (&older.project.positions, &newer.project.positions);
    let common = was.len().min(is.len());
    let alone =
        |all: &[Position]| all.iter().skip(common).map(|position| position.id.clone()).collect();
    Positions {
        pairs: (0..common).map(|number| pair(older, newer, number)).collect(),
        older_alone: alone(was),
        newer_alone: alone(is),
    }
}

fn pair(older: &Examined, newer: &Examined, number: usize) -> PositionPair {
    let (was, is) = (&older.recomputed.loads[number], &newer.recomputed.loads[number]);
    // A girder is not compared with a rigid ship.
    let only_rigid = |loads: &Loads| loads.girder.is_none() && loads.rigid.is_some();
    let as_rigid = only_rigid(was) || only_rigid(is);
    let outcome = |loads: &'_ Loads| -> Option<Outcome> {
        if as_rigid { loads.rigid.clone() } else { loads.girder.clone() }
    };
    let (was_outcome, is_outcome) = (outcome(was), outcome(is));
    let ship = if as_rigid { "rigid" } else { "girder" };
    PositionPair {
        older: older.project.positions[number].id.clone(),
        newer: newer.project.positions[number].id.clone(),
        older_weight_t: was_outcome.as_ref().map(|_| was.weight_t),
        newer_weight_t: is_outcome.as_ref().map(|_| is.weight_t),
        older_loads_of: was_outcome.as_ref().map(|_| ship),
        newer_loads_of: is_outcome.as_ref().map(|_| ship),
        older_why_not: was.why_not.clone(),
        newer_why_not: is.why_not.clone(),
        blocks: match_blocks(
            &standing(older, number, was, was_outcome.as_ref()),
            &standing(newer, number, is, is_outcome.as_ref()),
        ),
    }
}

/// A block that stands in a position.
struct Standing {
    row: BlockRow,
    side: BlockSide,
}

/// The blocks that stand in a position, in the order of the plan.
fn standing(
    examined: &Examined,
    number: usize,
    loads: &Loads,
    outcome: Option<&Outcome>,
) -> Vec<Standing> {
    let project = &examined.project;
    let position = &project.positions[number].id;
    let lie = examined.recomputed.positions[number].lie;
    let dry = |block: &Block| {
        let mut gaps = project.gaps.iter().rev();
        let is_dry = |gap: &&Gap| {
            gap.position == *position && gap.block == block.id && gap.water_depth_m.is_none()
        };
        gaps.find(is_dry).map(|gap| gap.gap_m)
    };
    let borne = |at: usize| {
        let mut rows = loads.rows(outcome?);
        rows.find(|(bearing, ..)| bearing.block == at)
            .map(|(_, load, pressure, _)| (load, pressure))
    };
    let stands = |(_, block): &(usize, &Block)| block.stands_in(position);
    let blocks = project.blocks.iter().enumerate().filter(stands);
    blocks
        .map(|(at, block)| {
            let borne = borne(at);
            Standing {
                row: block.row,
                side: BlockSide {
                    block: block.id.clone(),
                    length_m: block.cap.length_m,
                    x_m: lie.map(|lie| on_hull(&block.cap, &lie).centre.x),
                    gap_m: dry(block),
                    load_kn: borne.map(|(load, _)| load),
                    pressure_kpa: borne.and_then(|(_, pressure)| pressure),
                },
            }
        })
        .collect()
}

fn match_blocks(then: &[Standing], now: &[Standing]) -> Vec<BlockPair> {
    let mut is_matched = vec![false; then.len()];
    let mut pairs: Vec<BlockPair> = Vec::with_capacity(now.len());
    for block in now {
        let found = by_name(then, block).map(|at| (at, "name"));
        let found = found.or_else(|| by_place(then, block).map(|at| (at, "place")));
        let older = found.map(|(at, _)| {
            is_matched[at] = true;
            &then[at].side
        });
        pairs.push(BlockPair {
            row: block.row.word(),
            forward_m: older.and_then(|older| Some(block.side.x_m? - older.x_m?)),
            older: older.cloned(),
            newer: Some(block.side.clone()),
            matched_by: found.map(|(_, by)| by),
        });
    }
    let alone = then.iter().zip(&is_matched).filter(|(_, is_matched)| !**is_matched);
    pairs.extend(alone.map(|(block, _)| BlockPair {
        row: block.row.word(),
        older: Some(block.side.clone()),
        newer: None,
        matched_by: None,
        forward_m: None,
    }));
    pairs
}

/// The block of the same name and row; running numbers name other places in another plan, so that the two
/// caps must overlap along the hull, where both can be placed.
fn by_name(then: &[Standing], now: &Standing) -> Option<usize> {
    then.iter().position(|older| {
        let overlap = match (older.side.x_m, now.side.x_m) {
            (Some(was), Some(is)) => {
                (was - is).abs() <= (older.side.length_m + now.side.length_m) / 2.0
            }
            _ => true,
        };
        older.row == now.row && older.side.block == now.side.block && overlap
    })
}

/// The nearest block of the row along the hull; of two as near, the first.
fn by_place(then: &[Standing], now: &Standing) -> Option<usize> {
    let x_m = now.side.x_m?;
    let of_row = then.iter().enumerate().filter(|(_, older)| older.row == now.row);
    let (nearest, off_m) = least(of_row, |(_, older)| Some((older.side.x_m? - x_m).abs()))?;
    (off_m <= NEAR_M).then_some(nearest.0)
}

/// Rows of a table of a pair of positions.
const MOST_ROWS: usize = 10;

/// Gaps that differ by no more are the same, m: what wedges and feelers leave open (our choice).
const SAME_GAP_M: f64 = 0.005;

/// The rows of blocks with their names, as drawings have them.
const ROWS: [(BlockRow, &str); 4] = [
    (BlockRow::Keel, "keel row"),
    (BlockRow::BilgePort, "bilge, port"),
    (BlockRow::BilgeStarboard, "bilge, starboard"),
    (BlockRow::Other, "other blocks"),
];

/// What the drawing of the pressures shows.
pub(super) fn pressed(positions: &Positions) -> Vec<PressedPair<'_>> {
    let pressed = |side: &BlockSide| {
        let half_m = side.length_m / 2.0;
        Some(Pressed { x_m: side.x_m?, half_m, kpa: side.pressure_kpa? })
    };
    let row = |pair: &PositionPair, row: BlockRow, name: &'static str| {
        let of_row = || pair.blocks.iter().filter(move |block| block.row == row.word());
        // One block of then may stand for two of now.
        let mut then: Vec<&BlockSide> = of_row().filter_map(|block| block.older.as_ref()).collect();
        then.sort_by(|a, b| a.block.cmp(&b.block));
        then.dedup_by(|a, b| a.block == b.block);
        let now = of_row().filter_map(|block| block.newer.as_ref());
        PressedRow {
            name,
            then: then.into_iter().filter_map(pressed).collect(),
            now: now.filter_map(pressed).collect(),
        }
    };
    let pairs = positions.pairs.iter();
    pairs
        .map(|pair| PressedPair {
            then: &pair.older,
            now: &pair.newer,
            rows: ROWS.iter().map(|(of, name)| row(pair, *of, name)).collect(),
        })
        .collect()
}

/// What of the blocks can't be compared, and why.
pub(super) fn not_compared(positions: &Positions) -> Vec<Text> {
    let mut said = Vec::new();
    if positions.pairs.is_empty() {
        said.push(text!("One of the dockings has no position on record."));
    }
    for (alone, when) in [(&positions.older_alone, "then"), (&positions.newer_alone, "now")] {
        if !alone.is_empty() {
            said.push(text!("{} {} had no position to match.", ids_and(alone), when));
        }
    }
    said.extend(without_loads(positions));
    for pair in &positions.pairs {
        let alone = |side: &dyn Fn(&BlockPair) -> bool| {
            pair.blocks.iter().filter(|block| block.matched_by.is_none() && side(block)).count()
        };
        let (now, then) =
            (alone(&|block| block.newer.is_some()), alone(&|block| block.older.is_some()));
        if now + then > 0 {
            said.push(text!(
                "{}: {} now and {} then had no match at the same place.",
                pair.names(),
                count(now, "block", "blocks"),
                then
            ));
        }
    }
    said
}

/// The positions without block loads, those that have one reason together.
fn without_loads(positions: &Positions) -> Vec<Text> {
    let mut reasons: Vec<(&Text, Vec<Text>)> = Vec::new();
    for pair in &positions.pairs {
        for (position, when, weight, why_not) in [
            (&pair.older, "then", pair.older_weight_t, &pair.older_why_not),
            (&pair.newer, "now", pair.newer_weight_t, &pair.newer_why_not),
        ] {
            let (None, Some(why)) = (weight, why_not) else { continue };
            let name = text!("{} {}", id(position), when);
            match reasons.iter_mut().find(|(known, _)| *known == why) {
                Some((_, names)) => names.push(name),
                None => reasons.push((why, vec![name])),
            }
        }
    }
    let reasons = reasons.into_iter();
    reasons
        .map(|(why, names)| text!("No block loads of {}, since {}.", Text::listed(names), why))
        .collect()
}

/// The drawing, if any, is that one of the document.
pub(super) fn section(positions: &Positions, drawing: Option<usize>) -> Section {
    let pairs = positions.pairs.as_slice();
    let mut section = Section::new("Gaps and block loads").at("compared-blocks");
    if pairs.is_empty() {
        section.paragraph(
            "One of the dockings has no position on record, so nothing can be compared.",
        );
        return section;
    }
    section.paragraph(text!(
        "Positions are compared in their order: {}. Highest pressure then: {}; now: {}.",
        Text::listed(pairs.iter().map(|pair| text!(
            "{} then with {} now",
            id(&pair.older),
            id(&pair.newer)
        ))),
        highest(pairs, |pair| &pair.older, |block| block.older.as_ref()),
        highest(pairs, |pair| &pair.newer, |block| block.newer.as_ref())
    ));
    section.drawings(drawing);
    section.paragraph(
        "A block is matched with the one of its name and row if the two overlap along the hull, otherwise by \
         place, with the nearest of its row; the figure says how much farther forward (+) or aft \
         (\u{2212}) the block stands now.",
    );
    for pair in pairs {
        section.paragraph(summary(pair));
        pressures(&mut section, pair);
        gaps(&mut section, pair);
    }
    section
}

/// The blocks whose pressures differ most, and by how much the others do at most.
fn pressures(section: &mut Section, pair: &PositionPair) {
    let mut changed: Vec<(f64, &BlockPair)> =
        pair.blocks.iter().filter_map(|block| Some((block.more_pressure_kpa()?, block))).collect();
    changed.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let all = changed.len();
    let others = changed.split_off(all.min(MOST_ROWS));
    let about = text!("{}, the blocks whose pressures differ most:", pair.names());
    section.table(table(changed.into_iter().map(|(_, block)| block)).about(about));
    if let Some((most, _)) = others.first() {
        section.paragraph(text!(
            "The pressure of {} differs by no more than {}.",
            count(others.len(), "other block", "other blocks"),
            Form::Pressure.measure(most.abs()).decimals(0).rounded_up()
        ));
    }
}

/// The gaps that differ of those that were measured both times.
fn gaps(section: &mut Section, pair: &PositionPair) {
    let measured: Vec<(f64, &BlockPair)> =
        pair.blocks.iter().filter_map(|block| Some((block.wider_m()?, block))).collect();
    let is_same = |(wider, _): &&(f64, &BlockPair)| wider.abs() <= SAME_GAP_M + 1e-9;
    let same = measured.iter().filter(is_same).count();
    let mut differ: Vec<&(f64, &BlockPair)> = measured.iter().filter(|one| !is_same(one)).collect();
    differ.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let within = Form::Small.measure(SAME_GAP_M);
    section.paragraph(match (measured.len(), same) {
        (0, _) => text!("No gap was measured both times with the dock dry."),
        (all, same) => text!(
            "Gaps measured both times with the dock dry: {}, of which {} within {} of each other.",
            all,
            if same == 1 { "1 lies".to_string() } else { format!("{same} lie") },
            within
        ),
    });
    let columns = [
        Column::name("Block now"),
        Column::name("Block then"),
        Column::measure("x", Form::Length),
        Column::measure("Gap then", Form::Small),
        Column::measure("Gap now", Form::Small),
        Column::measure("Wider by", Form::Small),
    ];
    let rows = differ.into_iter().filter_map(|(wider, pair)| {
        let (was, is) = (pair.older.as_ref()?, pair.newer.as_ref()?);
        let gap = |side: &BlockSide| side.gap_m.map(|gap_m| Form::Small.measure(gap_m));
        let row: [Cell; 6] = [
            id(&is.block).into(),
            id(&was.block).into(),
            is.x_m.map(|x_m| Form::Length.measure(x_m).decimals(2)).into(),
            gap(was).into(),
            gap(is).into(),
            Form::Small.measure(*wider).signed().into(),
        ];
        Some(row)
    });
    let about = text!("{}, gaps that differ by more:", pair.names());
    section.table(Table::new(columns).rows(rows).about(about).cut(MOST_ROWS, ELSEWHERE));
}

impl PositionPair {
    fn names(&self) -> Text {
        text!("{} then against {} now", id(&self.older), id(&self.newer))
    }
}

/// The highest pressure of one docking, and where it is.
fn highest<'a>(
    pairs: &'a [PositionPair],
    position: impl Fn(&'a PositionPair) -> &'a String,
    side: impl Fn(&'a BlockPair) -> Option<&'a BlockSide>,
) -> Text {
    let all = pairs.iter().flat_map(|pair| pair.blocks.iter().map(move |block| (pair, block)));
    let sides = all.filter_map(|(pair, block)| Some((pair, side(block)?)));
    match greatest(sides, |(_, side)| side.pressure_kpa) {
        Some(((pair, side), pressure)) => text!(
            "{} under {} in {}",
            Form::Pressure.measure(pressure).decimals(0),
            id(&side.block),
            id(position(pair))
        ),
        None => text!("not recomputed"),
    }
}

/// One pair of positions in sentences.
fn summary(pair: &PositionPair) -> Text {
    let by = |word: &str| pair.blocks.iter().filter(|block| block.matched_by == Some(word)).count();
    let older = pair.blocks.iter().filter_map(|block| block.older.as_ref());
    let newer = pair.blocks.iter().filter_map(|block| block.newer.as_ref());
    text!(
        "{}: {} matched, {} by name and {} by place. Then: {}. Now: {}.",
        pair.names(),
        count(by("name") + by("place"), "block", "blocks"),
        by("name"),
        by("place"),
        loads_and_gaps(
            pair.older_weight_t,
            pair.older_loads_of,
            pair.older_why_not.as_ref(),
            older
        ),
        loads_and_gaps(
            pair.newer_weight_t,
            pair.newer_loads_of,
            pair.newer_why_not.as_ref(),
            newer
        )
    )
}

/// Weight, largest load and widest gap of one docking.
fn loads_and_gaps<'a>(
    weight_t: Option<f64>,
    loads_of: Option<&str>,
    why_not: Option<&Text>,
    blocks: impl Iterator<Item = &'a BlockSide>,
) -> Text {
    let blocks: Vec<&BlockSide> = blocks.collect();
    let largest = greatest(&blocks, |block| block.load_kn);
    let loads = match (weight_t, loads_of, largest) {
        (Some(weight), Some(ship), Some((block, load))) => text!(
            "{} on the blocks; taken as {}, the largest load is {} under {}",
            Form::Mass.measure(weight).decimals(0),
            if ship == "rigid" { "rigid" } else { "a girder" },
            Measure::load(load),
            id(&block.block)
        ),
        _ => match why_not {
            Some(why) => text!("no loads, since {}", why),
            None => text!("no loads"),
        },
    };
    let gap = match greatest(&blocks, |block| block.gap_m) {
        Some((block, gap)) if gap > 0.0 => {
            text!("the widest gap measured {} at {}", Form::Small.measure(gap), id(&block.block))
        }
        Some(_) => text!("no gap wider than 0 measured"),
        None => text!("no gap recorded with the dock dry"),
    };
    text!("{}; {}", loads, gap)
}

fn table<'a>(blocks: impl Iterator<Item = &'a BlockPair>) -> Table {
    let columns = [
        Column::name("Block now"),
        Column::name("Block then"),
        Column { form: Some(Form::Length), ..Column::name("Matched by") }.mm(25.0),
        Column::measure("x", Form::Length),
        Column::measure("Load then", Form::Mass).mm(17.0),
        Column::measure("Load now", Form::Mass).mm(17.0),
        Column::measure("Pressure then", Form::Pressure).mm(22.0),
        Column::measure("Pressure now", Form::Pressure).mm(22.0),
        Column::measure("More now", Form::Pressure).mm(19.0),
    ];
    let whole_kpa =
        |kpa: Option<f64>| Cell::if_any(kpa.map(|kpa| Form::Pressure.measure(kpa).decimals(0)));
    let rows = blocks.filter_map(|pair| -> Option<[Cell; 9]> {
        let (was, is) = (pair.older.as_ref()?, pair.newer.as_ref()?);
        let more = pair.more_pressure_kpa();
        let more = more.map(|more| Form::Pressure.measure(more).decimals(0).signed());
        let metres = |value_m: f64| Form::Length.measure(value_m).decimals(2);
        let matched_by = match (pair.matched_by, pair.forward_m) {
            (Some("place"), Some(forward_m)) => Some(text!("place {}", metres(forward_m).signed())),
            (by, _) => by.map(Text::from),
        };
        Some([
            id(&is.block).into(),
            id(&was.block).into(),
            Cell::if_any(matched_by),
            is.x_m.map(metres).into(),
            Cell::if_any(was.load_kn.map(Measure::load)),
            Cell::if_any(is.load_kn.map(Measure::load)),
            whole_kpa(was.pressure_kpa),
            whole_kpa(is.pressure_kpa),
            Cell::if_any(more),
        ])
    });
    Table::new(columns).rows(rows).small()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn standing(block: &str, x_m: f64, length_m: f64) -> Standing {
        Standing {
            row: BlockRow::Keel,
            side: BlockSide {
                block: block.to_string(),
                length_m,
                x_m: Some(x_m),
                gap_m: None,
                load_kn: None,
                pressure_kpa: None,
            },
        }
    }

    /// Each pair as "then now by".
    fn summaries(pairs: &[BlockPair]) -> Vec<String> {
        let block = |side: &Option<BlockSide>| match side {
            Some(side) => side.block.clone(),
            None => "-".to_string(),
        };
        let by = |pair: &BlockPair| pair.matched_by.unwrap_or("-");
        pairs.iter().map(|p| format!("{} {} {}", block(&p.older), block(&p.newer), by(p))).collect()
    }

    #[test]
    fn a_name_counts_where_it_stands_at_the_same_place_and_else_the_place_does() {
        let then =
            [standing("K1", 10.0, 1.2), standing("K2", 12.0, 1.2), standing("K9", 40.0, 1.2)];
        let now = [
            standing("K1", 10.4, 0.6),
            // Twelve metres from the K2 of then: another block.
            standing("K3", 11.8, 0.6),
            standing("K2", 24.0, 0.6),
        ];
        assert_eq!(
            summaries(&match_blocks(&then, &now)),
            ["K1 K1 name", "K2 K3 place", "- K2 -", "K9 - -"]
        );
    }

    #[test]
    fn one_long_block_of_then_may_stand_for_two_of_now() {
        let then = [standing("L1", 10.0, 2.4)];
        let now = [standing("K1", 9.4, 0.6), standing("K2", 10.6, 0.6), standing("K3", 11.6, 0.6)];
        assert_eq!(summaries(&match_blocks(&then, &now)), ["L1 K1 place", "L1 K2 place", "- K3 -"]);
    }
}
