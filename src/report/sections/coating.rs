//! The coating: what the steel left the dock with, what was put on when, and how each coat was held against
//! its window, the climate, its preparation and its thickness.

use super::drawings::drawings_of;
use super::pieces::{self, area, centimetres, place};
use crate::calc::preparation::Grade;
use crate::findings::Examined;
use crate::findings::coating::blocks_named;
use crate::findings::coating::windows::{kept_words, why_none};
use crate::findings::film::{about, judge_by_rule};
use crate::findings::finding::{Finding, Outcome};
use crate::findings::recomputed::coating::applied::{Applied, Prepared, Wrong, shelf_life_ends};
use crate::findings::recomputed::coating::film::Film;
use crate::findings::recomputed::coating::short::Piece;
use crate::findings::recomputed::coating::windows::Interval;
use crate::findings::recomputed::coating::{ZoneHistory, nominal_dft_m};
use crate::findings::subject::Subject;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::records::coats::Application;
use crate::records::film::Rule;
use crate::records::scheme::{Before, SchemeCoat};
use crate::report::figures::{Group, letter, lettered};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{
    Figure, Form, Measure, Text, ToText, and, count, id, nearest_frame, range, stated_duration,
};

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let mut section = Section::new("Coating").at("coating");
    if !is_recorded(&examined.project) {
        section.paragraph(
            "Nothing of the coating was recorded: no zones, scheme, coats, climate, preparation or film.",
        );
        return section;
    }
    complete(&mut section, inputs);
    scheme(&mut section, &examined.project);
    applications(&mut section, inputs);
    intervals(&mut section, examined);
    climate(&mut section, inputs);
    preparation(&mut section, examined);
    film(&mut section, inputs);
    section
}

/// Whether any file of the coating has an entry.
fn is_recorded(project: &Project) -> bool {
    let sheets = &project.sheets;
    let rows = sheets
        .iter()
        .any(|sheet| sheet.spec.path.starts_with("coating/") && !sheet.entries.is_empty());
    rows || !project.products.products.is_empty() || !project.products.batches.is_empty()
}

/// Numbers of coats in words: `coat 2`, `coats 2 and 3`.
fn coats(numbers: &[i64]) -> String {
    let names: Vec<String> = numbers.iter().map(i64::to_string).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    format!("coat{} {}", if names.len() == 1 { "" } else { "s" }, and(&names))
}

fn film_of(thickness_m: f64) -> Measure {
    Form::Film.measure(thickness_m)
}

fn hours(duration_h: f64) -> Measure {
    Form::Duration.measure(duration_h).decimals(1)
}

/// What the steel left the dock with, zone by zone and piece by piece.
fn complete(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    let (project, coating) = (&examined.project, &examined.recomputed.coating);
    section.part("What the steel left the dock with");
    section.paragraph(text!(
        "A coat counts where its steel was free of blocks and dry from start to finish, whatever the log \
         claims. Areas are measured along the plating where a zone\u{2019}s true area is recorded, otherwise in plan. {}",
        Text::joined(headline(examined, "the table of pieces below".into()), " ")
    ));
    if project.zones.is_empty() {
        section.paragraph("No zone is recorded, so no areas can be given.");
    }
    let columns = [
        Column::name("Zone"),
        Column::name("Kind"),
        Column::measure("Area", Form::Area),
        Column::name("Measured"),
        Column::measure("Whole scheme", Form::Area),
        Column::measure("Part of it", Form::Area),
        Column::measure("No coat", Form::Area),
        Column::text("Coats missing"),
        Column::outcome(),
    ];
    let zones = project.zones.iter().zip(&coating.zones).map(|(zone, history)| {
        let found = history.completeness();
        let whole = zone.true_area_m2.map(area).or(history.plan_area(&zone.id));
        [
            id(&zone.id).into(),
            if zone.is_bottom() { "bottom" } else { "side" }.into(),
            whole.map(|whole| whole.decimals(1)).into(),
            if zone.true_area_m2.is_some() { "along the plating" } else { "in plan" }.into(),
            found.map(|found| found.full_scheme(&zone.id)).into(),
            found.map(|found| found.part_of_scheme(&zone.id)).into(),
            found.map(|found| found.none_of_scheme(&zone.id)).into(),
            found.map(|_| missing(history).unwrap_or_else(|| "none".into())).into(),
            Cell::outcome_of(examined.finding(&Subject::ZoneComplete(zone.id.clone()))),
        ]
    });
    section.table(Table::new(columns).rows(zones).small());
    section.drawings(drawings_of(inputs, Group::CoatingMap));

    let short = &coating.short;
    let listed = lettered(short);
    let all_m2: f64 = short.pieces.iter().map(|piece| piece.area_m2).sum();
    let rest_m2 = all_m2 - listed.iter().map(|piece| piece.area_m2).sum::<f64>();
    let more = short.pieces.len() - listed.len();
    let [x, y, frame, area_column] = pieces::columns();
    let columns = [
        Column::name("Piece"),
        Column::name("Zone"),
        Column::text("Missing"),
        x,
        y,
        frame,
        area_column,
        Column::name("Hidden in"),
    ];
    let pieces = listed.into_iter().enumerate().map(|(number, piece)| {
        let frames = project.docking.frames.as_ref();
        let [x, y, frame, area] = pieces::cells(piece.extent, piece.area_m2, frames);
        let hidden = piece.hidden_in.iter().filter_map(|at| project.positions.get(*at));
        let hidden = Text::listed(hidden.map(|position| id(&position.id).into()));
        [
            letter(number).into(),
            id(project.zones.get(piece.zone).map_or("", |zone| &zone.id)).into(),
            if piece.none { "all coats".to_string() } else { coats(&piece.missing) }.into(),
            x,
            y,
            frame,
            area,
            if hidden.is_empty() { "none".into() } else { hidden.into() },
        ]
    });
    let about = "Pieces of the bottom with less than the whole scheme, lettered as on the map:";
    section.table(Table::new(columns).rows(pieces).about(about).small());
    let not_listed = |n: usize, what: String, m2: f64| {
        let are = if n == 1 { "is" } else { "are" };
        text!("{}, {} in all, {} not listed.", what, area(m2), are)
    };
    if more > 0 {
        let what = count(more, "smaller piece", "smaller pieces");
        section.paragraph(not_listed(more, what, rest_m2));
    }
    if short.slivers > 0 {
        let what = count(short.slivers, "lap or sliver", "laps and slivers");
        let what = format!("{what} no wider than the feathering");
        section.paragraph(not_listed(short.slivers, what, short.slivers_m2));
    }
}

