//! What an application claims, against blocks, water, order, scheme and batch; the paint that it used against what
//! its film takes, and its wet film against the dry.

use super::entered::takers;
use super::{ApplicationFindings, area_words, blocks_named, name};
use crate::calc::coating::CHAIN;
use crate::calc::paint::{DRY_FROM_WET, EXPECTED};
use crate::findings::finding::{Against, Figure, Finding};
use crate::findings::judge::{
    Facts, Judgement, agrees, beyond_limit, differs, exceeds, falls_short, incomplete,
    not_recorded, unchecked,
};
use crate::findings::recomputed::coating::applied::{
    ClaimHeld, TOO_LITTLE_M2, Wrong, shelf_life_ends,
};
use crate::findings::subject::Subject;
use crate::records::bounds::Bound;
use crate::records::hints::{Near, near};
use crate::records::zones::Extent;
use crate::text;
use crate::text::{Form, Text};
use crate::units::one_of;

impl ApplicationFindings<'_> {
    pub(super) fn application(&self) -> Vec<Finding> {
        let mut found = vec![self.times(), self.claim()];
        found.extend(self.order());
        found.push(self.product());
        found.push(self.batch());
        found
    }

    fn times(&self) -> Finding {
        let (began, ended) = (self.coat.began, self.coat.ended);
        let turned = began.zip(ended).is_some_and(|(began, ended)| ended < began);
        let missing = [(began.is_none(), "its start"), (ended.is_none(), "its finish")];
        let missing = missing.into_iter().filter(|(missing, _)| *missing);
        let facts = Facts {
            subject: text!("the times of {}", self.name()),
            faults: if turned {
                vec!["it ended before it began".into()]
            } else {
                self.mixing_faults()
            },
            missing: missing.map(|(_, what)| what.into()).collect(),
            sound: text!("{} has its start and finish.", self.name()),
        };
        let time = |at: Option<chrono::DateTime<chrono::FixedOffset>>| {
            at.map(|at| Figure::words(at.to_rfc3339()))
        };
        facts
            .finding(self.about(Subject::CoatTimes))
            .recorded(time(began))
            .recomputed(time(ended))
            .called("began", "ended")
            .doubting(&self.coat.place)
    }

    /// What it claims, against where the blocks and the water were.
    fn claim(&self) -> Finding {
        if self.coat.began.is_none() {
            return self.not_timed(Subject::Claim);
        }
        let name = self.name();
        let applied = self.applied();
        let Some(((zone, _), held)) = self.zone().zip(applied.claim.as_ref()) else {
            return unchecked(text!("the claim of {}", name), "where she stood is not known")
                .finding(self.about(Subject::Claim))
                .from([&self.coat.place]);
        };
        let position = held.position.map(|position| &self.project().positions[position]);
        let judgement = match position {
            None if held.dry_unknown() => {
                not_recorded(text!("whether the steel of {} was dry then", name))
            }
            None => differs(text!(
                "{} claims {} at a time when that was not dry throughout.",
                name,
                area_words(applied.claimed(&self.coat.name))
            )),
            Some(position) => {
                let much = match applied.reached(&self.coat.name) {
                    Some(area) => Text::from(area),
                    None => text!("an area that is not recorded"),
                };
                Facts {
                    subject: text!("the claim of {}", name),
                    faults: self.contradictions(held, &position.id),
                    missing: Vec::new(),
                    sound: text!("{} reached {}, all free and dry in {}.", name, much, position.id),
                }
                .judge()
            }
        };
        let blocks = applied.blocks.iter().filter(|_| position.is_some());
        judgement
            .finding(self.about(Subject::Claim))
            .recorded(applied.claimed(&self.coat.name).map(Figure::Measure))
            .recomputed(applied.reached(&self.coat.name).map(Figure::Measure))
            .called("claimed", "reached")
            .by(&CHAIN)
            .from([&self.coat.place, &zone.place])
            .from(position.map(|position| &position.place))
            .from(blocks.map(|at| &self.project().blocks[*at].place))
    }

    /// What can't be right of a claim.
    fn contradictions(&self, held: &ClaimHeld, position: &str) -> Vec<Text> {
        let applied = self.applied();
        let faults = held.wrong.iter().map(|wrong| match wrong {
            Wrong::NotDry => text!("it takes in steel that was not dry throughout"),
            Wrong::OnBlocks => text!(
                "it takes in {} that stood on {} in {}",
                area_words(applied.on_blocks(&self.coat.name)),
                blocks_named(self.project(), applied),
                position
            ),
            Wrong::Outside => {
                text!("it takes in {} outside {}", area_words(applied.outside(&self.coat.name)), self.coat.zone)
            }
            Wrong::Nothing if self.coat.extent == Extent::Patches => text!(
                "it is of patches, and in {} no steel that an earlier position had hidden stood free and \
                 was short of the scheme",
                position
            ),
            Wrong::Nothing => text!("it takes in nothing of its zone"),
        });
        faults.collect()
    }

    /// No later coat of the scheme may be there already.
    fn over_later(&self) -> Option<Finding> {
        let later = &self.project().coats[self.applied().later?];
        let area = self.applied().over_later(&self.coat.name);
        let sentence = text!(
            "{} went on {} that had {} already, and no blasting or abrasion of it in between is recorded.",
            self.name(),
            area_words(area),
            name(later)
        );
        Some(
            differs(sentence)
                .finding(self.about(Subject::CoatOrder))
                .recomputed(area.map(Figure::Measure))
                .by(&CHAIN)
                .doubting(&self.coat.place)
                .from([&later.place]),
        )
    }

    /// The coat before it in the scheme must be there already, and none after it.
    fn order(&self) -> Option<Finding> {
        if let Some(found) = self.over_later() {
            return Some(found);
        }
        let (_, history) = self.zone()?;
        let (before, held) = (self.applied().coat_below?, self.applied().claim.as_ref()?);
        let lacking_area = self.applied().lacking(&self.coat.name);
        let judgement = if held.lacks_coat_below {
            let lacking = area_words(lacking_area);
            differs(text!("{} went on {} that had no coat {}.", self.name(), lacking, before))
        } else {
            agrees(text!("{} lies on coat {}.", self.name(), before))
        };
        Some(
            judgement
                .finding(self.about(Subject::CoatOrder))
                .recomputed(lacking_area.map(Figure::Measure))
                .by(&CHAIN)
                .from([&self.coat.place])
                .from(history.scheme.iter().map(|at| &self.project().scheme[*at].place))
                .from(takers(self.all, history).map(|(check, _)| &check.place)),
        )
    }

    fn product(&self) -> Finding {
        let (name, product) = (self.name(), &self.coat.product);
        let scheme = self.scheme();
        let judgement = match scheme {
            None if self.zone().is_none_or(|(_, history)| history.scheme.is_empty()) => {
                unchecked(text!("the product of {}", name), "no scheme is recorded")
            }
            None => {
                differs(text!("The scheme of {} has no coat {}.", self.coat.zone, self.coat.coat))
            }
            Some(row) if row.product == *product => {
                agrees(text!("{} is the scheme's product.", name))
            }
            Some(row) => {
                differs(text!("{} is {}, and the scheme wants {}.", name, product, row.product))
            }
        };
        judgement
            .finding(self.about(Subject::Product))
            .recorded(Figure::words(product.clone()))
            .recomputed(scheme.map(|row| Figure::words(row.product.clone())))
            .called("put on", "in the scheme")
            .from([&self.coat.place])
            .from(scheme.map(|row| &row.place))
    }

    /// A batch that is not described; one whose number it nearly has is named.
    fn batch_not_known(&self, number: &str) -> Finding {
        let name = self.name();
        let batches = &self.project().products.batches;
        let near = near(number, batches.iter().map(|batch| batch.id.as_str()));
        let made = text!("when batch {} of {} was made", number, name);
        let judgement = match &near {
            Some(Near::Alike(known)) => differs(text!(
                "Batch {} of {} is not among those described; {} is, and differs from it in capitals, \
                 signs or letters that look like digits only.",
                number,
                name,
                known
            )),
            Some(Near::Close(known)) => {
                let (has, is) = if known.len() == 1 { ("has", "is") } else { ("have", "are") };
                incomplete(text!(
                    "{} was not recorded; {}, which {} nearly the same number, {} described.",
                    made.capitalized(),
                    one_of(known),
                    has,
                    is
                ))
            }
            None => not_recorded(made),
        };
        let named = |id: &str| match &near {
            Some(Near::Alike(known)) => *known == id,
            Some(Near::Close(known)) => known.contains(&id),
            None => false,
        };
        judgement
            .finding(self.about(Subject::Batch))
            .from([&self.coat.place])
            .from(batches.iter().filter(|batch| named(&batch.id)).map(|batch| &batch.place))
    }

    fn batch(&self) -> Finding {
        let name = self.name();
        let products = &self.project().products;
        let made = |judgement: Judgement| {
            judgement.finding(self.about(Subject::Batch)).from([&self.coat.place])
        };
        let (product, Some(number)) = (&self.coat.product, &self.coat.batch) else {
            return made(not_recorded(text!("the batch of {}", name)));
        };
        let Some(batch) = products.batch(number, product) else {
            return self.batch_not_known(number);
        };
        if batch.product != *product {
            let others = products.batches.iter().filter(|other| other.id == *number);
            let others: Vec<&str> = others.map(|other| other.product.as_str()).collect();
            let sentence =
                text!("{} is {}, and batch {} is {}.", name, product, number, one_of(&others));
            return made(differs(sentence)).from([&batch.place]);
        }
        let Some(began) = self.coat.began else {
            return self.not_timed(Subject::Batch);
        };
        let age_d = (began.date_naive() - batch.made).num_days();
        let age = Figure::words(format!("{age_d} days"));
        let batch_of = text!("Batch {} of {}", number, name);
        if age_d < 0 {
            let sentence = text!("{} was made after it was applied.", batch_of);
            return made(differs(sentence)).recorded(age).from([&batch.place]);
        }
        let known = products.product(product);
        let Some((product, life_h)) = known.and_then(|known| Some((known, known.shelf_life_h?)))
        else {
            return made(not_recorded(text!("how long batch {} of {} keeps", number, name)));
        };
        let ends = shelf_life_ends(self.project(), batch);
        let judgement = if ends.is_some_and(|ends| began.naive_local() > ends) {
            beyond_limit(text!("{} was {} days old and past its shelf life.", batch_of, age_d))
        } else {
            agrees(text!("{} was within its shelf life.", batch_of))
        };
        made(judgement)
            .recorded(age)
            .against(Against::limit(
                "shelf_life",
                Figure::words(format!("{} days", crate::units::nine_digits(life_h / 24.0))),
                format!("{}, {}", product.id, product.place),
            ))
            .from([&batch.place, &product.place])
    }

    pub(super) fn paint(&self) -> Vec<Finding> {
        self.used().into_iter().chain([self.wet_film()]).collect()
    }

    fn used(&self) -> Option<Finding> {
        let bounds = &self.project().docking.bounds;
        let (least, greatest) = (bounds.limit("paint_least"), bounds.limit("paint_greatest"));
        let against = between(least, greatest)?;
        let (expected, ratio) =
            (self.applied().expected(&self.coat.name), self.applied().used_part(&self.coat.name));
        let name = self.name();
        let litres = |value| Figure::Measure(Form::Volume.measure(value));
        let judgement = match ratio {
            None => unchecked(text!("the paint used for {}", name), self.why_no_ratio()),
            Some(ratio) => {
                let bounds = [least, greatest].into_iter().flatten();
                let shown = bounds.fold(Figure::Measure(ratio), |ratio, bound| {
                    ratio.apart_from(&Figure::bound(bound))
                });
                let sentence = text!(
                    "{} used {} of the paint that its film takes on the {} that it reached.",
                    name,
                    shown,
                    area_words(self.applied().reached(&self.coat.name))
                );
                let under = least.is_some_and(|least| falls_short(ratio.kept, least.value));
                let over = greatest.is_some_and(|greatest| exceeds(ratio.kept, greatest.value));
                if under || over { beyond_limit(sentence) } else { agrees(sentence) }
            }
        };
        let finding = judgement
            .finding(self.about(Subject::Paint))
            .recorded(self.coat.used_l.map(litres))
            .recomputed(expected.map(Figure::Measure))
            .called("used", "expected")
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
        let (dry, nominal) =
            (self.applied().dry_from_wet(&self.coat.name), self.applied().nominal(&self.coat.name));
        let name = self.name();
        let judgement = match (dry, nominal, tolerance) {
            (Some(dry), Some(nominal), Some(tolerance)) => {
                let off_pct = 100.0 * (dry.kept - nominal.kept).abs() / nominal.kept;
                let sentence =
                    text!("The wet film of {} leaves {} dry; {} is nominal.", name, dry, nominal);
                if exceeds(off_pct, tolerance.value) { differs(sentence) } else { agrees(sentence) }
            }
            _ if self.coat.wet_film_m.is_none() => not_recorded(text!("the wet film of {}", name)),
            _ => unchecked(
                text!("the wet film of {}", name),
                "how much of it is left when it has dried, or the nominal film, is not known",
            ),
        };
        judgement
            .finding(self.about(Subject::WetFilm))
            .recorded(self.coat.wet_film_m.map(Figure::film))
            .recomputed(dry.map(Figure::Measure))
            .called("wet", "dry")
            .by(&DRY_FROM_WET)
            .from([&self.coat.place])
            .from(self.scheme().map(|row| &row.place))
            .against_any(tolerance)
    }
}

/// Two limits as one; `None` where neither is stated.
fn between(least: Option<&Bound>, greatest: Option<&Bound>) -> Option<Against> {
    match (least, greatest) {
        (Some(least), Some(greatest)) => Some(Against::limit(
            "paint used",
            Figure::words(text!("{} to {}", Figure::bound(least), Figure::bound(greatest))),
            least.source.clone(),
        )),
        _ => least.or(greatest).map(Against::from),
    }
}
