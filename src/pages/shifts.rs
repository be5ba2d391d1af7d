//! The shift study as a section: the answer, its bands, blocks to leave out, openings, what earlier dockings left.

use super::{Cell, Column, Medium, Section, Table};
use crate::findings::shifts::answer::{Aim, Answer, LeavingOut, OneWay, OpeningNear};
use crate::findings::shifts::sentences;
use crate::text;
use crate::text::{Form, Text, and, id, strong};

/// An answer as a section, the project's own shift first, with drawings of the document it stands in, by their numbers.
///
/// The bottom hidden at round shifts is for a terminal alone: on paper drawings show it.
pub fn section(answer: &Answer, drawings: impl IntoIterator<Item = usize>) -> Section {
    let mut section = Section::new("The shift to choose").at("shifts");
    if let Some(own) = &answer.own {
        section.paragraph(Text::joined(own.said.iter().cloned(), " "));
    }
    section.paragraph(sentences::question(answer));
    section.list(answer.answer.iter().cloned());
    section.drawings(drawings);
    section.table(bands(&answer.ways));
    for way in answer.ways.iter().filter(|way| way.bands.is_empty()) {
        let shift = |shift_m| sentences::shift(way.way, shift_m, 2);
        section.paragraph(text!(
            "No shift {} from {} to {} leaves nothing hidden twice; the least is {}, after {}.",
            way.way.to_string(),
            shift(way.from_m),
            shift(way.to_m),
            Form::Area.measure(way.least_m2),
            shift(way.least_at_m)
        ));
    }
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
        section.table(openings(near));
    }
    if !answer.past.is_empty() {
        section.part("Steel that a docking left, and where to land so that it is reached");
        for past in &answer.past {
            section.lead(text!("{}", strong(&past.docking)));
            section.list(past.said.iter().cloned());
        }
    }
    for way in &answer.ways {
        section.table(hidden_twice(way).on(Medium::Terminal));
    }
    answer.cautions.iter().for_each(|caution| _ = section.note(*caution));
    section
}

/// Where to aim, and by how much that may be missed.
fn aim_cells(aim: &Aim) -> [Cell; 2] {
    let shift = sentences::shift(aim.way, aim.shift_m, aim.decimals);
    [shift.into(), sentences::miss(aim.miss_m, aim.decimals).into()]
}

fn bands(ways: &[OneWay]) -> Table {
    let columns = [
        Column::text("Shift that leaves nothing hidden twice"),
        Column::text("Openings clear of caps"),
        Column::name("Aim at"),
        Column::measure("May be missed by", Form::Length),
        Column::name("Openings near a cap there"),
    ];
    let bands = ways.iter().flat_map(|way| way.bands.iter().map(move |band| (way.way, band)));
    let rows = bands.map(|(way, band)| {
        let [aim, miss] = aim_cells(&band.aim);
        let near = sentences::openings_near(&band.aim);
        [
            sentences::span_inward(way, band.span()).into(),
            sentences::openings_clear(band).into(),
            aim,
            miss,
            near.into(),
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
    let names = |names: &[String]| Cell::if_any((!names.is_empty()).then(|| and(names)));
    Table::new(columns).rows(all.iter().map(|out| {
        let [aim, miss] = aim_cells(&out.band.aim);
        let (load, pressure) = sentences::greatest_load(&out.band.aim.loads);
        [names(&out.of_second), names(&out.of_first), aim, miss, load.into(), pressure.into()]
    }))
}

fn openings(near: &[OpeningNear]) -> Table {
    let columns = [
        Column::name("Opening"),
        Column::text("Kind"),
        Column::measure("Clear", Form::Length),
        Column::measure("Wanted", Form::Length),
        Column::name("Nearest block"),
    ];
    Table::new(columns).rows(near.iter().map(|near| {
        [
            id(&near.opening).into(),
            near.kind.replace('-', " ").into(),
            Form::Length.measure(near.clear_m).into(),
            near.wanted_m.map(|wanted| Form::Length.measure(wanted)).into(),
            id(&near.block).into(),
        ]
    }))
}

/// The bottom hidden both before and after, at the round shifts of a way.
fn hidden_twice(way: &OneWay) -> Table {
    let columns = [Column::name("Shift"), Column::measure("Hidden", Form::Area)];
    let rows = way.at_round_shifts.iter().map(|point| {
        let shift = sentences::shift(way.way, point.shift_m, 2);
        [shift.into(), Form::Area.measure(point.area_m2).into()]
    });
    let about = text!("Bottom under blocks both before and after a shift {}:", way.way.to_string());
    Table::new(columns).rows(rows).about(about)
}
