//! The coating: what the steel left the dock with, what was put on when, and how each coat was held against
//! its window, the climate, its preparation and its thickness.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::codes;
use super::drawings::drawings_of;
use crate::calc::preparation::Grade;
use crate::calc::recoat::Timing;
use crate::findings::Examined;
use crate::findings::exceptions::{self, Exception, Exceptions, Why, exceptions};
use crate::findings::film::{about, judge_by_rule};
use crate::findings::finding::{Finding, Outcome};
use crate::findings::recomputed::coating::applied::{Applied, Prepared};
use crate::findings::recomputed::coating::film::Film;
use crate::findings::recomputed::coating::short::Piece;
use crate::findings::recomputed::coating::windows::Interval;
use crate::findings::recomputed::coating::{ZoneHistory, nominal_dft_m};
use crate::findings::subject::Subject;
use crate::pages::pieces::{area, place};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::records::coats::Application;
use crate::records::scheme::{Before, SchemeCoat};
use crate::records::zones::Extent;
use crate::report::figures::{Group, letter};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{
    Figure, Form, Measure, Text, ToText, and, count, id, list, nearest_frame, range,
    stated_duration,
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
    let exceptions = exceptions(examined);
    section.paragraph(codes::shared(&examined.project).unwrap_or_default());
    complete(&mut section, examined);
    show_exceptions(&mut section, inputs, &exceptions);
    scheme(&mut section, &examined.project);
    applications(&mut section, examined, &exceptions);
    intervals(&mut section, inputs);
    film(&mut section, inputs);
    climate(&mut section, inputs);
    preparation(&mut section, examined);
    section.note(
        "In full in the derived tables of the bundle: applications, intervals, immersions, climate and preparation of \
         each application, film by zone and coat; all readings stand in its records.",
    );
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

/// Names in a cell; more are counted.
const MOST_NAMED: usize = 8;

fn film_of(thickness_m: f64) -> Measure {
    Form::Film.measure(thickness_m)
}

/// What the steel left the dock with, zone by zone.
fn complete(section: &mut Section, examined: &Examined) {
    let (project, coating) = (&examined.project, &examined.recomputed.coating);
    section.part("What the steel left the dock with");
    section.paragraph(text!(
        "{} A coat counts where its steel was free of blocks and dry from start to finish, whatever the log \
         claims.",
        Text::joined(headline(examined, "the table below the map".into()), " ")
    ));
    if project.zones.is_empty() {
        section.paragraph("No zone is recorded, so no areas can be given.");
    }
    let columns = [
        Column::name("Zone"),
        Column::name("Kind"),
        Column::measure("Area", Form::Area),
        Column::measure("Whole scheme", Form::Area),
        Column::text("Coats missing"),
        Column::measure("Least film", Form::Film),
        Column::measure("Nominal", Form::Film),
        Column::name("Last coated"),
        Column::outcome(),
    ];
    let zones = project.zones.iter().zip(&coating.zones).enumerate();
    let zones = zones.map(|(number, (zone, history))| {
        let found = history.completeness();
        let whole = zone.true_area_m2.map(area).or(history.plan_area(&zone.id));
        let last = history.scheme.iter().map(|at| project.scheme[*at].coat).max();
        let film = coating.film.iter().find(|film| film.zone == number && Some(film.coat) == last);
        let coats = project.coats.iter().filter(|coat| coat.zone == zone.id);
        let ended = coats.filter_map(|coat| coat.ended.or(coat.began)).max();
        [
            id(&zone.id).into(),
            if zone.is_bottom() { "bottom" } else { "side" }.into(),
            whole.map(|whole| whole.decimals(1)).into(),
            found.map(|found| found.full_scheme(&zone.id)).into(),
            found.map(|_| missing(history).unwrap_or_else(|| "none".into())).into(),
            film.and_then(|film| film.statistics).map(|found| film_of(found.least_m)).into(),
            film.and_then(|film| film.wanted.nominal_m).map(film_of).into(),
            ended.map(|ended| ended.date_naive()).into(),
            Cell::outcome_of(examined.finding(&Subject::ZoneComplete(zone.id.clone()))),
        ]
    });
    let about = "Areas along the plating where a zone\u{2019}s true area is recorded, otherwise in plan; least film: the \
                 smallest reading after the last coat.";
    section.table(Table::new(columns).rows(zones).about(about).small());
}

/// The exceptions on a map, and the table that answers its letters; then what no letter stands for.
fn show_exceptions(section: &mut Section, inputs: &Inputs<'_>, exceptions: &Exceptions<'_>) {
    /// So many findings without a letter are printed.
    const MOST_PRINTED: usize = 12;
    let examined = inputs.examined;
    section.part("Exceptions");
    if exceptions.compared > 0 {
        let rest = if exceptions.agree == exceptions.compared {
            Text::new()
        } else {
            text!(
                " What does not is below, with the patches; who answered it and how stands with the findings."
            )
        };
        section.paragraph(text!(
            "{} of {} comparisons of the coating agree.{}",
            exceptions.agree,
            exceptions.compared,
            rest
        ));
    }
    section.drawings(drawings_of(inputs, Group::CoatingMap));
    let columns = [
        Column::name("Letter"),
        Column::name("Zone"),
        Column::text("What"),
        Column::name("Held against").mm(30.0),
        Column::measure("Area", Form::Area),
    ];
    let rows = exceptions.lettered().iter().enumerate().map(|(number, one)| {
        let against = match one.why {
            Why::Finding(finding) => Cell::against(Some(finding)),
            _ => Cell::DoesNotApply,
        };
        [
            letter(number).into(),
            id(&examined.project.zones[one.zone].id).into(),
            says(examined, one).into(),
            against,
            Cell::if_any(one.area_m2.map(area)),
        ]
    });
    let about = "Exceptions by weight, lettered as on the map:";
    section.table(Table::new(columns).rows(rows).about(about).small());

    let short = &examined.recomputed.coating.short;
    let mut rest: Vec<Text> = Vec::new();
    if exceptions.without_letter() > 0 {
        rest.push(text!(
            "{} more exceptions of less weight: see the findings and the derived tables.",
            exceptions.without_letter()
        ));
    }
    if exceptions.smaller_pieces > 0 {
        let what = count(exceptions.smaller_pieces, "smaller piece", "smaller pieces");
        rest.push(text!("{} short of the scheme, not lettered.", what));
    }
    if short.slivers > 0 {
        let what = count(short.slivers, "lap or sliver", "laps and slivers");
        rest.push(text!(
            "{} short of the scheme and no wider than the feathering, {} in all, not lettered.",
            what,
            area(short.slivers_m2)
        ));
    }
    let elsewhere = exceptions.elsewhere.iter();
    rest.extend(elsewhere.take(MOST_PRINTED).map(|finding| finding.sentence.clone()));
    if exceptions.elsewhere.len() > MOST_PRINTED {
        let more = exceptions.elsewhere.len() - MOST_PRINTED;
        rest.push(text!("{} more of that kind, among the findings.", more));
    }
    rest.extend(exceptions.not_recorded.iter().filter_map(|(kind, findings)| {
        let first = findings.first()?;
        Some(match findings.len() - 1 {
            0 => first.sentence.clone(),
            more => text!(
                "{} And {} more comparisons ({}) can\u{2019}t be made.",
                first.sentence.clone(),
                more,
                kind.words()
            ),
        })
    }));
    if !rest.is_empty() {
        section.lead("Besides, with no letter:");
    }
    section.list(rest);
}

/// What an exception says.
pub(in crate::report) fn says(examined: &Examined, one: &Exception<'_>) -> Text {
    let project = &examined.project;
    match &one.why {
        Why::Finding(finding) => finding.sentence.clone(),
        Why::Piece(piece) => {
            let frames = project.docking.frames.as_ref();
            let frame = nearest_frame(frames, (piece.extent[0] + piece.extent[1]) / 2.0);
            let lacks = if piece.none {
                "No coat".to_string()
            } else {
                format!("No {}", coats(&piece.missing))
            };
            let hidden = piece.hidden_in.iter().filter_map(|at| project.positions.get(*at));
            let hidden = Text::listed(hidden.map(|position| id(&position.id).into()));
            let under =
                if hidden.is_empty() { Text::new() } else { text!("; under blocks in {}", hidden) };
            text!(
                "{}: {}{}{}.",
                lacks,
                place(piece.extent),
                frame.map_or(String::new(), |frame| format!(", near frame {frame}")),
                under
            )
        }
        Why::Patches(days) => {
            let each = days.iter().map(|(coat, days)| {
                let days: Vec<String> =
                    days.iter().map(|day| day.format("%m-%d").to_string()).collect();
                text!("coat {} on {}", *coat, and(&days))
            });
            text!("Patches, under blocks at first: {}.", Text::joined(each, ", "))
        }
    }
}

/// The letters of the exceptions of a zone and coat.
fn letters(exceptions: &Exceptions<'_>, zone: usize, coat: i64) -> Cell {
    let placed = exceptions.lettered().iter().enumerate();
    let of = placed.filter(|(_, one)| one.zone == zone && one.coat == Some(coat));
    let letters: Vec<String> = of.map(|(number, _)| letter(number)).collect();
    Cell::if_any((!letters.is_empty()).then(|| letters.join(", ")))
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
    let listed = short.pieces.len().min(exceptions::MOST_PIECES).saturating_sub(MOST_PIECES);
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

/// What was to be put on.
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
    let columns = [
        Column::name("Zones").mm(23.0),
        Column::figure("Coat"),
        Column::name("Product"),
        Column::text("Kind of paint"),
        Column::measure("Nominal", Form::Film).mm(13.0),
        Column::measure("Least to greatest", Form::Film).mm(18.0),
        Column::figure("To water, at least").mm(17.0),
        Column::name("Surface preparation required").mm(46.0),
    ];
    let rows = schemes.into_iter().flat_map(|(zones, coats)| {
        let zones = list(&zones, MOST_NAMED);
        coats.into_iter().map(move |coat| {
            let mut row: Vec<Cell> = vec![zones.as_str().into()];
            row.extend(coat);
            row
        })
    });
    let about = "From the steel outward, as dry film thickness:";
    section.table(Table::new(columns).rows_of_any(rows).about(about).small());
}

fn scheme_coat(project: &Project, row: &SchemeCoat) -> [Cell; 7] {
    let product = project.products.product(&row.product);
    let limits = limits(row.least_dft_m, row.greatest_dft_m);
    [
        row.coat.into(),
        id(&row.product).into(),
        product.and_then(|product| product.generic_type.as_deref()).into(),
        nominal_dft_m(project, row).map(film_of).into(),
        stated(limits),
        product.and_then(|product| product.least_to_immersion_h).map(stated_duration).into(),
        stated(requirement(&row.before)),
    ]
}

/// A least and a greatest film in words.
fn limits(least_m: Option<f64>, greatest_m: Option<f64>) -> Option<Text> {
    match (least_m.map(film_of), greatest_m.map(film_of)) {
        (Some(least), Some(most)) => Some(Text::from(range(least, most))),
        (Some(least), None) => Some(text!("from {}", least)),
        (None, Some(most)) => Some(text!("to {}", most)),
        (None, None) => None,
    }
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
        before.grade.as_deref().map(|word| match before.accepts.as_slice() {
            [] => Grade::printed(word).into(),
            accepted => text!("{} or {}", Grade::printed(word), accepted.join(" or ")),
        }),
        profile,
        before.greatest_salts_mg_m2.map(|most| text!("salts at most {}", salts(most))),
        before.greatest_chloride_mg_m2.map(|most| text!("chloride at most {}", salts(most))),
        before.greatest_conductivity_us_cm.map(|most| {
            text!("conductivity at most {}", Form::Conductivity.measure(most).as_stated())
        }),
        before.greatest_dust.map(|most| text!("dust at most {}", crate::units::nine_digits(most))),
    ];
    Some(Text::joined(all.into_iter().flatten(), ", ")).filter(|text| !text.is_empty())
}

