//! Recoat windows, on the same steel and at tie-ins, and the time to immersion.

use super::{ApplicationFindings, name, off, span, spans};
use crate::calc::recoat::{Timing, WINDOW};
use crate::findings::finding::{Against, Figure, Finding};
use crate::findings::judge::{Limited, Side, agrees, beyond_limit, incomplete};
use crate::findings::recomputed::coating::windows::{Interval, NoWindow};
use crate::findings::subject::Subject;
use crate::records::preparation::{Preparation, Treatment};
use crate::text;
use crate::text::{Form, Text};
use crate::units::nine_digits;

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

/// By how much an interval is outside of its table's window, in words.
pub fn outside(interval: &Interval) -> Text {
    let early = interval.early_h().map(|early_h| text!("too soon by {}", off(early_h)));
    let late = interval.late_h().map(|late_h| text!("too late by {}", off(late_h)));
    Text::listed(early.into_iter().chain(late))
}

/// A treatment of the steel, as a noun.
fn treatment(check: &Preparation) -> &'static str {
    match check.treatment {
        Treatment::Blast => "blasting",
        Treatment::Sweep => "sweeping",
        Treatment::Abrade => "abrasion",
        Treatment::Wash | Treatment::Other => "a wash",
    }
}

/// The day of a check behind what it is of: ` on 2031-04-22`.
fn day(check: &Preparation) -> String {
    check.at.map_or(String::new(), |at| format!(" on {}", at.date_naive()))
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
        let about = Subject::Recoat(self.coat.name.clone(), lower.name_in_zone().to_string());
        self.interval(about, interval, &text!("{} over {}", self.name(), name(lower)))
    }

    fn tie_in(&self, interval: &Interval) -> Finding {
        let lower = &self.project().coats[interval.lower];
        let about = Subject::TieIn(self.coat.name.clone(), lower.name.clone());
        let other = if lower.product == self.coat.product {
            String::new()
        } else {
            format!(", there {}", lower.product)
        };
        let meets = text!(
            "{} where it ties in to the surrounding coating, {}{}, along {}",
            self.name(),
            name(lower),
            other,
            Form::Length.measure(interval.meet).decimals(1)
        );
        self.interval(about, interval, &meets)
    }

    fn interval(&self, about: Subject, interval: &Interval, meets: &Text) -> Finding {
        let lower = &self.project().coats[interval.lower];
        let product = self.project().products.product(&lower.product);
        let (short, long) = spans(interval.shortest_h, interval.longest_h);
        let renewed: Vec<&Preparation> =
            interval.renewed.iter().map(|check| &self.project().preparation[*check]).collect();
        let judgement = match (interval.flooded, renewed.as_slice(), interval.kept) {
            (true, [check], _) => agrees(text!(
                "{}: {} later and across a flooding, over which no window runs; {} is recorded{}.",
                meets,
                short,
                treatment(check),
                day(check)
            )),
            (true, several @ [_, _, ..], _) => agrees(text!(
                "{}: {} later and across a flooding, over which no window runs; of parts of the steel are recorded \
                 {}, and together they reached all of it.",
                meets,
                short,
                Text::listed(several.iter().map(|check| text!(
                    "{}{}",
                    treatment(check),
                    day(check)
                )))
            )),
            (true, [], _) => {
                let crossed = text!(
                    "{}: {} later and across a flooding, over which no window runs;",
                    meets,
                    short
                );
                match interval.late_h() {
                    // Whether or not water ends a window, time does.
                    Some(late_h) => beyond_limit(text!(
                        "{} by time alone that of {} ended {} before this coat was finished, and no wash or abrasion \
                         after the flooding is recorded.",
                        crossed,
                        lower.product.as_str(),
                        off(late_h)
                    )),
                    None => incomplete(text!(
                        "{} a wash or abrasion after it is not recorded.",
                        crossed
                    )),
                }
            }
            (false, _, Some(kept)) => {
                let how = match kept {
                    Timing::Within => "within the window".into(),
                    _ => outside(interval),
                };
                let sentence = text!(
                    "{}: after {} at the least and {} at the most, {}.",
                    meets,
                    short,
                    long,
                    how
                );
                if kept == Timing::Within { agrees(sentence) } else { beyond_limit(sentence) }
            }
            (false, _, None) => {
                let why = interval.window.err().map_or("", why_none);
                incomplete(text!(
                    "{}: the window of {} is not known, since {}.",
                    meets,
                    lower.product,
                    why
                ))
            }
        };
        let held = match interval.flooded {
            true => {
                interval.table.ok().filter(|_| renewed.is_empty() && interval.late_h().is_some())
            }
            false => interval.window.ok(),
        };
        let against = held.zip(product).map(|(window, product)| {
            let greatest = window.greatest_h.map_or("no end".to_string(), span);
            let over = match interval.by_product {
                true => format!(" under {}", self.coat.product),
                false => String::new(),
            };
            Against::limit(
                "recoat window",
                Figure::words(format!("{} to {greatest}", span(window.least_h))),
                format!(
                    "table of {}{over}, {}, rows {} to {} \u{b0}C",
                    product.id,
                    product.place,
                    nine_digits(window.from_row_c),
                    nine_digits(window.to_row_c)
                ),
            )
        });
        judgement
            .finding(about)
            .recomputed(Figure::words(format!("{short} to {long}")))
            .by(&WINDOW)
            .from([&lower.place, &self.coat.place])
            .from(product.map(|product| &product.place))
            .from(renewed.iter().filter(|_| interval.flooded).map(|check| &check.place))
            .against_any(against)
    }

    /// The time from its finish to the water, for every flooding at which it lay uppermost.
    fn immersions(&self) -> Vec<Finding> {
        let product = self.project().products.product(&self.coat.product);
        let immersions = self.applied().immersions.iter();
        immersions
            .map(|immersion| {
                let position = &self.project().positions[immersion.position];
                let least = immersion.least_h.zip(product).map(|(least_h, product)| {
                    Against::limit(
                        "least_to_immersion",
                        Figure::duration(least_h),
                        format!("{}, {}", product.id, product.place),
                    )
                });
                Limited {
                    subject: text!(
                        "the time from {} to the water at the end of {}",
                        self.name(),
                        position.id
                    ),
                    value: Ok(immersion.after(self.project())),
                    limit: least.map(|least| (least, Side::AtLeast)),
                }
                .finding(Subject::Immersion(self.coat.name.clone(), position.id.clone()))
                .from([&self.coat.place, &position.place])
                .from(product.map(|product| &product.place))
            })
            .collect()
    }
}
