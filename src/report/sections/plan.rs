//! The docking plan: how each row is built, what was left out and why, and the sheets.

use super::drawings::drawings_of;
use crate::findings::recomputed::position;
use crate::pages::pieces::{centimetres, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::blocks::{Block, BlockRow};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Text, and, count, id, range};
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// The rows of blocks in the order in which they are listed, with their names.
const ROWS: [(BlockRow, &str); 4] = [
    (BlockRow::Keel, "keel"),
    (BlockRow::BilgePort, "bilge, port"),
    (BlockRow::BilgeStarboard, "bilge, starboard"),
    (BlockRow::Other, "other"),
];

/// Most blocks that are listed one by one.
const MOST_LISTED: usize = 30;

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let blocks = &inputs.examined.project.blocks;
    let mut section = Section::new("Docking plan").at("plan");
    let sheets = drawings_of(inputs, Group::Plan);
    section.paragraph(if blocks.is_empty() {
        text!("No block is recorded.")
    } else {
        text!("The plan has {}.", counts(blocks))
    });
    if !sheets.is_empty() {
        section.paragraph(text!(
            "A sheet for each position follows, to be folded out: {}, with stations counted from the dock's datum and \
             levels from its level datum. Stations and offsets are those of the middle of each cap.",
            drawn(inputs)
        ));
    }
    if !blocks.is_empty() {
        positions(&mut section, inputs);
    }
    section.drawings(sheets);
    // What folds out stands in one place, so that one page at most before it is not filled.
    section.drawings(drawings_of(inputs, Group::Exposure));
    if !blocks.is_empty() {
        built(&mut section, inputs);
        left_out(&mut section, inputs);
    }
    section
}

/// What the sheets show of this project.
fn drawn(inputs: &Inputs<'_>) -> &'static str {
    let has_loads = inputs.examined.recomputed.loads.iter().any(|loads| loads.girder.is_some());
    if has_loads {
        "side view, plan and recomputed block loads in line with each other"
    } else {
        "side view and plan in line with each other"
    }
}

/// Where she lay in each position, and what stood under her.
fn positions(section: &mut Section, inputs: &Inputs<'_>) {
    let (project, recomputed) = (&inputs.examined.project, &inputs.examined.recomputed);
    if project.positions.is_empty() {
        return;
    }
    section.part("The positions at a glance");
    let columns = [
        Column::name("Position"),
        Column::measure("SRP at station, planned", Form::Length),
        Column::measure("recorded", Form::Length),
        Column::measure("Offset to port, recorded", Form::Length),
        Column::figure("Blocks standing"),
        Column::name("Greatest load, dock dry").mm(34.0),
        Column::figure("Bear nothing"),
    ];
    let rows = project.positions.iter().zip(&recomputed.loads).map(|(position, loads)| {
        let standing = project.blocks.iter().filter(|block| block.stands_in(&position.id));
        let borne = loads.borne(project);
        let greatest = borne.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn));
        let greatest = greatest.map(|one| {
            let load_t = one.load_kn / STANDARD_GRAVITY_M_PER_S2;
            text!("{} on {}", Form::Mass.measure(load_t).decimals(1), id(&one.block.id))
        });
        let idle = borne.iter().filter(|one| one.is_idle()).count();
        [
            id(&position.id).into(),
            position.planned_srp_station_m.map(metres).into(),
            position.recorded_srp_station_m.map(metres).into(),
            position.recorded_offset_m.map(|m| metres(m).signed()).into(),
            standing.count().into(),
            Cell::if_any(greatest),
            Cell::if_any((!borne.is_empty()).then_some(idle)),
        ]
    });
    section.table(Table::new(columns).rows(rows).whole());
    section.note(
        "A load and that a block bears nothing are computed for the dry dock with the ship as a girder; what they rest on \
         and how far they agree with the gaps is said under landing. An empty cell: not computed.",
    );
    let keel = project.blocks.iter().filter(|block| block.row == BlockRow::Keel);
    let ends = keel
        .clone()
        .min_by(|a, b| a.cap.centre.x.total_cmp(&b.cap.centre.x))
        .zip(keel.max_by(|a, b| a.cap.centre.x.total_cmp(&b.cap.centre.x)));
    if let Some((first, last)) = ends.filter(|(first, last)| first.id != last.id) {
        section.paragraph(text!(
            "The keel row reaches from {} at station {} to {} at station {}; station 0 is {}.",
            id(&first.id),
            centimetres(first.cap.centre.x),
            id(&last.id),
            centimetres(last.cap.centre.x),
            project.docking.dock.datum.as_deref().unwrap_or("not recorded in words")
        ));
    }
}