/// Every set of coats that some of the zone lacks, with its area; `None` where nothing is lacking.
fn missing(history: &ZoneHistory) -> Option<Text> {
    let mut sets: Vec<(&[i64], f64)> = Vec::new();
    for part in history.parts.iter().filter(|part| !part.missing.is_empty()) {
        let area = part.area_m2.unwrap_or(0.0);
        match sets.iter_mut().find(|(set, _)| *set == part.missing.as_slice()) {
            Some((_, sum)) => *sum += area,
            None => sets.push((&part.missing, area)),
        }
    }
    // Less than the table's last digit is what computing leaves between edges.
    sets.retain(|(_, area)| *area >= 0.0005);
    sets.sort_by(|a, b| a.0.cmp(b.0));
    let all = history.scheme.len();
    let each = sets.into_iter().map(|(set, m2)| {
        let lacks = if set.len() == all { "all coats".to_string() } else { coats(set) };
        text!("{}: {}", lacks, area(m2))
    });
    Some(Text::joined(each, "; ")).filter(|text| !text.is_empty())
}

/// What of the bottom left the dock with less than its whole scheme: areas first, then where, of which the rest
/// stands `elsewhere`. Empty where nothing of the coating was recorded.
pub(super) fn headline(examined: &Examined, elsewhere: Text) -> Vec<Text> {
    let (project, coating) = (&examined.project, &examined.recomputed.coating);
    if !is_recorded(project) {
        return Vec::new();
    }
    let (mut full, mut less, mut none) = (0.0, 0.0, 0.0);
    let (mut plan, mut short_plan, mut along) = (0.0, 0.0, false);
    let mut known = 0;
    let mut unknown: Vec<&str> = Vec::new();
    for (zone, history) in project.zones.iter().zip(&coating.zones) {
        match history.completeness() {
            _ if !zone.is_bottom() => {}
            Some(found) => {
                full += found.full_m2;
                less += found.less_m2;
                none += found.none_m2;
                plan += found.plan_m2;
                short_plan += found.short_plan_m2;
                along |= zone.true_area_m2.is_some();
                known += 1;
            }
            None => unknown.push(&zone.id),
        }
    }
    if known == 0 {
        let why = if project.coats.is_empty() {
            "no coat is on record"
        } else {
            "neither zones of the bottom with their schemes nor the coats on them can be placed"
        };
        return vec![text!(
            "How much of the bottom got its whole scheme is not recorded: {}.",
            why
        )];
    }
    let mut sentences = Vec::new();
    let whole = area(full + less + none).decimals(1);
    if less + none <= 0.0 {
        let bottom =
            if unknown.is_empty() { "the bottom" } else { "the bottom\u{2019}s other zones" };
        sentences.push(text!("All {} of {} left the dock with the whole scheme.", whole, bottom));
    } else {
        let how = match (less > 0.0, none > 0.0) {
            (true, true) => {
                text!(": {} lacking some coats, {} without any", patch(less), patch(none))
            }
            (false, true) => text!(", with no coat of it"),
            _ => Text::new(),
        };
        sentences.push(text!(
            "{} of {} of the bottom left the dock with less than the whole scheme{}.",
            patch(less + none),
            whole,
            how
        ));
        if along {
            sentences.push(text!(
                "Those areas are measured along the plating; in plan they are {} of {}.",
                patch(short_plan),
                area(plan).decimals(1)
            ));
        }
        sentences.push(where_short(examined, elsewhere));
    }
    if !unknown.is_empty() {
        sentences
            .push(text!("Not recorded for zone {}, which these areas leave out.", and(&unknown)));
    }
    sentences
}

