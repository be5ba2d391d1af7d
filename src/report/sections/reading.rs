//! How to read the record: axes, and the words in which this project states its datums.

use super::drawings::drawings_of;
use super::pieces::{centimetres, metres};
use crate::findings::finding::Outcome;
use crate::pages::{Cell, Column, Section, Table};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, System, strong};

/// Which way each figure counts.
const SIGNS: [[&str; 2]; 5] = [
    ["yaw", "+ when the bow is turned to port: anticlockwise seen from above"],
    ["skew of a cap", "+ anticlockwise seen from above, about the cap\u{2019}s own middle"],
    ["shift", "+ forward, + to port"],
    ["difference", "recorded less recomputed"],
    ["residual of a sighting", "seen less what the fitted position gives"],
];

const OUTCOMES: [(Outcome, &str); 4] = [
    (
        Outcome::Agrees,
        "record and recomputation agree within the tolerance, and no limit is broken",
    ),
    (
        Outcome::Differs,
        "two recorded facts, or a record and its recomputation, can\u{2019}t both be true",
    ),
    (Outcome::BeyondLimit, "the record is true as far as can be told, and lies outside a limit"),
    (
        Outcome::NotRecorded,
        "something that the check needs was not written down, so it could not be made",
    ),
];

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let docking = &inputs.examined.project.docking;
    let (ship, dock) = (&docking.ship, &docking.dock);
    let mut section = Section::new("How to read this record").at("reading");

    section.part("Axes and signs");
    section.paragraph(text!(
        "Two sets of axes are used. {} go with the ship: x forward of the stern reference point (SRP), y to port \
         of the centreline, z above the underside of the keel. {} stay with the dock: \
         station along the dock\u{2019}s centreline, growing in the direction in which the bow points; \
         offset to the ship\u{2019}s port side; level above the dock\u{2019}s level datum.",
        strong("Hull axes"),
        strong("Dock axes")
    ));
    section.drawings(drawings_of(inputs, Group::Axes));
    section.paragraph(
        "A docking position is where the SRP lies: its station, the offset of the centreline there, and the yaw. \
         When the ship is moved aft, the station of the SRP grows smaller, and a block then bears further forward \
         on the hull by the same amount.",
    );
    let columns = [Column::name("Figure"), Column::text("Sign")];
    section.table(Table::new(columns).rows(SIGNS.map(|row| row.map(Cell::from))));

    section.part("Datums and dimensions");
    let length = |value: Option<f64>| -> Cell { value.map(centimetres).into() };
    let level = |value: Option<f64>| -> Cell { value.map(metres).into() };
    let rise = dock.declivity_pct.map(|pct| Form::Ratio.measure(pct).decimals(2));
    let facts: [(&str, Cell); 15] = [
        ("Stern reference point (SRP)", ship.stern_reference_point.as_ref().into()),
        ("Station 0 of the dock", dock.datum.as_ref().into()),
        ("Levels are counted from", dock.level_datum.as_ref().into()),
        ("Draft marks measure from", ship.draft_marks_datum.as_ref().into()),
        ("Length over all", length(ship.length_overall_m)),
        ("Length between perpendiculars", length(ship.length_between_perpendiculars_m)),
        ("Moulded breadth", length(ship.breadth_m)),
        ("Aft perpendicular, x", length(ship.aft_perpendicular_x_m)),
        ("Forward perpendicular, x", length(ship.forward_perpendicular_x_m)),
        ("Foremost point of the hull, x", length(ship.foremost_x_m)),
        ("Kind of dock", dock.kind.as_ref().into()),
        ("Level of the floor at station 0", level(dock.floor_level_m)),
        ("Rise of the floor toward the bow", rise.into()),
        ("Level of the sill", level(dock.sill_level_m)),
        (
            "Offset of times written without one",
            docking.offset.map(|offset| format!("UTC{offset}")).into(),
        ),
    ];
    let columns = [Column::name("What").mm(58.0), Column::text("As recorded")];
    section.table(Table::new(columns).rows(facts.map(|(what, value)| [what.into(), value])));

    section.part("Frames");
    match &docking.frames {
        None => {
            section.paragraph("How the frames are numbered is not recorded.");
        }
        Some(frames) => {
            let end = if frames.from_aft { "aft" } else { "forward" };
            section.paragraph(text!("Frames are numbered from {}.", end));
            let columns = [
                Column::figure("From frame"),
                Column::measure("x of that frame", Form::Length),
                Column::measure("Spacing", Form::Length),
            ];
            let rows = frames.stretches.iter().map(|stretch| {
                let [x, spacing] = [stretch.x_m, stretch.spacing_m].map(|m| metres(m).into());
                [stretch.from_frame.into(), x, spacing]
            });
            section.table(Table::new(columns).rows(rows));
        }
    }

    section.part("Units");
    section.paragraph(text!(
        "{}, times as written with their offset from UTC. Files may give other units; they are kept as they were \
         written, and the tables here are converted. Numbers are rounded for print only.",
        match docking.units {
            System::Si => {
                "Lengths are in metres, areas in square metres in plan, masses in tonnes, pressures in \
                 kilopascals, angles in degrees"
            }
            System::Us => {
                "Lengths are in feet, small ones in inches and mils, areas in square feet in plan, masses in long \
                 tons, pressures in pounds per square inch, angles in degrees"
            }
        }
    ));

    section.part("Outcomes");
    let columns = [Column::outcome(), Column::text("Meaning")];
    let outcomes = OUTCOMES.map(|(outcome, means)| [Cell::from(outcome), means.into()]);
    section.table(Table::new(columns).rows(outcomes));
    section.paragraph(text!(
        "{} is never the same as zero. What was not written down is printed so, and nothing is filled in for it.",
        strong("Not recorded")
    ));
    section
}