/// What was put on, zone by zone and coat by coat.
fn applications(section: &mut Section, examined: &Examined, exceptions: &Exceptions<'_>) {
    let project = &examined.project;
    section.part("Applications");
    if project.coats.is_empty() {
        section.paragraph("No application is recorded.");
        return;
    }
    let mut groups: BTreeMap<(usize, i64), Vec<&Application>> = BTreeMap::new();
    for coat in &project.coats {
        if let Some(zone) = project.zones.iter().position(|zone| zone.id == coat.zone) {
            groups.entry((zone, coat.coat)).or_default().push(coat);
        }
    }
    let columns = [
        Column::name("Zone"),
        Column::figure("Coat"),
        Column::figure("Applied"),
        Column::text("Surrounding"),
        Column::text("Patches"),
        Column::text("Drawn areas"),
        Column::text("Batches").share(1.6),
        Column::measure("Used", Form::Volume),
        Column::name("Exceptions"),
    ];
    let rows = groups.into_iter().map(|((zone, number), coats)| {
        let days = |wanted: &dyn Fn(&Extent) -> bool| -> Cell {
            let of: Vec<&&Application> = coats.iter().filter(|coat| wanted(&coat.extent)).collect();
            if of.is_empty() {
                return Cell::DoesNotApply;
            }
            let mut days: Vec<NaiveDate> =
                of.iter().filter_map(|coat| Some(coat.began?.date_naive())).collect();
            days.sort_unstable();
            days.dedup();
            let days: Vec<String> =
                days.iter().map(|day| day.format("%m-%d").to_string()).collect();
            (!days.is_empty()).then(|| list(&days, MOST_NAMED)).into()
        };
        let mut batches: Vec<&str> =
            coats.iter().filter_map(|coat| coat.batch.as_deref()).collect();
        batches.sort_unstable();
        batches.dedup();
        let used: Option<f64> = coats.iter().map(|coat| coat.used_l).sum();
        [
            id(&project.zones[zone].id).into(),
            number.into(),
            coats.len().into(),
            days(&|extent| matches!(extent, Extent::All | Extent::Exposed)),
            days(&|extent| matches!(extent, Extent::Patches)),
            days(&|extent| matches!(extent, Extent::Area(_))),
            (!batches.is_empty()).then(|| list(&batches, MOST_NAMED)).into(),
            used.map(|l| Form::Volume.measure(l)).into(),
            letters(exceptions, zone, number),
        ]
    });
    let all = count(project.coats.len(), "application", "applications");
    let about = text!(
        "{}, by zone and coat: how many, on which days (month and day), and the letters of exceptions:",
        all
    );
    section.table(Table::new(columns).rows(rows).about(about).small());
}

