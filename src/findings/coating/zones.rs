//! Zones, their schemes, and how much of them got the whole scheme.

use super::Coats;
use crate::calc::coating::CHAIN;
use crate::calc::plane::{area_m2, common, extent, union, wider_than, without};
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::judge;
use crate::findings::recomputed::coating::{ZoneHistory, feathering_m};
use crate::findings::subject::Subject;
use crate::records::bounds::Sort;
use crate::records::zones::Zone;
use crate::text;
use crate::text::{Form, Text, range};

use geo::MultiPolygon;

/// Pieces of steel that a sentence names one by one.
const MOST_PIECES: usize = 3;

impl Coats<'_> {
    pub(super) fn zones(&self) -> Vec<Finding> {
        let mut found = vec![self.cover()];
        for (zone, history) in self.project.zones.iter().zip(&self.coating.zones) {
            found.extend(self.area(zone, history));
            found.push(self.scheme(zone, history));
            found.push(self.complete(zone, history));
        }
        found
    }

    /// Bottom that belongs to no zone, or to two.
    fn cover(&self) -> Finding {
        let shapes: Vec<&MultiPolygon<f64>> =
            self.coating.zones.iter().filter_map(|zone| zone.shape.as_ref()).collect();
        let subject = Subject::ZonesCover;
        let places = self.project.zones.iter().map(|zone| &zone.place);
        let (Some(bottom), false) = (&self.recomputed.bottom, shapes.is_empty()) else {
            let sentence = if self.project.zones.is_empty() {
                "No zone of the coating is recorded."
            } else if shapes.is_empty() {
                "No bottom zone is recorded."
            } else {
                "The bottom's outline is not recorded, so that it can't be said whether zones cover it."
            };
            return Finding::new(subject, sentence, Outcome::NotRecorded).from(places);
        };
        let width = feathering_m(self.project).max(0.01);
        let whole = union(shapes.iter().flat_map(|shape| &shape.0));
        let bare = area_m2(&wider_than(&without(bottom, &whole), width));
        let mut twice = 0.0;
        for (n, shape) in shapes.iter().enumerate() {
            for other in &shapes[n + 1..] {
                twice += area_m2(&wider_than(&common(shape, other), width));
            }
        }
        let (sentence, outcome) = if twice > 0.0 {
            (text!("{} of the bottom lies in two zones.", Figure::area(twice)), Outcome::Differs)
        } else if bare > 0.0 {
            (
                text!("{} of the bottom lies in no zone of the coating.", Figure::area(bare)),
                Outcome::NotRecorded,
            )
        } else {
            (text!("The zones cover the bottom, each place once."), Outcome::Agrees)
        };
        Finding::new(subject, sentence, outcome)
            .recorded(Figure::area(area_m2(bottom)))
            .recomputed(Figure::area(area_m2(&common(&whole, bottom))))
            .from(places)
    }

    /// The plating's area can't be less than its plan.
    fn area(&self, zone: &Zone, history: &ZoneHistory) -> Option<Finding> {
        let (truly, plan) = (zone.true_area_m2?, history.plan_area_m2?);
        let tolerance = self.project.docking.bounds.tolerance("zone_area")?;
        let least = plan * (1.0 - tolerance.value / 100.0);
        let (sentence, outcome) = if judge::falls_short(truly, least) {
            (
                text!("The area of {} along the plating is less than in plan.", zone.id),
                Outcome::Differs,
            )
        } else {
            (
                text!("The area of {} along the plating is not less than in plan.", zone.id),
                Outcome::Agrees,
            )
        };
        Some(
            Finding::new(Subject::ZoneArea(zone.id.clone()), sentence, outcome)
                .recorded(Figure::area(truly))
                .recomputed(Figure::area(plan))
                .against(tolerance)
                .from([&zone.place]),
        )
    }

    fn scheme(&self, zone: &Zone, history: &ZoneHistory) -> Finding {
        let rows = || history.scheme.iter().map(|at| &self.project.scheme[*at]);
        let numbers: Vec<i64> = rows().map(|row| row.coat).collect();
        let gap = (1..).zip(&numbers).find(|(wanted, number)| wanted != *number);
        let (sentence, outcome) = match (numbers.last(), gap) {
            (None, _) => (text!("No scheme is recorded for {}.", zone.id), Outcome::NotRecorded),
            (Some(last), None) => {
                (text!("The scheme of {} is coats 1 to {}.", zone.id, last), Outcome::Agrees)
            }
            (Some(last), Some((wanted, _))) => (
                text!(
                    "The scheme of {} ends with coat {} and has no coat {}.",
                    zone.id,
                    last,
                    wanted
                ),
                Outcome::Differs,
            ),
        };
        Finding::new(Subject::ZoneScheme(zone.id.clone()), sentence, outcome)
            .from(rows().map(|row| &row.place))
            .from([&zone.place])
    }

    /// How much of the zone left the dock with the whole scheme.
    fn complete(&self, zone: &Zone, history: &ZoneHistory) -> Finding {
        let subject = Subject::ZoneComplete(zone.id.clone());
        let rows = history.scheme.iter().map(|at| &self.project.scheme[*at].place);
        let coats = self.project.coats.iter().filter(|coat| coat.zone == zone.id);
        let places = || std::iter::once(&zone.place);
        let Some(sum) = history.completeness() else {
            let why = if history.scheme.is_empty() {
                "no scheme is recorded"
            } else if self.project.coats.is_empty() {
                "no coat is recorded"
            } else if history.steel.is_none() {
                "where she stood or where the zone lies is not known"
            } else {
                "its area is not recorded"
            };
            let sentence = text!("How much of {} got its scheme is not known: {}.", zone.id, why);
            return Finding::new(subject, sentence, Outcome::NotRecorded).from(places()).from(rows);
        };
        let along = match zone.true_area_m2 {
            Some(_) if zone.is_bottom() => ", along the plating",
            _ => "",
        };
        let short = history.falls_short(feathering_m(self.project));
        let whole = sum.full_m2 + sum.less_m2 + sum.none_m2;
        let (sentence, outcome) = if short {
            let mut words = vec![text!("{} got the full scheme", Figure::area(sum.full_m2))];
            if sum.less_m2 > 0.0005 {
                words.push(text!("{} got less", Figure::area(sum.less_m2)));
            }
            if sum.none_m2 > 0.0005 {
                words.push(text!("{} got none", Figure::area(sum.none_m2)));
            }
            let sentence = text!(
                "Of {} in {}{}, {}: {}.",
                Figure::area(whole),
                zone.id,
                along,
                Text::joined(words, ", "),
                pieces(history, zone.is_bottom())
            );
            (sentence, Outcome::BeyondLimit)
        } else {
            (
                text!("All {} of {} left with the full scheme.", Figure::area(whole), zone.id),
                Outcome::Agrees,
            )
        };
        Finding::new(subject, sentence, outcome)
            .recorded(Figure::area(whole))
            .recomputed(Figure::area(sum.full_m2))
            .against(Against {
                sort: Sort::Limit,
                name: "scheme".to_string(),
                value: Figure::words(format!("{} coats", history.scheme.len())),
                source: "coating/scheme.csv".to_string(),
            })
            .by(&CHAIN)
            .from(places())
            .from(rows)
            .from(coats.map(|coat| &coat.place))
    }
}