/// Patches to a thousandth of a square metre, whole zones to a tenth.
fn patch(m2: f64) -> Measure {
    area(m2).decimals(if m2 < 10.0 { 3 } else { 1 })
}

/// Where the largest pieces are that are short of the scheme.
fn where_short(examined: &Examined, elsewhere: Text) -> Text {
    /// Pieces that find room in a sentence.
    const MOST_PIECES: usize = 3;
    let project = &examined.project;
    let short = &examined.recomputed.coating.short;
    let mut pieces: Vec<&Piece> = short.pieces.iter().collect();
    pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    if pieces.is_empty() {
        return text!("None of it is wider than the laps at the edges of patches.");
    }
    let frames = project.docking.frames.as_ref();
    let each = pieces.iter().take(MOST_PIECES).map(|piece| {
        let lacks = if piece.none {
            "no coat".to_string()
        } else {
            format!("no {}", coats(&piece.missing))
        };
        let frame = nearest_frame(frames, (piece.extent[0] + piece.extent[1]) / 2.0);
        text!(
            "{} in zone {} at {}{}, {}",
            patch(piece.area_m2),
            id(project.zones.get(piece.zone).map_or("", |zone| &zone.id)),
            place(piece.extent),
            frame.map_or(String::new(), |frame| format!(" near frame {frame}")),
            lacks
        )
    });
    let mut all = text!("Where: {}", Text::joined(each, "; "));
    let more = pieces.len().saturating_sub(MOST_PIECES);
    let listed = lettered(short).len().saturating_sub(MOST_PIECES);
    if more > listed {
        all.extend(text!("; and {} more, the {} largest of them in {}", more, listed, elsewhere));
    } else if more > 0 {
        all.extend(text!("; and {} more, in {}", more, elsewhere));
    }
    if short.slivers > 0 {
        all.extend(text!(
            "; {} more in {} no wider than the feathering",
            patch(short.slivers_m2),
            count(short.slivers, "lap or sliver", "laps and slivers")
        ));
    }
    all.push(".");
    all
}

/// What was to be put on: schemes, products, recoat tables and batches.
fn scheme(section: &mut Section, project: &Project) {
    section.part("Scheme and products");
    let mut schemes: Vec<(Vec<&str>, Vec<[Cell; 7]>)> = Vec::new();
    for zone in &project.zones {
        let rows = project.scheme.iter().filter(|row| row.zone == zone.id);
        let coats: Vec<[Cell; 7]> = rows.map(|row| scheme_coat(project, row)).collect();
        match schemes.iter_mut().find(|(_, same)| *same == coats) {
            _ if coats.is_empty() => {}
            Some((zones, _)) => zones.push(&zone.id),
            None => schemes.push((vec![&zone.id], coats)),
        }
    }
    if schemes.is_empty() {
        section.paragraph("No scheme is recorded.");
    }
    for (zones, coats) in schemes {
        let columns = [
            Column::figure("Coat"),
            Column::name("Product"),
            Column::text("Kind of paint"),
            Column::measure("Nominal", Form::Film).mm(13.0),
            Column::measure("Least", Form::Film).mm(12.0),
            Column::measure("Greatest", Form::Film).mm(14.0),
            Column::name("Surface preparation required").mm(48.0),
        ];
        let zones = format!("zone{} {}", if zones.len() > 1 { "s" } else { "" }, and(&zones));
        let about = text!("Scheme of {}, from the steel outward, as dry film thickness:", zones);
        section.table(Table::new(columns).rows(coats).about(about).small());
    }

    let columns = [
        Column::name("Product"),
        Column::text("Kind of paint"),
        Column::measure("Volume solids", Form::Ratio),
        Column::measure("Nominal", Form::Film),
        Column::figure("Least time before immersion"),
        Column::figure("Shelf life"),
    ];
    let products = project.products.products.iter().map(|product| {
        [
            id(&product.id).into(),
            product.generic_type.as_deref().into(),
            product
                .volume_solids_pct
                .map(|pct| Form::Ratio.measure(pct).decimals(0).as_stated())
                .into(),
            product.nominal_dft_m.map(film_of).into(),
            product.least_to_immersion_h.map(stated_duration).into(),
            product.shelf_life_h.map(stated_duration).into(),
        ]
    });
    section.table(Table::new(columns).rows(products).about("Products:").small());

    let columns = [
        Column::name("Product"),
        Column::name("Next coat"),
        Column::text("Times by steel temperature"),
    ];
    let about = "Recoat times, least to greatest, by steel temperature; between two temperatures the stricter times \
                 hold, and beyond them none are known:";
    section.table(Table::new(columns).rows(recoat(project)).about(about).small());

    let columns = [
        Column::name("Batch"),
        Column::name("Product"),
        Column::name("Made"),
        Column::name("Use by"),
        Column::text("Used in"),
    ];
    let batches = project.products.batches.iter().map(|batch| {
        let last_day = shelf_life_ends(project, batch).and_then(|ends| ends.date().pred_opt());
        let used = project
            .coats
            .iter()
            .filter(|coat| coat.batch.as_ref() == Some(&batch.id) && coat.product == batch.product);
        let used = Text::joined(used.map(|coat| id(&coat.name).into()), ", ");
        [
            id(&batch.id).into(),
            id(&batch.product).into(),
            batch.made.into(),
            last_day.into(),
            if used.is_empty() { "none".into() } else { used.into() },
        ]
    });
    section.table(Table::new(columns).rows(batches).about("Batches:").small());
}

