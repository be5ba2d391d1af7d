//! Landing checks, planned against found; of the centreline, found against where she lay.

use super::PositionFindings;
use crate::calc::positions::{CENTRELINE, centreline_at_m};
use crate::findings::finding::{Figure, Finding};
use crate::findings::judge::{
    Comparison, Judgement, Limited, Side, agrees, differs, incomplete, not_recorded, unchecked,
};
use crate::findings::naming::{Named, distinct_ids};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::checks::{LandingCheck, called};
use crate::text;
use crate::text::{Form, Text};

fn named(check: &LandingCheck) -> Named<'_> {
    let block = check.block.as_ref().map(|block| format!(".{block}")).unwrap_or_default();
    let LandingCheck { planned, recorded, planned_m, recorded_m, as_planned, .. } = check;
    Named {
        base: format!("{}{block}", check.check),
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
    let in_position = project.checks.iter().filter(|check| check.position == position);
    let checks: Vec<&LandingCheck> = in_position.collect();
    let names = distinct_ids(&checks.iter().map(|check| named(check)).collect::<Vec<_>>());
    let subjects = names.into_iter().map(|name| Subject::LandingCheck(position.to_string(), name));
    checks.into_iter().zip(subjects.collect::<Vec<_>>())
}

impl PositionFindings<'_> {
    /// Each landing check, planned against found.
    pub(super) fn checks(&self) -> Vec<Finding> {
        landing_checks(self.project, &self.position.id)
            .map(|(check, about)| match check.recorded_m.filter(|_| check.check == "centreline") {
                Some(found_m) => self.centreline(check, about, found_m),
                None => self.check(check, about),
            })
            .collect()
    }

    fn stands(&self, check: &LandingCheck) -> bool {
        check.block.as_ref().is_none_or(|block| {
            let known = self.project.blocks.iter().find(|known| known.id == *block);
            known.is_some_and(|known| known.stands_in(&self.position.id))
        })
    }

    /// What a check is called in a sentence: `the wedge at K1 in P1`.
    fn subject(&self, check: &LandingCheck) -> Text {
        let at = check.block.as_ref().map(|block| format!(" at {block}")).unwrap_or_default();
        text!("the {}{} in {}", called(&check.check), at, self.position.id)
    }

    fn not_standing(&self, check: &LandingCheck) -> Judgement {
        differs(text!(
            "{} is recorded, and that block did not stand there.",
            self.subject(check).capitalized()
        ))
    }

    /// A check of the centreline against the offset that the position gives it there. How far the position lies
    /// from its plan is a finding of the position.
    fn centreline(&self, check: &LandingCheck, about: Subject, found_m: f64) -> Finding {
        let tolerance = self.project.docking.bounds.tolerance("landing_check");
        let offset = if self.stands(check) { self.offset_of_keel(check) } else { Ok(None) };
        let offset_m = offset.ok().flatten();
        let subject = text!("the check of {}", self.subject(check));
        let judgement = match (offset, tolerance) {
            (Ok(None), _) => self.not_standing(check),
            (_, None) => unchecked(subject, "no tolerance is stated"),
            (offset, Some(tolerance)) => {
                let mut judgement = Comparison {
                    subject,
                    recorded: Some(Form::Length.measure(found_m)),
                    recomputed: offset_m.map(|kept| Form::Length.measure(kept)),
                    source: text!("where she lay"),
                    why_not: offset.err().unwrap_or_default().into(),
                    tolerance,
                }
                .judge();
                if offset_m.is_some() && check.as_planned == Some(false) {
                    judgement.sentence.push(" The checker did not find it as planned.");
                }
                judgement
            }
        };
        judgement
            .finding(about)
            .recorded(Figure::length(found_m))
            .recomputed(offset_m.map(Figure::length))
            .by(&CENTRELINE)
            .from([&check.place])
            .from([&self.position.place])
            .against_any(tolerance)
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

    fn check(&self, check: &LandingCheck, about: Subject) -> Finding {
        let bounds = &self.project.docking.bounds;
        let tolerance = bounds.tolerance("landing_check");
        let rise = bounds.limit("end_gap").filter(|_| check.check == "end-gap");
        let subject = self.subject(check);
        let folded = |text: &Option<String>| text.as_ref().map(|text| text.trim().to_lowercase());
        let (planned_m, found_m) = (check.planned_m, check.recorded_m);
        let measure = |kept| Form::Length.measure(kept);
        let judgement = if !self.stands(check) {
            self.not_standing(check)
        } else if let (Some(found_m), Some(rise)) = (found_m, rise) {
            Limited {
                subject,
                value: Ok(measure(found_m)),
                limit: Some((rise.into(), Side::EitherWay)),
            }
            .judge()
        } else if let (Some(planned_m), Some(found_m), Some(tolerance)) =
            (planned_m, found_m, tolerance)
        {
            Comparison {
                subject,
                recorded: Some(measure(found_m)),
                recomputed: Some(measure(planned_m)),
                source: text!("what was planned"),
                why_not: Text::new(),
                tolerance,
            }
            .judge()
        } else {
            let subject = subject.capitalized();
            match (check.as_planned, folded(&check.planned), folded(&check.recorded)) {
                (Some(true), ..) => agrees(text!("{} was found as planned.", subject)),
                (Some(false), ..) => differs(text!("{} was not found as planned.", subject)),
                (None, Some(planned), Some(found)) if planned == found => {
                    agrees(text!("{} is recorded as it was planned.", subject))
                }
                (None, Some(_), Some(_)) => incomplete(text!(
                    "{} is planned and recorded in different words, and whether it was as planned was not \
                     recorded.",
                    subject
                )),
                (None, None, Some(_)) => {
                    not_recorded(text!("what was planned for {}", self.subject(check)))
                }
                (None, _, None) => not_recorded(text!("what {} found", self.subject(check))),
            }
        };
        let text = |length: Option<f64>, words: &Option<String>| {
            length.map(Figure::length).or_else(|| words.clone().map(Figure::words))
        };
        let finding = judgement
            .finding(about)
            .recorded(text(check.recorded_m, &check.recorded))
            .recomputed(text(check.planned_m, &check.planned))
            .called("found", "planned")
            .from([&check.place]);
        finding.against_any(rise.or(tolerance.filter(|_| check.recorded_m.is_some())))
    }
}
