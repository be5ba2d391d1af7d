//! The plating, strake by strake, and the anodes.

use super::drawings::drawings_of;
use super::pieces::centimetres;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::plating::limit_figure;
use crate::findings::recomputed::measures::{anode_loss_part, plate_loss, plate_loss_part};
use crate::findings::recomputed::plating::Strake;
use crate::findings::subject::Subject;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::plating::{Gauging, PlateLimit};
use crate::report::figures::{Group, letter, plates_beyond};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Figure, Form, Text, count, day, id, nearest_frame, strong};

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let project = &examined.project;
    let mut section = Section::new("Plating and anodes").at("plating");
    if project.plating.is_empty() && project.anodes.is_empty() {
        section.paragraph("No plate gauging and no anode was recorded.");
        return section;
    }
    section.drawings(drawings_of(inputs, Group::Plating));
    section.part("Plating, strake by strake");
    strakes(&mut section, examined);
    section.part("Anodes");
    anodes(&mut section, examined);
    section
}

fn strakes(section: &mut Section, examined: &Examined) {
    let project = &examined.project;
    if project.plating.is_empty() {
        section.paragraph("No plate was gauged.");
        return;
    }
    let columns = [
        Column::name("Strake").mm(13.0),
        Column::figure("No.").mm(9.0),
        Column::measure("Mean loss", Form::Plate).mm(13.0),
    ];
    let columns = columns.into_iter().chain(place_columns("Worst plate"));
    let columns = columns.chain([Column::outcome().share(1.0)]);
    let strakes = &examined.recomputed.strakes;
    let rows = strakes.iter().map(|strake| {
        let mean = strake.group.as_ref().map(|group| Form::Plate.measure(group.mean_loss_m));
        let of_strake = [
            id(&strake.name).into(),
            (strake.gaugings.len() + strake.without_original.len()).into(),
            Cell::if_any(mean),
        ];
        let worst = worst(examined, strake).map_or([const { Cell::DoesNotApply }; 8], place);
        let outcome = Cell::outcome_of(examined.finding(&Subject::PlateLoss(strake.name.clone())));
        of_strake.into_iter().chain(worst).chain([outcome]).collect()
    });
    let about = text!(
        "{}. {} is how many gaugings a strake has; the worst plate is the one that has used up most of what it \
         may lose, or has lost most where no limit is stated.",
        gauged(examined),
        strong("No.")
    );
    section.table(Table::new(columns).rows_of_any(rows).about(about).small());
    for strake in strakes {
        let original = examined.finding(&Subject::PlateOriginal(strake.name.clone()));
        if let Some(thicker) = original.filter(|finding| finding.outcome == Outcome::Differs) {
            section.paragraph(&thicker.sentence);
        }
    }

    let columns = [Column::name("Letter"), Column::name("Strake")].into_iter();
    let columns = columns.chain(place_columns("Plate"));
    let columns = columns.chain([Column::figure("Near frame"), Column::text("Note")]);
    let beyond = plates_beyond(examined).into_iter().enumerate().map(|(n, at)| {
        let gauging = &project.plating[at];
        let frames = project.docking.frames.as_ref();
        let frame = gauging.hull.and_then(|hull| nearest_frame(frames, hull.x));
        let note = Cell::if_any(gauging.notes.as_deref());
        let named = [letter(n).into(), id(&gauging.strake).into()].into_iter();
        named.chain(place(gauging)).chain([frame.into(), note]).collect()
    });
    let about = "Places beyond their limit, with their letters on the map:";
    section.table(Table::new(columns).rows_of_any(beyond).about(about).small());
}

