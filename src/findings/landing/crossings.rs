//! Her crossings of the sill: the water over it and over the blocks against her drafts.

use crate::findings::finding::{Figure, Finding};
use crate::findings::judge::{Judgement, Limited, Side, agrees, differs, unchecked};
use crate::findings::naming::{Named, distinct_ids};
use crate::findings::recomputed::Recomputed;
use crate::findings::recomputed::afloat::Survey;
use crate::findings::recomputed::landing::top_of;
use crate::findings::recomputed::water::WaterLog;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::crossings::{Crossing, Direction};
use crate::records::place::Place;
use crate::text;
use crate::text::{Form, Measure, Text, id};

/// What lay under her on the way, and how much water was over it.
struct Under {
    /// As the object of a sentence: `over the sill`.
    over: Text,
    /// Least water left under her keel, m; below 0 where she could not have passed.
    clear_m: f64,
    places: Vec<Place>,
}

/// Every finding of the crossings.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let names = distinct_ids(&project.crossings.iter().map(named).collect::<Vec<_>>());
    let each = project.crossings.iter().zip(names);
    let found: Vec<Finding> = each
        .map(|(crossing, name)| finding(project, recomputed, crossing, Subject::Sill(name)))
        .collect();
    // One of several is a slip of its own row; where none fits, what they share is wrong, and they are one cause.
    let none_fits = found.len() > 1 && found.iter().all(Finding::is_troubled);
    let rows = || project.crossings.iter().map(|crossing| &crossing.place);
    let doubting = found.into_iter().zip(rows()).map(|(finding, row)| match none_fits {
        true => finding.doubting_all(rows()),
        false => finding.doubting(row),
    });
    doubting.collect()
}

fn named(crossing: &Crossing) -> Named<'_> {
    Named {
        base: crossing.direction.word().to_string(),
        sort: "",
        at: Some(crossing.at),
        by: crossing.by.as_deref(),
        read: format!(
            "{:?} {:?} {:?}",
            crossing.level_m, crossing.draft_aft_m, crossing.draft_forward_m
        ),
    }
}

fn finding(
    project: &Project,
    recomputed: &Recomputed,
    crossing: &Crossing,
    about: Subject,
) -> Finding {
    let when = match crossing.direction {
        Direction::In => text!("coming in at {}", crossing.at),
        Direction::Out => text!("going out at {}", crossing.at),
    };
    let survey = survey(recomputed, crossing);
    let read = survey.and_then(|survey| survey.drafts.as_ref());
    let draft_m = [
        crossing.draft_aft_m.or(read.map(|drafts| drafts.aft_m)),
        crossing.draft_forward_m.or(read.map(|drafts| drafts.forward_m)),
    ];
    let readings = survey.map(|survey| survey.readings.as_slice()).unwrap_or_default();
    let readings = readings.iter().map(|read| &project.drafts[read.row].place);
    let limit = project.docking.bounds.limit("sill_clearance");
    let subject = text!("the water under her {}", when);
    let finding = match (draft_m, under(project, crossing, draft_m)) {
        ([Some(_), Some(_)], Some(under)) => {
            let clear = Form::Length.measure(under.clear_m);
            let judged = judged(&subject, &under, clear);
            match limit.filter(|_| under.clear_m >= 0.0) {
                Some(limit) => Limited {
                    subject: text!("{} {},", subject, under.over),
                    value: Ok(clear),
                    limit: Some((limit.into(), Side::AtLeast)),
                }
                .finding(about),
                None => judged.finding(about).recomputed(Figure::Measure(clear)),
            }
            .from(&under.places)
        }
        (_, None) => unchecked(subject, "the level of the sill was not recorded").finding(about),
        _ => unchecked(subject, "no draft aft and forward was read").finding(about),
    };
    let finding = finding.from(readings);
    match off_the_log(project, crossing) {
        Some((sentence, rows)) => differs(sentence).replace_in(finding).from(&rows),
        None => finding,
    }
}

fn judged(subject: &Text, under: &Under, clear: Measure) -> Judgement {
    if clear.kept >= 0.0 {
        agrees(text!("{} was {} {}.", subject.clone(), clear, under.over.clone()).capitalized())
    } else {
        differs(
            text!(
                "{} would have been {} too little {}: by this level and her drafts she could not have passed.",
                subject.clone(),
                Form::Length.measure(-clear.kept),
                under.over.clone()
            )
            .capitalized(),
        )
    }
}

/// The survey whose drafts she had: the nearest in time before she came in, or in going out the last in the dock or after it.
fn survey<'a>(recomputed: &'a Recomputed, crossing: &Crossing) -> Option<&'a Survey> {
    let apart = |survey: &&Survey| survey.at.map(|at| (at - crossing.at).num_seconds().abs());
    let with_drafts = recomputed.ship.surveys.iter().filter(|survey| survey.drafts.is_some());
    with_drafts.filter(|survey| apart(survey).is_some()).min_by_key(apart)
}

/// What left her the least water on the way: the sill, or in the dock the highest keel block; `None` where the sill's level
/// is not known.
fn under(
    project: &Project,
    crossing: &Crossing,
    [aft, forward]: [Option<f64>; 2],
) -> Option<Under> {
    let dock = &project.docking.dock;
    let deepest_m = aft?.max(forward?);
    let sill = Under {
        over: "over the sill".into(),
        clear_m: crossing.level_m - dock.sill_level_m? - deepest_m,
        places: Vec::new(),
    };
    let standing = |block: &&Block| {
        let mut positions = project.positions.iter();
        let first = match crossing.direction {
            Direction::In => positions.next(),
            Direction::Out => positions.next_back(),
        };
        first.is_some_and(|position| block.stands_in(&position.id))
    };
    let keel = project.blocks.iter().filter(|block| block.row == BlockRow::Keel);
    let tops = keel.filter(standing).filter_map(|block| Some((block, top_of(project, block)?)));
    let highest = tops.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(block, top_m)| Under {
        over: text!("over {}, the highest keel block", id(&block.id)),
        clear_m: crossing.level_m - top_m - deepest_m,
        places: vec![block.place.clone()],
    });
    Some(match highest {
        Some(highest) if highest.clear_m < sill.clear_m => highest,
        _ => sill,
    })
}

/// Where the level of a crossing is not that of the water log at its time, what of it, and the log's rows.
fn off_the_log(project: &Project, crossing: &Crossing) -> Option<(Text, Vec<Place>)> {
    let tolerance = project.docking.bounds.tolerance("water_level")?;
    project.positions.iter().find_map(|position| {
        let log = WaterLog::new(project, &position.id);
        let is_watched = log.spells().any(|spell| {
            let ends = spell.first().zip(spell.last());
            ends.is_some_and(|(first, last)| first.at <= crossing.at && crossing.at <= last.at)
        });
        let logged_m = log.level_at(crossing.at).filter(|_| is_watched)?;
        let is_off = (logged_m - crossing.level_m).abs() > 2.0 * tolerance.value + 1e-9;
        is_off.then(|| {
            let sentence = text!(
                "The level at which she crossed the sill at {} is {}, and by the water log of {} it was {} then.",
                crossing.at,
                Figure::length(crossing.level_m),
                id(&position.id),
                Figure::length(logged_m)
            );
            (sentence, log.rows_at(crossing.at).into_iter().cloned().collect())
        })
    })
}
