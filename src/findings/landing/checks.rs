//! Landing checks, planned against found; of the centreline, found against where she lay.

use super::PositionFindings;
use crate::calc::positions::{CENTRELINE, centreline_at_m};
use crate::findings::finding::{Figure, Finding, Outcome};
use crate::findings::judge;
use crate::findings::naming::{Named, told_apart};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::checks::{LandingCheck, called};
use crate::text;

fn named(check: &LandingCheck) -> Named<'_> {
    let of = check.block.as_ref().map(|block| format!(".{block}")).unwrap_or_default();
    let LandingCheck { planned, recorded, planned_m, recorded_m, as_planned, .. } = check;
    Named {
        base: format!("{}{of}", check.check),
        sort: "",
        at: check.at,
        by: check.by.as_deref(),
        read: format!("{recorded_m:?} {recorded:?} {planned_m:?} {planned:?} {as_planned:?}"),
    }
}

/// The landing checks of a position, each with what the finding on it is about.
pub fn landing_checks<'a>(
    project: &'a Project,
    position: &str,
) -> impl Iterator<Item = (&'a LandingCheck, Subject)> {
    let of_position = project.checks.iter().filter(|check| check.position == position);
    let checks: Vec<&LandingCheck> = of_position.collect();
    let names = told_apart(&checks.iter().map(|check| named(check)).collect::<Vec<_>>());
    let subjects = names.into_iter().map(|name| Subject::LandingCheck(position.to_string(), name));
    checks.into_iter().zip(subjects.collect::<Vec<_>>())
}