fn scheme_coat(project: &Project, row: &SchemeCoat) -> [Cell; 7] {
    let product = project.products.product(&row.product);
    [
        row.coat.into(),
        id(&row.product).into(),
        product.and_then(|product| product.generic_type.as_deref()).into(),
        nominal_dft_m(project, row).map(film_of).into(),
        stated(row.least_dft_m.map(film_of)),
        stated(row.greatest_dft_m.map(film_of)),
        stated(requirement(&row.before)),
    ]
}

/// What a specification states, or that it does not.
fn stated(value: Option<impl Into<Cell>>) -> Cell {
    value.map_or("none stated".into(), Into::into)
}

/// What the steel must be before a coat; `None` where nothing is required.
fn requirement(before: &Before) -> Option<Text> {
    let profile = match (before.least_profile_m, before.greatest_profile_m) {
        (Some(least), Some(most)) => {
            Some(text!("profile {}", range(film_of(least), film_of(most))))
        }
        (Some(least), None) => Some(text!("profile at least {}", film_of(least))),
        (None, Some(most)) => Some(text!("profile at most {}", film_of(most))),
        (None, None) => None,
    };
    let salts = |most| Form::SurfaceDensity.measure(most).decimals(0).as_stated();
    let all = [
        before.grade.as_deref().map(|word| Grade::printed(word).into()),
        profile,
        before.greatest_salts_mg_m2.map(|most| text!("salts at most {}", salts(most))),
        before.greatest_dust.map(|most| text!("dust at most {}", crate::units::nine_digits(most))),
    ];
    Some(Text::joined(all.into_iter().flatten(), ", ")).filter(|text| !text.is_empty())
}

/// The rows of a recoat table for one product over another side by side, by the steel's temperature.
fn recoat(project: &Project) -> Vec<[Cell; 3]> {
    let mut tables: Vec<(&str, Option<&str>, Vec<Text>)> = Vec::new();
    for product in &project.products.products {
        let mut rows: Vec<_> = product.recoat.iter().collect();
        rows.sort_by(|a, b| {
            let steel = a.steel_temperature_c.total_cmp(&b.steel_temperature_c);
            a.by.cmp(&b.by).then(steel)
        });
        for row in rows {
            let (product, by) = (product.id.as_str(), row.by.as_deref());
            let step = text!(
                "{}:\u{a0}{}\u{a0}to\u{a0}{}",
                Form::Temperature.measure(row.steel_temperature_c).decimals(0),
                stated_duration(row.least_h),
                row.greatest_h.map_or("no\u{a0}end".to_string(), stated_duration)
            );
            match tables.last_mut().filter(|(below, above, _)| (*below, *above) == (product, by)) {
                Some((.., steps)) => steps.push(step),
                None => tables.push((product, by, vec![step])),
            }
        }
    }
    let row = |(product, by, steps): (&str, Option<&str>, Vec<Text>)| {
        let by = by.map_or("any product".into(), |by| id(by).into());
        [id(product).into(), by, Text::joined(steps, "; ").into()]
    };
    tables.into_iter().map(row).collect()
}

