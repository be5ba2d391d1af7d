//! What an application claims, against blocks, water, order, scheme and batch.

use super::{ApplicationFindings, area_words, blocks_named};
use crate::calc::coating::CHAIN;
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::recomputed::coating::applied::{ClaimHeld, Wrong, shelf_life_ends};
use crate::findings::subject::Subject;
use crate::records::bounds::Sort;
use crate::records::hints::{Near, near};
use crate::records::zones::Extent;
use crate::text;
use crate::text::{Text, ToText};
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
        let (sentence, outcome) = match (self.coat.began, self.coat.ended) {
            (Some(began), Some(ended)) if ended < began => {
                (text!("{} ended before it began.", self.words()), Outcome::Differs)
            }
            (Some(_), Some(_)) => {
                (text!("{} has its start and finish.", self.words()), Outcome::Agrees)
            }
            (None, _) => {
                (text!("When {} began was not recorded.", self.words()), Outcome::NotRecorded)
            }
            (_, None) => {
                (text!("When {} ended was not recorded.", self.words()), Outcome::NotRecorded)
            }
        };
        let time = |at: Option<chrono::DateTime<chrono::FixedOffset>>| {
            at.map(|at| Figure::words(at.to_rfc3339()))
        };
        Finding::new(self.about(Subject::CoatTimes), sentence, outcome)
            .recorded(time(self.coat.began))
            .recomputed(time(self.coat.ended))
            .from([&self.coat.place])
    }

    /// What it claims, against where the blocks and the water were.
    fn claim(&self) -> Finding {
        if self.coat.began.is_none() {
            return self.not_timed(Subject::Claim);
        }
        let words = self.words();
        let places = vec![&self.coat.place];
        let applied = self.applied();
        let Some(((zone, _), held)) = self.zone().zip(applied.claim.as_ref()) else {
            let sentence =
                text!("Where she stood is not known, so that {} can't be held against it.", words);
            return Finding::new(self.about(Subject::Claim), sentence, Outcome::NotRecorded)
                .from(places);
        };
        let (claimed, reached) =
            (applied.claimed_m2.map(Figure::area), applied.reached_m2.map(Figure::area));
        let Some(position) = held.position else {
            let (sentence, outcome) = if held.dry_unknown() {
                (
                    text!("Whether the steel of {} was dry then is not recorded.", words),
                    Outcome::NotRecorded,
                )
            } else {
                let much = area_words(applied.claimed_m2);
                (
                    text!("{} claims {} at a time when that was not dry throughout.", words, much),
                    Outcome::Differs,
                )
            };
            return Finding::new(self.about(Subject::Claim), sentence, outcome)
                .recorded(claimed)
                .recomputed(reached)
                .by(&CHAIN)
                .from(places)
                .from([&zone.place]);
        };
        let position = &self.project().positions[position];
        let wrong = self.contradictions(held, &position.id);
        let blocks = &self.project().blocks;
        let blocks = applied.blocks.iter().map(|at| &blocks[*at].place);
        let (sentence, outcome) = if wrong.is_empty() {
            let much = match &reached {
                Some(area) => area.to_text(),
                None => text!("an area that is not recorded"),
            };
            (
                text!("{} reached {}, all free and dry in {}.", words, much, position.id),
                Outcome::Agrees,
            )
        } else {
            (text!("{} {}.", words, Text::joined(wrong, "; it ")), Outcome::Differs)
        };
        Finding::new(self.about(Subject::Claim), sentence, outcome)
            .recorded(claimed)
            .recomputed(reached)
            .by(&CHAIN)
            .from(places)
            .from([&zone.place, &position.place])
            .from(blocks)
    }

    /// What of a claim can't be true, in words.
    fn contradictions(&self, held: &ClaimHeld, position: &str) -> Vec<Text> {
        let applied = self.applied();
        let words = held.wrong.iter().map(|wrong| match wrong {
            Wrong::NotDry => text!("claims steel that was not dry throughout"),
            Wrong::OnBlocks => text!(
                "claims {} that stood on {} in {}",
                area_words(applied.on_blocks_m2),
                blocks_named(self.project(), applied),
                position
            ),
            Wrong::Outside => {
                text!("claims {} outside {}", area_words(applied.outside_m2), self.coat.zone)
            }
            Wrong::Nothing if self.coat.extent == Extent::Patches => text!(
                "claims patches, and in {} no steel that an earlier position had hidden stood free and \
                 was short of the scheme",
                position
            ),
            Wrong::Nothing => text!("claims nothing of its zone"),
        });
        words.collect()
    }

    /// The coat before it in the scheme must be there already.
    fn order(&self) -> Option<Finding> {
        let (_, history) = self.zone()?;
        let (before, held) = (self.applied().coat_below?, self.applied().claim.as_ref()?);
        let lacking_m2 = self.applied().lacking_m2;
        let lacking = area_words(lacking_m2);
        let (sentence, outcome) = if !held.lacks_coat_below {
            (text!("{} lies on coat {}.", self.words(), before), Outcome::Agrees)
        } else {
            (
                text!("{} went on {} that had no coat {}.", self.words(), lacking, before),
                Outcome::Differs,
            )
        };
        Some(
            Finding::new(self.about(Subject::CoatOrder), sentence, outcome)
                .recomputed(lacking_m2.map(Figure::area))
                .by(&CHAIN)
                .from([&self.coat.place])
                .from(history.scheme.iter().map(|at| &self.project().scheme[*at].place)),
        )
    }

    fn product(&self) -> Finding {
        let mut places = vec![&self.coat.place];
        let (sentence, outcome, wanted) = match self.scheme() {
            None if self.zone().is_none_or(|(_, history)| history.scheme.is_empty()) => (
                text!("No scheme says which product {} should be.", self.words()),
                Outcome::NotRecorded,
                None,
            ),
            None => (
                text!("The scheme of {} has no coat {}.", self.coat.zone, self.coat.coat),
                Outcome::Differs,
                None,
            ),
            Some(row) => {
                places.push(&row.place);
                let wanted = Some(Figure::words(row.product.clone()));
                if row.product == self.coat.product {
                    let sentence = text!("{} is the scheme's product.", self.words());
                    (sentence, Outcome::Agrees, wanted)
                } else {
                    let sentence = text!(
                        "{} is {}, and the scheme wants {}.",
                        self.words(),
                        self.coat.product,
                        row.product
                    );
                    (sentence, Outcome::Differs, wanted)
                }
            }
        };
        Finding::new(self.about(Subject::Product), sentence, outcome)
            .recorded(Figure::words(self.coat.product.clone()))
            .recomputed(wanted)
            .from(places)
    }

    /// A batch that is not described; one whose number it nearly has is named.
    fn batch_not_known(&self, number: &str) -> Finding {
        let words = self.words();
        let batches = &self.project().products.batches;
        let near = near(number, batches.iter().map(|batch| batch.id.as_str()));
        let (sentence, outcome) = match &near {
            Some(Near::Alike(known)) => (
                text!(
                    "Batch {} of {} is not among those described; {} is, and differs from it \
                     in capitals, signs or letters that look like digits only.",
                    number,
                    words,
                    known
                ),
                Outcome::Differs,
            ),
            Some(Near::Close(known)) => (
                text!(
                    "When batch {} of {} was made was not recorded; {}, which {} nearly the same \
                     number, {} described.",
                    number,
                    words,
                    one_of(known),
                    if known.len() == 1 { "has" } else { "have" },
                    if known.len() == 1 { "is" } else { "are" }
                ),
                Outcome::NotRecorded,
            ),
            None => (
                text!("When batch {} of {} was made was not recorded.", number, words),
                Outcome::NotRecorded,
            ),
        };
        let named = |id: &str| match &near {
            Some(Near::Alike(known)) => *known == id,
            Some(Near::Close(known)) => known.contains(&id),
            None => false,
        };
        Finding::new(self.about(Subject::Batch), sentence, outcome)
            .from([&self.coat.place])
            .from(batches.iter().filter(|batch| named(&batch.id)).map(|batch| &batch.place))
    }

    fn batch(&self) -> Finding {
        let words = self.words();
        let subject = self.about(Subject::Batch);
        let not = |sentence: Text| {
            Finding::new(subject.clone(), sentence, Outcome::NotRecorded).from([&self.coat.place])
        };
        let products = &self.project().products;
        let (product, Some(number)) = (&self.coat.product, &self.coat.batch) else {
            return not(text!("The batch of {} was not recorded.", words));
        };
        let Some(batch) = products.batch(number, product) else {
            return self.batch_not_known(number);
        };
        let places = [&self.coat.place, &batch.place];
        if batch.product != *product {
            let others: Vec<&str> = products
                .batches
                .iter()
                .filter(|other| other.id == *number)
                .map(|other| other.product.as_str())
                .collect();
            let sentence =
                text!("{} is {}, and batch {} is {}.", words, product, number, one_of(&others));
            return Finding::new(subject, sentence, Outcome::Differs).from(places);
        }
        let Some(began) = self.coat.began else {
            return self.not_timed(Subject::Batch);
        };
        let age_d = (began.date_naive() - batch.made).num_days();
        let age = Figure::words(format!("{age_d} days"));
        if age_d < 0 {
            let sentence = text!("Batch {} of {} was made after it was applied.", number, words);
            return Finding::new(subject, sentence, Outcome::Differs).recorded(age).from(places);
        }
        let known = products.product(product);
        let Some((product, life_h)) = known.and_then(|known| Some((known, known.shelf_life_h?)))
        else {
            return not(text!("How long batch {} of {} keeps was not recorded.", number, words));
        };
        let ends = shelf_life_ends(self.project(), batch);
        let (sentence, outcome) = if ends.is_some_and(|ends| began.naive_local() > ends) {
            (
                text!(
                    "Batch {} of {} was {} days old and past its shelf life.",
                    number,
                    words,
                    age_d
                ),
                Outcome::BeyondLimit,
            )
        } else {
            (text!("Batch {} of {} was within its shelf life.", number, words), Outcome::Agrees)
        };
        Finding::new(subject, sentence, outcome)
            .recorded(age)
            .against(Against {
                sort: Sort::Limit,
                name: "shelf_life".to_string(),
                value: Figure::words(format!("{} days", crate::units::nine_digits(life_h / 24.0))),
                source: format!("{}, {}", product.id, product.place),
            })
            .from(places)
            .from([&product.place])
    }
}
