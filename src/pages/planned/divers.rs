//! Where the keel lies over the blocks by what divers measured, and by how much she is to be moved to where she is to
//! land.

use crate::findings::Examined;
use crate::findings::divers::{ALONG, ATHWART, toward};
use crate::findings::recomputed::divers::{Athwart, Round, tolerance_m};
use crate::findings::subject::Subject;
use crate::pages::{Cell, Column, Medium, Section, Table};
use crate::text;
use crate::text::{Form, Measure, id};
use crate::words::cautions;

/// Of all positions at whose blocks divers measured.
pub fn divers(examined: &Examined) -> Option<Section> {
    section(examined, cautions::PLANNING, |_| true)
}

/// Of one position, by its place in the project's list, for whoever says the caution beside it.
pub fn of_position(examined: &Examined, position: usize) -> Option<Section> {
    section(examined, "", |round| round.position == position)
}

fn section(
    examined: &Examined,
    caution: &str,
    is_wanted: impl Fn(&Round) -> bool,
) -> Option<Section> {
    let mut section = Section::new("The keel over the blocks, as divers measured it").at("divers");
    section.paragraph(caution);
    let wanted: Vec<&Round> =
        examined.recomputed.divers.iter().filter(|round| is_wanted(round)).collect();
    let tolerance = length(tolerance_m(&examined.project));
    for round in &wanted {
        tell(&mut section, examined, round);
    }
    section.note(text!(
        "\u{201c}Sure to\u{201d} is one standard error, with each measurement taken as good to {}, or to their own \
         scatter where that is greater. Beyond the blocks at which the keel was measured the line is drawn out, and less sure.",
        tolerance
    ));
    (!wanted.is_empty()).then_some(section)
}

fn tell(section: &mut Section, examined: &Examined, round: &Round) {
    let position = &examined.project.positions[round.position].id;
    section.part(text!("{}, {}", id(position), round.in_words()));
    section.table(to_aim(round, position));
    let without_mark = round.along.is_none() && round.to_aim.is_some();
    section.paragraph(if without_mark { NO_MARK } else { "" });
    if round.aim.is_none() {
        section.paragraph(text!("Where she is to lie in {} is not planned.", id(position)));
    }
    let fit = Subject::DiversFit(position.clone(), round.name());
    let said = examined.finding(&fit).map(|finding| finding.sentence.clone());
    section.paragraph(said.unwrap_or_default());
    if let Some(scatter) = round.scatter(position) {
        section.paragraph(text!("Scatter of the offsets about the line: {}.", scatter));
    }
    // On paper and on the page the line stands for them; the derived tables have them all.
    section.table(measured(examined, round).on(Medium::Terminal));
}

/// What is said where a station was not measured.
const NO_MARK: &str = "No mark was measured along the ship: the offset of the stern reference point and of the ends is \
                       that of the line at their planned stations.";

fn length(kept_m: f64) -> Measure {
    Form::Length.measure(kept_m)
}

/// Where she lies and where she is to lie, and by how much to move her.
fn to_aim(round: &Round, position: &str) -> Table {
    let columns = [
        Column::text("Where"),
        Column::figure("Planned"),
        Column::figure("Found"),
        Column::figure("Sure to"),
        Column::text("Off the plan"),
        Column::text("To get there"),
    ];
    let mut rows: Vec<[Cell; 6]> = Vec::new();
    let off = |off_m: Option<f64>, ways| Cell::if_any(off_m.map(|off_m| toward(off_m, ways)));
    let found_along_m = round.to_aim.as_ref().and_then(|to_aim| to_aim.along_m);
    if let Some(along) = &round.along {
        rows.push([
            "SRP, along".into(),
            round.aim.map(|aim| length(aim.srp_station_m)).into(),
            round.srp_station(position).into(),
            length(along.sure_to_m(round.tolerance_m)).into(),
            off(found_along_m, ALONG),
            off(found_along_m.map(|off_m| -off_m), ALONG),
        ]);
    }
    let athwart = |place: &Athwart| {
        let found = match place.x_m {
            0.0 => round.srp_offset(position).unwrap_or(length(place.found_m)),
            _ => length(place.found_m),
        };
        [
            place.place.into(),
            length(place.planned_m).into(),
            found.into(),
            length(place.sure_to_m).into(),
            off(Some(place.off_m()), ATHWART),
            off(Some(-place.off_m()), ATHWART),
        ]
    };
    rows.extend(
        round.to_aim.iter().flat_map(|to_aim| to_aim.places()).map(|place| athwart(&place)),
    );
    if let Some(line) = &round.line {
        let angle = |kept_deg: f64| Form::Angle.measure(kept_deg);
        rows.push([
            "yaw, + to port".into(),
            round.aim.map(|aim| angle(aim.yaw_deg)).into(),
            round.yaw(position).into(),
            angle(line.yaw_sure_to_deg(round.tolerance_m)).into(),
            Cell::DoesNotApply,
            Cell::DoesNotApply,
        ]);
    }
    Table::new(columns).rows(rows).whole().about(
        "Station of the stern reference point (SRP), and offsets of the centreline, + to port:",
    )
}

/// What was measured, block by block.
fn measured(examined: &Examined, round: &Round) -> Table {
    let project = &examined.project;
    let columns = [
        Column::name("Block"),
        Column::measure("Keel at", Form::Length),
        Column::measure("Planned", Form::Length),
        Column::measure("Off the line", Form::Length),
        Column::measure("x of the mark", Form::Length),
        Column::measure("Mark at station", Form::Length),
        Column::name("When"),
    ];
    let if_any = |kept_m: Option<f64>| Cell::if_any(kept_m.map(length));
    let rows = round.measured.iter().map(|one| {
        [
            id(&project.blocks[one.block].id).into(),
            if_any(one.offset_m),
            if_any(one.aim_m.filter(|_| one.offset_m.is_some())),
            if_any(one.off_line_m),
            if_any(one.mark.and_then(|(_, x_m)| x_m)),
            if_any(one.mark.map(|(station_m, _)| station_m)),
            project.divers[one.row].at.into(),
        ]
    });
    Table::new(columns)
        .rows(rows)
        .about("Measured, as offsets of the keel\u{2019}s centreline in the dock, + to port:")
}
