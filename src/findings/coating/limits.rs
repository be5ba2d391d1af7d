//! Applications against what the data sheet of their product allows: temperatures, pot life and induction, thinner, and
//! the latest time to immersion. A product without such a limit has no such finding.

use chrono::{DateTime, FixedOffset};

use super::ApplicationFindings;
use crate::findings::cause;
use crate::findings::finding::{Against, Figure, Finding};
use crate::findings::judge::{
    Limited, Side, agrees, beyond_limit, differs, exceeds, falls_short, not_recorded,
};
use crate::findings::recomputed::coating::hours;
use crate::findings::recomputed::coating::limited::readings;
use crate::findings::subject::Subject;
use crate::records::climate::Climate;
use crate::records::coats::Application;
use crate::records::grammar::words::folded;
use crate::records::products::Product;
use crate::text;
use crate::text::{Form, Text};

impl ApplicationFindings<'_> {
    /// Every finding that its product's own limits give.
    pub(super) fn product_limits(&self) -> Vec<Finding> {
        let Some(product) = self.project().products.product(&self.coat.product) else {
            return Vec::new();
        };
        let mut found = Vec::new();
        let steel = [product.lowest_steel_c, product.highest_steel_c];
        let air = [product.lowest_air_c, product.highest_air_c];
        found.extend(self.temperature(product, Subject::SteelLimit, "steel", steel, |r| r.steel_c));
        found.extend(self.temperature(product, Subject::AirLimit, "air", air, |r| r.air_c));
        found.extend(self.mixing(product));
        found.extend(self.thinner(product));
        found.extend(self.latest_immersions(product));
        found
    }

    fn temperature(
        &self,
        product: &Product,
        about: fn(String) -> Subject,
        of: &'static str,
        [lowest, highest]: [Option<f64>; 2],
        value: fn(&Climate) -> Option<f64>,
    ) -> Option<Finding> {
        lowest.or(highest)?;
        let read = readings(self.project(), self.coat, value);
        let off = |c: f64| {
            let under = lowest.map_or(f64::NEG_INFINITY, |lowest| lowest - c);
            under.max(highest.map_or(f64::NEG_INFINITY, |highest| c - highest))
        };
        let worst =
            read.iter().reduce(|known, new| if off(new.1) > off(known.1) { new } else { known });
        let figure = |c: f64| Figure::Measure(Form::Temperature.measure(c));
        let name = self.name();
        let judgement = match worst {
            None if self.coat.began.is_none() => not_recorded(text!("when {} was applied", name)),
            None => not_recorded(text!("how warm the {} was for {}", of, name)),
            Some((_, c)) => {
                let under = lowest.filter(|lowest| falls_short(*c, *lowest));
                let over = highest.filter(|highest| exceeds(*c, *highest));
                let past = |limit: f64, word: &str| {
                    beyond_limit(text!(
                        "The {} was at {} while {} went on, and {} allows no {} than {}.",
                        of,
                        figure(*c).apart_from(&figure(limit)),
                        name,
                        product.id.as_str(),
                        word.to_string(),
                        figure(limit).as_stated()
                    ))
                };
                match (under, over) {
                    (Some(lowest), _) => past(lowest, "colder"),
                    (None, Some(highest)) => past(highest, "warmer"),
                    (None, None) => agrees(text!(
                        "The {} was as warm as {} allows while {} went on, by {}.",
                        of,
                        product.id.as_str(),
                        name,
                        crate::findings::naming::count(read.len(), "reading")
                    )),
                }
            }
        };
        let bound = |value: Option<f64>| value.map(|value| figure(value).as_stated());
        let limit = match (bound(lowest), bound(highest)) {
            (Some(lowest), Some(highest)) => text!("{} to {}", lowest, highest),
            (Some(lowest), None) => text!("from {}", lowest),
            (None, highest) => text!("to {}", highest.unwrap_or_else(|| Figure::words("any"))),
        };
        Some(
            judgement
                .finding(self.about(about))
                .recorded(worst.map(|(_, c)| figure(*c)))
                .against(sheet(product, of, Figure::words(limit)))
                .from([&self.coat.place])
                .from(worst.map(|(reading, _)| &reading.place))
                .from([&product.place]),
        )
    }

    /// How long the paint had stood mixed before it was put on, and until it was used up.
    fn mixing(&self, product: &Product) -> Vec<Finding> {
        let (coat, name) = (self.coat, self.name());
        let mut found = Vec::new();
        if let Some(pot_life_h) = product.pot_life_h {
            let stood = coat.mixed.zip(coat.used_up);
            let stood = stood.filter(|(mixed, used_up)| mixed <= used_up);
            found.push(self.timed(
                Subject::PotLife,
                text!("the time from mixing to the end of the paint of {}", name),
                stood,
                (pot_life_h, Side::AtMost, "pot_life"),
                product,
            ));
        }
        if let Some(induction_h) = product.induction_h {
            let waited = coat.mixed.zip(coat.began);
            let waited = waited.filter(|(mixed, began)| mixed <= began);
            found.push(self.timed(
                Subject::Induction,
                text!("the time from mixing to the start of {}", name),
                waited,
                (induction_h, Side::AtLeast, "induction"),
                product,
            ));
        }
        // A limit typed from a data sheet asks nobody thirty times for what nobody writes down.
        let is_mixed = |other: &Application| {
            other.product == coat.product && other.mixed.or(other.used_up).is_some()
        };
        if !self.project().coats.iter().any(is_mixed) {
            let what = text!(
                "{} states a pot life or an induction time, and when it was mixed is recorded of no application.",
                product.id.as_str()
            );
            cause::unrecorded(&mut found, &product.place, &what);
        }
        found
    }

    fn timed(
        &self,
        about: fn(String) -> Subject,
        subject: Text,
        between: Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)>,
        (limit_h, side, limit): (f64, Side, &'static str),
        product: &Product,
    ) -> Finding {
        let value = match (self.coat.mixed, between) {
            (_, Some((from, to))) => Ok(Form::Duration.measure(hours(to) - hours(from))),
            (None, None) => Err(text!("when it was mixed was not recorded")),
            (Some(_), None) if side == Side::AtMost && self.coat.used_up.is_none() => {
                Err(text!("when its paint was used up was not recorded"))
            }
            (Some(_), None) if self.coat.began.is_none() => {
                Err(text!("when it was applied was not recorded"))
            }
            (Some(_), None) => Err(text!("by the record that paint was mixed later")),
        };
        Limited {
            subject,
            value,
            limit: Some((sheet(product, limit, Figure::duration(limit_h)), side)),
        }
        .finding(self.about(about))
        .from([&self.coat.place, &product.place])
    }

    /// The thinner and how much of it.
    fn thinner(&self, product: &Product) -> Option<Finding> {
        let (coat, name) = (self.coat, self.name());
        if product.thinner.is_none() && product.greatest_thinner_pct.is_none() {
            return None;
        }
        let share = coat.thinner_pct.map(|pct| Form::Ratio.measure(pct));
        let none_used = coat.thinner_pct == Some(0.0);
        let other = product.thinner.as_ref().zip(coat.thinner.as_ref());
        let other = other.filter(|(own, used)| !none_used && plain(own) != plain(used));
        let over = product.greatest_thinner_pct.zip(coat.thinner_pct);
        let over = over.filter(|(greatest, pct)| exceeds(*pct, *greatest));
        let judgement = if let Some((own, used)) = other {
            differs(text!(
                "{} was thinned with {}, and the sheet of {} names {}.",
                name,
                used.as_str(),
                product.id.as_str(),
                own.as_str()
            ))
        } else if let Some((greatest, pct)) = over {
            let greatest = Figure::ratio(greatest);
            beyond_limit(text!(
                "{} was thinned by {}, and {} allows {} at the most.",
                name,
                Figure::ratio(pct).apart_from(&greatest),
                product.id.as_str(),
                greatest.as_stated()
            ))
        } else if coat.thinner_pct.is_some()
            || coat.thinner.is_some() && product.greatest_thinner_pct.is_none()
        {
            agrees(text!(
                "{} was thinned no more and with nothing else than {} allows.",
                name,
                product.id.as_str()
            ))
        } else if coat.thinner.is_some() {
            not_recorded(text!("by how much {} was thinned", name))
        } else {
            not_recorded(text!("whether and by how much {} was thinned", name))
        };
        let limit = match (&product.thinner, product.greatest_thinner_pct) {
            (Some(own), Some(pct)) => {
                text!("{} of {}", Figure::ratio(pct).as_stated(), own.as_str())
            }
            (Some(own), None) => text!("{}", own.as_str()),
            (None, pct) => {
                text!("{}", pct.map_or_else(|| Figure::words("any"), Figure::ratio).as_stated())
            }
        };
        let finding = judgement
            .finding(self.about(Subject::Thinner))
            .recorded(share.map(Figure::Measure))
            .against(sheet(product, "thinner", Figure::words(limit)))
            .from([&self.coat.place, &product.place]);
        let mut found = [finding];
        let is_thinned = |other: &Application| {
            other.product == coat.product
                && (other.thinner.is_some() || other.thinner_pct.is_some())
        };
        if !self.project().coats.iter().any(is_thinned) {
            let what = text!(
                "{} states what may be added of which thinner, and nothing is recorded of that for any application.",
                product.id.as_str()
            );
            cause::unrecorded(&mut found, &product.place, &what);
        }
        let [finding] = found;
        Some(finding)
    }

    /// An antifouling that lay dry for longer than it may.
    fn latest_immersions(&self, product: &Product) -> Vec<Finding> {
        let Some(latest_h) = product.latest_immersion_h else { return Vec::new() };
        let immersions = self.applied().immersions.iter();
        immersions
            .map(|immersion| {
                let position = &self.project().positions[immersion.position];
                let latest = sheet(product, "latest_immersion", Figure::duration(latest_h));
                Limited {
                    subject: text!(
                        "the time from {} to the water at the end of {}, which its product bounds,",
                        self.name(),
                        position.id
                    ),
                    value: Ok(immersion.after(self.project())),
                    limit: Some((latest, Side::AtMost)),
                }
                .finding(Subject::LatestImmersion(self.coat.name.clone(), position.id.clone()))
                .from([&self.coat.place, &position.place, &product.place])
            })
            .collect()
    }

    /// What can't be right of the times at which its paint was mixed and used up.
    pub(super) fn mixing_faults(&self) -> Vec<Text> {
        let coat = self.coat;
        let before = |one: Option<DateTime<FixedOffset>>, other: Option<DateTime<FixedOffset>>| {
            one.zip(other).is_some_and(|(one, other)| one < other)
        };
        let faults = [
            (before(coat.used_up, coat.mixed), "its paint was used up before it was mixed"),
            (before(coat.ended, coat.mixed), "its paint was mixed after it ended"),
            (before(coat.used_up, coat.began), "its paint was used up before it began"),
        ];
        faults.into_iter().filter(|(is_so, _)| *is_so).map(|(_, what)| what.into()).collect()
    }
}

/// A thinner's name without capitals and the signs between its parts.
fn plain(name: &str) -> String {
    folded(name).chars().filter(|c| c.is_alphanumeric()).collect()
}

fn sheet(product: &Product, name: &str, value: Figure) -> Against {
    Against::limit(name, value, format!("{}, {}", product.id, product.place))
}
