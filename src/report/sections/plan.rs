//! The block plan and the openings on it.

use super::drawings::drawings_of;
use super::pieces::{centimetres, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::blocks::{Block, BlockRow};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Text, and, count, id};

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let blocks = &inputs.examined.project.blocks;
    let mut section = Section::new("Block plan and openings").at("plan");
    section.paragraph(if blocks.is_empty() {
        text!("No block is recorded.")
    } else {
        text!(
            "The plan has {}. Stations and offsets are those of the middle of each cap, in dock axes.",
            counts(blocks)
        )
    });
    section.drawings(drawings_of(inputs, Group::Plan));

    section.part("Blocks left out, and why");
    let left_out = blocks.iter().filter_map(|block| {
        let because = block.left_out_because.as_deref()?;
        Some([id(&block.id).into(), stands_in(block), because.into()])
    });
    let columns = [
        Column::name("Block").mm(22.0),
        Column::name("Stands in").mm(30.0),
        Column::text("Left out because"),
    ];
    let table = Table::new(columns).rows(left_out);
    if table.rows.is_empty() {
        section.paragraph("No block has a recorded reason for being left out.");
    }
    section.table(table);

    section.part("All blocks");
    if blocks.is_empty() {
        section.paragraph("None.");
    }
    let length = |head: &str| Column::measure(head, Form::Length).share(1.0);
    let columns = [
        Column::name("Block").mm(17.0),
        Column::name("Row").mm(21.0),
        length("Station"),
        length("Offset"),
        length("Length"),
        length("Width"),
        length("Height"),
        length("Top level"),
        Column::measure("Skew", Form::Angle).mm(11.0),
        Column::name("Cap").mm(18.0),
        Column::name("Stands in").mm(15.0),
    ];
    let rows = blocks.iter().map(|block| {
        [
            id(&block.id).into(),
            row(block.row).into(),
            metres(block.cap.centre.x).into(),
            metres(block.cap.centre.y).into(),
            centimetres(block.cap.length_m).into(),
            centimetres(block.cap.width_m).into(),
            block.height_m.map(metres).into(),
            block.top_level_m.map(metres).into(),
            Form::Angle.measure(block.cap.turn_deg).decimals(1).into(),
            block.cap_material.as_deref().into(),
            stands_in(block),
        ]
    });
    section.table(Table::new(columns).rows(rows).small());
    section
}

fn row(row: BlockRow) -> &'static str {
    match row {
        BlockRow::Keel => "keel",
        BlockRow::BilgePort => "bilge, port",
        BlockRow::BilgeStarboard => "bilge, starboard",
        BlockRow::Other => "other",
    }
}

fn stands_in(block: &Block) -> Cell {
    match &block.positions {
        None => "all".into(),
        Some(positions) if positions.is_empty() => "none".into(),
        Some(positions) => Text::joined(positions.iter().map(|at| id(at).into()), ", ").into(),
    }
}

fn counts(blocks: &[Block]) -> String {
    let rows = [BlockRow::Keel, BlockRow::BilgePort, BlockRow::BilgeStarboard, BlockRow::Other];
    let each: Vec<String> = rows
        .into_iter()
        .map(|wanted| (wanted, blocks.iter().filter(|block| block.row == wanted).count()))
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
