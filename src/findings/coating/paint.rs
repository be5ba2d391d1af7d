//! Paint used against what the film takes, and wet film against dry.

use super::One;
use crate::calc::paint::{DRY_FROM_WET, EXPECTED, dry_from_wet_m, expected_l, used_pct};
use crate::calc::plane::area_m2;
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::records::bounds::{Bound, Sort};
use crate::units::Quantity;

impl One<'_> {
    pub(super) fn paint(&self) -> Vec<Finding> {
        self.used().into_iter().chain([self.wet_film()]).collect()
    }

    /// Nominal thickness of this coat: the scheme's, or else the product's, m.
    fn nominal_m(&self) -> Option<f64> {
        let product = self.project().products.product(&self.coat.product);
        let usual = product.and_then(|product| product.nominal_dft_m);
        self.scheme().and_then(|row| row.nominal_dft_m).or(usual)
    }

    fn volume_solids_pct(&self) -> Option<f64> {
        self.project().products.product(&self.coat.product)?.volume_solids_pct
    }

    /// Litres that the steel it reached takes at the nominal thickness.
    fn expected_l(&self) -> Option<f64> {
        let (zone, history) = self.zone()?;
        let done = self.all.coating.done(self.project(), self.at)?;
        history.plan_area_m2.or(zone.true_area_m2)?;
        let area = area_m2(&done.got) * history.true_factor(zone);
        expected_l(area, self.nominal_m()?, self.volume_solids_pct()?)
    }

    fn used(&self) -> Option<Finding> {
        let bounds = &self.project().docking.bounds;
        let (least, greatest) = (bounds.limit("paint_least"), bounds.limit("paint_greatest"));
        let against = between(least, greatest)?;
        let expected = self.expected_l();
        let ratio =
            self.coat.used_l.zip(expected).and_then(|(used, expected)| used_pct(used, expected));
        let words = self.words();
        let under = |ratio: f64| least.is_some_and(|least| ratio + 1e-9 < least.value);
        let over = |ratio: f64| greatest.is_some_and(|greatest| ratio > greatest.value + 1e-9);
        let litres = |value| Figure::of(value, Quantity::Volume);
        let (sentence, outcome) = match ratio {
            None => (
                format!("Paint used for {words} can't be held against what it takes."),
                Outcome::NotRecorded,
            ),
            Some(ratio) => (
                format!("{words} used {} of the paint that its film takes.", Figure::ratio(ratio)),
                if under(ratio) || over(ratio) { Outcome::BeyondLimit } else { Outcome::Agrees },
            ),
        };
        let finding = Finding::new(self.id("paint"), sentence, outcome)
            .recorded(self.coat.used_l.map(litres))
            .recomputed(expected.map(litres))
            .by(&EXPECTED)
            .from([&self.coat.place])
            .from(self.scheme().map(|row| &row.place));
        Some(finding.against(against))
    }

    fn wet_film(&self) -> Finding {
        let tolerance = self.project().docking.bounds.tolerance("wet_film");
        let dry = self
            .coat
            .wet_film_m
            .zip(self.volume_solids_pct())
            .and_then(|(wet, solids)| dry_from_wet_m(wet, solids));
        let words = self.words();
        let nominal = self.nominal_m();
        let (sentence, outcome) = match (dry, nominal, tolerance) {
            (Some(dry), Some(nominal), Some(tolerance)) => {
                let off_pct = 100.0 * (dry - nominal).abs() / nominal;
                let agrees = off_pct <= tolerance.value + 1e-9;
                (
                    format!(
                        "The wet film of {words} leaves {} dry; {} is nominal.",
                        Figure::film(dry),
                        Figure::film(nominal)
                    ),
                    if agrees { Outcome::Agrees } else { Outcome::Differs },
                )
            }
            _ => (
                format!(
                    "The wet film of {words} was not recorded, or what it leaves is not known."
                ),
                Outcome::NotRecorded,
            ),
        };
        let finding = Finding::new(self.id("wet_film"), sentence, outcome)
            .recorded(self.coat.wet_film_m.map(Figure::film))
            .recomputed(dry.map(Figure::film))
            .by(&DRY_FROM_WET)
            .from([&self.coat.place])
            .from(self.scheme().map(|row| &row.place));
        match tolerance {
            Some(tolerance) => finding.against(tolerance),
            None => finding,
        }
    }
}

/// Two limits as one; `None` where neither is stated.
fn between(least: Option<&Bound>, greatest: Option<&Bound>) -> Option<Against> {
    match (least, greatest) {
        (Some(least), Some(greatest)) => Some(Against {
            sort: Sort::Limit,
            name: "paint used".to_string(),
            value: Figure::words(format!(
                "{} to {}",
                Figure::ratio(least.value),
                Figure::ratio(greatest.value)
            )),
            source: least.source.clone(),
        }),
        (one, other) => one.or(other).map(Against::from),
    }
}
