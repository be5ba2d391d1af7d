//! Zones, their schemes, and how much of them got the whole scheme.

use super::Coats;
use super::entered::takers;
use crate::calc::coating::CHAIN;
use crate::calc::plane::{area_m2, common, extent, union, wider_than, without};
use crate::findings::finding::{Against, Figure, Finding};
use crate::findings::judge::{
    Facts, agrees, beyond_limit, differs, falls_short, incomplete, unchecked,
};
use crate::findings::naming::count;
use crate::findings::recomputed::coating::{ZoneHistory, feathering_m};
use crate::findings::subject::Subject;
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
            found.extend(self.blasted(zone, history));
            found.push(self.complete(zone, history));
        }
        found
    }

    /// Bottom that belongs to no zone, or to two.
    fn cover(&self) -> Finding {
        let shapes: Vec<&MultiPolygon<f64>> =
            self.coating.zones.iter().filter_map(|zone| zone.shape.as_ref()).collect();
        let about = Subject::ZonesCover;
        let places = self.project.zones.iter().map(|zone| &zone.place);
        let bottom = match &self.recomputed.bottom {
            _ if self.project.zones.is_empty() => Err("no zone of the coating is recorded"),
            _ if shapes.is_empty() => Err("no zone of the bottom is recorded"),
            None => Err("the bottom's outline is not recorded"),
            Some(bottom) => Ok(bottom),
        };
        let bottom = match bottom {
            Ok(bottom) => bottom,
            Err(why) => {
                let judgement = unchecked("whether the zones cover the bottom", why);
                return judgement.finding(about).from(places);
            }
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
        let judgement = if twice > 0.0 {
            differs(text!("{} of the bottom lies in two zones.", Figure::area(twice)))
        } else if bare > 0.0 {
            incomplete(text!(
                "{} of the bottom lies in no zone of the coating.",
                Figure::area(bare)
            ))
        } else {
            agrees("The zones cover the bottom, each place once.")
        };
        judgement
            .finding(about)
            .recorded(Figure::area(area_m2(bottom)))
            .recomputed(Figure::area(area_m2(&common(&whole, bottom))))
            .called("the bottom", "in zones")
            .from(places)
    }

    /// The plating's area can't be less than its plan.
    fn area(&self, zone: &Zone, history: &ZoneHistory) -> Option<Finding> {
        let (truly, plan) = (zone.true_area_m2?, history.plan_area(&zone.id)?);
        let tolerance = self.project.docking.bounds.tolerance("zone_area")?;
        let least = plan.kept * (1.0 - tolerance.value / 100.0);
        let judgement = if falls_short(truly, least) {
            differs(text!("The area of {} along the plating is less than in plan.", zone.id))
        } else {
            agrees(text!("The area of {} along the plating is not less than in plan.", zone.id))
        };
        Some(
            judgement
                .finding(Subject::ZoneArea(zone.id.clone()))
                .recorded(Figure::area(truly))
                .recomputed(Figure::Measure(plan))
                .called("along the plating", "in plan")
                .against(tolerance)
                .from([&zone.place]),
        )
    }

    fn scheme(&self, zone: &Zone, history: &ZoneHistory) -> Finding {
        let rows = || history.scheme.iter().map(|at| &self.project.scheme[*at]);
        let numbers: Vec<i64> = rows().map(|row| row.coat).collect();
        let gap = (1..).zip(&numbers).find(|(wanted, number)| wanted != *number);
        let last = numbers.last().copied().unwrap_or_default();
        let gap =
            gap.map(|(wanted, _)| text!("it ends with coat {} and has no coat {}", last, wanted));
        Facts {
            subject: text!("the scheme of {}", zone.id),
            faults: gap.into_iter().collect(),
            missing: if numbers.is_empty() { vec!["it".into()] } else { Vec::new() },
            sound: text!("The scheme of {} is coats 1 to {}.", zone.id, last),
        }
        .finding(Subject::ZoneScheme(zone.id.clone()))
        .from(rows().map(|row| &row.place))
        .from([&zone.place])
    }

    /// How much of the zone left the dock with the whole scheme.
    fn complete(&self, zone: &Zone, history: &ZoneHistory) -> Finding {
        let about = Subject::ZoneComplete(zone.id.clone());
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
            let subject = text!("how much of {} got its scheme", zone.id);
            return unchecked(subject, why).finding(about).from(places()).from(rows);
        };
        let along = match zone.true_area_m2 {
            Some(_) if zone.is_bottom() => ", along the plating",
            _ => "",
        };
        let short = history.falls_short(feathering_m(self.project));
        let whole = sum.full_m2 + sum.less_m2 + sum.none_m2;
        let judgement = if short {
            let mut words = vec![text!("{} got the full scheme", sum.full_scheme(&zone.id))];
            if sum.less_m2 > 0.0005 {
                words.push(text!("{} got less", sum.part_of_scheme(&zone.id)));
            }
            if sum.none_m2 > 0.0005 {
                words.push(text!("{} got none", sum.none_of_scheme(&zone.id)));
            }
            beyond_limit(text!(
                "Of {} in {}{}, {}: {}.",
                Figure::area(whole),
                zone.id,
                along,
                Text::joined(words, ", "),
                pieces(history, zone.is_bottom())
            ))
        } else {
            agrees(text!("All {} of {} left with the full scheme.", Figure::area(whole), zone.id))
        };
        judgement
            .finding(about)
            .recorded(Figure::area(whole))
            .recomputed(Figure::Measure(sum.full_scheme(&zone.id)))
            .called("area", "with the full scheme")
            .against(Against::limit(
                "scheme",
                Figure::words(format!("{} coats", history.scheme.len())),
                "coating/scheme.csv",
            ))
            .by(&CHAIN)
            .from(places())
            .from(rows)
            .from(coats.map(|coat| &coat.place))
            .from(takers(self, history).map(|(check, _)| &check.place))
    }
}