/// How many gaugings, of how many strakes, from which day to which.
fn gauged(examined: &Examined) -> String {
    let plating = &examined.project.plating;
    let days = || plating.iter().filter_map(|gauging| Some(gauging.at?.date_naive()));
    let when = match (days().min(), days().max()) {
        (Some(first), Some(last)) if first == last => format!(" on {}", day(first)),
        (Some(first), Some(last)) => format!(" from {} to {}", day(first), day(last)),
        _ => ", on days that were not recorded".to_string(),
    };
    let strakes = count(examined.recomputed.strakes.len(), "strake", "strakes");
    format!("{} of {strakes}{when}", count(plating.len(), "gauging", "gaugings"))
}

/// The place that has used up most of what it may lose; without limits that with the greatest loss.
fn worst<'a>(examined: &'a Examined, strake: &Strake) -> Option<&'a Gauging> {
    let group = strake.group.as_ref()?;
    let number = group.nearest_limit.unwrap_or(group.worst);
    examined.project.plating.get(*strake.gaugings.get(number)?)
}

fn place_columns(plate: &str) -> [Column; 8] {
    [
        Column::name(plate).mm(12.0),
        Column::measure("x", Form::Length).mm(13.0),
        Column::measure("y", Form::Length).mm(13.0),
        Column::measure("Original", Form::Plate).mm(15.0),
        Column::measure("Found", Form::Plate).mm(13.0),
        Column::measure("Loss", Form::Plate).mm(12.0),
        Column::measure("Loss", Form::Ratio).mm(14.0),
        Column::name("Limit").mm(20.0),
    ]
}

/// A gauging with what is lost there.
fn place(gauging: &Gauging) -> [Cell; 8] {
    [
        id(&gauging.plate).into(),
        gauging.hull.map(|hull| centimetres(hull.x)).into(),
        gauging.hull.map(|hull| centimetres(hull.y)).into(),
        gauging.original_m.map(|m| Form::Plate.measure(m)).into(),
        Form::Plate.measure(gauging.measured_m).into(),
        Cell::if_any(plate_loss(gauging)),
        Cell::if_any(plate_loss_part(gauging)),
        gauging.limit.map(limit).into(),
    ]
}

fn limit(limit: PlateLimit) -> Text {
    let value = limit_figure(limit).as_stated();
    match limit {
        PlateLimit::Loss(_) | PlateLimit::RelativeLoss(_) => text!("{} lost", value),
        PlateLimit::LeastThickness(_) => text!("{} left", value),
    }
}

fn anodes(section: &mut Section, examined: &Examined) {
    let anodes = &examined.project.anodes;
    if anodes.is_empty() {
        section.paragraph("No anode was recorded.");
    }
    let columns = [
        Column::name("Anode"),
        Column::measure("x", Form::Length),
        Column::measure("y", Form::Length),
        Column::measure("Fitted", Form::Kilograms),
        Column::measure("Found", Form::Kilograms),
        Column::measure("Loss", Form::Ratio),
        Column::name("Renewed"),
        Column::outcome(),
        Column::text("Note"),
    ];
    let kilograms = |t: f64| Form::Kilograms.measure(t).decimals(1);
    let rows = anodes.iter().map(|anode| {
        [
            id(&anode.id).into(),
            anode.hull.map(|hull| centimetres(hull.x)).into(),
            anode.hull.map(|hull| centimetres(hull.y)).into(),
            anode.mass_fitted_t.map(kilograms).into(),
            anode.mass_found_t.map(kilograms).into(),
            Cell::if_any(anode_loss_part(anode)),
            anode.renewed.map(|renewed| if renewed { "yes" } else { "no" }).into(),
            Cell::outcome_of(examined.finding(&Subject::AnodeLoss(anode.id.clone()))),
            Cell::if_any(anode.notes.as_deref()),
        ]
    });
    let about = match examined.project.docking.bounds.limit("anode_loss") {
        Some(limit) => text!(
            "Loss is in per cent of the mass fitted; an anode that was not renewed may have lost {}.",
            Figure::bound(limit)
        ),
        None => text!(
            "Loss is in per cent of the mass fitted; how much an anode may lose was not recorded."
        ),
    };
    section.table(Table::new(columns).rows(rows).about(about).small());
}
