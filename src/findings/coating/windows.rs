//! Recoat windows, on the same steel and at tie-ins, and the time to immersion.

use super::{ApplicationFindings, span, spans, words};
use crate::calc::recoat::{Kept, WINDOW};
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::recomputed::coating::windows::{Interval, NoWindow};
use crate::findings::subject::Subject;
use crate::records::bounds::Sort;
use crate::text;
use crate::text::{Form, Text};

/// How an interval lies to its window, in words.
pub fn kept_words(kept: Kept) -> &'static str {
    match kept {
        Kept::Within => "within the window",
        Kept::TooSoon => "too soon",
        Kept::TooLate => "too late",
        Kept::TooSoonAndTooLate => "too soon at one end and too late at the other",
    }
}

/// Why an interval has no window, in words.
pub fn why_none(why: NoWindow) -> &'static str {
    match why {
        NoWindow::Flooded => "the dock was flooded between",
        NoWindow::NoTable => "its recoat table is not recorded",
        NoWindow::NotOverIt => "its recoat table has no row for the product over it",
        NoWindow::NoSteel => "no temperature of the steel was recorded between",
        NoWindow::OutsideTable => "the steel was outside its recoat table",
    }
}

impl ApplicationFindings<'_> {
    pub(super) fn windows(&self) -> Vec<Finding> {
        let applied = self.applied();
        let over = applied.over.iter().map(|interval| self.recoat(interval));
        let tie_ins = applied.tie_ins.iter().map(|interval| self.tie_in(interval));
        over.chain(tie_ins).chain(self.immersions()).collect()
    }

    fn recoat(&self, interval: &Interval) -> Finding {
        let lower = &self.project().coats[interval.lower];
        let subject = Subject::Recoat(self.coat.name.clone(), lower.name_in_zone().to_string());
        self.interval(subject, interval, &text!("{} over {}", self.words(), words(lower)))
    }

    fn tie_in(&self, interval: &Interval) -> Finding {
        let lower = &self.project().coats[interval.lower];
        let subject = Subject::TieIn(self.coat.name.clone(), lower.name.clone());
        let other = if lower.product == self.coat.product {
            String::new()
        } else {
            format!(", there {}", lower.product)
        };
        let meets = text!(
            "{} where it ties in to the surrounding coating, {}{}, along {}",
            self.words(),
            words(lower),
            other,
            Form::Length.measure(interval.meet).decimals(1)
        );
        self.interval(subject, interval, &meets)
    }

    fn interval(&self, subject: Subject, interval: &Interval, meets: &Text) -> Finding {
        let lower = &self.project().coats[interval.lower];
        let product = self.project().products.product(&lower.product);
        let (short, long) = spans(interval.shortest_h, interval.longest_h);
        let mut finding = Finding::new(subject, "", Outcome::Agrees)
            .recomputed(Figure::words(format!("{short} to {long}")))
            .by(&WINDOW)
            .from([&lower.place, &self.coat.place])
            .from(product.map(|product| &product.place));
        let (sentence, outcome) = if interval.flooded {
            match interval.renewed {
                Some(check) => {
                    let check = &self.project().preparation[check];
                    finding = finding.from([&check.place]);
                    let day =
                        check.at.map_or(String::new(), |at| format!(" on {}", at.date_naive()));
                    (
                        text!(
                            "{}: {} later and across a flooding, over which no window runs; \
                             {} is recorded{}.",
                            meets,
                            short,
                            match check.treatment.word() {
                                "blast" => "blasting",
                                "sweep" => "sweeping",
                                "abrade" => "abrasion",
                                _ => "a wash",
                            },
                            day
                        ),
                        Outcome::Agrees,
                    )
                }
                None => (
                    text!(
                        "{}: {} later and across a flooding, over which no window runs; a wash \
                         or abrasion after it is not recorded.",
                        meets,
                        short
                    ),
                    Outcome::NotRecorded,
                ),
            }
        } else {
            match (interval.kept, interval.window) {
                (Some(kept), _) => {
                    let outcome = match kept {
                        Kept::Within => Outcome::Agrees,
                        _ => Outcome::BeyondLimit,
                    };
                    let kept = kept_words(kept);
                    (
                        text!(
                            "{}: after {} at the least and {} at the most, {}.",
                            meets,
                            short,
                            long,
                            kept
                        ),
                        outcome,
                    )
                }
                (None, window) => {
                    let why = window.err().map_or("", why_none);
                    let sentence = text!(
                        "{}: the window of {} is not known, for {}.",
                        meets,
                        lower.product,
                        why
                    );
                    (sentence, Outcome::NotRecorded)
                }
            }
        };
        finding.sentence = sentence;
        finding.outcome = outcome;
        match (&interval.window, product) {
            (Ok(window), Some(product)) => {
                let greatest = window.greatest_h.map_or("no end".to_string(), span);
                let over = if interval.by_product {
                    format!(" under {}", self.coat.product)
                } else {
                    String::new()
                };
                finding.against(Against {
                    sort: Sort::Limit,
                    name: "recoat window".to_string(),
                    value: Figure::words(format!("{} to {greatest}", span(window.least_h))),
                    source: format!(
                        "table of {}{over}, {}, rows {} to {} \u{b0}C",
                        product.id,
                        product.place,
                        crate::units::nine_digits(window.from_row_c),
                        crate::units::nine_digits(window.to_row_c)
                    ),
                })
            }
            _ => finding,
        }
    }

    /// The time from its finish to the water, for every flooding at which it lay uppermost.
    fn immersions(&self) -> Vec<Finding> {
        let product = self.project().products.product(&self.coat.product);
        let immersions = self.applied().immersions.iter();
        immersions
            .map(|one| {
                let position = &self.project().positions[one.position];
                let after = span(one.after_h);
                let (sentence, outcome) = match one.too_soon {
                    None => (
                        text!(
                            "How long {} must dry before it meets the water was not recorded.",
                            self.coat.product
                        ),
                        Outcome::NotRecorded,
                    ),
                    Some(true) => (
                        text!(
                            "{} met the water at the end of {} after {}, too soon.",
                            self.words(),
                            position.id,
                            after
                        ),
                        Outcome::BeyondLimit,
                    ),
                    Some(false) => (
                        text!(
                            "{} met the water at the end of {} after {}.",
                            self.words(),
                            position.id,
                            after
                        ),
                        Outcome::Agrees,
                    ),
                };
                let finding = Finding::new(
                    Subject::Immersion(self.coat.name.clone(), position.id.clone()),
                    sentence,
                    outcome,
                )
                .recomputed(Figure::duration(one.after_h))
                .from([&self.coat.place, &position.place])
                .from(product.map(|product| &product.place));
                match one.least_h.zip(product) {
                    Some((least, product)) => finding.against(Against {
                        sort: Sort::Limit,
                        name: "least_to_immersion".to_string(),
                        value: Figure::duration(least),
                        source: format!("{}, {}", product.id, product.place),
                    }),
                    None => finding,
                }
            })
            .collect()
    }
}