impl PositionFindings<'_> {
    /// Each landing check, planned against found.
    pub(super) fn checks(&self) -> Vec<Finding> {
        landing_checks(self.project, &self.position.id)
            .map(|(check, subject)| {
                match check.recorded_m.filter(|_| check.check == "centreline") {
                    Some(found_m) => self.centreline(check, subject, found_m),
                    None => self.check(check, subject),
                }
            })
            .collect()
    }

    fn stands(&self, check: &LandingCheck) -> bool {
        check.block.as_ref().is_none_or(|block| {
            let known = self.project.blocks.iter().find(|known| known.id == *block);
            known.is_some_and(|known| known.stands_in(&self.position.id))
        })
    }

    /// A check of the centreline against the offset that the position gives it there. How far the position lies
    /// from its plan is a finding of the position.
    fn centreline(&self, check: &LandingCheck, subject: Subject, found_m: f64) -> Finding {
        let id = &self.position.id;
        let bound = self.project.docking.bounds.tolerance("landing_check");
        let block = check.block.as_deref();
        let at = block.map(|block| format!(" at {block}")).unwrap_or_default();
        let flagged = match check.as_planned {
            Some(false) => "; the checker did not find it as planned",
            _ => "",
        };
        let offset = if self.stands(check) { self.offset_of_keel(check) } else { Ok(None) };
        let (sentence, outcome) = match (&offset, bound) {
            (Ok(None), _) => (
                text!(
                    "A check of the centreline is recorded{} in {}, and that block did not stand there.",
                    at,
                    id
                ),
                Outcome::Differs,
            ),
            (Err(why), _) => (
                text!(
                    "The check of the centreline{} in {} can't be held against the position: {}.",
                    at,
                    id,
                    why
                ),
                Outcome::NotRecorded,
            ),
            (Ok(Some(_)), None) => (
                text!(
                    "The check of the centreline{} in {} has no tolerance to be held to.",
                    at,
                    id
                ),
                Outcome::NotRecorded,
            ),
            (Ok(Some(offset_m)), Some(bound)) => {
                match judge::compare(found_m, *offset_m, bound.value) {
                    Outcome::Agrees => (
                        text!(
                            "The check of the centreline{} agrees with where she lay in {}{}.",
                            at,
                            id,
                            flagged
                        ),
                        Outcome::Agrees,
                    ),
                    other => (
                        text!(
                            "The check of the centreline{} is {} from where she lay in {}{}.",
                            at,
                            Figure::length((found_m - offset_m).abs()),
                            id,
                            flagged
                        ),
                        other,
                    ),
                }
            }
        };
        let finding = Finding::new(subject, sentence, outcome)
            .recorded(Figure::length(found_m))
            .recomputed(offset.ok().flatten().map(Figure::length))
            .by(&CENTRELINE)
            .from([&check.place])
            .from([&self.position.place]);
        match bound {
            Some(bound) => finding.against(bound),
            None => finding,
        }
    }

    /// Offset of the keel's centreline over the block of a check, m, from the line against which it was
    /// checked; or why it can't be known.
    fn offset_of_keel(&self, check: &LandingCheck) -> Result<Option<f64>, &'static str> {
        let block = check.block.as_ref().ok_or("at which block it was made was not recorded")?;
        let block = self.project.blocks.iter().find(|known| known.id == *block);
        let Some(block) = block else { return Ok(None) };
        let out = &self.recomputed.positions[self.number];
        let lie = out.lie.ok_or("where she lay was not recorded")?;
        if out.yaw_unknown {
            return Err("her yaw is not known");
        }
        // The plan's offset, as the check's own planned value has it, tells which line that is.
        let line_m = match (self.position.planned_offset_m, check.planned_m) {
            (Some(in_dock), Some(from_line)) => in_dock - from_line,
            _ => 0.0,
        };
        Ok(Some(centreline_at_m(&lie, block.cap.centre.x) - line_m))
    }

    fn check(&self, check: &LandingCheck, subject: Subject) -> Finding {
        let id = &self.position.id;
        let bounds = &self.project.docking.bounds;
        let tolerance = bounds.tolerance("landing_check");
        let rise = bounds.limit("end_gap").filter(|_| check.check == "end-gap");
        let words = called(&check.check);
        let at = check.block.as_ref().map(|block| format!(" at {block}")).unwrap_or_default();
        let folded = |text: &Option<String>| text.as_ref().map(|text| text.trim().to_lowercase());
        let (sentence, outcome) = if !self.stands(check) {
            (
                text!(
                    "A {} is recorded{} in {}, and that block did not stand there.",
                    words,
                    at,
                    id
                ),
                Outcome::Differs,
            )
        } else if let (Some(found), Some(rise)) = (check.recorded_m, rise) {
            let beyond = judge::exceeds(found.abs(), rise.value);
            (
                text!(
                    "The end that does not bear stood {} clear{} in {}.",
                    Figure::length(found),
                    at,
                    id
                ),
                if beyond { Outcome::BeyondLimit } else { Outcome::Agrees },
            )
        } else if let (Some(planned), Some(found), Some(tolerance)) =
            (check.planned_m, check.recorded_m, tolerance)
        {
            match judge::compare(planned, found, tolerance.value) {
                Outcome::Agrees => {
                    (text!("The {}{} in {} is as planned.", words, at, id), Outcome::Agrees)
                }
                other => (
                    text!(
                        "The {}{} in {} is {} from what was planned.",
                        words,
                        at,
                        id,
                        Figure::length((planned - found).abs())
                    ),
                    other,
                ),
            }
        } else if let Some(as_planned) = check.as_planned {
            if as_planned {
                (text!("The {}{} in {} was found as planned.", words, at, id), Outcome::Agrees)
            } else {
                (text!("The {}{} in {} was not found as planned.", words, at, id), Outcome::Differs)
            }
        } else {
            match (folded(&check.planned), folded(&check.recorded)) {
                (Some(planned), Some(found)) if planned == found => {
                    (text!("The {}{} in {} is as planned.", words, at, id), Outcome::Agrees)
                }
                (Some(_), Some(_)) => (
                    text!(
                        "Whether the {}{} in {} was as planned was not recorded, and the words \
                         for the two differ.",
                        words,
                        at,
                        id
                    ),
                    Outcome::NotRecorded,
                ),
                (None, Some(_)) => (
                    text!("What was planned for the {}{} in {} was not recorded.", words, at, id),
                    Outcome::NotRecorded,
                ),
                (_, None) => (
                    text!("What the {}{} in {} found was not recorded.", words, at, id),
                    Outcome::NotRecorded,
                ),
            }
        };
        let text = |length: Option<f64>, words: &Option<String>| {
            length.map(Figure::length).or_else(|| words.clone().map(Figure::words))
        };
        let finding = Finding::new(subject, sentence, outcome)
            .recorded(text(check.recorded_m, &check.recorded))
            .recomputed(text(check.planned_m, &check.planned))
            .from([&check.place]);
        match (rise, tolerance.filter(|_| check.recorded_m.is_some())) {
            (Some(rise), _) => finding.against(rise),
            (None, Some(tolerance)) => finding.against(tolerance),
            (None, None) => finding,
        }
    }
}