/// Every application: where, when, with what, and on how much steel it really went.
fn applications(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    section.part("Applications");
    let coats = &examined.project.coats;
    if coats.is_empty() {
        section.paragraph("No application is recorded.");
        return;
    }
    let drawings = drawings_of(inputs, Group::CoatingTimes);
    if !drawings.is_empty() {
        section.paragraph(
            "Each row of the drawings is one coat: on the surrounding steel (free of blocks in the position of the \
             time), on patches (steel that an earlier position hid) or on a drawn area. A window opens the least \
             recoat time after the coat beneath was finished and closes the greatest recoat time after that coat \
             was begun; all of the next coat must lie within it. Over several coats the narrowest of their windows \
             is shown.",
        );
    }
    section.drawings(drawings);
    let columns = [
        Column::name("Application"),
        Column::name("Extent"),
        Column::name("Product"),
        Column::name("Batch"),
        Column::name("When").mm(45.0),
        Column::name("By").share(1.0),
        Column::text("Note"),
    ];
    let rows = coats.iter().map(|coat| {
        [
            id(&coat.name).into(),
            id(coat.extent.word()).into(),
            id(&coat.product).into(),
            coat.batch.as_ref().map(id).into(),
            coat.began.map(|began| text::span(began, coat.ended)).into(),
            coat.by.as_deref().into(),
            Cell::if_any(coat.notes.as_deref()),
        ]
    });
    let about = "What was put on where and when, in the order of the log:";
    section.table(Table::new(columns).rows(rows).about(about).small());

    let columns = [
        Column::name("Application"),
        Column::measure("Claimed", Form::Area).mm(13.5),
        Column::measure("Reached", Form::Area).mm(13.5),
        Column::text("In doubt"),
        Column::measure("Used", Form::Volume).mm(10.5),
        Column::measure("Expected", Form::Volume).mm(14.0),
        Column::measure("Used", Form::Ratio).mm(11.0),
        Column::measure("Wet", Form::Film).mm(12.0),
        Column::measure("Dry from wet", Form::Film).mm(13.0),
        Column::measure("Nominal", Form::Film).mm(13.0),
        Column::name("Not in order").mm(28.5),
    ];
    let rows = coats.iter().zip(&examined.recomputed.coating.applied);
    let rows = rows.map(|(coat, applied)| applied_row(examined, coat, applied));
    let about = "The steel that each coat reached, along the plating where the zone\u{2019}s true area is recorded and \
                 otherwise in plan; and the paint used, against what the nominal film takes there without losses:";
    section.table(Table::new(columns).rows(rows).about(about).small());
}

