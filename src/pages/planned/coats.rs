//! The coats that are planned, before paint is bought: when, and which windows the plan does not keep; later, how far
//! what was done lies from it.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use super::super::{Cell, Column, Section, Table};
use crate::calc::recoat::Timing;
use crate::findings::Examined;
use crate::findings::coating::windows::{outside, why_none};
use crate::findings::coating::{off, span, spans};
use crate::findings::recomputed::coating::applied::Applied;
use crate::findings::recomputed::coating::windows::{Interval, NoWindow};
use crate::records::Project;
use crate::records::coats::{self, Application};
use crate::records::products::Product;
use crate::text;
use crate::text::{Text, count, id};
use crate::words::cautions;

/// Coats finished so near to their planned finish are only counted, h.
const NEAR_H: i64 = 12;

/// Rows of a table here; more stand in the records.
const MOST: usize = 60;

/// What is planned of the coating, and what of that does not keep its windows; `None` where no coat is planned.
pub fn coats(examined: &Examined) -> Option<Section> {
    let project = &examined.project;
    let mut planned: Vec<&Application> = project
        .coats
        .iter()
        .chain(&project.planned_coats)
        .filter(|coat| coat.is_planned())
        .collect();
    if planned.is_empty() {
        return None;
    }
    planned.sort_by_key(|coat| (coat.planned_start.or(coat.planned_finish), &coat.name));
    let mut section = Section::new("Coats as planned").at("planned-coats");
    section.paragraph(cautions::PLANNING);
    section.paragraph(text!(
        "{} planned; recorded as done: {}.{}",
        count(planned.len(), "coat is", "coats are"),
        planned.len() - project.planned_coats.len(),
        not_in_plan(project, &planned)
    ));
    match examined.as_planned() {
        Some(as_planned) => {
            reached(&mut section, as_planned);
            intervals(&mut section, as_planned);
            water(&mut section, as_planned);
        }
        None => {
            section.paragraph(
                "No position is planned, so that it can't be worked out which steel each coat would reach, what it would \
                 lie on and how long it would dry.",
            );
        }
    }
    dates(&mut section, project, &planned);
    Some(section)
}

/// The scheme's coats of which no application is planned or recorded.
fn not_in_plan(project: &Project, planned: &[&Application]) -> Text {
    let known: BTreeSet<(&str, i64)> = planned
        .iter()
        .copied()
        .chain(&project.coats)
        .map(|coat| (coat.zone.as_str(), coat.coat))
        .collect();
    let missing =
        project.scheme.iter().filter(|row| !known.contains(&(row.zone.as_str(), row.coat)));
    let missing: Vec<Text> =
        missing.map(|row| text!("{} coat {}", id(&row.zone), row.coat)).collect();
    match missing.is_empty() {
        true => Text::new(),
        false => text!(
            " Of the schemes\u{2019} coats these are neither planned nor recorded: {}.",
            Text::listed(missing)
        ),
    }
}

/// The applications of a project with what came out for each.
fn applied(planned: &Examined) -> impl Iterator<Item = (&Application, &Applied)> {
    planned.project.coats.iter().zip(&planned.recomputed.coating.applied)
}

/// Which coats would go on steel that is not dry by the plan, or of which the plan does not tell.
fn reached(section: &mut Section, planned: &Examined) {
    let named = |is: &dyn Fn(&Applied) -> bool| -> Vec<Text> {
        applied(planned).filter(|(_, out)| is(out)).map(|(coat, _)| id(&coat.name).into()).collect()
    };
    let wet = named(&|out| {
        out.claim.as_ref().is_some_and(|claim| claim.position.is_none() && !claim.dry_unknown())
    });
    let unknown = named(&|out| out.claim.as_ref().is_none_or(|claim| claim.dry_unknown()));
    if !wet.is_empty() {
        section.paragraph(text!(
            "By the plan\u{2019}s own times the steel is not dry throughout for: {}.",
            Text::listed(wet)
        ));
    }
    if !unknown.is_empty() {
        section.paragraph(text!(
            "Whether the steel is dry then, and so what it meets, does not follow from the plan for: {}. \
             planned_dry and planned_reflood of each position tell it, and planned_start of each coat.",
            Text::listed(unknown)
        ));
    }
}

