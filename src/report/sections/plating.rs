//! The plating, strake by strake, and the anodes.

use std::collections::BTreeMap;

use super::drawings::drawings_of;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::plating::{gauging_outcome, limit_figure};
use crate::findings::recomputed::measures::{anode_loss_part, plate_loss_part};
use crate::findings::recomputed::plating::{Strake, anode_loss_pct};
use crate::findings::subject::Subject;
use crate::pages::pieces::centimetres;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::plating::{Anode, Gauging, PlateLimit, SPEC};
use crate::records::spec::Kind;
use crate::report::figures::{Group, letter, pictures_numbered, plates_beyond};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Figure, Form, Text, code, count, day, id, nearest_frame, section as see};

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let project = &examined.project;
    let mut section = Section::new("Plating and anodes").at("plating");
    if project.plating.is_empty() && project.anodes.is_empty() {
        section.paragraph("No plate gauging and no anode was recorded.");
        return section;
    }
    section.drawings(drawings_of(inputs, Group::Plating));
    plates(&mut section, examined);
    strakes(&mut section, examined);
    pictures(&mut section, examined);
    anodes(&mut section, examined);
    section
}

/// Which pictures show plates, strakes or frames.
fn pictures(section: &mut Section, examined: &Examined) {
    let mut shown: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (n, paper) in pictures_numbered(examined).into_iter().enumerate() {
        let of_shell = |name: &&String| {
            let word = name.split_once(':').and_then(|(word, _)| Kind::by(word));
            matches!(word, Some(Kind::Plate | Kind::Strake | Kind::Frame))
        };
        for name in paper.about.iter().filter(of_shell) {
            shown.entry(name).or_default().push(n + 1);
        }
    }
    let one = |(name, numbers): (&&str, &Vec<usize>)| {
        let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
        text!("{} ({})", id(*name), numbers.join(", "))
    };
    let more = match shown.len().saturating_sub(MOST_PICTURED) {
        0 => String::new(),
        more => format!(", and {more} more"),
    };
    if !shown.is_empty() {
        let names = Text::joined(shown.iter().take(MOST_PICTURED).map(one), ", ");
        section.paragraph(text!(
            "Pictures of them, by their numbers in {}: {}{}.",
            see("papers"),
            names,
            more
        ));
    }
}

/// As many plates, strakes and frames of which there are pictures are named at the most.
const MOST_PICTURED: usize = 60;

/// The plates that have lost more than they may, with their letters in the drawing.
fn plates(section: &mut Section, examined: &Examined) {
    let project = &examined.project;
    if project.plating.is_empty() {
        return;
    }
    let columns = [
        Column::name("Letter").mm(12.0),
        Column::name("Strake").mm(14.0),
        Column::name("Plate").mm(12.0),
        Column::figure("Near frame").mm(17.0),
        Column::measure("x", Form::Length).mm(15.0),
        Column::measure("Original", Form::Plate).mm(20.0),
        Column::measure("Found", Form::Plate).mm(17.0),
        Column::measure("Loss", Form::Ratio).mm(15.0),
        Column::name("Limit").mm(22.0),
        Column::text("Note"),
    ];
    let frames = project.docking.frames.as_ref();
    let rows = plates_beyond(examined).into_iter().enumerate().map(|(n, at)| {
        let gauging = &project.plating[at];
        [
            letter(n).into(),
            id(&gauging.strake).into(),
            id(&gauging.plate).into(),
            Cell::if_any(gauging.hull.and_then(|hull| nearest_frame(frames, hull.x))),
            gauging.hull.map(|hull| centimetres(hull.x)).into(),
            gauging.original_m.map(|m| Form::Plate.measure(m)).into(),
            Form::Plate.measure(gauging.measured_m).into(),
            Cell::if_any(plate_loss_part(gauging)),
            gauging.limit.map(limit).into(),
            Cell::if_any(gauging.notes.as_deref()),
        ]
    });
    let table = Table::new(columns).rows(rows).about("Plates beyond their limit:").small();
    if table.rows.is_empty() {
        let judged = (0..project.plating.len())
            .filter(|n| gauging_outcome(project, *n) != Outcome::NotRecorded)
            .count();
        section.paragraph(text!(
            "Of {} gaugings {} could be held against a limit, and none is beyond it.",
            project.plating.len(),
            judged
        ));
    }
    section.table(table);
}