/// How the blocks of each row are built.
fn built(section: &mut Section, inputs: &Inputs<'_>) {
    let project = &inputs.examined.project;
    section.part("How the blocks are built");
    let columns = [
        Column::name("Row").mm(24.0),
        Column::figure("Blocks"),
        Column::name("Height").mm(58.0),
        Column::name("Cap, fore-and-aft \u{d7} athwart").mm(40.0),
        Column::text("Cap of"),
    ];
    let rows = ROWS.into_iter().filter_map(|(row, name)| {
        let of_row: Vec<&Block> = project.blocks.iter().filter(|b| b.row == row).collect();
        let materials = of_row.iter().map(|block| block.cap_material.as_deref());
        (!of_row.is_empty()).then(|| {
            [
                name.into(),
                of_row.len().into(),
                heights(&of_row),
                sizes(&of_row),
                Cell::from(materials_of(materials.collect())),
            ]
        })
    });
    let about = text!("Heights from the dock's floor to the top of the cap, least to greatest:");
    section.table(Table::new(columns).about(about).rows(rows).whole());
    let without = project.blocks.iter().filter(|block| block.height_m.is_none()).count();
    if without > 0 {
        section.note(text!("Of {} no height is recorded.", count(without, "block", "blocks")));
    }
    let moved = project.blocks.iter().filter_map(|block| {
        let from = block.moved_from.as_deref()?;
        let planned = project.blocks.iter().find(|other| other.id == from)?;
        let by = |[to, from]: [f64; 2], [more, less]: [&str; 2]| {
            let way = if to < from { less } else { more };
            text!("{} further {}", centimetres((to - from).abs()), way)
        };
        let (found, planned) = (block.cap.centre, planned.cap.centre);
        Some(text!(
            "{} in {} is {}, found {} and {} than it was planned.",
            id(&block.id),
            stands_in(block),
            id(from),
            by([found.x, planned.x], ["forward", "aft"]),
            by([found.y, planned.y], ["to port", "to starboard"])
        ))
    });
    section.list(moved.take(MOST_LISTED));
    section.note(
        "Station, offset, height, level, skew, mass and limit of each block are in plan/blocks.csv, its layers in \
         plan/layers.csv.",
    );
}

/// Which blocks do not stand in some position, and why.
fn left_out(section: &mut Section, inputs: &Inputs<'_>) {
    let project = &inputs.examined.project;
    section.part("Blocks left out, and why");
    let rows = position::left_out(project).map(|block| {
        [id(&block.id).into(), stands_in(block).into(), block.left_out_because.as_deref().into()]
    });
    let columns = [
        Column::name("Block").mm(22.0),
        Column::name("Stands in").mm(30.0),
        Column::text("Left out because"),
    ];
    let table = Table::new(columns).rows(rows).cut(MOST_LISTED, "plan/blocks.csv");
    if table.rows.is_empty() {
        section.paragraph("By the block plan no block was left out of a position.");
    } else {
        section.table(table);
    }
}

/// The least and the greatest height of some blocks, with the blocks.
fn heights(blocks: &[&Block]) -> Cell {
    let heights = blocks.iter().filter_map(|block| Some((block.height_m?, &block.id)));
    let ends = heights.map(|one| (one, one)).reduce(|a, b| {
        (if b.0.0 < a.0.0 { b.0 } else { a.0 }, if b.1.0 > a.1.0 { b.1 } else { a.1 })
    });
    match ends {
        None => Cell::NotRecorded,
        Some(((least, _), (most, _))) if least == most => metres(least).into(),
        Some(((least, low), (most, high))) => {
            text!("{} ({}) to {} ({})", metres(least), id(low), metres(most), id(high)).into()
        }
    }
}

/// The sizes of the caps of a row.
fn sizes(blocks: &[&Block]) -> Cell {
    let span = |of: fn(&Block) -> f64| -> Text {
        let ends = blocks.iter().map(|block| (of(block), of(block)));
        match ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))) {
            Some((least, most)) if least != most => {
                range(centimetres(least), centimetres(most)).into()
            }
            Some((one, _)) => centimetres(one).into(),
            None => Text::default(),
        }
    };
    text!("{} \u{d7} {}", span(|block| block.cap.length_m), span(|block| block.cap.width_m)).into()
}

/// What caps are made of, the commonest first, with how many where there are several.
fn materials_of(materials: Vec<Option<&str>>) -> Option<String> {
    let mut counted: Vec<(Option<&str>, usize)> = Vec::new();
    for material in &materials {
        match counted.iter_mut().find(|(known, _)| known == material) {
            Some((_, n)) => *n += 1,
            None => counted.push((*material, 1)),
        }
    }
    counted.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
    let name = |material: &Option<&str>| material.unwrap_or("not recorded").to_string();
    match counted.as_slice() {
        [] | [(None, _)] => None,
        [(one, _)] => Some(name(one)),
        several => {
            let each = several.iter().map(|(material, n)| format!("{} ({n})", name(material)));
            Some(text::shortened(&each.collect::<Vec<_>>().join(", "), 120))
        }
    }
}

fn stands_in(block: &Block) -> Text {
    match &block.positions {
        None => "all".into(),
        Some(positions) if positions.is_empty() => "none".into(),
        Some(positions) => Text::joined(positions.iter().map(|at| id(at).into()), ", "),
    }
}

fn counts(blocks: &[Block]) -> String {
    let each: Vec<String> = ROWS
        .into_iter()
        .map(|(wanted, _)| (wanted, blocks.iter().filter(|block| block.row == wanted).count()))
        .filter(|(_, n)| *n > 0)
        .map(|(wanted, n)| match wanted {
            BlockRow::Keel => format!("{n} in the keel row"),
            BlockRow::BilgePort => format!("{n} in the port bilge row"),
            BlockRow::BilgeStarboard => format!("{n} in the starboard bilge row"),
            BlockRow::Other => format!("{n} elsewhere"),
        })
        .collect();
    let each: Vec<&str> = each.iter().map(String::as_str).collect();
    format!("{}: {}", count(blocks.len(), "block", "blocks"), and(&each))
}
