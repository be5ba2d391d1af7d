//! What stood on blocks in both dockings.

use super::{Comparison, Section, Table, figure, name, words};
use crate::handover::compare::{Areas, Docking};
use crate::report::figures::letter;
use crate::report::text::{and, count, number};

const TITLE: &str = "Bottom under blocks";

pub(super) fn section(comparison: &Comparison) -> Section {
    let footprints = &comparison.footprints;
    let area = |value: Option<f64>| value.map(|value| number(value, 2));
    let said = |value: Option<f64>| area(value).unwrap_or_default();
    let lead = match footprints.never_exposed_in_either_m2 {
        None => "Not every position of both dockings can be placed, so that what both left under blocks \
                 can't be said."
            .to_string(),
        Some(_) if footprints.pieces.is_empty() => {
            "No part of the bottom was left under blocks in both dockings.".to_string()
        }
        Some(left) => format!(
            "{} m\u{b2} of the bottom, in {}, was never exposed in either docking.",
            number(left, 2),
            count(footprints.pieces.len(), "piece", "pieces")
        ),
    };
    let mut section = Section::new(TITLE, lead);
    if footprints.never_exposed_in_either_m2.is_some() {
        section.says.push(format!(
            "Of the {} m\u{b2} that were never exposed then, {} m\u{b2} were free of blocks in some position \
             now. Of the {} m\u{b2} that were never exposed now, {} m\u{b2} had been free then.",
            said(footprints.older.never_exposed_m2),
            said(footprints.reached_since_m2),
            said(footprints.newer.never_exposed_m2),
            said(footprints.reached_then_only_m2),
        ));
    }
    if let Some(both) = footprints.blocks_in_both_m2 {
        section.says.push(format!(
            "{} m\u{b2} of the bottom stood on blocks in some position of both dockings.",
            number(both, 2)
        ));
    }
    for (areas, when) in [(&footprints.older, "then"), (&footprints.newer, "now")] {
        if !areas.yaw_unknown.is_empty() {
            let names: Vec<&str> = areas.yaw_unknown.iter().map(String::as_str).collect();
            section
                .says
                .push(format!("Yaw is not recorded {when} in {}, and taken as 0.", and(&names)));
        }
    }
    section.drawn = true;
    let columns = [
        name("Docking"),
        figure("Positions"),
        figure("Bottom, m\u{b2}"),
        figure("Under blocks in some position, m\u{b2}"),
        figure("Never exposed, m\u{b2}"),
    ];
    let row = |docking: &Docking, areas: &Areas| {
        [
            Some(docking.name.clone()),
            Some(areas.positions.to_string()),
            area(areas.bottom_m2),
            area(areas.under_blocks_m2),
            area(areas.never_exposed_m2),
        ]
    };
    Table::new("Areas in plan:", columns)
        .rows([
            row(&comparison.older, &footprints.older),
            row(&comparison.newer, &footprints.newer),
        ])
        .to(&mut section);
    let columns = [
        name("Piece"),
        name("x, m"),
        name("y, m"),
        figure("Near frame"),
        figure("Area, m\u{b2}"),
        words("Blocks then"),
        words("Blocks now"),
    ];
    let span = |from: f64, to: f64| Some(format!("{} to {}", number(from, 2), number(to, 2)));
    Table::new("Never exposed in either docking:", columns)
        .rows(footprints.pieces.iter().enumerate().map(|(n, piece)| {
            [
                Some(letter(n)),
                span(piece.x_from_m, piece.x_to_m),
                span(piece.y_from_m, piece.y_to_m),
                piece.near_frame.clone(),
                Some(number(piece.area_m2, 3)),
                Some(piece.older_blocks.join(", ")),
                Some(piece.newer_blocks.join(", ")),
            ]
        }))
        .to(&mut section);
    section
}
