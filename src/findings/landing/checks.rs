//! Landing checks, planned against found.

use super::One;
use crate::findings::finding::{Figure, Finding, Outcome, within};
use crate::findings::naming::{Named, told_apart};
use crate::records::checks::{LandingCheck, called};

fn named(check: &LandingCheck) -> Named<'_> {
    let of = check.block.as_ref().map(|block| format!(".{block}")).unwrap_or_default();
    let LandingCheck { planned, recorded, planned_m, recorded_m, as_planned, .. } = check;
    Named {
        base: format!("check.{}{of}", check.check),
        sort: "",
        at: check.at,
        by: check.by.as_deref(),
        read: format!("{recorded_m:?} {recorded:?} {planned_m:?} {planned:?} {as_planned:?}"),
    }
}

impl One<'_> {
    /// Each landing check, planned against found.
    pub(super) fn checks(&self) -> Vec<Finding> {
        let id = &self.position.id;
        let checks: Vec<&LandingCheck> =
            self.project.checks.iter().filter(|check| check.position == *id).collect();
        let named: Vec<Named<'_>> = checks.iter().map(|check| named(check)).collect();
        let names = told_apart(&named);
        checks.iter().zip(names).map(|(check, name)| self.check(check, &name)).collect()
    }

    fn check(&self, check: &LandingCheck, name: &str) -> Finding {
        let id = &self.position.id;
        let bounds = &self.project.docking.bounds;
        let tolerance = bounds.tolerance("landing_check");
        let rise = bounds.limit("end_gap").filter(|_| check.check == "end-gap");
        let words = called(&check.check);
        let at = check.block.as_ref().map(|block| format!(" at {block}")).unwrap_or_default();
        let stands = check.block.as_ref().is_none_or(|block| {
            self.project.blocks.iter().any(|known| known.id == *block && known.stands_in(id))
        });
        let folded = |text: &Option<String>| text.as_ref().map(|text| text.trim().to_lowercase());
        let (sentence, outcome) = if !stands {
            (
                format!("A {words} is recorded{at} in {id}, and that block did not stand there."),
                Outcome::Differs,
            )
        } else if let (Some(found), Some(rise)) = (check.recorded_m, rise) {
            let beyond = found.abs() > rise.value + 1e-9;
            (
                format!(
                    "The end that does not bear stood {} clear{at} in {id}.",
                    Figure::length(found)
                ),
                if beyond { Outcome::BeyondLimit } else { Outcome::Agrees },
            )
        } else if let (Some(planned), Some(found), Some(tolerance)) =
            (check.planned_m, check.recorded_m, tolerance)
        {
            match within(planned, found, tolerance.value) {
                Outcome::Agrees => {
                    (format!("The {words}{at} in {id} is as planned."), Outcome::Agrees)
                }
                other => (
                    format!(
                        "The {words}{at} in {id} is {} from what was planned.",
                        Figure::length((planned - found).abs())
                    ),
                    other,
                ),
            }
        } else if let Some(as_planned) = check.as_planned {
            if as_planned {
                (format!("The {words}{at} in {id} was found as planned."), Outcome::Agrees)
            } else {
                (format!("The {words}{at} in {id} was not found as planned."), Outcome::Differs)
            }
        } else {
            match (folded(&check.planned), folded(&check.recorded)) {
                (Some(planned), Some(found)) if planned == found => {
                    (format!("The {words}{at} in {id} is as planned."), Outcome::Agrees)
                }
                (Some(_), Some(_)) => (
                    format!(
                        "Whether the {words}{at} in {id} was as planned was not recorded, and the words \
                         for the two differ."
                    ),
                    Outcome::NotRecorded,
                ),
                (None, Some(_)) => (
                    format!("What was planned for the {words}{at} in {id} was not recorded."),
                    Outcome::NotRecorded,
                ),
                (_, None) => (
                    format!("What the {words}{at} in {id} found was not recorded."),
                    Outcome::NotRecorded,
                ),
            }
        };
        let text = |length: Option<f64>, words: &Option<String>| {
            length.map(Figure::length).or_else(|| words.clone().map(Figure::Words))
        };
        let finding = Finding::new(self.id(name), sentence, outcome)
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
