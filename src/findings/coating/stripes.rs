//! Stripe coats of edges and welds, against the coats before and after them, and those that a scheme asks for.

use chrono::{DateTime, FixedOffset};

use super::Coats;
use crate::findings::finding::{Figure, Finding};
use crate::findings::judge::{Facts, agrees, not_recorded};
use crate::findings::naming::{Named, count, distinct_ids};
use crate::findings::recomputed::coating::hours;
use crate::findings::subject::Subject;
use crate::records::coats::Application;
use crate::records::stripes::Stripe;
use crate::text;
use crate::text::Text;
use crate::units::one_of;

impl Coats<'_> {
    /// Every stripe coat, then those that a scheme asks for before a coat that was put on.
    pub(super) fn stripes(&self) -> Vec<Finding> {
        let stripes = &self.project.stripes;
        let named: Vec<Named<'_>> = stripes
            .iter()
            .map(|stripe| Named {
                base: format!("{}.coat{}", stripe.zone, stripe.before_coat),
                sort: "",
                at: stripe.began,
                by: stripe.by.as_deref(),
                read: format!("{} {:?} {:?}", stripe.product, stripe.batch, stripe.ended),
            })
            .collect();
        let names = distinct_ids(&named);
        let mut found: Vec<Finding> =
            stripes.iter().zip(names).map(|(stripe, name)| self.stripe(stripe, name)).collect();
        found.extend(self.stripes_owed());
        found
    }

    fn stripe(&self, stripe: &Stripe, name: String) -> Finding {
        let missing = [(stripe.began, "its start"), (stripe.ended, "its finish")];
        let missing = missing.into_iter().filter(|(at, _)| at.is_none());
        let below = self.coats_below(stripe);
        let over: Vec<&Application> = self.coats_of(&stripe.zone, stripe.before_coat).collect();
        let time = |at: Option<DateTime<FixedOffset>>| at.map(|at| Figure::words(at.to_rfc3339()));
        Facts {
            subject: text!("the stripe coat before coat {} of {}", stripe.before_coat, stripe.zone.as_str()),
            faults: self.stripe_faults(stripe, &below, &over),
            missing: missing.map(|(_, what)| what.into()).collect(),
            sound: text!(
                "The stripe coat before coat {} of {} went on when its steel was dry, after the coat below and before that \
                 one was finished.",
                stripe.before_coat,
                stripe.zone.as_str()
            ),
        }
        .finding(Subject::Stripe(name))
        .recorded(time(stripe.began))
        .recomputed(time(stripe.ended))
        .called("began", "ended")
        .doubting(&stripe.place)
        .from(below.iter().chain(&over).map(|coat| &coat.place))
    }

    /// What can't be right of one.
    fn stripe_faults(
        &self,
        stripe: &Stripe,
        below: &[&Application],
        over: &[&Application],
    ) -> Vec<Text> {
        let mut faults: Vec<Text> = Vec::new();
        if stripe.began.zip(stripe.ended).is_some_and(|(began, ended)| ended < began) {
            faults.push("it ended before it began".into());
            return faults;
        }
        let mut scheme =
            self.project.scheme.iter().filter(|row| row.zone == stripe.zone).peekable();
        if scheme.peek().is_some() && !scheme.any(|row| row.coat == stripe.before_coat) {
            faults.push(text!(
                "the scheme of {} has no coat {}",
                stripe.zone.as_str(),
                stripe.before_coat
            ));
        }
        let finished = over.iter().map(|coat| coat.ended.or(coat.began)).max().flatten();
        if stripe.began.zip(finished).is_some_and(|(began, finished)| finished <= began) {
            faults.push(text!("it began when coat {} was finished", stripe.before_coat));
        }
        let first = below.iter().filter_map(|coat| coat.began).min();
        if let (Some(ended), Some(first), Some(coat)) = (stripe.ended, first, below.first())
            && ended <= first
        {
            faults.push(text!("it ended before coat {} began", coat.coat));
        }
        if !self.may_be_dry(stripe) {
            faults.push(text!("{} was not dry throughout then", stripe.zone.as_str()));
        }
        let products = &self.project.products;
        let batch =
            stripe.batch.as_deref().and_then(|batch| products.batch(batch, &stripe.product));
        if let Some(batch) = batch.filter(|batch| batch.product != stripe.product) {
            let others = products.batches.iter().filter(|other| other.id == batch.id);
            let others: Vec<&str> = others.map(|other| other.product.as_str()).collect();
            faults.push(text!(
                "it is {}, and batch {} is {}",
                stripe.product.as_str(),
                batch.id.as_str(),
                one_of(&others)
            ));
        }
        faults
    }

    fn coats_of(&self, zone: &str, number: i64) -> impl Iterator<Item = &Application> {
        self.project.coats.iter().filter(move |coat| coat.zone == zone && coat.coat == number)
    }

    /// The applications of the coat below, by the scheme.
    fn coats_below(&self, stripe: &Stripe) -> Vec<&Application> {
        let of_zone = self.project.scheme.iter().filter(|row| row.zone == stripe.zone);
        let below = of_zone.map(|row| row.coat).filter(|coat| *coat < stripe.before_coat).max();
        below.map_or_else(Vec::new, |below| self.coats_of(&stripe.zone, below).collect())
    }

    /// Whether its zone can have been dry from its start to its finish, as far as the records tell.
    fn may_be_dry(&self, stripe: &Stripe) -> bool {
        let zone = self.project.zones.iter().position(|zone| zone.id == stripe.zone);
        let (Some(history), Some(began)) =
            (zone.map(|zone| &self.coating.zones[zone]), stripe.began)
        else {
            return true;
        };
        let (from_h, to_h) = (hours(began), hours(stripe.ended.unwrap_or(began)));
        let is_in = |(dry, water): &(f64, f64)| *dry <= from_h && to_h <= *water;
        !history.dry_known || history.dry_h.iter().flatten().any(is_in)
    }

    /// The stripe coats that a scheme asks for before a coat that was put on.
    fn stripes_owed(&self) -> Vec<Finding> {
        let asked = self.project.scheme.iter().filter(|row| row.stripe == Some(true));
        asked
            .filter(|row| self.coats_of(&row.zone, row.coat).next().is_some())
            .map(|row| {
                let stripes = self.project.stripes.iter();
                let of_it: Vec<&Stripe> = stripes
                    .filter(|stripe| stripe.zone == row.zone && stripe.before_coat == row.coat)
                    .collect();
                let judgement = if of_it.is_empty() {
                    not_recorded(text!(
                        "the stripe coat before coat {} of {}",
                        row.coat,
                        row.zone.as_str()
                    ))
                } else {
                    agrees(text!(
                        "{} before coat {} of {}: the scheme asks for one.",
                        count(of_it.len(), "stripe coat"),
                        row.coat,
                        row.zone.as_str()
                    ))
                };
                judgement
                    .finding(Subject::StripeOwed(row.zone.clone(), row.coat.to_string()))
                    .from([&row.place])
                    .from(of_it.iter().map(|stripe| &stripe.place))
            })
            .collect()
    }
}