/// A check of an application: the subject of its finding, and what it is called.
type Check = (fn(String) -> Subject, &'static str);

/// Checks of an application that its table speaks for.
const CHECKS: [Check; 7] = [
    (Subject::Claim, "claim"),
    (Subject::CoatOrder, "order of coats"),
    (Subject::Product, "product"),
    (Subject::Batch, "batch"),
    (Subject::CoatTimes, "times"),
    (Subject::Paint, "paint used"),
    (Subject::WetFilm, "wet film"),
];

fn applied_row(examined: &Examined, coat: &Application, applied: &Applied) -> [Cell; 11] {
    let litres = |l: f64| Form::Volume.measure(l);
    [
        id(&coat.name).into(),
        applied.claimed(&coat.name).into(),
        applied.reached(&coat.name).into(),
        contradicted(&examined.project, &coat.name, applied),
        coat.used_l.map(litres).into(),
        applied.expected(&coat.name).into(),
        Cell::if_any(applied.used_part(&coat.name)),
        coat.wet_film_m.map(film_of).into(),
        Cell::if_any(applied.dry_from_wet(&coat.name)),
        applied.nominal(&coat.name).into(),
        not_in_order(examined, &coat.name, &CHECKS),
    ]
}

/// The checks that did not agree; nothing where all did.
fn not_in_order(examined: &Examined, coat: &str, checks: &[Check]) -> Cell {
    let outcomes = checks.iter().filter_map(|(subject, words)| {
        let found = examined.finding(&subject(coat.to_string()))?;
        (found.outcome != Outcome::Agrees).then_some((*words, found.outcome))
    });
    Cell::Outcomes(outcomes.collect())
}

/// What of a claim can't be true.
fn contradicted(project: &Project, coat: &str, applied: &Applied) -> Cell {
    let Some(held) = &applied.claim else { return Cell::NotRecorded };
    let some = |area: Option<Measure>| area.map_or("steel".into(), Text::from);
    let mut all: Vec<Text> = Vec::new();
    if held.dry_unknown() {
        all.push(text!("whether it was dry is not recorded"));
    }
    all.extend(held.wrong.iter().map(|wrong| match wrong {
        Wrong::NotDry => text!("all of it: not in a dry spell from start to finish"),
        Wrong::OnBlocks => {
            text!("{} on {}", some(applied.on_blocks(coat)), blocks_named(project, applied))
        }
        Wrong::Outside => text!("{} outside the zone", some(applied.outside(coat))),
        Wrong::Nothing => text!("nothing was there to be coated"),
    }));
    Cell::if_any(Some(Text::joined(all, "; ")).filter(|text| !text.is_empty()))
}

/// Intervals between coats and to the water, each with its window.
fn intervals(section: &mut Section, examined: &Examined) {
    let (project, applied) = (&examined.project, &examined.recomputed.coating.applied);
    section.part("Intervals");
    section.paragraph(
        "The shortest interval runs from the finish of the earlier coat to the start of the later one, the \
         longest from its start to the later one\u{2019}s finish. The window is that of the earlier coat between \
         the coldest and the warmest steel read in the interval. No window extends across a flooding.",
    );
    let columns = |meet: Column| {
        [
            Column::name("Coat"),
            Column::name("Over"),
            meet,
            Column::measure("Shortest", Form::Duration).mm(14.0),
            Column::measure("Longest", Form::Duration).mm(13.0),
            Column::measure("Steel", Form::Temperature),
            Column::measure("Window", Form::Duration),
            Column::text("Result"),
            Column::outcome(),
        ]
    };
    let over: Vec<[Cell; 9]> = applied
        .iter()
        .flat_map(|applied| &applied.over)
        .map(|pair| {
            let (upper, lower) = (&project.coats[pair.upper], &project.coats[pair.lower]);
            let subject = Subject::Recoat(upper.name.clone(), lower.name_in_zone().to_string());
            interval(examined, pair, area(pair.meet).decimals(2), &subject)
        })
        .collect();
    if over.is_empty() {
        section.paragraph("No coat lies over another.");
    }
    let about = "Coats over each other; areas in plan, those of sides along the plating:";
    let table = Table::new(columns(Column::measure("Area", Form::Area))).rows(over);
    section.table(table.about(about).small());

    let tie_ins = applied.iter().flat_map(|applied| &applied.tie_ins).map(|pair| {
        let (upper, lower) = (&project.coats[pair.upper], &project.coats[pair.lower]);
        let subject = Subject::TieIn(upper.name.clone(), lower.name.clone());
        interval(examined, pair, centimetres(pair.meet), &subject)
    });
    let about = "Tie-ins of patches to the last coat of the surrounding coating:";
    let table = Table::new(columns(Column::measure("Edge", Form::Length))).rows(tie_ins);
    section.table(table.about(about).small());

    let mut immersions: Vec<_> = applied.iter().flat_map(|applied| &applied.immersions).collect();
    immersions.sort_by_key(|one| (one.position, one.coat));
    if immersions.is_empty() {
        section.paragraph("No coat is recorded as reached by the water.");
    }
    let columns = [
        Column::name("Position reflooded"),
        Column::name("Coat").share(1.0),
        Column::name("Product"),
        Column::measure("Area", Form::Area),
        Column::measure("From finish to water", Form::Duration),
        Column::measure("Least", Form::Duration),
        Column::outcome(),
    ];
    let rows = immersions.into_iter().map(|one| {
        let (coat, position) = (&project.coats[one.coat], &project.positions[one.position]);
        let subject = Subject::Immersion(coat.name.clone(), position.id.clone());
        [
            id(&position.id).into(),
            id(&coat.name).into(),
            id(&coat.product).into(),
            area(one.area_m2).decimals(2).into(),
            one.after(project).decimals(1).into(),
            one.least_h.map(|least_h| hours(least_h).decimals(0).as_stated()).into(),
            Cell::outcome_of(examined.finding(&subject)),
        ]
    });
    let about = "Uppermost coats when the dock was flooded again; areas as above:";
    section.table(Table::new(columns).rows(rows).about(about).small());
}

fn interval(examined: &Examined, found: &Interval, meet: Measure, subject: &Subject) -> [Cell; 9] {
    let project = &examined.project;
    let (upper, lower) = (&project.coats[found.upper], &project.coats[found.lower]);
    let steel = |c: f64| Form::Temperature.measure(c);
    let stated = |h: f64| Form::Duration.measure(h).decimals(0).as_stated();
    let window = found.window.ok().map(|window| match window.greatest_h {
        Some(most) => Text::from(range(stated(window.least_h), stated(most))),
        None => text!("{} to no end", stated(window.least_h)),
    });
    [
        id(&upper.name).into(),
        id(&lower.name).into(),
        meet.into(),
        hours(found.shortest_h).into(),
        hours(found.longest_h).into(),
        found.steel_c.map(|(cold, warm)| range(steel(cold), steel(warm))).into(),
        Cell::if_any(window),
        came_out(project, found).into(),
        Cell::outcome_of(examined.finding(subject)),
    ]
}

/// How an interval came out against its window, in words.
fn came_out(project: &Project, found: &Interval) -> String {
    if !found.flooded {
        return match (found.kept, found.window) {
            (Some(kept), _) => kept_words(kept).to_string(),
            (None, window) => format!("no window: {}", window.err().map_or("", why_none)),
        };
    }
    let Some(check) = found.renewed.and_then(|at| project.preparation.get(at)) else {
        return "across a flooding; no wash or abrasion since".to_string();
    };
    let how = match check.treatment.word() {
        "blast" => "blasted",
        "sweep" => "swept by blasting",
        "abrade" => "abraded",
        "wash" => "washed",
        _ => "treated",
    };
    let on = check.at.map_or(String::new(), |at| format!(" on {}", at.format("%m-%d")));
    format!("across a flooding; {how}{on}")
}

/// The worst of the climate during each application.
fn climate(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    let project = &examined.project;
    section.part("Climate");
    let drawings = drawings_of(inputs, Group::CoatingClimate);
    if drawings.is_empty() {
        section.paragraph("No climate reading is recorded.");
    }
    section.drawings(drawings);
    let limit = |name: &str| {
        let limit = project.docking.bounds.limit(name);
        limit.map_or("not recorded".into(), |limit| Figure::bound(limit).to_text())
    };
    let columns = [
        Column::name("Application").share(1.0),
        Column::measure("Margin", Form::TemperatureDifference),
        Column::name("Read at"),
        Column::outcome(),
        Column::measure("Humidity", Form::Ratio),
        Column::name("Read at"),
        Column::outcome(),
        Column::measure("Steel", Form::Temperature),
        Column::measure("Age", Form::Duration),
        Column::outcome(),
    ];
    let rows = project.coats.iter().zip(&examined.recomputed.coating.applied);
    let rows = rows.map(|(coat, applied)| {
        let worst = applied.climate.unwrap_or_default();
        let outcome = |subject: fn(String) -> Subject| {
            Cell::outcome_of(examined.finding(&subject(coat.name.clone())))
        };
        // Without its offset, which is that of the application beside it.
        let read_at = |worst: Option<(f64, usize)>| -> Cell {
            let reading = worst.and_then(|(_, number)| applied.readings.get(number));
            let reading = reading.and_then(|at| project.climate.get(*at));
            Cell::if_any(reading.map(|reading| reading.at.format("%m-%d %H:%M").to_string()))
        };
        let steel =
            worst.coldest_steel_c.zip(worst.warmest_steel_c).map(|((cold, _), (warm, _))| {
                range(Form::Temperature.measure(cold), Form::Temperature.measure(warm))
            });
        [
            id(&coat.name).into(),
            applied.least_margin(&coat.name).map(|margin| margin.decimals(2)).into(),
            read_at(worst.least_margin_k),
            outcome(Subject::ClimateMargin),
            applied.highest_humidity(&coat.name).into(),
            read_at(worst.highest_humidity_pct),
            outcome(Subject::ClimateHumidity),
            steel.into(),
            applied.climate_age(&coat.name).map(|age| age.decimals(1)).into(),
            outcome(Subject::ClimateAge),
        ]
    });
    let about = text!(
        "The worst of the readings that count for each application: those during it, the nearest before and \
         the nearest after. Age is the longest time from a moment of the application to the nearest reading. \
         Limits: steel above the dew point by at least {}; humidity at most {}; age at most {}.",
        limit("dew_point_margin"),
        limit("humidity"),
        limit("climate_age")
    );
    section.table(Table::new(columns).rows(rows).about(about).small());
}

/// How the steel was prepared before each application whose coat asks for it: the worst of the readings
/// that count, against what was asked.
fn preparation(section: &mut Section, examined: &Examined) {
    section.part("Preparation");
    let mut groups: Vec<(Text, Vec<[Cell; 9]>)> = Vec::new();
    for (coat, applied) in examined.project.coats.iter().zip(&examined.recomputed.coating.applied) {
        let Some(prepared) = &applied.prepared else { continue };
        let scheme = &examined.project.scheme[prepared.asked];
        let Some(required) = requirement(&scheme.before) else { continue };
        let row = prepared_row(examined, &coat.name, prepared);
        match groups.iter_mut().find(|(known, _)| *known == required) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((required, vec![row])),
        }
    }
    if groups.is_empty() {
        section.paragraph(
            "No scheme requires a surface preparation, or no coat that requires one is recorded as applied.",
        );
        return;
    }
    section.paragraph(
        "The worst of the checks that count for each application: on its steel, in the same dry spell, \
         before it was started. Age is the time from the last of them to that start.",
    );
    for (required, rows) in groups {
        let columns = [
            Column::name("Application").share(1.0),
            Column::figure("Checks"),
            Column::name("Grade"),
            Column::measure("Profile", Form::Film),
            Column::measure("Salts", Form::SurfaceDensity),
            Column::figure("Dust"),
            Column::measure("Age", Form::Duration),
            Column::measure("Not covered", Form::Area),
            Column::name("Not in order").mm(44.0),
        ];
        let about = text!("Required: {}.", required);
        section.table(Table::new(columns).rows(rows).about(about).small());
    }
}

