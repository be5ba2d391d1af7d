//! Which shift to choose: the study of a project's blocks answered as data and in plain sentences, for the command line
//! and for the report. `own` says what the project's own shift leaves, `aim` works out better ones, `past` compares what
//! earlier dockings left, `sentences` words it.

mod aim;
pub mod answer;
mod own;
mod past;
pub mod sentences;

use super::recomputed::Recomputed;
use super::recomputed::shifts::{Before, FEW, Placed, Shifts, shifts, standing};
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::value::nearest;
use crate::units;
use aim::{AimFinder, counted_from};
use answer::{Answer, Asked, OneWay};

pub use super::recomputed::shifts::Query;
pub use aim::{kept, loads_in_short, openings_in_short, stays_on};
pub use own::pieces_of;
pub use past::Earlier;

/// The name under which a report speaks of its own docking.
const THIS_DOCKING: &str = "This docking";

/// On fewer blocks no ship stands (common practice, no source).
const LEAST_BLOCKS: usize = 2;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, as it goes on after the project's name.
    pub wrong: String,
    /// What to do.
    pub advice: String,
}

/// The answer to the usual question: which shift to choose on the blocks as planned, and where to land next time so
/// that what this docking and the earlier ones on its record left is reached, with the study behind it; or why there is none, in a
/// sentence.
pub fn shift_to_choose(
    project: &Project,
    recomputed: &Recomputed,
) -> Result<(Answer, Shifts), String> {
    let mut earlier = vec![Earlier::new(THIS_DOCKING, project, recomputed)];
    earlier.extend(Earlier::on_record(project, recomputed));
    answered(project, recomputed, &Query::default(), &earlier).map_err(|refusals| {
        let wrongs = refusals.iter().map(|refusal| refusal.wrong.as_str());
        format!("The record {}.", wrongs.collect::<Vec<_>>().join(", "))
    })
}