/// Intervals between coats and to the water: how many were kept. Those that were not are lettered exceptions.
fn intervals(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    let (project, applied) = (&examined.project, &examined.recomputed.coating.applied);
    section.part("Intervals");
    let kept = |intervals: Vec<&Interval>, one: &str, many: &str| -> Text {
        let is = |wanted: &dyn Fn(&Interval) -> bool| {
            intervals.iter().filter(|interval| wanted(interval)).count()
        };
        let within = is(&|one| one.kept == Some(Timing::Within));
        let flooded = is(&|one| one.flooded);
        let renewed = is(&|one| one.flooded && !one.renewed.is_empty());
        let outside = is(&|one| one.kept.is_some_and(|kept| kept != Timing::Within));
        let unknown = is(&|one| !one.flooded && one.kept.is_none());
        let mut said: Vec<Text> = Vec::new();
        if within > 0 {
            said.push(text!("{} kept their windows", within));
        }
        if outside > 0 {
            said.push(text!("{} did not", outside));
        }
        if unknown > 0 {
            said.push(text!("for {} no window can be given", unknown));
        }
        if flooded > 0 {
            said.push(text!(
                "{} across a flooding, over which no window extends; for {} of these the steel was washed or abraded \
                 since",
                flooded,
                renewed
            ));
        }
        if said.is_empty() {
            return text!("{}: none on record.", many);
        }
        text!("{}: {}.", count(intervals.len(), one, many), Text::joined(said, "; "))
    };
    let over = applied.iter().flat_map(|applied| &applied.over).collect();
    let tie_ins = applied.iter().flat_map(|applied| &applied.tie_ins).collect();
    let immersions: Vec<_> = applied.iter().flat_map(|applied| &applied.immersions).collect();
    let long_enough = immersions.iter().filter(|one| one.too_soon == Some(false)).count();
    let unknown = immersions.iter().filter(|one| one.too_soon.is_none()).count();
    section.list([
        kept(
            over,
            "interval between coats on the same steel",
            "intervals between coats on the same steel",
        ),
        kept(
            tie_ins,
            "tie-in of a patch to the coating round it",
            "tie-ins of patches to the coating round them",
        ),
        if immersions.is_empty() {
            text!("No coat is recorded as reached by the water.")
        } else {
            let unknown = match unknown {
                0 => Text::new(),
                _ => text!("; of {} the least time is not recorded", unknown),
            };
            text!(
                "{}: {} after the product\u{2019}s least time{}.",
                count(
                    immersions.len(),
                    "uppermost coat reached by the water",
                    "uppermost coats reached by the water"
                ),
                long_enough,
                unknown
            )
        },
    ]);
    if !immersions.is_empty() || !project.coats.is_empty() {
        section.note(
            "The shortest interval runs from the finish of the earlier coat to the start of the later one, the \
             longest from its start to the later one\u{2019}s finish. The window is that of the earlier coat between \
             the coldest and the warmest steel read in the interval.",
        );
    }
    section.drawings(drawings_of(inputs, Group::CoatingTimes));
}