fn prepared_row(examined: &Examined, name: &str, prepared: &Prepared) -> [Cell; 9] {
    const CHECKS: [Check; 6] = [
        (Subject::Covered, "covered"),
        (Subject::Grade, "grade"),
        (Subject::Profile, "profile"),
        (Subject::Salts, "salts"),
        (Subject::Dust, "dust"),
        (Subject::PreparationAge, "age"),
    ];
    let checks = &examined.project.preparation;
    // The grade that the finding names, then the least clean of every method.
    let judged = examined.finding(&Subject::Grade(name.to_string()));
    let judged = judged.and_then(|made| made.recorded.as_ref()).map(Figure::plain);
    let least = prepared.least_clean.iter().filter_map(|at| checks[*at].grade.as_deref());
    let mut grades: Vec<String> = judged.into_iter().collect();
    for grade in least.map(Grade::printed) {
        if !grades.iter().any(|known| known == grade) {
            grades.push(grade.to_string());
        }
    }
    let worst = prepared.worst_profile(&examined.project, name);
    let profile = prepared.profile_m.map(|(least_m, most_m)| {
        let end = |m: f64| worst.filter(|worst| worst.kept == m).unwrap_or(film_of(m));
        let all = Text::from(range(end(least_m), end(most_m)));
        match worst.filter(|worst| worst.kept != least_m && worst.kept != most_m) {
            Some(worst) => text!("{}; judged: {}", all, worst),
            None => all,
        }
    });
    let uncovered = match prepared.uncovered(name) {
        _ if !prepared.uncovered => Cell::DoesNotApply,
        Some(area) => area.into(),
        None => "some".into(),
    };
    let salts = |most: Measure| most.decimals(0).as_stated();
    [
        id(name).into(),
        prepared.checks.len().into(),
        (!grades.is_empty()).then(|| grades.join(", ")).into(),
        profile.into(),
        prepared.most_salts(name).map(salts).into(),
        prepared.most_dust.map(crate::units::nine_digits).into(),
        prepared.age(name).map(|age| age.decimals(1)).into(),
        uncovered,
        not_in_order(examined, name, &CHECKS),
    ]
}

