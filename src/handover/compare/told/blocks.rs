//! Gaps and block loads.

use super::{Comparison, Section, Shown, Table, figure, name};
use crate::handover::compare::{BlockPair, BlockSide, PositionPair};
use crate::report::text::{and, centimetres, count, number};

/// Rows that a terminal shows of a position.
const MOST: usize = 10;

pub(super) fn section(comparison: &Comparison) -> Section {
    let positions = &comparison.blocks;
    let lead = match positions.pairs.as_slice() {
        [] => {
            "No position is recorded in both dockings, so that nothing can be compared.".to_string()
        }
        pairs => {
            let said: Vec<String> = pairs
                .iter()
                .map(|pair| format!("{} then against {} now", pair.older, pair.newer))
                .collect();
            let said: Vec<&str> = said.iter().map(String::as_str).collect();
            format!(
                "{}. Highest pressure then {}, now {}.",
                and(&said),
                highest(pairs, |pair| &pair.older, |block| block.older.as_ref()),
                highest(pairs, |pair| &pair.newer, |block| block.newer.as_ref()),
            )
        }
    };
    let mut section = Section::new("Gaps and block loads", lead);
    for (alone, when) in [(&positions.older_alone, "then"), (&positions.newer_alone, "now")] {
        if !alone.is_empty() && !positions.pairs.is_empty() {
            let names: Vec<&str> = alone.iter().map(String::as_str).collect();
            section.says.push(format!("{} {when} met no position.", and(&names)));
        }
    }
    if !positions.pairs.is_empty() {
        section.says.push(
            "A block of another name is matched by place: with the nearest of its row, of which the one of \
             now stands so many metres forward (+) or aft (\u{2212})."
                .to_string(),
        );
    }
    for pair in &positions.pairs {
        section.says.push(said(pair));
        let mut changed: Vec<&BlockPair> =
            pair.blocks.iter().filter(|block| block.more_pressure_kpa().is_some()).collect();
        changed.sort_by(|a, b| {
            let by = |block: &BlockPair| block.more_pressure_kpa().unwrap_or(0.0).abs();
            by(b).total_cmp(&by(a))
        });
        changed.truncate(MOST);
        let about = format!(
            "{} then against {} now, the blocks whose pressures differ most:",
            pair.older, pair.newer
        );
        table(about, changed.into_iter()).shown(Shown::Screen).to(&mut section);
        let about = format!("{} then against {} now, every block:", pair.older, pair.newer);
        table(about, pair.blocks.iter()).shown(Shown::Paper).to(&mut section);
    }
    section
}