/// The worst of the climate over all applications, held against the limits.
fn climate(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    let project = &examined.project;
    section.part("Climate");
    let drawings = drawings_of(inputs, Group::CoatingClimate);
    if project.climate.is_empty() {
        section.paragraph("No climate reading is recorded.");
    }
    section.drawings(drawings);
    let coats = || project.coats.iter().zip(&examined.recomputed.coating.applied);
    let read_at = |applied: &Applied, number: Option<usize>| {
        let reading = number.and_then(|number| applied.readings.get(number));
        reading.and_then(|at| project.climate.get(*at)).map(|reading| reading.at)
    };
    let within = |subject: fn(String) -> Subject| -> Cell {
        let made = coats()
            .filter_map(|(coat, _)| examined.finding(&subject(coat.name.clone())))
            .map(|finding| finding.outcome);
        let made: Vec<Outcome> = made.collect();
        let agree = made.iter().filter(|outcome| **outcome == Outcome::Agrees).count();
        Cell::if_any((!made.is_empty()).then(|| format!("{agree} of {}", made.len())))
    };
    let limit = |name: &str| -> Cell {
        project
            .docking
            .bounds
            .limit(name)
            .map(|limit| Figure::bound(limit).as_stated().to_text())
            .into()
    };
    let row = |what: &str,
               worst: Option<(&Application, &Applied, Measure, Option<usize>)>,
               limit: Cell,
               within: Cell|
     -> [Cell; 6] {
        let at = worst.as_ref().and_then(|(_, applied, _, number)| read_at(applied, *number));
        [
            what.into(),
            worst.as_ref().map(|(.., measure, _)| *measure).into(),
            worst.as_ref().map(|(coat, ..)| id(&coat.name)).into(),
            Cell::if_any(at),
            limit,
            within,
        ]
    };
    let margin = coats()
        .filter_map(|(coat, applied)| {
            let number = applied.climate?.least_margin_k?.1;
            Some((coat, applied, applied.least_margin(&coat.name)?.decimals(1), Some(number)))
        })
        .min_by(|a, b| a.2.kept.total_cmp(&b.2.kept));
    let humidity = coats()
        .filter_map(|(coat, applied)| {
            let number = applied.climate?.highest_humidity_pct?.1;
            Some((coat, applied, applied.highest_humidity(&coat.name)?, Some(number)))
        })
        .max_by(|a, b| a.2.kept.total_cmp(&b.2.kept));
    let age = coats()
        .filter_map(|(coat, applied)| {
            Some((coat, applied, applied.climate_age(&coat.name)?.decimals(1), None))
        })
        .max_by(|a, b| a.2.kept.total_cmp(&b.2.kept));
    if coats().next().is_none() || project.climate.is_empty() {
        return;
    }
    let columns = [
        Column::text("Worst of all applications"),
        Column::figure("Figure"),
        Column::name("Application"),
        Column::name("Read at"),
        Column::figure("Limit"),
        Column::name("Within it"),
    ];
    let rows = [
        row(
            "steel above the dew point, least",
            margin,
            limit("dew_point_margin"),
            within(Subject::ClimateMargin),
        ),
        row(
            "relative humidity, highest",
            humidity,
            limit("humidity"),
            within(Subject::ClimateHumidity),
        ),
        row(
            "time to the nearest reading, longest",
            age,
            limit("climate_age"),
            within(Subject::ClimateAge),
        ),
    ];
    let about = "The readings that count for an application are those during it, the nearest before and the nearest \
                 after; within the limit: how many of the applications:";
    section.table(Table::new(columns).rows(rows).about(about).small());
}

