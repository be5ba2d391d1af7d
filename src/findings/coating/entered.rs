//! Applications that stand in the log twice, and blasting that left steel without the coats that it had got.

use super::{Coats, area_words, name};
use crate::calc::coating::{CHAIN, Cell, missing};
use crate::calc::plane::{area_m2, common, union, wider_than};
use crate::findings::finding::{Figure, Finding};
use crate::findings::judge::{agrees, differs};
use crate::findings::naming::count;
use crate::findings::recomputed::coating::{What, ZoneHistory, feathering_m, span_h};
use crate::findings::subject::Subject;
use crate::records::preparation::Preparation;
use crate::records::zones::Zone;
use crate::text;
use crate::text::{Form, Text};

/// Two rows are of one coat put on by two gangs, and not one application entered twice, while they used together no more
/// than this part of the paint that it takes (common practice, no source: losses of a third are usual, and two rows
/// of the whole paint make twice as much).
const SHARED_PART: f64 = 1.5;

impl Coats<'_> {
    /// Rows that seem to be the same application.
    pub(super) fn entered_twice(&self) -> Vec<Finding> {
        let coats = &self.project.coats;
        let mut found = Vec::new();
        for (at, coat) in coats.iter().enumerate() {
            let Some(first) = (0..at).find(|first| self.is_same(*first, at)) else { continue };
            let first = &coats[first];
            let sentence = text!(
                "{} seems to be entered twice: the row of {} has the same product on the same steel at the same time. \
                 Remove one of the two, or record which part each of them reached.",
                name(coat),
                first.name.as_str()
            );
            found.push(
                differs(sentence)
                    .finding(Subject::EnteredTwice(coat.name.clone()))
                    .doubting(&coat.place)
                    .from([&first.place]),
            );
        }
        if found.is_empty() && !coats.is_empty() {
            let sentence = text!(
                "{}: none has product, steel and time in common with another.",
                count(coats.len(), "application")
            );
            found.push(
                agrees(sentence)
                    .finding(Subject::EnteredOnce)
                    .from(coats.iter().take(1).map(|coat| &coat.place)),
            );
        }
        found
    }

    /// Whether two rows seem to be one application: coat, product and batch are the same, and time and steel overlap.
    fn is_same(&self, first: usize, second: usize) -> bool {
        let (one, other) = (&self.project.coats[first], &self.project.coats[second]);
        let is_alike =
            one.coat == other.coat && one.zone == other.zone && one.product == other.product;
        if !is_alike {
            return false;
        }
        let (Some(spell), Some(other_spell)) = (span_h(one), span_h(other)) else { return false };
        let at_once = spell == other_spell || (spell.0 < other_spell.1 && other_spell.0 < spell.1);
        let batches = one.batch.as_ref().zip(other.batch.as_ref());
        if !at_once || batches.is_some_and(|(a, b)| a != b) {
            return false;
        }
        self.share_steel(first, second) && !self.is_shared(first, second)
    }

    /// Whether most of the smaller of two applications lies on the steel of the other.
    fn share_steel(&self, first: usize, second: usize) -> bool {
        let coats = &self.project.coats;
        if coats[first].extent == coats[second].extent {
            return true;
        }
        let zone = self.project.zones.iter().position(|zone| zone.id == coats[first].zone);
        let reached = zone.and_then(|zone| {
            let history = &self.coating.zones[zone];
            Some((&history.done(first)?.got, &history.done(second)?.got))
        });
        reached.is_some_and(|(one, other)| {
            let smaller = area_m2(one).min(area_m2(other));
            smaller > 0.0 && area_m2(&common(one, other)) > smaller / 2.0
        })
    }

    /// Whether two rows seem to be the shares of two gangs in one coat: by the paint that they used, or else by who they
    /// are.
    fn is_shared(&self, first: usize, second: usize) -> bool {
        let coats = [first, second].map(|at| &self.project.coats[at]);
        let takes = [first, second].map(|at| self.coating.applied[at].expected_l);
        if let ([Some(one), Some(other)], [Some(a), Some(b)]) = (coats.map(|c| c.used_l), takes) {
            return one + other <= SHARED_PART * a.max(b);
        }
        let [one, other] = coats;
        let gangs = one.by.as_ref().zip(other.by.as_ref());
        gangs.is_some_and(|(a, b)| a != b) && span_h(one) != span_h(other)
    }

    /// Blasting over coats of this docking: whether the steel was coated again. A zone in which there was none has no such
    /// finding.
    pub(super) fn blasted(&self, zone: &Zone, history: &ZoneHistory) -> Option<Finding> {
        let steel = history.steel.as_ref()?;
        let off: Vec<(&Preparation, f64)> = takers(self, history)
            .map(|(check, job)| (check, area_m2(&steel.done[job].cleared)))
            .collect();
        let (first, _) = off.first()?;
        let numbers: Vec<i64> =
            history.scheme.iter().map(|at| self.project.scheme[*at].coat).collect();
        let is_short = |cell: &&Cell| {
            let lacks = missing(&cell.chain, &history.jobs, &numbers);
            let mut had = cell.taken_off.iter().flat_map(|(_, coats)| coats);
            had.any(|at| history.jobs[*at].coat.is_some_and(|coat| lacks.contains(&coat)))
        };
        let bare = steel.cells.iter().filter(is_short);
        let bare = union(bare.flat_map(|cell| &cell.shape.0));
        let bare = wider_than(&bare, feathering_m(self.project));
        let day = |check: &Preparation| match check.at {
            Some(at) => text!(" on {}", at.date_naive()),
            None => Text::new(),
        };
        let along = |m2: f64| history.true_factor.map(|factor| Form::Area.measure(m2 * factor));
        let judgement = if bare.0.is_empty() {
            let taken: f64 = off.iter().map(|(_, m2)| m2).sum();
            agrees(text!(
                "{} of {} was blasted over coats of this docking, the first time{}, and coated again.",
                area_words(along(taken)),
                zone.id,
                day(first)
            ).capitalized())
        } else {
            differs(text!(
                "Blasting of {}{} took off coats of this docking, and on {} of that not all of them are recorded again: \
                 the time of the blasting may be wrong, or coats are missing.",
                zone.id,
                day(first),
                area_words(along(area_m2(&bare)))
            ))
        };
        let coats = self.project.coats.iter().filter(|coat| coat.zone == zone.id);
        Some(
            judgement
                .finding(Subject::ZoneBlasted(zone.id.clone()))
                .recomputed(along(area_m2(&bare)).map(Figure::Measure))
                .called("recorded", "without them")
                .by(&CHAIN)
                .doubting_all(off.iter().map(|(check, _)| &check.place))
                .from(coats.map(|coat| &coat.place)),
        )
    }
}

/// The checks of a zone whose treatment took off coats, with their places in the zone's jobs, in order of time.
pub(super) fn takers<'a>(
    coats: &Coats<'a>,
    history: &'a ZoneHistory,
) -> impl Iterator<Item = (&'a Preparation, usize)> {
    let steel = history.steel.iter();
    let project = coats.project;
    let mut found: Vec<(&'a Preparation, usize)> = steel
        .flat_map(|steel| history.what.iter().zip(&steel.done).enumerate())
        .filter(|(_, (_, done))| !done.cleared.0.is_empty())
        .filter_map(|(job, (what, _))| match what {
            What::Preparation(check) => Some((&project.preparation[*check], job)),
            What::Coat(_) => None,
        })
        .collect();
    found.sort_by_key(|(check, job)| (check.at, *job));
    found.into_iter()
}