/// The highest pressure of one docking, and where it is.
fn highest<'a>(
    pairs: &'a [PositionPair],
    position: impl Fn(&'a PositionPair) -> &'a String,
    side: impl Fn(&'a BlockPair) -> Option<&'a BlockSide>,
) -> String {
    let all = pairs.iter().flat_map(|pair| pair.blocks.iter().map(move |block| (pair, block)));
    let pressures = all.filter_map(|(pair, block)| {
        let side = side(block)?;
        Some((pair, side, side.pressure_kpa?))
    });
    match pressures.max_by(|a, b| a.2.total_cmp(&b.2)) {
        Some((pair, side, pressure)) => {
            format!("{} kPa under {} in {}", number(pressure, 0), side.block, position(pair))
        }
        None => "not recomputed".to_string(),
    }
}

/// One pair of positions in sentences.
fn said(pair: &PositionPair) -> String {
    let by = |word: &str| pair.blocks.iter().filter(|block| block.matched_by == Some(word)).count();
    let alone = |side: &dyn Fn(&BlockPair) -> bool| {
        pair.blocks.iter().filter(|block| block.matched_by.is_none() && side(block)).count()
    };
    let mut said = format!(
        "{} then against {} now: {} matched, {} by name and {} by the nearest place on the hull; {} of \
         now and {} of then met none.",
        pair.older,
        pair.newer,
        count(by("name") + by("place"), "block", "blocks"),
        by("name"),
        by("place"),
        alone(&|block| block.newer.is_some()),
        alone(&|block| block.older.is_some()),
    );
    let older = pair.blocks.iter().filter_map(|block| block.older.as_ref());
    let newer = pair.blocks.iter().filter_map(|block| block.newer.as_ref());
    let then = side(pair.older_weight_t, pair.older_loads_of, pair.older_why_not.as_ref(), older);
    let now = side(pair.newer_weight_t, pair.newer_loads_of, pair.newer_why_not.as_ref(), newer);
    said.push_str(&format!(" Then: {then}. Now: {now}."));
    if let (Some(was), Some(is)) = (pair.older_loads_of, pair.newer_loads_of)
        && was != is
    {
        said.push_str(" One is taken as a girder and one as rigid: their loads are not alike.");
    }
    said
}

/// Weight, largest load and widest gap of one docking.
fn side<'a>(
    weight_t: Option<f64>,
    loads_of: Option<&str>,
    why_not: Option<&String>,
    blocks: impl Iterator<Item = &'a BlockSide>,
) -> String {
    let blocks: Vec<&BlockSide> = blocks.collect();
    let greatest = |of: &dyn Fn(&BlockSide) -> Option<f64>| {
        let values = blocks.iter().filter_map(|block| Some((*block, of(block)?)));
        values.max_by(|a, b| a.1.total_cmp(&b.1))
    };
    let taken = if loads_of == Some("rigid") { "taken as rigid" } else { "taken as a girder" };
    let load = match (weight_t, loads_of, greatest(&|block| block.load_kn)) {
        (Some(weight), Some(_), Some((block, load))) => format!(
            "{} t on the blocks; {taken}, the largest load is {} kN under {}",
            number(weight, 0),
            number(load, 0),
            block.block
        ),
        _ => match why_not {
            Some(why) => format!("no loads, since {why}"),
            None => "no loads".to_string(),
        },
    };
    let gap = match greatest(&|block| block.gap_m) {
        Some((block, gap)) if gap > 0.0 => {
            format!("the widest gap measured {} mm at {}", number(gap * 1000.0, 0), block.block)
        }
        Some(_) => "no gap wider than 0 measured".to_string(),
        None => "no gap recorded with the dock dry".to_string(),
    };
    format!("{load}; {gap}")
}

fn table<'a>(about: String, blocks: impl Iterator<Item = &'a BlockPair>) -> Table {
    let columns = [
        figure("x, m"),
        name("Block now"),
        figure("Gap, mm"),
        figure("Load, kN"),
        figure("kPa"),
        name("Block then"),
        figure("Gap, mm"),
        figure("Load, kN"),
        figure("kPa"),
        figure("kPa more"),
        name("Matched by"),
    ];
    let row = |pair: &BlockPair| {
        let [now, x, now_gap, now_load, now_pressure] = cells(pair.newer.as_ref());
        let [then, then_x, then_gap, then_load, then_pressure] = cells(pair.older.as_ref());
        let matched = match (pair.matched_by, pair.forward_m) {
            (Some("place"), Some(forward)) => Some(format!("place {}", signed(forward, 2))),
            (by, _) => by.map(str::to_string),
        };
        [
            x.or(then_x),
            now,
            now_gap,
            now_load,
            now_pressure,
            then,
            then_gap,
            then_load,
            then_pressure,
            pair.more_pressure_kpa().map(|more| signed(more, 0)),
            matched,
        ]
    };
    Table::new(about, columns).rows(blocks.map(row))
}

fn cells(side: Option<&BlockSide>) -> [Option<String>; 5] {
    let Some(side) = side else { return [const { None }; 5] };
    [
        Some(side.block.clone()),
        centimetres(side.x_m),
        side.gap_m.map(|gap| number(gap * 1000.0, 0)),
        side.load_kn.map(|load| number(load, 0)),
        side.pressure_kpa.map(|pressure| number(pressure, 0)),
    ]
}

/// A number with its sign.
fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let nothing = number(0.0, decimals);
    if value > 0.0 && text != nothing { format!("+{text}") } else { text }
}
