//! The docking plan: how each row is built, what was left out and why, and the sheets.

use super::drawings::drawings_of;
use super::pieces::{centimetres, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::blocks::{Block, BlockRow};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Measure, Text, and, count, id, range};

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
        built(&mut section, inputs);
        left_out(&mut section, inputs);
    }
    section.drawings(sheets);
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

/// How the blocks of each row are built.
fn built(section: &mut Section, inputs: &Inputs<'_>) {
    let project = &inputs.examined.project;
    section.part("How the blocks are built");
    let columns = [
        Column::name("Row").mm(30.0),
        Column::figure("Blocks"),
        Column::name("Height").mm(44.0),
        Column::name("Cap, fore-and-aft \u{d7} athwart").mm(46.0),
        Column::text("Cap of"),
    ];
    let rows = ROWS.into_iter().filter_map(|(row, name)| {
        let of_row: Vec<&Block> = project.blocks.iter().filter(|b| b.row == row).collect();
        let heights = of_row.iter().filter_map(|block| block.height_m);
        let materials = of_row.iter().map(|block| block.cap_material.as_deref());
        (!of_row.is_empty()).then(|| {
            [
                name.into(),
                of_row.len().into(),
                span(heights, metres),
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
        let by = |to: f64, from: f64| centimetres(to - from).signed();
        Some(text!(
            "{} in {} is {}, found {} further forward and {} further to port than it was planned.",
            id(&block.id),
            stands_in(block),
            id(from),
            by(block.cap.centre.x, planned.cap.centre.x),
            by(block.cap.centre.y, planned.cap.centre.y)
        ))
    });
    let moved: Vec<Text> = moved.take(MOST_LISTED).collect();
    if !moved.is_empty() {
        section.list(moved);
    }
    section.note(
        "Station, offset, height, level, skew, mass and limit of each block are in plan/blocks.csv, its layers in \
         plan/layers.csv.",
    );
}

/// Which blocks do not stand in some position, and why.
fn left_out(section: &mut Section, inputs: &Inputs<'_>) {
    let project = &inputs.examined.project;
    section.part("Blocks left out, and why");
    let is_found_elsewhere =
        |block: &Block| project.blocks.iter().any(|b| b.moved_from.as_deref() == Some(&block.id));
    let absent = project.blocks.iter().filter(|block| {
        let stands = |p: &crate::records::positions::Position| block.stands_in(&p.id);
        let is_out = match project.positions.as_slice() {
            [] => block.positions.as_ref().is_some_and(Vec::is_empty),
            positions => !positions.iter().all(stands),
        };
        let is_planned = block.moved_from.is_none() && !is_found_elsewhere(block);
        block.left_out_because.is_some() || (is_out && is_planned)
    });
    let rows = absent.map(|block| {
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

/// The least and the greatest of some measures.
fn span(values: impl Iterator<Item = f64>, measure: fn(f64) -> Measure) -> Cell {
    let ends = values.map(|v| (v, v)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    match ends {
        None => Cell::NotRecorded,
        Some((least, most)) if least == most => measure(least).into(),
        Some((least, most)) => range(measure(least), measure(most)).into(),
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