/// How the steel was prepared before each application whose coat asks for it: the worst of the readings
/// that count, against what was asked.
fn preparation(section: &mut Section, examined: &Examined) {
    section.part("Preparation");
    let project = &examined.project;
    let mut rows: Vec<(usize, [Cell; 10])> = Vec::new();
    for (coat, applied) in project.coats.iter().zip(&examined.recomputed.coating.applied) {
        let Some(prepared) = &applied.prepared else { continue };
        let scheme = &project.scheme[prepared.asked];
        if requirement(&scheme.before).is_none() {
            continue;
        }
        let zone = project.zones.iter().position(|zone| zone.id == coat.zone).unwrap_or(0);
        rows.push((zone, prepared_row(examined, coat, prepared)));
    }
    if rows.is_empty() {
        section.paragraph(
            "No scheme requires a surface preparation, or no coat that requires one is recorded as applied.",
        );
        return;
    }
    rows.sort_by_key(|(zone, _)| *zone);
    let columns = [
        Column::name("Zone"),
        Column::name("Extent"),
        Column::figure("Coat"),
        Column::figure("Checks"),
        Column::name("Grade"),
        Column::measure("Profile", Form::Film),
        Column::measure("Salts", Form::SurfaceDensity),
        Column::figure("Dust"),
        Column::measure("Age", Form::Duration),
        Column::text("Not in order"),
    ];
    let about = "The worst of the checks that count for each application: on its steel, in the same dry spell, \
                 before it was started; age is the time from the last of them to that start. What is required stands \
                 with the scheme.";
    let rows = rows.into_iter().map(|(_, row)| row);
    section.table(Table::new(columns).rows(rows).about(about).small());
}