/// Each strake in one row.
fn strakes(section: &mut Section, examined: &Examined) {
    if examined.project.plating.is_empty() {
        section.paragraph("No plate was gauged.");
        return;
    }
    let columns = [
        Column::name("Strake").mm(12.0),
        Column::name("Worst plate").mm(17.0),
        Column::measure("Its loss", Form::Ratio).mm(16.0),
        Column::measure("Mean loss", Form::Plate).mm(21.0),
        Column::figure("Gaugings").share(1.0),
    ];
    let strakes = &examined.recomputed.strakes;
    let rows = strakes.iter().map(|strake| {
        let worst = worst(examined, strake);
        let mean = strake.group.as_ref().map(|group| Form::Plate.measure(group.mean_loss_m));
        [
            id(&strake.name).into(),
            Cell::if_any(worst.map(|gauging| id(&gauging.plate))),
            Cell::if_any(worst.and_then(plate_loss_part)),
            Cell::if_any(mean),
            (strake.gaugings.len() + strake.without_original.len()).into(),
        ]
    });
    let about = text!(
        "{}. The worst plate of a strake is the one that has used up most of what it may lose, or that has lost most \
         where no limit is stated. Each gauging is in the bundle, in {}.",
        gauged(examined),
        code(format!("data/tables/{}.csv", SPEC.table_name()))
    );
    section.table(Table::new(columns).rows(rows).about(about).small().in_halves());
    for strake in strakes {
        let original = examined.finding(&Subject::PlateOriginal(strake.name.clone()));
        if let Some(thicker) = original.filter(|finding| finding.outcome == Outcome::Differs) {
            section.paragraph(&thicker.sentence);
        }
    }
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

fn limit(limit: PlateLimit) -> Text {
    let value = limit_figure(limit).as_stated();
    match limit {
        PlateLimit::Loss(_) | PlateLimit::RelativeLoss(_) => text!("{} lost", value),
        PlateLimit::LeastThickness(_) => text!("{} left", value),
    }
}

/// The anodes counted, and by name those of which there is something to say.
fn anodes(section: &mut Section, examined: &Examined) {
    let anodes = &examined.project.anodes;
    section.part("Anodes");
    if anodes.is_empty() {
        section.paragraph("No anode was recorded.");
        return;
    }
    let outcome = |anode: &Anode| {
        examined.finding(&Subject::AnodeLoss(anode.id.clone())).map(|finding| finding.outcome)
    };
    let counted = |renewed| anodes.iter().filter(|anode| anode.renewed == renewed).count();
    let mut said = text!(
        "{}: {} renewed, {} left",
        count(anodes.len(), "anode", "anodes"),
        counted(Some(true)),
        counted(Some(false))
    );
    if counted(None) > 0 {
        said.extend(text!(
            ", {} of which whether they were renewed was not recorded",
            counted(None)
        ));
    }
    let lost = || {
        let sound = anodes.iter().filter(|anode| outcome(anode) != Some(Outcome::Differs));
        sound.filter_map(|anode| Some((anode_loss_pct(anode)?, anode)))
    };
    let least = lost().min_by(|a, b| a.0.total_cmp(&b.0));
    let most = lost().max_by(|a, b| a.0.total_cmp(&b.0));
    if let (Some((_, least)), Some((_, most))) = (least, most) {
        let of = |anode: &Anode| {
            anode_loss_part(anode)
                .map(|part| text!("{} ({})", part, id(&anode.id)))
                .unwrap_or_default()
        };
        said.extend(text!(". Of the mass fitted they had lost from {} to {}", of(least), of(most)));
    }
    said.extend(match examined.project.docking.bounds.limit("anode_loss") {
        Some(limit) => text!("; one that was not renewed may have lost {}.", Figure::bound(limit)),
        None => text!("; how much an anode may lose was not recorded."),
    });
    section.paragraph(said);

    let columns = [
        Column::name("Anode"),
        Column::measure("x", Form::Length),
        Column::measure("y, + to port", Form::Length),
        Column::measure("Fitted", Form::Kilograms),
        Column::measure("Found", Form::Kilograms),
        Column::measure("Loss", Form::Ratio),
        Column::name("Renewed"),
        Column::outcome(),
        Column::text("Note"),
    ];
    let kilograms = |t: f64| Form::Kilograms.measure(t).decimals(1);
    let apart = anodes.iter().filter(|anode| {
        outcome(anode) != Some(Outcome::Agrees)
            || anode.renewed != Some(true)
            || anode.notes.is_some()
    });
    let rows = apart.map(|anode| {
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
    let about = "Anodes that were left, or of which the record does not agree or says more:";
    section.table(Table::new(columns).rows(rows).about(about).small());
}
