//! Zones, schemes, products, preparation, applications, climate and film.

use std::collections::BTreeSet;

use super::Section::Coating;
use super::Stage::BeforeFlooding;
use super::{List, Section, Stage};
use crate::findings::finding::{Finding, Outcome};
use crate::findings::subject::Subject;
use crate::records::coats::Application;
use crate::records::preparation::Preparation;
use crate::records::scheme::SchemeCoat;
use crate::records::{climate, coats, film, preparation, products, scheme, stripes, zones};

const HERE: (Section, Stage, Option<usize>) = (Coating, BeforeFlooding, None);

impl List<'_> {
    pub(super) fn coating(&mut self) {
        let project = self.project;
        if project.zones.is_empty() {
            self.ask(
                HERE,
                zones::SPEC.path,
                "the zones of the coating",
                [("a zone".to_string(), false)],
            );
        }
        let has_scheme = |zone: &str| project.scheme.iter().any(|coat| coat.zone == zone);
        self.ask(
            HERE,
            scheme::SPEC.path,
            "the scheme of every zone",
            project.zones.iter().map(|zone| (zone.id.clone(), has_scheme(&zone.id))),
        );
        self.products();
        self.preparation();
        self.applications();
        self.film();
    }

    fn products(&mut self) {
        let project = self.project;
        let products_with = |under_another: bool, has: &dyn Fn(&products::Product) -> bool| {
            let over = |coat: &SchemeCoat| {
                project.scheme.iter().any(|other| other.zone == coat.zone && other.coat > coat.coat)
            };
            let names: BTreeSet<&str> = project
                .scheme
                .iter()
                .filter(|coat| !under_another || over(coat))
                .map(|coat| coat.product.as_str())
                .collect();
            let known = |name: &str| project.products.product(name).is_some_and(has);
            names.into_iter().map(|name| (name.to_string(), known(name))).collect::<Vec<_>>()
        };
        let recoat = products_with(true, &|product| !product.recoat.is_empty());
        let immersion = products_with(false, &|product| product.least_to_immersion_h.is_some());
        self.ask(
            HERE,
            products::SPEC.path,
            "the recoat table of every product of a scheme that is coated over",
            recoat,
        );
        self.ask(
            HERE,
            products::SPEC.path,
            "the least time to immersion of every product of a scheme",
            immersion,
        );
    }

    /// The preparation that a scheme requires is owed once for each zone at the least.
    fn preparation(&mut self) {
        let project = self.project;
        type Asked = (&'static str, fn(&SchemeCoat) -> bool, fn(&Preparation) -> bool);
        let asked: [Asked; 6] = [
            ("grade", |coat| coat.before.grade.is_some(), |check| check.grade.is_some()),
            (
                "profile",
                |coat| {
                    coat.before.least_profile_m.is_some()
                        || coat.before.greatest_profile_m.is_some()
                },
                |check| check.profile_m.is_some(),
            ),
            (
                "salts",
                |coat| coat.before.greatest_salts_mg_m2.is_some(),
                |check| check.salts_mg_m2.is_some(),
            ),
            (
                "chloride",
                |coat| coat.before.greatest_chloride_mg_m2.is_some(),
                |check| check.chloride_mg_m2.is_some(),
            ),
            (
                "conductivity",
                |coat| coat.before.greatest_conductivity_us_cm.is_some(),
                |check| check.conductivity_us_cm.is_some(),
            ),
            ("dust", |coat| coat.before.greatest_dust.is_some(), |check| check.dust.is_some()),
        ];
        let mut things = Vec::new();
        for zone in &project.zones {
            for (name, asks, has) in asked {
                if project.scheme.iter().any(|coat| coat.zone == zone.id && asks(coat)) {
                    let mut checks = project.preparation.iter();
                    let found = checks.any(|check| check.zone == zone.id && has(check));
                    things.push((format!("{} {name}", zone.id), found));
                }
            }
        }
        self.ask(
            HERE,
            preparation::SPEC.path,
            "the surface preparation that the scheme of a zone requires",
            things,
        );
    }

    fn applications(&mut self) {
        let project = self.project;
        let applied = |coat: &SchemeCoat| {
            project.coats.iter().any(|done| done.zone == coat.zone && done.coat == coat.coat)
        };
        self.ask(
            HERE,
            coats::SPEC.path,
            "an application of every coat of every zone's scheme",
            project.scheme.iter().map(|coat| (name(&coat.zone, coat.coat), applied(coat))),
        );
        let striped = |coat: &SchemeCoat| {
            let mut stripes = project.stripes.iter();
            stripes.any(|stripe| stripe.zone == coat.zone && stripe.before_coat == coat.coat)
        };
        let asked = project.scheme.iter().filter(|coat| coat.stripe == Some(true));
        self.ask(
            HERE,
            stripes::SPEC.path,
            "a stripe coat wherever the scheme of a zone asks for one",
            asked.map(|coat| (name(&coat.zone, coat.coat), striped(coat))),
        );
        let every_application = |has: fn(&Application) -> bool| {
            project.coats.iter().map(move |coat| (coat.name.clone(), has(coat)))
        };
        self.ask(
            HERE,
            coats::SPEC.path,
            "when every application began and ended",
            every_application(|coat| coat.began.is_some() && coat.ended.is_some()),
        );
        self.ask(
            HERE,
            coats::SPEC.path,
            "the batch of every application",
            every_application(|coat| coat.batch.is_some()),
        );
        self.ask(
            HERE,
            coats::SPEC.path,
            "the paint used by every application",
            every_application(|coat| coat.used_l.is_some()),
        );
        let aged = self.found(|subject| match subject {
            Subject::ClimateAge(coat) => Some(coat.clone()),
            _ => None,
        });
        self.ask(HERE, climate::SPEC.path, "a climate reading that serves every application", aged);
    }

    fn film(&mut self) {
        let project = self.project;
        let read = |coat: &SchemeCoat| {
            let after_coat = |reading: &film::FilmReading| {
                *reading.zone == *coat.zone && reading.after_coat == coat.coat
            };
            project.film.iter().any(after_coat)
        };
        self.ask(
            HERE,
            film::SPEC.path,
            "film readings after every coat of every zone's scheme",
            project.scheme.iter().map(|coat| (name(&coat.zone, coat.coat), read(coat))),
        );
        let checked = self.found(|subject| match subject {
            Subject::GaugeCheck(gauge, day) => Some(format!("{gauge}.{day}")),
            Subject::GaugesUnnamed => Some("unnamed".to_string()),
            _ => None,
        });
        self.ask(
            HERE,
            film::GAUGES_SPEC.path,
            "a check of every gauge on every day that it was read",
            checked,
        );
    }

    /// What the findings of a sort rest on, and whether it is recorded.
    fn found(&self, name: impl Fn(&Subject) -> Option<String>) -> Vec<(String, bool)> {
        let findings = self.examined.findings.iter();
        let recorded = |f: &Finding| f.outcome != Outcome::NotRecorded;
        findings.filter_map(|f| Some((name(&f.subject)?, recorded(f)))).collect()
    }
}

fn name(zone: &str, coat: i64) -> String {
    format!("{zone} coat {coat}")
}
