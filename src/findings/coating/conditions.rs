//! What the steel was before a coat, against what the scheme asks; the climate of each application; and recorded
//! dew points against recomputed ones.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{ApplicationFindings, Coats, area_words};
use crate::calc::climate::{COUNTED, DEW_POINT, MARGIN, dew_point_c};
use crate::calc::preparation::{GRADE, Grade};
use crate::findings::film::why_words;
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::judge::{
    Comparison, Limited, Side, agrees, beyond_limit, differs, exceeds, incomplete, not_recorded,
    unchecked,
};
use crate::findings::recomputed::coating::applied::Prepared;
use crate::findings::recomputed::coating::film::{Why, wrong_place};
use crate::findings::recomputed::coating::graded::reaches;
use crate::findings::recomputed::coating::hours;
use crate::findings::recomputed::measures::outside_m;
use crate::findings::subject::Subject;
use crate::records::climate::Climate;
use crate::records::preparation::Preparation;
use crate::records::scheme::{Before, SchemeCoat};
use crate::text;
use crate::text::{Form, Measure, Text, ToText, and};

/// A kind of figure for the salts on steel.
struct Salts {
    subject: fn(String) -> Subject,
    /// Its name as that of a limit.
    name: &'static str,
    /// What it is called in a sentence.
    called: &'static str,
    form: Form,
    limit: fn(&Before) -> Option<f64>,
    read: fn(&Preparation) -> Option<f64>,
}