/// Film thickness by zone and coat: statistics, and what the rule in force says.
fn film(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    section.part("Film thickness");
    let films = &examined.recomputed.coating.film;
    if films.is_empty() {
        section.paragraph("No film reading is recorded.");
        return;
    }
    let film = |head: &str, mm: f64| Column::measure(head, Form::Film).mm(mm);
    let columns = [
        Column::name("Zone"),
        Column::figure("Coat"),
        Column::figure("Readings"),
        film("Mean", 10.5),
        film("Deviation", 15.0),
        film("Smallest", 13.5),
        film("Largest", 12.5),
        film("Nominal", 13.0),
        film("Least to greatest", 17.0),
        Column::text("By the rule"),
        Column::outcome(),
    ];
    let about = "A reading after coat n is the total so far, compared with the sums of the scheme for coats 1 to n. Where \
                 the gauge\u{2019}s correction for the profile is recorded it is taken off, as the rules require; \
                 the readings stand as read in the bundle\u{2019}s tables.";
    let rows = films.iter().map(|film| film_row(examined, film));
    section.table(Table::new(columns).rows(rows).about(about).small());
    let doubts: Vec<Text> = films
        .iter()
        .flat_map(|film| {
            [Subject::FilmPlaces, Subject::FilmTimes]
                .map(|subject| film_finding(examined, film, subject))
        })
        .flatten()
        .filter(|finding| finding.outcome == Outcome::Differs)
        .map(|finding| finding.sentence.clone())
        .collect();
    if !doubts.is_empty() {
        section.lead("Readings that cannot have been taken where or when they are recorded:");
    }
    section.list(doubts);
    section.drawings(drawings_of(inputs, Group::CoatingFilm));
}

fn film_finding<'a>(
    examined: &'a Examined,
    film: &Film,
    subject: fn(String, String) -> Subject,
) -> Option<&'a Finding> {
    examined.finding(&about(&examined.project, film, subject))
}

fn film_row(examined: &Examined, film: &Film) -> [Cell; 11] {
    let found = film.statistics;
    let bounds = match (film.wanted.least_m.map(film_of), film.wanted.greatest_m.map(film_of)) {
        (Some(least), Some(most)) => Some(Text::from(range(least, most))),
        (Some(least), None) => Some(text!("from {}", least)),
        (None, Some(most)) => Some(text!("to {}", most)),
        (None, None) => None,
    };
    [
        id(&examined.project.zones[film.zone].id).into(),
        film.coat.into(),
        film.readings.len().into(),
        film.mean(&examined.project).into(),
        Cell::if_any(found.and_then(|found| found.deviation_m).map(film_of)),
        found.map(|found| film_of(found.least_m)).into(),
        found.map(|found| film_of(found.greatest_m)).into(),
        film.wanted.nominal_m.map(film_of).into(),
        stated(bounds),
        by_the_rule(film).into(),
        Cell::outcome_of(film_finding(examined, film, Subject::Film)),
    ]
}

/// The rule and what it says, in words.
fn by_the_rule(film: &Film) -> Text {
    let found = judge_by_rule(film);
    let Some(rule) = found.rule else { return "no rule is named".into() };
    let word = match found.outcome {
        _ if !found.is_judged => "can\u{2019}t be applied",
        Outcome::Agrees => "accepted",
        Outcome::NotRecorded => "not taken as it asks",
        _ => "not accepted",
    };
    let mut words = vec![text!("{}: {}", rule.to_string(), word)];
    words.extend(found.why);
    if let Some((owed, found)) = film.owed.and_then(|found| Some((found.short_of()?, found))) {
        let what =
            if matches!(film.rule, Some(Rule::SspcPa2 { .. })) { "areas" } else { "readings" };
        words.push(text!("{} of {} {} required were measured", found.measured, owed, what));
    }
    if found.is_judged && film.as_read > 0 {
        words.push(text!("{} as read", count(film.as_read, "reading", "readings")));
    }
    Text::joined(words, "; ")
}
