//! What the steel was before a coat, against what the scheme asks.

use super::{ApplicationFindings, Coats, area_words, span};
use crate::calc::preparation::{GRADE, Grade, at_least};
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::judge::{self, Side};
use crate::findings::recomputed::coating::applied::Prepared;
use crate::findings::recomputed::coating::film::{Why, wrong_place};
use crate::findings::recomputed::coating::hours;
use crate::findings::subject::Subject;
use crate::records::bounds::Sort;
use crate::records::preparation::Preparation;
use crate::records::scheme::SchemeCoat;
use crate::text;
use crate::text::ToText;
use crate::units::Quantity;

impl ApplicationFindings<'_> {
    pub(super) fn preparation(&self) -> Vec<Finding> {
        let Some(prepared) = &self.applied().prepared else { return Vec::new() };
        let row = &self.project().scheme[prepared.asked];
        let mut found = vec![self.covered(prepared, row)];
        found.extend(self.grade(row, prepared));
        let before = &row.before;
        if before.least_profile_m.is_some() || before.greatest_profile_m.is_some() {
            found.push(self.profile(row, prepared));
        }
        if let Some(greatest) = before.greatest_salts_mg_m2 {
            let figure = |value| Figure::of(value, Quantity::SurfaceDensity);
            found.push(self.not_over(
                row,
                prepared,
                Subject::Salts,
                "salts",
                greatest,
                &figure,
                |c| c.salts_mg_m2,
            ));
        }
        if let Some(greatest) = before.greatest_dust {
            let figure = |value: f64| Figure::words(crate::units::nine_digits(value));
            found.push(self.not_over(
                row,
                prepared,
                Subject::Dust,
                "dust",
                greatest,
                &figure,
                |check| check.dust,
            ));
        }
        found.extend(self.age_of_preparation(prepared));
        found
    }

    fn covered(&self, prepared: &Prepared, row: &SchemeCoat) -> Finding {
        let words = self.words();
        let bare = area_words(prepared.uncovered_m2);
        let (sentence, outcome) = if !prepared.uncovered {
            (text!("All the steel of {} had been prepared.", words), Outcome::Agrees)
        } else if prepared.afterwards {
            (
                text!("{} went on {} before its preparation was recorded.", words, bare),
                Outcome::Differs,
            )
        } else {
            (
                text!("How {} was prepared for {} was not recorded.", bare, words),
                Outcome::NotRecorded,
            )
        };
        Finding::new(self.about(Subject::Covered), sentence, outcome)
            .recomputed(prepared.uncovered_m2.map(Figure::area))
            .from([&self.coat.place, &row.place])
            .from(prepared.checks.iter().map(|at| &self.project().preparation[*at].place))
    }

    /// The least clean grade that was recorded.
    fn grade(&self, row: &SchemeCoat, prepared: &Prepared) -> Option<Finding> {
        let word = row.before.grade.as_deref()?;
        let wanted = Grade::recorded(word)?;
        let reaches =
            |check: &Preparation| Some(at_least(Grade::recorded(check.grade.as_deref()?)?, wanted));
        let found: Vec<(&Preparation, Option<bool>)> =
            prepared.read(self.project(), reaches).collect();
        let short = found.iter().find(|(_, reaches)| *reaches == Some(false));
        let compared = found.iter().find(|(_, reaches)| *reaches == Some(true));
        let shown = |check: &Preparation| {
            Grade::printed(check.grade.as_deref().unwrap_or_default()).to_string()
        };
        let words = self.words();
        let (sentence, outcome, check) = match (short, compared, found.first()) {
            (Some((check, _)), ..) => (
                text!(
                    "The steel for {} reached {}, and {} is asked.",
                    words,
                    shown(check),
                    Grade::printed(word)
                ),
                Outcome::BeyondLimit,
                Some(*check),
            ),
            (None, Some((check, _)), _) => {
                (text!("The steel for {} reached the grade.", words), Outcome::Agrees, Some(*check))
            }
            (None, None, Some((check, _))) => (
                text!(
                    "The steel for {} reached {}, which can't be compared with {}.",
                    words,
                    shown(check),
                    Grade::printed(word)
                ),
                Outcome::NotRecorded,
                Some(*check),
            ),
            (None, None, None) => (
                text!("The grade of the steel for {} was not recorded.", words),
                Outcome::NotRecorded,
                None,
            ),
        };
        Some(
            Finding::new(self.about(Subject::Grade), sentence, outcome)
                .recorded(check.map(|check| Figure::words(shown(check))))
                .against(asked(row, "grade", Figure::words(Grade::printed(word))))
                .by(&GRADE)
                .from([&self.coat.place])
                .from(found.iter().map(|(check, _)| &check.place)),
        )
    }

    fn profile(&self, row: &SchemeCoat, prepared: &Prepared) -> Finding {
        let (least, greatest) = (row.before.least_profile_m, row.before.greatest_profile_m);
        let read: Vec<(&Preparation, f64)> =
            prepared.read(self.project(), |check| check.profile_m).collect();
        let outside = |value: f64| {
            let under = least.map_or(0.0, |least| least - value);
            let over = greatest.map_or(0.0, |greatest| value - greatest);
            under.max(over)
        };
        let worst = read
            .iter()
            .reduce(|known, new| if outside(new.1) > outside(known.1) { new } else { known });
        let words = self.words();
        let (sentence, outcome) = match worst {
            None => (
                text!("The profile of the steel for {} was not recorded.", words),
                Outcome::NotRecorded,
            ),
            Some((_, value)) if outside(*value) > 1e-12 => {
                let bounds = [least, greatest].into_iter().flatten().map(Figure::film);
                let found =
                    bounds.fold(Figure::film(*value), |found, bound| found.apart_from(&bound));
                (text!("A profile of the steel for {} was {}.", words, found), Outcome::BeyondLimit)
            }
            Some(_) => {
                (text!("The profile of the steel for {} was as required.", words), Outcome::Agrees)
            }
        };
        let bound = |value: Option<f64>| {
            value.map_or("any".into(), |value| Figure::film(value).as_stated().to_text())
        };
        let between = text!("{} to {}", bound(least), bound(greatest));
        Finding::new(self.about(Subject::Profile), sentence, outcome)
            .recorded(worst.map(|(_, value)| Figure::film(*value)))
            .against(asked(row, "profile", Figure::words(between)))
            .from([&self.coat.place])
            .from(read.iter().map(|(check, _)| &check.place))
    }

    fn not_over(
        &self,
        row: &SchemeCoat,
        prepared: &Prepared,
        subject: fn(String) -> Subject,
        what: &str,
        greatest: f64,
        figure: &dyn Fn(f64) -> Figure,
        value: fn(&Preparation) -> Option<f64>,
    ) -> Finding {
        let read: Vec<(&Preparation, f64)> = prepared.read(self.project(), value).collect();
        let worst = read.iter().reduce(|known, new| if new.1 > known.1 { new } else { known });
        let words = self.words();
        let (sentence, outcome) = match worst {
            None => (
                text!("The {} on the steel for {} was not recorded.", what, words),
                Outcome::NotRecorded,
            ),
            Some((_, value)) if judge::exceeds(*value, greatest) => (
                text!(
                    "The {} on the steel for {} came to {}.",
                    what,
                    words,
                    figure(*value).apart_from(&figure(greatest))
                ),
                Outcome::BeyondLimit,
            ),
            Some(_) => {
                (text!("The {} on the steel for {} was as required.", what, words), Outcome::Agrees)
            }
        };
        Finding::new(self.about(subject), sentence, outcome)
            .recorded(worst.map(|(_, value)| figure(*value)))
            .against(asked(row, what, figure(greatest)))
            .from([&self.coat.place])
            .from(read.iter().map(|(check, _)| &check.place))
    }

    fn age_of_preparation(&self, prepared: &Prepared) -> Option<Finding> {
        let limit = self.project().docking.bounds.limit("preparation_age")?;
        let words = self.words();
        let (sentence, outcome) = match prepared.age_h {
            None => (
                text!("How long before {} the steel was prepared was not recorded.", words),
                Outcome::NotRecorded,
            ),
            Some(age) => (
                text!("{} began {} after the last check of the steel.", words, span(age)),
                judge::hold(age, limit.value, Side::AtMost),
            ),
        };
        Some(
            Finding::new(self.about(Subject::PreparationAge), sentence, outcome)
                .recomputed(prepared.age_h.map(Figure::duration))
                .against(limit)
                .from([&self.coat.place])
                .from(prepared.last.map(|check| &self.project().preparation[check].place)),
        )
    }
}

