//! Paint used against what the film takes, and wet film against dry.

use super::{ApplicationFindings, area_words};
use crate::calc::paint::{DRY_FROM_WET, EXPECTED};
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::judge;
use crate::findings::recomputed::coating::applied::{Applied, TOO_LITTLE_M2};
use crate::findings::subject::Subject;
use crate::records::bounds::{Bound, Sort};
use crate::text;
use crate::units::Quantity;

impl ApplicationFindings<'_> {
    pub(super) fn paint(&self) -> Vec<Finding> {
        self.used().into_iter().chain([self.wet_film()]).collect()
    }

    fn used(&self) -> Option<Finding> {
        let bounds = &self.project().docking.bounds;
        let (least, greatest) = (bounds.limit("paint_least"), bounds.limit("paint_greatest"));
        let against = between(least, greatest)?;
        let Applied { expected_l: expected, used_pct: ratio, .. } = *self.applied();
        let words = self.words();
        let under = |ratio: f64| least.is_some_and(|least| judge::falls_short(ratio, least.value));
        let over =
            |ratio: f64| greatest.is_some_and(|greatest| judge::exceeds(ratio, greatest.value));
        let litres = |value| Figure::of(value, Quantity::Volume);
        let (sentence, outcome) = match ratio {
            None => (
                text!(
                    "Paint used for {} can't be held against what it takes: {}.",
                    words,
                    self.why_no_ratio()
                ),
                Outcome::NotRecorded,
            ),
            Some(ratio) => (
                text!(
                    "{} used {} of the paint that its film takes on the {} that it reached.",
                    words,
                    [least, greatest]
                        .into_iter()
                        .flatten()
                        .fold(Figure::ratio(ratio), |ratio, limit| {
                            ratio.apart_from(&Figure::bound(limit))
                        }),
                    area_words(self.applied().reached_m2)
                ),
                if under(ratio) || over(ratio) { Outcome::BeyondLimit } else { Outcome::Agrees },
            ),
        };
        let finding = Finding::new(self.about(Subject::Paint), sentence, outcome)
            .recorded(self.coat.used_l.map(litres))
            .recomputed(expected.map(litres))
            .by(&EXPECTED)
            .from([&self.coat.place])
            .from(self.scheme().map(|row| &row.place));
        Some(finding.against(against))
    }

    /// What is not known, or too little, for paint used to be held against paint expected.
    fn why_no_ratio(&self) -> &'static str {
        let applied = self.applied();
        match applied.reached_m2 {
            _ if self.coat.used_l.is_none() => "how much was used was not recorded",
            None => "on how much steel it went is not known",
            Some(reached) if reached < TOO_LITTLE_M2 => {
                "by the record it reached no steel, or less than 0.001 m\u{b2}"
            }
            Some(_) if applied.volume_solids_pct.is_none() => {
                "the volume solids of its product were not recorded"
            }
            Some(_) => "its nominal film was not recorded",
        }
    }

    fn wet_film(&self) -> Finding {
        let tolerance = self.project().docking.bounds.tolerance("wet_film");
        let Applied { dry_from_wet_m: dry, nominal_m: nominal, .. } = *self.applied();
        let words = self.words();
        let (sentence, outcome) = match (dry, nominal, tolerance) {
            (Some(dry), Some(nominal), Some(tolerance)) => {
                let off_pct = 100.0 * (dry - nominal).abs() / nominal;
                let agrees = !judge::exceeds(off_pct, tolerance.value);
                (
                    text!(
                        "The wet film of {} leaves {} dry; {} is nominal.",
                        words,
                        Figure::film(dry),
                        Figure::film(nominal)
                    ),
                    if agrees { Outcome::Agrees } else { Outcome::Differs },
                )
            }
            _ => (
                text!(
                    "The wet film of {} was not recorded, or what it leaves is not known.",
                    words
                ),
                Outcome::NotRecorded,
            ),
        };
        let finding = Finding::new(self.about(Subject::WetFilm), sentence, outcome)
            .recorded(self.coat.wet_film_m.map(Figure::film))
            .recomputed(dry.map(Figure::film))
            .by(&DRY_FROM_WET)
            .from([&self.coat.place])
            .from(self.scheme().map(|row| &row.place));
        match tolerance {
            Some(tolerance) => finding.against(tolerance),
            None => finding,
        }
    }
}

/// Two limits as one; `None` where neither is stated.
fn between(least: Option<&Bound>, greatest: Option<&Bound>) -> Option<Against> {
    match (least, greatest) {
        (Some(least), Some(greatest)) => Some(Against {
            sort: Sort::Limit,
            name: "paint used".to_string(),
            value: Figure::words(text!("{} to {}", Figure::bound(least), Figure::bound(greatest))),
            source: least.source.clone(),
        }),
        (one, other) => one.or(other).map(Against::from),
    }
}