/// Answers: which shift leaves nothing under blocks a second time, and where to land so that what earlier
/// dockings left is reached. A shift without blocks is refused.
pub fn answer(
    project: &Project,
    recomputed: &Recomputed,
    query: &Query,
    earlier: &[Earlier<'_>],
) -> Result<Answer, Vec<Refusal>> {
    answered(project, recomputed, query, earlier).map(|(answer, _)| answer)
}

fn answered(
    project: &Project,
    recomputed: &Recomputed,
    query: &Query,
    earlier: &[Earlier<'_>],
) -> Result<(Answer, Shifts), Vec<Refusal>> {
    let study = shifts(project, recomputed, query);
    let left_out = query.leave_out.iter().filter_map(|n| project.blocks.get(*n));
    let left_out: Vec<String> = left_out.map(|block| block.id.clone()).collect();
    let before = match study.before {
        Before::Blocks(position) => position,
        Before::Steel => None,
    };
    let name = |number: Option<usize>| Some(project.positions.get(number?)?.id.clone());
    let blocks_before = standing(project, before).len();
    let counts = [(before, blocks_before), (study.after, study.caps.len())];
    if let Some((position, count)) = counts.into_iter().find(|(_, count)| *count < LEAST_BLOCKS) {
        return Err(vec![too_few(name(position), count, &left_out)]);
    }
    let finder =
        AimFinder { project, study: &study, from: counted_from(project, before, study.placed) };
    let (fore_and_aft, _) = finder.on_keel(&study.fore_and_aft);
    let (athwart, _) = finder.on_keel(&study.athwart);
    let both = [&fore_and_aft, &athwart];
    let ways: Vec<OneWay> =
        [&study.fore_and_aft, &study.athwart].into_iter().map(|s| finder.way(s)).collect();
    let outline = recomputed.bottom.is_some() && study.placed != Placed::Unknown;
    let without = |left_out: &[usize]| {
        shifts(project, recomputed, &Query { leave_out: left_out.to_vec(), ..query.clone() })
    };
    let mut answer = Answer {
        ship: project.docking.ship.name.clone(),
        dock: project.docking.dock.name.clone(),
        asked: Asked {
            before: name(before),
            lay: study.placed,
            after: name(study.after).filter(|_| study.after != before),
            blocks_before,
            blocks_after: study.caps.len(),
            left_out,
            overlap_m: study.overlap_m,
            outline,
            put_back: finder.put_back(),
        },
        own: own::own_shift(&finder, recomputed, query),
        one_shift_does: false,
        answer: Vec::new(),
        choice: ways.iter().find_map(|way| finder.choice(way, &query.leave_out, without)),
        ways,
        leaving_out: both
            .into_iter()
            .flat_map(|s| s.leaving_out.iter().map(move |out| (s.way, out)))
            .filter(|(_, out)| out.count() * FEW <= study.caps.len())
            .map(|(way, out)| finder.leaving_out(way, out))
            .collect(),
        two_shifts: None,
        past: earlier.iter().map(|one| past::compare(project, recomputed, one, query)).collect(),
        cautions: sentences::CAUTIONS.to_vec(),
    };
    answer.one_shift_does = answer.choice.is_some();
    if !answer.one_shift_does {
        answer.two_shifts = study.pair(project).map(|pair| finder.two_shifts(&pair));
    }
    answer.answer = sentences::whole_answer(&answer);
    Ok((answer, study))
}

fn too_few(position: Option<String>, count: usize, left_out: &[String]) -> Refusal {
    let place = position.map_or_else(|| "every position".into(), |id| format!("position {id}"));
    let wrong = match count {
        0 => format!("has no block that stands in {place}"),
        _ => format!(
            "has only {count} block that stands in {place}, on which no ship can stand, so that no shift can be \
             named"
        ),
    };
    let advice = match left_out {
        [] => "name positions with --before and --after in which blocks stand",
        _ => {
            "leave out fewer blocks, or name positions with --before and --after in which more stand"
        }
    };
    Refusal { wrong, advice: advice.to_string() }
}

impl Query {
    /// The same for positions and blocks by their names. Every name that the project has not is refused, and every block
    /// to leave out by the name under which it was found elsewhere, unless it is studied there.
    pub fn naming(
        self,
        project: &Project,
        before: Option<&str>,
        after: Option<&str>,
        leave_out: &[String],
    ) -> Result<Self, Vec<Refusal>> {
        let mut refusals = Vec::new();
        let mut position = |name: Option<&str>| {
            let ids = || project.positions.iter().map(|position| position.id.as_str());
            find(ids, name?, "position", &mut refusals)
        };
        let (before, after) = (position(before), position(after));
        let ids = || project.blocks.iter().map(|block| block.id.as_str());
        let leave_out = leave_out
            .iter()
            .filter_map(|name| find(ids, name.trim(), "block", &mut refusals))
            .collect();
        let query = Self { before, after, leave_out, ..self };
        refusals.extend(put_back_named(project, &query));
        if refusals.is_empty() { Ok(query) } else { Err(refusals) }
    }
}

/// Blocks to leave out by the name under which they were found elsewhere, where they are taken as planned.
fn put_back_named(project: &Project, query: &Query) -> Vec<Refusal> {
    if query.as_found {
        return Vec::new();
    }
    let blocks = query.leave_out.iter().filter_map(|n| project.blocks.get(*n));
    let one = |block: &Block| {
        let planned = block.moved_from.as_ref()?;
        Some(Refusal {
            wrong: format!(
                "has {planned} recorded as {} where it was found; after a shift {planned} stands where it is \
                 planned",
                block.id
            ),
            advice: format!("name {planned}, or add --as-found to study it where it was found"),
        })
    };
    blocks.filter_map(one).collect()
}

/// The number of a name among those known.
pub fn find<'a, I: Iterator<Item = &'a str>>(
    known: impl Fn() -> I,
    name: &str,
    what: &str,
    refusals: &mut Vec<Refusal>,
) -> Option<usize> {
    // No two ids of a kind differ in capital letters alone.
    let lower = name.to_lowercase();
    let found = known()
        .position(|id| id == name)
        .or_else(|| known().position(|id| id.to_lowercase() == lower));
    if found.is_none() {
        let advice = match (nearest(name, known()), known().count()) {
            (Some(near), _) => format!("write {near}"),
            (None, 0) => format!("leave it out: no {what} is recorded"),
            (None, _) => {
                format!("name one of {}", units::one_of(&known().take(12).collect::<Vec<_>>()))
            }
        };
        refusals.push(Refusal { wrong: format!("has no {what} {name:?}"), advice });
    }
    found
}