/// The intervals by their outcome, and a row for each that its window does not take.
fn intervals(section: &mut Section, planned: &Examined) {
    section.part("Recoat windows, by the plan");
    let over: Vec<&Interval> = applied(planned).flat_map(|(_, out)| &out.over).collect();
    let tie_ins: Vec<&Interval> = applied(planned).flat_map(|(_, out)| &out.tie_ins).collect();
    section.list([
        counted(
            &over,
            [
                "interval between coats on the same steel",
                "intervals between coats on the same steel",
            ],
        ),
        counted(
            &tie_ins,
            [
                "interval where a patch meets the coating round it",
                "intervals where a patch meets the coating round it",
            ],
        ),
    ]);
    let project = &planned.project;
    let rows: Vec<[Cell; 5]> = [(over, "on the same steel"), (tie_ins, "round it")]
        .into_iter()
        .flat_map(|(intervals, meets)| intervals.into_iter().map(move |one| (one, meets)))
        .filter(|(one, _)| one.early_h().is_some() || one.late_h().is_some())
        .map(|(one, meets)| row(project, one, meets))
        .collect();
    if !rows.is_empty() {
        section.note(
            "The shortest interval runs from the finish of the earlier coat to the start of the later one, the longest \
             from its start to the later one\u{2019}s finish; the window is that of the earlier coat\u{2019}s table, on its \
             strict side between the coldest and the warmest steel that the plan counts on. Products that would hold \
             are those whose tables on record take the same interval; whether one fits the scheme is for its maker to \
             say, and what becomes of the coats above and below it is not examined here.",
        );
    }
    let columns = [
        Column::name("Coat"),
        Column::text("Over"),
        Column::text("By the plan and by the table"),
        Column::text("Off"),
        Column::text("Would hold"),
    ];
    section.table(Table::new(columns).rows(rows).cut(MOST, coats::SPEC.path));
}

/// How many intervals keep their windows, by the plan.
fn counted(intervals: &[&Interval], [one, many]: [&str; 2]) -> Text {
    let is = |wanted: &dyn Fn(&Interval) -> bool| {
        intervals.iter().filter(|interval| wanted(interval)).count()
    };
    let within = is(&|one| one.kept == Some(Timing::Within));
    let outside = is(&|one| one.kept.is_some_and(|kept| kept != Timing::Within));
    let flooded = is(&|one| one.flooded);
    let late = is(&|one| one.flooded && one.late_h().is_some());
    let unknown = match is(&|one| one.flooded && one.table.is_err()) {
        0 => Text::new(),
        unknown => text!(", and of {} no window is known", unknown),
    };
    let mut said: Vec<Text> = Vec::new();
    if within > 0 {
        said.push(text!(
            "{} within {}",
            within,
            if within == 1 { "its window" } else { "their windows" }
        ));
    }
    if outside > 0 {
        said.push(text!("{} outside", outside));
    }
    if flooded > 0 {
        said.push(text!(
            "{} across a flooding, over which no window runs, so that the coat below wants a wash or abrasion after it; by \
             time alone {} of their windows would have ended{}",
            flooded,
            late,
            unknown
        ));
    }
    let reasons =
        [NoWindow::NoTable, NoWindow::NotOverIt, NoWindow::NoSteel, NoWindow::OutsideTable];
    for why in reasons {
        let without = is(&|one| !one.flooded && one.window == Err(why));
        if without > 0 {
            said.push(text!("{} without a known window, since {}", without, why_not_planned(why)));
        }
    }
    match said.is_empty() {
        true => text!("No {} follows from the plan.", one),
        false => text!("{}: {}.", count(intervals.len(), one, many), Text::joined(said, "; ")),
    }
}

/// Why an interval has no window, of a plan.
fn why_not_planned(why: NoWindow) -> &'static str {
    match why {
        NoWindow::NoSteel => {
            "the plan does not say on which steel it counts (coldest_steel and warmest_steel in coating/coats.csv)"
        }
        other => why_none(other),
    }
}

fn row(project: &Project, interval: &Interval, meets: &'static str) -> [Cell; 5] {
    let [lower, upper] = [interval.lower, interval.upper].map(|coat| &project.coats[coat]);
    let (short, long) = spans(interval.shortest_h, interval.longest_h);
    let window = match &interval.table {
        Ok(window) => text!(
            "{} to {}",
            span(window.least_h),
            window.greatest_h.map_or("no end".to_string(), span)
        ),
        Err(_) => Text::new(),
    };
    let [on_top, beneath] = interval.that_hold(project);
    let names = |products: &[&Product]| -> Text {
        Text::listed(products.iter().map(|product| id(&product.id).into()))
    };
    let mut hold: Vec<Text> = Vec::new();
    if !on_top.is_empty() {
        hold.push(text!("{} in place of {}", names(&on_top), id(&upper.product)));
    }
    if !beneath.is_empty() {
        hold.push(text!("{} in place of {} below", names(&beneath), id(&lower.product)));
    }
    let none = || {
        text!("none of {} on record", count(project.products.products.len(), "product", "products"))
    };
    [
        id(&upper.name).into(),
        text!("{}, {}", id(&lower.name), meets).into(),
        text!("{} to {}; {} allows {}", short, long, id(&lower.product), window).into(),
        text!(
            "{}{}",
            outside(interval),
            if interval.flooded { ", by time alone: flooded between" } else { "" }
        )
        .into(),
        if hold.is_empty() { none().into() } else { Text::joined(hold, "; ").into() },
    ]
}

