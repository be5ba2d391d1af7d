//! The shift to choose: the study's answer, its bands, blocks to leave out, openings, earlier dockings.

use super::drawings::drawings_of;
use crate::findings::shifts::answer::{Answer, LeavingOut};
use crate::findings::shifts::sentences;
use crate::pages::{Cell, Column, Section, Table};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Text, id, strong};

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let mut section = Section::new("The shift to choose").at("shifts");
    let answer = match inputs.examined.shift_to_choose() {
        Ok(answer) => answer,
        Err(why) => {
            section.paragraph(text!("{} {}", strong("Not recorded:"), why));
            return section;
        }
    };
    section.paragraph(sentences::asked(answer));
    section.list(answer.answer.iter().cloned());
    section.drawings(drawings_of(inputs, Group::Shifts));
    section.table(bands(answer));
    if !answer.leaving_out.is_empty() {
        section.part("Leaving blocks out");
        section.lead(
            "The fewest blocks whose leaving out gives room for one shift, or more room than with fewer. Loads are \
             those of the ship as a girder in the dry dock, on the blocks that are left.",
        );
        section.table(leaving_out(&answer.leaving_out));
    }
    let near = answer.openings_near();
    if !near.is_empty() {
        section.part("Openings too near a block at that aim");
        let columns = [
            Column::name("Opening"),
            Column::text("Kind"),
            Column::measure("Clear", Form::Length),
            Column::measure("Wanted", Form::Length),
            Column::name("Nearest block"),
        ];
        let rows = near.iter().map(|near| {
            [
                id(&near.opening).into(),
                near.kind.replace('-', " ").into(),
                Form::Length.measure(near.clear_m).into(),
                near.wanted_m.map(|wanted| Form::Length.measure(wanted)).into(),
                id(&near.block).into(),
            ]
        });
        section.table(Table::new(columns).rows(rows));
    }
    if !answer.past.is_empty() {
        section.part("Steel that a docking left, and where to land so that it is reached");
        section.list(answer.past.iter().map(|past| {
            text!("{}: {}", strong(&past.docking), Text::joined(past.said.iter().cloned(), " "))
        }));
    }
    answer.cautions.iter().for_each(|caution| _ = section.note(*caution));
    section
}

fn bands(answer: &Answer) -> Table {
    let columns = [
        Column::text("Shift that leaves nothing hidden twice"),
        Column::text("Openings clear of caps"),
        Column::name("Aim at"),
        Column::measure("May be missed by", Form::Length),
        Column::name("Openings near a cap there"),
    ];
    let bands = answer.ways.iter().flat_map(|way| way.bands.iter().map(move |band| (way, band)));
    let rows = bands.map(|(way, band)| {
        let aim = &band.aim;
        [
            sentences::span_inward(way.way, (band.from_m, band.to_m)).into(),
            sentences::openings_clear(band).into(),
            sentences::shift(aim.way, aim.shift_m, aim.decimals).into(),
            sentences::miss(aim.miss_m, aim.decimals).into(),
            sentences::openings_near(aim).into(),
        ]
    });
    let about = "The shifts that leave nothing of the bottom under blocks a second time:";
    Table::new(columns).rows(rows).about(about)
}

fn leaving_out(all: &[LeavingOut]) -> Table {
    let columns = [
        Column::text("Left out after the shift"),
        Column::text("Left out before it"),
        Column::name("Aim at"),
        Column::measure("May be missed by", Form::Length),
        Column::text("Greatest load"),
        Column::text("Pressure nearest its limit"),
    ];
    let names = |names: &[String]| -> Cell {
        Cell::if_any((!names.is_empty()).then(|| sentences::and(names)))
    };
    let rows = all.iter().map(|out| {
        let aim = &out.band.aim;
        let (load, pressure) = sentences::greatest_load(&aim.loads);
        [
            names(&out.of_second),
            names(&out.of_first),
            sentences::shift(out.way, aim.shift_m, aim.decimals).into(),
            sentences::miss(aim.miss_m, aim.decimals).into(),
            load.into(),
            pressure.into(),
        ]
    });
    Table::new(columns).rows(rows)
}