/// The pieces that are short of the scheme, in words; the largest first.
fn pieces(history: &ZoneHistory, bottom: bool) -> Text {
    let mut pieces: Vec<(f64, Text)> = Vec::new();
    for part in history.parts.iter().filter(|part| !part.missing.is_empty()) {
        let lacks: Vec<String> = part.missing.iter().map(ToString::to_string).collect();
        let coats = if lacks.len() == 1 { "coat" } else { "coats" };
        let lacks = text!("{} {} missing", coats, lacks.join(", "));
        if !bottom {
            pieces.push((part.area_m2.unwrap_or(0.0), lacks));
            continue;
        }
        for piece in &part.shape.0 {
            let Some([x0, x1, y0, y1]) = extent(piece) else { continue };
            let [x0, x1, y0, y1] = [x0, x1, y0, y1].map(|m| Form::Length.measure(m).decimals(2));
            let area = area_m2(&MultiPolygon(vec![piece.clone()]));
            pieces.push((area, text!("{} at x {}, y {}", lacks, range(x0, x1), range(y0, y1))));
        }
    }
    pieces.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.to_string().cmp(&b.1.to_string())));
    let more = pieces.len().saturating_sub(MOST_PIECES);
    let mut words: Vec<Text> =
        pieces.into_iter().take(MOST_PIECES).map(|(_, words)| words).collect();
    if more > 0 {
        words.push(text!("and {} smaller pieces", more));
    }
    Text::joined(words, "; ")
}