/// A check of an application: the subject of its finding, and what it is called.
type Check = (fn(String) -> Subject, &'static str);

/// The checks that did not agree; nothing where all did.
fn not_in_order(examined: &Examined, coat: &str, checks: &[Check]) -> Cell {
    let outcomes = checks.iter().filter_map(|(subject, words)| {
        let found = examined.finding(&subject(coat.to_string()))?;
        (found.outcome != Outcome::Agrees).then_some((*words, found.outcome))
    });
    Cell::Outcomes(outcomes.collect())
}

fn prepared_row(examined: &Examined, coat: &Application, prepared: &Prepared) -> [Cell; 10] {
    const CHECKS: [Check; 8] = [
        (Subject::Covered, "covered"),
        (Subject::Grade, "grade"),
        (Subject::Profile, "profile"),
        (Subject::Salts, "salts"),
        (Subject::Chloride, "chloride"),
        (Subject::Conductivity, "conductivity"),
        (Subject::Dust, "dust"),
        (Subject::PreparationAge, "age"),
    ];
    let (name, checks) = (coat.name.as_str(), &examined.project.preparation);
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
    let salts = |most: Measure| most.decimals(0).as_stated();
    [
        id(&coat.zone).into(),
        id(coat.extent.word()).into(),
        coat.coat.into(),
        prepared.checks.len().into(),
        (!grades.is_empty()).then(|| grades.join(", ")).into(),
        profile.into(),
        prepared.most_salts(name).map(salts).into(),
        prepared.most_dust.map(crate::units::nine_digits).into(),
        prepared.age(name).map(|age| age.decimals(1)).into(),
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
    let passed = films.iter().filter(|film| {
        let found = film_finding(examined, film, Subject::Film);
        found.is_some_and(|found| found.outcome == Outcome::Agrees)
    });
    section.paragraph(text!(
        "{} of {} films were accepted by their rule. A reading after coat n is the total so far, held against the sums \
         of the scheme for coats 1 to n, less the gauge\u{2019}s correction for the profile where that is recorded.",
        passed.count(),
        films.len()
    ));
    section.drawings(drawings_of(inputs, Group::CoatingFilm));
    let film = |head: &str, mm: f64| Column::measure(head, Form::Film).mm(mm);
    let columns = [
        Column::name("Zone"),
        Column::figure("Coat"),
        Column::figure("Readings"),
        film("Mean", 10.0),
        film("Smallest", 14.5),
        film("Quartiles", 23.0),
        film("Largest", 12.5),
        film("Nominal", 13.5),
        film("Least to greatest", 16.0),
        Column::text("Rule"),
        Column::outcome(),
    ];
    let rows = films.iter().map(|film| film_row(examined, film));
    let about = "Film after each coat, judged by the rule that the scheme names:";
    section.table(Table::new(columns).rows(rows).about(about).small());
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
    let quartiles = found.map(|found| {
        let [lower, median, upper] = found.quartiles_m.map(|m| film_of(m).decimals(0));
        text!("{}, {}, {}", lower, median, upper)
    });
    [
        id(&examined.project.zones[film.zone].id).into(),
        film.coat.into(),
        film.readings.len().into(),
        film.mean(&examined.project).into(),
        found.map(|found| film_of(found.least_m)).into(),
        quartiles.into(),
        found.map(|found| film_of(found.greatest_m)).into(),
        film.wanted.nominal_m.map(film_of).into(),
        stated(limits(film.wanted.least_m, film.wanted.greatest_m)),
        judge_by_rule(film).rule.map_or("none named".into(), Cell::from),
        Cell::outcome_of(film_finding(examined, film, Subject::Film)),
    ]
}
