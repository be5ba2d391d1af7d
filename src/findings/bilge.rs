//! Bilge blocks as they were set under her: whether hauling and wedging can have come when they are written down.

use chrono::{DateTime, FixedOffset, TimeDelta};

use super::finding::Finding;
use super::judge::Facts;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bilge::{BilgeBlock, Setting};
use crate::records::blocks::{Block, BlockRow};
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Text, count, id};

/// People round to five minutes (common practice, no source).
const ROUNDED: TimeDelta = TimeDelta::minutes(5);

/// Every finding of the bilge blocks as set.
pub fn findings(project: &Project) -> Vec<Finding> {
    let of = |position: &Position| {
        let rows: Vec<&BilgeBlock> = set_in(project, &position.id).collect();
        (!rows.is_empty()).then(|| order(project, position, &rows))
    };
    project.positions.iter().filter_map(of).collect()
}

/// The bilge blocks that were set in a position, in the order of the file.
pub fn set_in<'a>(
    project: &'a Project,
    position: &'a str,
) -> impl Iterator<Item = &'a BilgeBlock> + 'a {
    project.bilge.iter().filter(move |row| row.position == position)
}

/// The row by which a block was hauled in a position after a moment.
pub fn hauled_after<'a>(
    project: &'a Project,
    position: &'a str,
    block: &str,
    at: DateTime<FixedOffset>,
) -> Option<&'a BilgeBlock> {
    set_in(project, position)
        .find(|row| row.block == block && row.hauled_at.is_some_and(|hauled| at < hauled))
}

/// Something that is wrong with a row.
type Fault<'a> = (Text, &'a Place);

fn order(project: &Project, position: &Position, rows: &[&BilgeBlock]) -> Finding {
    let mut faults: Vec<Fault<'_>> = Vec::new();
    for (n, row) in rows.iter().enumerate() {
        let words = if rows[..n].iter().any(|before| before.block == row.block) {
            Some(text!("{} is entered twice", id(&row.block)))
        } else {
            fault(project, position, row)
        };
        faults.extend(words.map(|words| (words, &row.place)));
    }
    let lacks_time = |row: &&&BilgeBlock| row.how == Setting::Hauled && row.hauled_at.is_none();
    let missing =
        rows.iter().filter(lacks_time).map(|row| text!("when {} was hauled", id(&row.block)));
    let hauled = rows.iter().filter(|row| row.how == Setting::Hauled).count();
    let wedged = rows.iter().filter(|row| row.wedged_m.is_some()).count();
    let doubted = faults.first().map(|(_, place)| *place);
    let finding = Facts {
        subject: text!("the setting of the bilge blocks in {}", id(&position.id)),
        missing: missing.collect(),
        sound: text!(
            "{} of {} can have been set as written: {} hauled, {} fixed, {} wedged.",
            count(rows.len(), "bilge block", "bilge blocks"),
            id(&position.id),
            hauled,
            rows.len() - hauled,
            wedged
        ),
        faults: faults.into_iter().map(|(words, _)| words).collect(),
    }
    .finding(Subject::BilgeOrder(position.id.clone()));
    let finding = match doubted {
        Some(place) => finding.doubting(place),
        None => finding,
    };
    finding.from([&position.place]).from(rows.iter().map(|row| &row.place))
}

/// What can't be right of a row by itself, beside its block and the times of its position.
fn fault(project: &Project, position: &Position, row: &BilgeBlock) -> Option<Text> {
    let name = || id(&row.block);
    let block = project.blocks.iter().find(|block| block.id == row.block)?;
    if block.row == BlockRow::Keel {
        return Some(text!("{} is a keel block", name()));
    }
    if !block.stands_in(&position.id) {
        return Some(text!("{} did not stand there", name()));
    }
    let times = &position.times;
    let early = |at: DateTime<FixedOffset>| times.touched.filter(|touched| at < *touched - ROUNDED);
    let late =
        |at: DateTime<FixedOffset>| times.reflood_began.filter(|began| at > *began + ROUNDED);
    if let Some(at) = row.hauled_at {
        if row.how == Setting::Fixed {
            return Some(text!("{} was fixed, and hauled at {}", name(), at));
        }
        if let Some(touched) = early(at) {
            return Some(text!(
                "{} was hauled at {}, before she touched at {}",
                name(),
                at,
                touched
            ));
        }
        if let Some(began) = late(at) {
            return Some(text!(
                "{} was hauled at {}, after the water was let in again at {}",
                name(),
                at,
                began
            ));
        }
    }
    if let Some(at) = row.wedged_at {
        if let Some(hauled) = row.hauled_at.filter(|hauled| at < *hauled - ROUNDED) {
            return Some(text!(
                "{} was wedged at {}, before it was hauled at {}",
                name(),
                at,
                hauled
            ));
        }
        if let Some(began) = late(at) {
            return Some(text!(
                "{} was wedged at {}, after the water was let in again at {}",
                name(),
                at,
                began
            ));
        }
    }
    over_wedged(project, block, row)
}

/// More was closed than was built in, and than the tolerance of a gap allows.
fn over_wedged(project: &Project, block: &Block, row: &BilgeBlock) -> Option<Text> {
    let (wedged_m, built_in_m) = (row.wedged_m?, block.clearance_m?);
    let tolerance_m = project.docking.bounds.tolerance("gap")?.value;
    let m = |m: f64| Form::Small.measure(m);
    (wedged_m > built_in_m + 2.0 * tolerance_m).then(|| {
        text!(
            "at {} wedges closed {}, more than the {} that were built in",
            id(&row.block),
            m(wedged_m),
            m(built_in_m)
        )
    })
}
