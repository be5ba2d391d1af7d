//! What each position hid, and what was never exposed.

use super::drawings::drawings_of;
use crate::calc::plane::area_m2;
use crate::pages::pieces::{area, never_exposed};
use crate::pages::{Cell, Column, Section, Table};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Measure, Text, and, id, strong};

const SHARE: &str = "Share of the bottom";

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let (project, recomputed) = (&examined.project, &examined.recomputed);
    let mut section = Section::new("Exposure of the bottom").at("exposure");
    section.paragraph(
        "A cap hides the part of the bottom that it covers. Areas are in plan view. Positions are taken as \
         recorded, and as fitted to the sightings only where nothing is recorded.",
    );
    if recomputed.hidden.is_empty() {
        section.paragraph(text!(
            "{} not every position can be placed, so what was hidden is not known.",
            strong("Not recorded:")
        ));
        return section;
    }
    if !drawings_of(inputs, Group::Exposure).is_empty() {
        section.paragraph(
            "The positions laid over each other, with what each hid, are drawn behind the sheets of the docking plan.",
        );
    }
    let bottom_m2 = recomputed.bottom.as_ref().map(area_m2).filter(|area| *area > 0.0);
    let share = |area_m2: f64| -> Option<Measure> {
        bottom_m2.map(|whole| Form::Ratio.measure(100.0 * area_m2 / whole).decimals(2))
    };
    section.paragraph(match bottom_m2 {
        Some(area) => text!(
            "The outline of the bottom encloses {}; caps are cut to it.",
            Form::Area.measure(area).decimals(2)
        ),
        None => text!(
            "No outline of the bottom is recorded: caps count whole, and shares can\u{2019}t be given."
        ),
    });
    let positions = project.positions.iter().zip(&recomputed.positions);
    let yaw_unknown: Vec<&str> = positions
        .filter(|(_, position)| position.yaw_unknown)
        .map(|(position, _)| position.id.as_str())
        .collect();
    if !yaw_unknown.is_empty() {
        section.paragraph(text!(
            "Yaw is not recorded in {}, and is drawn as 0 there.",
            and(&yaw_unknown)
        ));
    }

    section.part("Hidden in each position");
    let columns = [
        Column::name("Position"),
        Column::figure("Blocks standing").share(1.0),
        Column::measure("Bottom hidden", Form::Area).share(1.0),
        Column::measure(SHARE, Form::Ratio).share(1.0),
    ];
    let hidden = project.positions.iter().zip(&recomputed.hidden).map(|(position, hidden)| {
        let area = area_m2(&hidden.shape);
        [
            id(&position.id).into(),
            hidden.footprints.len().into(),
            Form::Area.measure(area).into(),
            share(area).into(),
        ]
    });
    section.table(Table::new(columns).rows(hidden));

    section.part("Over all positions");
    if recomputed.classes.is_empty() {
        section.paragraph("Nothing of the bottom was hidden.");
    }
    let names = |hidden_in: &[bool], wanted: bool, none: &str| -> Cell {
        let positions = project.positions.iter().zip(hidden_in);
        let chosen = positions.filter(|(_, hidden)| **hidden == wanted);
        let names = Text::joined(chosen.map(|(position, _)| id(&position.id).into()), ", ");
        if names.is_empty() { none.into() } else { names.into() }
    };
    let columns = [
        Column::name("Hidden in").share(1.0),
        Column::name("Exposed in").share(1.0),
        Column::measure("Area", Form::Area),
        Column::measure(SHARE, Form::Ratio),
    ];
    let classes = recomputed.classes.iter().map(|class| {
        [
            names(&class.hidden_in, true, "none"),
            names(&class.hidden_in, false, "none: never exposed"),
            area(class.area_m2).into(),
            share(class.area_m2).into(),
        ]
    });
    section.table(Table::new(columns).rows(classes));

    section.part("Never exposed, piece by piece");
    let Some(in_all) = recomputed.never_exposed() else {
        section.paragraph(text!(
            "{} in some position no block is recorded as standing, so what it hid is not known.",
            strong("Not recorded:")
        ));
        return section;
    };
    if recomputed.never_exposed.is_empty() {
        section.paragraph(
            "There is no such piece: all of the bottom was free of blocks in one position or another.",
        );
        return section;
    }
    section.paragraph(text!("{} in all.", in_all));
    section.table(never_exposed(project, &recomputed.never_exposed));
    section
}