impl Coats<'_> {
    /// Preparation readings that were taken where none can have been.
    pub(super) fn preparation_places(&self) -> Vec<Finding> {
        let mut found = Vec::new();
        for (zone, history) in self.project.zones.iter().zip(&self.coating.zones) {
            let checks: Vec<&Preparation> =
                self.project.preparation.iter().filter(|check| check.zone == zone.id).collect();
            if checks.is_empty() {
                continue;
            }
            let wrong: Vec<(&Preparation, Why)> = checks
                .iter()
                .filter_map(|check| {
                    let hidden = &self.recomputed.hidden;
                    let at = check.at.map(hours);
                    Some((*check, wrong_place(history, hidden, check.hull, at)?))
                })
                .collect();
            let subject = Subject::PreparationPlaces(zone.id.clone());
            found.push(if wrong.is_empty() {
                let sentence = text!(
                    "The steel of {} was free and dry whenever its preparation was checked.",
                    zone.id
                );
                Finding::new(subject, sentence, Outcome::Agrees)
                    .from(checks.iter().map(|c| &c.place))
            } else {
                let sentence = text!(
                    "{} of the preparation checks of {} can't have been made: {}.",
                    wrong.len(),
                    zone.id,
                    crate::findings::film::why_words(
                        self.project,
                        wrong.iter().map(|(_, why)| *why)
                    )
                );
                Finding::new(subject, sentence, Outcome::Differs)
                    .from(wrong.iter().map(|(check, _)| &check.place))
            });
        }
        found
    }
}

fn asked(row: &SchemeCoat, name: &str, value: Figure) -> Against {
    Against {
        sort: Sort::Limit,
        name: name.to_string(),
        value,
        source: format!("the scheme, {}", row.place),
    }
}