/// Every kind.
const KINDS: [Salts; 3] = [
    Salts {
        subject: Subject::Salts,
        name: "salts",
        called: "total soluble salts",
        form: Form::SurfaceDensity,
        limit: |before| before.greatest_salts_mg_m2,
        read: |check| check.salts_mg_m2,
    },
    Salts {
        subject: Subject::Chloride,
        name: "chloride",
        called: "chloride",
        form: Form::SurfaceDensity,
        limit: |before| before.greatest_chloride_mg_m2,
        read: |check| check.chloride_mg_m2,
    },
    Salts {
        subject: Subject::Conductivity,
        name: "conductivity",
        called: "conductivity",
        form: Form::Conductivity,
        limit: |before| before.greatest_conductivity_us_cm,
        read: |check| check.conductivity_us_cm,
    },
];

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
        found.extend(KINDS.iter().filter_map(|kind| self.salts(prepared, kind)));
        if let Some(greatest) = before.greatest_dust {
            let figure = |value: f64| Figure::words(crate::units::nine_digits(value));
            found.push(self.not_over(
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
        let name = self.name();
        let uncovered = prepared.uncovered(&self.coat.name);
        let bare = area_words(uncovered);
        let judgement = match (prepared.uncovered, prepared.afterwards) {
            (false, _) => agrees(text!("All the steel of {} had been prepared.", name)),
            (true, true) => {
                differs(text!("{} went on {} before its preparation was recorded.", name, bare))
            }
            (true, false) => not_recorded(text!("how {} was prepared for {}", bare, name)),
        };
        judgement
            .finding(self.about(Subject::Covered))
            .recomputed(uncovered.map(Figure::Measure))
            .from([&self.coat.place, &row.place])
            .from(prepared.checks.iter().map(|at| &self.project().preparation[*at].place))
    }

    /// The least clean grade that was recorded.
    fn grade(&self, row: &SchemeCoat, prepared: &Prepared) -> Option<Finding> {
        let word = row.before.grade.as_deref()?;
        let judged = |check: &Preparation| Some(reaches(check.grade.as_deref()?, &row.before));
        let found: Vec<(&Preparation, Option<bool>)> =
            prepared.read(self.project(), judged).collect();
        let short = found.iter().find(|(_, reaches)| *reaches == Some(false));
        let unlike = found.iter().find(|(_, reaches)| reaches.is_none());
        let shown = |check: &Preparation| {
            Grade::printed(check.grade.as_deref().unwrap_or_default()).to_string()
        };
        let name = self.name();
        let grade = Grade::printed(word);
        let (judgement, check) = match (short, unlike, found.first()) {
            (Some((check, _)), ..) => {
                let sentence = text!(
                    "The steel for {} reached {}, and {} is asked.",
                    name,
                    shown(check),
                    grade
                );
                (beyond_limit(sentence), Some(*check))
            }
            (None, Some((check, _)), _) => {
                let sentence = text!(
                    "The steel for {} reached {}, which can't be compared with {}: the scheme does not say that it is accepted.",
                    name,
                    shown(check),
                    grade
                );
                (incomplete(sentence), Some(*check))
            }
            (None, None, Some((check, _))) => {
                (agrees(text!("The steel for {} reached the grade.", name)), Some(*check))
            }
            (None, None, None) => {
                (not_recorded(text!("the grade of the steel for {}", name)), None)
            }
        };
        Some(
            judgement
                .finding(self.about(Subject::Grade))
                .recorded(check.map(|check| Figure::words(shown(check))))
                .against(asked(row, "grade", Figure::words(grade)))
                .by(&GRADE)
                .from([&self.coat.place])
                .from(found.iter().map(|(check, _)| &check.place)),
        )
    }

    fn profile(&self, row: &SchemeCoat, prepared: &Prepared) -> Finding {
        let (least, greatest) = (row.before.least_profile_m, row.before.greatest_profile_m);
        let read = prepared.read(self.project(), |check| check.profile_m);
        let worst = prepared.worst_profile(self.project(), &self.coat.name);
        let name = self.name();
        let judgement = match worst {
            None => not_recorded(text!("the profile of the steel for {}", name)),
            Some(worst) if outside_m(worst.kept, least, greatest) > 1e-12 => {
                let bounds = [least, greatest].into_iter().flatten().map(Figure::film);
                let found =
                    bounds.fold(Figure::Measure(worst), |found, bound| found.apart_from(&bound));
                beyond_limit(text!("A profile of the steel for {} was {}.", name, found))
            }
            Some(_) => agrees(text!("The profile of the steel for {} was as required.", name)),
        };
        let bound = |value: Option<f64>| {
            value.map_or("any".into(), |value| Figure::film(value).as_stated().to_text())
        };
        let between = text!("{} to {}", bound(least), bound(greatest));
        judgement
            .finding(self.about(Subject::Profile))
            .recorded(worst.map(Figure::Measure))
            .against(asked(row, "profile", Figure::words(between)))
            .from([&self.coat.place])
            .from(read.map(|(check, _)| &check.place))
    }

    /// Salts of one kind against the scheme's limit of that kind. Those of another kind are never taken for them: how much
    /// chloride there is in so many salts, or in a conductivity, nobody knows.
    fn salts(&self, prepared: &Prepared, kind: &'static Salts) -> Option<Finding> {
        let greatest = (kind.limit)(&self.project().scheme[prepared.asked].before)?;
        let figure = |value| Figure::Measure(kind.form.measure(value));
        let found = self.not_over(prepared, kind.subject, kind.name, greatest, &figure, kind.read);
        let others = KINDS.iter().filter(|other| other.name != kind.name);
        let read = |other: &&Salts| prepared.read(self.project(), other.read).next().is_some();
        let others: Vec<&str> = others.filter(read).map(|other| other.called).collect();
        if found.outcome != Outcome::NotRecorded || others.is_empty() {
            return Some(found);
        }
        let subject = text!("the {} on the steel for {}", kind.called, self.name());
        let why = text!("{} is recorded, and the limit is of {}", and(&others), kind.called);
        Some(unchecked(subject, why).replace_in(found))
    }

    fn not_over(
        &self,
        prepared: &Prepared,
        about: fn(String) -> Subject,
        what: &str,
        greatest: f64,
        figure: &dyn Fn(f64) -> Figure,
        value: fn(&Preparation) -> Option<f64>,
    ) -> Finding {
        let read: Vec<(&Preparation, f64)> = prepared.read(self.project(), value).collect();
        let worst = read.iter().reduce(|known, new| if new.1 > known.1 { new } else { known });
        let name = self.name();
        let were = if what == "salts" { "were" } else { "was" };
        let subject = text!("The {} on the steel for {} {}", what, name, were);
        let judgement = match worst {
            None => incomplete(text!("{} not recorded.", subject)),
            Some((_, value)) if exceeds(*value, greatest) => beyond_limit(text!(
                "{} {}, over the limit of {}.",
                subject,
                figure(*value).apart_from(&figure(greatest)),
                figure(greatest).as_stated()
            )),
            Some(_) => agrees(text!("{} as required.", subject)),
        };
        judgement
            .finding(self.about(about))
            .recorded(worst.map(|(_, value)| figure(*value)))
            .against(asked(&self.project().scheme[prepared.asked], what, figure(greatest)))
            .from([&self.coat.place])
            .from(read.iter().map(|(check, _)| &check.place))
    }

    fn age_of_preparation(&self, prepared: &Prepared) -> Option<Finding> {
        let limit = self.project().docking.bounds.limit("preparation_age")?;
        let last = prepared.last.map(|check| &self.project().preparation[check].place);
        Some(
            Limited {
                subject: text!("the time from the last check of the steel to {}", self.name()),
                value: prepared
                    .age(&self.coat.name)
                    .ok_or_else(|| "when the steel was prepared was not recorded".into()),
                limit: Some((limit.into(), Side::AtMost)),
            }
            .finding(self.about(Subject::PreparationAge))
            .from([&self.coat.place])
            .from(last),
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
            let about = Subject::PreparationPlaces(zone.id.clone());
            found.push(if wrong.is_empty() {
                agrees(text!(
                    "The steel of {} was free and dry whenever its preparation was checked.",
                    zone.id
                ))
                .finding(about)
                .from(checks.iter().map(|check| &check.place))
            } else {
                differs(text!(
                    "{} of the {} preparation checks of {} can't have been made: {}.",
                    wrong.len(),
                    checks.len(),
                    zone.id,
                    why_words(self.project, wrong.iter().map(|(_, why)| *why))
                ))
                .finding(about)
                .from(wrong.iter().map(|(check, _)| &check.place))
            });
        }
        found
    }
}

fn asked(row: &SchemeCoat, name: &str, value: Figure) -> Against {
    Against::limit(name, value, format!("the scheme, {}", row.place))
}

impl ApplicationFindings<'_> {
    pub(super) fn climate(&self) -> Vec<Finding> {
        vec![self.margin(), self.humidity(), self.age()]
    }

    fn margin(&self) -> Finding {
        let worst = self.applied().climate.and_then(|worst| worst.least_margin_k);
        self.limited(
            self.bound("dew_point_margin"),
            Subject::ClimateMargin,
            text!("the steel's least margin over the dew point for {}", self.name()),
            self.applied().least_margin(&self.coat.name),
            Side::AtLeast,
        )
        .by(&MARGIN)
        .from(self.reading(worst).map(|reading| &reading.place))
    }

    /// Against the project's limit, the product's own in place of a default, and the lower of two that are stated.
    fn humidity(&self) -> Finding {
        let worst = self.applied().climate.and_then(|worst| worst.highest_humidity_pct);
        let highest = self.applied().highest_humidity(&self.coat.name);
        let product = self.project().products.product(&self.coat.product);
        let own = product.and_then(|product| Some((product, product.greatest_humidity_pct?)));
        let general = self.project().docking.bounds.limit("humidity");
        let own = own.filter(|(_, own)| {
            general.is_none_or(|general| general.place.is_none() || *own < general.value)
        });
        let limit = match own {
            Some((product, own)) => Some(Against::limit(
                "greatest_humidity",
                Figure::ratio(own),
                format!("{}, {}", product.id, product.place),
            )),
            None => general.map(Against::from),
        };
        self.limited(
            limit,
            Subject::ClimateHumidity,
            text!("the highest humidity for {}", self.name()),
            highest,
            Side::AtMost,
        )
        // It was read, and not worked out.
        .recorded(highest.map(Figure::Measure))
        .recomputed(None)
        .by(&COUNTED)
        .from(self.reading(worst).map(|reading| &reading.place))
        .from(own.map(|(product, _)| &product.place))
    }

    fn age(&self) -> Finding {
        self.limited(
            self.bound("climate_age"),
            Subject::ClimateAge,
            text!("the longest time from {} to a climate reading", self.name()),
            self.applied().climate_age(&self.coat.name),
            Side::AtMost,
        )
        .by(&COUNTED)
    }

    /// The worst of an application's climate against its limit.
    fn limited(
        &self,
        limit: Option<Against>,
        about: fn(String) -> Subject,
        subject: Text,
        worst: Option<Measure>,
        side: Side,
    ) -> Finding {
        Limited {
            subject,
            value: worst.ok_or_else(|| match self.coat.began {
                Some(_) => text!("no climate reading that serves it gives it"),
                None => text!("when it was applied was not recorded"),
            }),
            limit: limit.map(|limit| (limit, side)),
        }
        .finding(self.about(about))
        .from([&self.coat.place])
    }

    /// A limit of the project.
    fn bound(&self, name: &str) -> Option<Against> {
        self.project().docking.bounds.limit(name).map(Against::from)
    }

    /// The reading that a worst figure comes from.
    fn reading(&self, worst: Option<(f64, usize)>) -> Option<&Climate> {
        let at = self.applied().readings.get(worst?.1)?;
        self.project().climate.get(*at)
    }
}