/// The pieces that are short of the scheme, in words: of the bottom the largest by their extents, and the extent
/// of the others together; of a side, whose places are not known, what they lack.
fn pieces(history: &ZoneHistory, bottom: bool) -> Text {
    let mut lacking: Vec<Text> = Vec::new();
    let mut pieces: Vec<(f64, [f64; 4], Text)> = Vec::new();
    for part in history.parts.iter().filter(|part| !part.missing.is_empty()) {
        let coats: Vec<String> = part.missing.iter().map(ToString::to_string).collect();
        let noun = if coats.len() == 1 { "coat" } else { "coats" };
        let lacks = text!("{} {} missing", noun, coats.join(", "));
        for piece in &part.shape.0 {
            let Some(extent) = extent(piece).filter(|_| bottom) else { continue };
            pieces.push((area_m2(&MultiPolygon(vec![piece.clone()])), extent, lacks.clone()));
        }
        if !lacking.contains(&lacks) {
            lacking.push(lacks);
        }
    }
    if !bottom {
        return Text::joined(lacking, "; ");
    }
    let key =
        |extent: &[f64; 4], lacks: &Text| text!("{} at {}", lacks, within(*extent)).to_string();
    pieces.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| key(&a.1, &a.2).cmp(&key(&b.1, &b.2))));
    let (named, others) = pieces.split_at(pieces.len().min(MOST_PIECES));
    let mut words: Vec<Text> =
        named.iter().map(|(_, extent, lacks)| text!("{} at {}", lacks, within(*extent))).collect();
    let whole = |[a0, a1, b0, b1]: [f64; 4], [x0, x1, y0, y1]: [f64; 4]| {
        [a0.min(x0), a1.max(x1), b0.min(y0), b1.max(y1)]
    };
    if let Some(extent) = others.iter().map(|(_, extent, _)| *extent).reduce(whole) {
        let others = count(others.len(), "smaller piece");
        words.push(text!("and {} within {}", others, within(extent)));
    }
    Text::joined(words, "; ")
}

/// An extent, from and to in x and y, m.
fn within(extent: [f64; 4]) -> Text {
    let [x0, x1, y0, y1] = extent.map(|m| Form::Length.measure(m).decimals(2));
    text!("x {}, y {}", range(x0, x1), range(y0, y1))
}