/// The coats that the water would reach before their products' least times.
fn water(section: &mut Section, planned: &Examined) {
    section.part("To the water");
    let all: Vec<_> = applied(planned).flat_map(|(_, out)| &out.immersions).collect();
    if all.is_empty() {
        section.paragraph(
            "By the plan no coat is reached by the water, or it does not tell when the water is let in again.",
        );
        return;
    }
    let soon = all.iter().filter(|one| one.too_soon == Some(true)).count();
    let unknown = all.iter().filter(|one| one.too_soon.is_none()).count();
    section.paragraph(text!(
        "{}: {} before {} least time{}.",
        count(
            all.len(),
            "time from an uppermost coat to the water",
            "times from uppermost coats to the water"
        ),
        soon,
        if soon == 1 { "its product\u{2019}s" } else { "their products\u{2019}" },
        match unknown {
            0 => Text::new(),
            _ => text!("; of {} the least time is not recorded", unknown),
        }
    ));
    let project = &planned.project;
    let rows = all.iter().filter(|one| one.too_soon == Some(true)).filter_map(|one| {
        let least_h = one.least_h?;
        let coat = &project.coats[one.coat];
        Some([
            Cell::from(id(&coat.name)),
            id(&project.positions[one.position].id).into(),
            text!("{} of {}", span(one.after_h), span(least_h)).into(),
            text!("{}", off(least_h - one.after_h)).into(),
        ])
    });
    let columns = [
        Column::name("Coat"),
        Column::name("Water at the end of"),
        Column::text("After, of at least"),
        Column::name("Short by"),
    ];
    section.table(Table::new(columns).rows(rows).cut(MOST, coats::SPEC.path));
}

/// When each coat is planned and when it was done, and how far the two lie apart.
fn dates(section: &mut Section, project: &Project, planned: &[&Application]) {
    section.part("Planned, and done");
    let positions = project.positions.iter().flat_map(|position| {
        let (planned, done) = (&position.planned, &position.times);
        [
            ("landed", planned.landed, done.landed),
            ("dry", planned.dry, done.dry),
            ("reflood began", planned.reflood_began, done.reflood_began),
            ("afloat", planned.afloat, done.afloat),
        ]
        .map(|(what, planned, done)| (text!("{} {}", id(&position.id), what), planned, done))
    });
    let columns = || {
        [
            Column::text("What"),
            Column::text("Planned"),
            Column::text("Done"),
            Column::name("Later by"),
        ]
    };
    let rows =
        positions.filter(|(_, planned, _)| planned.is_some()).map(|(what, planned, done)| {
            [what.into(), planned.into(), done.into(), later(planned, done)]
        });
    section.table(Table::new(columns()).rows(rows));
    let near = |coat: &Application| {
        let ends = coat.planned_finish.or(coat.planned_start).zip(coat.ended.or(coat.began));
        ends.is_some_and(|(planned, done)| (done - planned).num_hours().abs() < NEAR_H)
    };
    let (near, others): (Vec<&Application>, Vec<&Application>) =
        planned.iter().copied().partition(|coat| near(coat));
    if !near.is_empty() {
        section.paragraph(text!(
            "{} finished within {} of the plan.",
            count(near.len(), "coat was", "coats were"),
            off(NEAR_H as f64)
        ));
    }
    let rows = others.iter().map(|coat| {
        [
            id(&coat.name).into(),
            from_to(coat.planned_start, coat.planned_finish),
            from_to(coat.began, coat.ended),
            later(coat.planned_finish.or(coat.planned_start), coat.ended.or(coat.began)),
        ]
    });
    let about = "The others by their planned start; later by, from planned finish to finish:";
    section.table(Table::new(columns()).rows(rows).about(about).cut(MOST, coats::SPEC.path));
}

fn from_to(from: Option<DateTime<FixedOffset>>, to: Option<DateTime<FixedOffset>>) -> Cell {
    match (from, to) {
        (Some(from), to) => text!("{}", text::span(from, to)).into(),
        (None, Some(to)) => text!("until {}", to).into(),
        (None, None) => Cell::NotRecorded,
    }
}

/// How much later something was done than planned; nothing before it is done.
fn later(planned: Option<DateTime<FixedOffset>>, done: Option<DateTime<FixedOffset>>) -> Cell {
    let Some((planned, done)) = planned.zip(done) else { return Cell::DoesNotApply };
    let hours = (done - planned).num_seconds() as f64 / 3600.0;
    let by = off(hours.abs());
    match hours {
        0.0 => "as planned".into(),
        ..0.0 => text!("{} earlier", by).into(),
        _ => text!("{}", by).into(),
    }
}