impl Coats<'_> {
    /// Dew points as written down against those recomputed, day by day.
    pub(super) fn dew_points(&self) -> Vec<Finding> {
        let Some(tolerance) = self.project.docking.bounds.tolerance("dew_point") else {
            return Vec::new();
        };
        let mut days: BTreeMap<NaiveDate, Vec<(&Climate, f64, f64)>> = BTreeMap::new();
        for reading in &self.project.climate {
            let (Some(air), Some(humidity), Some(recorded)) =
                (reading.air_c, reading.humidity_pct, reading.dew_point_c)
            else {
                continue;
            };
            if let Some(recomputed) = dew_point_c(air, humidity) {
                let day = reading.at.date_naive();
                days.entry(day).or_default().push((reading, recorded, recomputed));
            }
        }
        days.into_iter()
            .filter_map(|(day, readings)| {
                let off = |(_, recorded, recomputed): &(&Climate, f64, f64)| {
                    (recorded - recomputed).abs()
                };
                let worst = readings
                    .iter()
                    .reduce(|known, new| if off(new) > off(known) { new } else { known })?;
                let (reading, recorded, recomputed) = *worst;
                let among = match readings.len() {
                    1 => "the dew point".to_string(),
                    n => format!("the worst of the {n} dew points"),
                };
                Some(
                    Comparison {
                        subject: text!("{} recorded on {}", among, day),
                        recorded: Some(Form::Temperature.measure(recorded)),
                        recomputed: Some(Form::Temperature.measure(recomputed)),
                        source: text!("what air and humidity give"),
                        why_not: Text::new(),
                        tolerance,
                    }
                    .finding(Subject::DewPoints(day.to_string()))
                    .by(&DEW_POINT)
                    .from([&reading.place]),
                )
            })
            .collect()
    }
}
