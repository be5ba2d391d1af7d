//! How to read the record: axes and signs, datums, units, times, outcomes and drawings.

use super::codes;
use super::drawings::drawings_of;
use super::happened::Clock;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::pages::pieces::{centimetres, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::docking::Docking;
use crate::records::positions::Times;
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, System, Text, code, id, strong};

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
    let project = &inputs.examined.project;
    let docking = &project.docking;
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
    let facts: [(&str, Cell); 14] = [
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
    ];
    let columns = [Column::name("What").mm(58.0), Column::text("As recorded")];
    section.table(Table::new(columns).rows(facts.map(|(what, value)| [what.into(), value])));

    section.paragraph(frames(docking));

    section.part("Units, times, and what is absent");
    section.paragraph(text!(
        "{} from the records are areas and what blocks hid, distances from openings to caps, where she lay by \
         sightings, trim, displacement, GM and loads, whatever is called predicted or estimated, means and other \
         statistics, intervals and ages: {}. In the bundle, tables called recomputed hold them.",
        strong("Calculated"),
        text::section("formulas")
    ));
    section.paragraph(text!(
        "{}. Files may give other units; they are kept as they were written, and what stands here is converted. \
         Numbers are rounded for print only, never before they are reckoned with.",
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
    section.paragraph(text!(
        "{} A time such as 06:40 +01:00 is by a clock one hour ahead of UTC. {}",
        strong("Times."),
        match text::offsets(&docking.clock) {
            Some(offsets) => {
                text!("Times written without an offset from UTC are by {}.", offsets)
            }
            None => "The record states no offset from UTC for times written without one.".into(),
        }
    ));
    section.paragraph(text!(
        "{} is what nobody wrote down; it is never the same as zero, and nothing is filled in for it. An empty cell, or \
         a dash, is what has no meaning there: a round opening has no length.",
        strong("Not recorded")
    ));
    if !project.positions.is_empty() {
        section.table(days(inputs.examined));
    }

    section.paragraph(codes::shared(project).unwrap_or_default());

    section.part("Outcomes");
    let columns = [Column::outcome(), Column::text("Meaning")];
    let outcomes = OUTCOMES.map(|(outcome, means)| [Cell::from(outcome), means.into()]);
    section.table(Table::new(columns).rows(outcomes));

    section.part("Drawings");
    section.paragraph(
        "Plans show the ship from above, with the bow to the right and port at the top. A scale holds where the page \
         is printed at its full size: measure the scale bar first. Each drawing has its own key. Hatches tell areas \
         apart by how close their lines are as well as by their direction, and need no colour; where two lie over \
         each other, both hold. What is not recorded is left out, or the caption says what stands for it.",
    );
    section
}

/// How frames are numbered, in a sentence or two.
fn frames(docking: &Docking) -> Text {
    const MOST: usize = 8;
    let Some(frames) = &docking.frames else {
        return text!("{} How they are numbered is not recorded.", strong("Frames."));
    };
    let end = if frames.from_aft { "aft" } else { "forward" };
    let each = frames.stretches.iter().take(MOST).map(|stretch| {
        text!(
            "from frame {}, at x {}, every {}",
            stretch.from_frame,
            centimetres(stretch.x_m),
            metres(stretch.spacing_m)
        )
    });
    let each = Text::joined(each, "; ");
    let more = match frames.stretches.len().saturating_sub(MOST) {
        0 => Text::new(),
        more => text!("; {} more stretches stand in {}", more, code("docking.toml")),
    };
    text!("{} They are numbered from {}: {}{}.", strong("Frames."), end, each, more)
}

/// When each position was flooded for, touched, landed in, dry, flooded again and left.
fn days(examined: &Examined) -> Table {
    let clock = Clock::new(examined);
    let names = Times::default().in_order().map(|(name, _)| name);
    let columns = std::iter::once(Column::name("Position")).chain(names.map(Column::name));
    let rows = examined.project.positions.iter().map(|position| {
        let times = position.times.in_order();
        let times = times.map(|(_, at)| Cell::from(at.map(|at| clock.moment(at))));
        std::iter::once(Cell::from(id(&position.id))).chain(times).collect::<Vec<Cell>>()
    });
    Table::new(columns).rows_of_any(rows).about("Times of each docking position, as recorded:")
}
