//! Scheme and film of each zone, then and now.

use chrono::NaiveDate;
use serde::Serialize;

use super::number;
use crate::findings::Examined;
use crate::findings::recomputed::coating::nominal_dft_m;
use crate::records::coats::Application;
use crate::records::scheme::SchemeCoat;

/// The zones of both dockings.
#[derive(Debug, Clone, Serialize)]
pub struct Zones {
    /// Those of either, by their names: those of now in the order of the file, then those of then alone.
    pub zones: Vec<Zone>,
}

/// A zone.
#[derive(Debug, Clone, Serialize)]
pub struct Zone {
    /// Its name.
    pub zone: String,
    /// Then; null where that docking has no such zone.
    pub older: Option<Painted>,
    /// Now.
    pub newer: Option<Painted>,
}

/// What one docking did to a zone.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Painted {
    /// The scheme from the steel up.
    pub scheme: Vec<Coat>,
    /// The scheme's nominal thickness, m; null where a coat's is not recorded.
    #[serde(serialize_with = "number::maybe")]
    pub nominal_m: Option<f64>,
    /// The film after the last coat that was read.
    pub film: Option<FilmRead>,
    /// The last recorded day on which a coat was finished.
    pub last_coat_on: Option<NaiveDate>,
    /// Area with the full scheme, m2.
    #[serde(serialize_with = "number::maybe")]
    pub full_m2: Option<f64>,
    /// Area with less, or with none of it, m2.
    #[serde(serialize_with = "number::maybe")]
    pub short_m2: Option<f64>,
}

/// A coat of a scheme.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Coat {
    /// Its number from the steel up.
    pub coat: i64,
    /// The product.
    pub product: String,
    /// What kind of paint it is.
    pub generic_type: Option<String>,
    /// Its nominal thickness, m.
    #[serde(serialize_with = "number::maybe")]
    pub nominal_m: Option<f64>,
}

/// Film readings after a coat.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FilmRead {
    /// The coat.
    pub after_coat: i64,
    /// How many.
    pub readings: usize,
    /// Their mean, m.
    #[serde(serialize_with = "number::plain")]
    pub mean_m: f64,
    /// The least, m.
    #[serde(serialize_with = "number::plain")]
    pub least_m: f64,
    /// The greatest, m.
    #[serde(serialize_with = "number::plain")]
    pub greatest_m: f64,
}

impl Painted {
    /// Whether another docking used the same products in the same order.
    pub fn has_the_products_of(&self, other: &Self) -> bool {
        let products =
            |of: &Self| of.scheme.iter().map(|coat| coat.product.clone()).collect::<Vec<_>>();
        products(self) == products(other)
    }
}

/// Compares them.
pub(super) fn compare(older: &Examined, newer: &Examined) -> Zones {
    let (was, is) = (&older.project.zones, &newer.project.zones);
    let alone = was.iter().filter(|zone| !is.iter().any(|known| known.id == zone.id));
    let names = is.iter().chain(alone).map(|zone| zone.id.as_str());
    let of = |zone: &str| Zone {
        zone: zone.to_string(),
        older: painted(older, zone),
        newer: painted(newer, zone),
    };
    Zones { zones: names.map(of).collect() }
}

fn painted(examined: &Examined, zone: &str) -> Option<Painted> {
    let project = &examined.project;
    let at = project.zones.iter().position(|known| known.id == zone)?;
    let history = &examined.recomputed.coating.zones[at];
    let scheme: Vec<Coat> =
        history.scheme.iter().map(|row| coat(examined, &project.scheme[*row])).collect();
    let nominal = || scheme.iter().map(|coat| coat.nominal_m).sum::<Option<f64>>();
    let read = examined.recomputed.coating.film.iter().filter(|film| film.zone == at);
    let last = read.max_by_key(|film| film.coat);
    let film = last.and_then(|film| {
        let statistics = film.statistics?;
        Some(FilmRead {
            after_coat: film.coat,
            readings: statistics.count,
            mean_m: statistics.mean_m,
            least_m: statistics.least_m,
            greatest_m: statistics.greatest_m,
        })
    });
    let completeness = history.completeness();
    let day = |coat: &Application| coat.ended.or(coat.began).map(|at| at.date_naive());
    Some(Painted {
        nominal_m: if scheme.is_empty() { None } else { nominal() },
        scheme,
        film,
        last_coat_on: project.coats.iter().filter(|coat| coat.zone == zone).filter_map(day).max(),
        full_m2: completeness.map(|sum| sum.full_m2),
        short_m2: completeness.map(|sum| sum.less_m2 + sum.none_m2),
    })
}

fn coat(examined: &Examined, row: &SchemeCoat) -> Coat {
    let product = examined.project.products.product(&row.product);
    Coat {
        coat: row.coat,
        product: row.product.clone(),
        generic_type: product.and_then(|product| product.generic_type.clone()),
        nominal_m: nominal_dft_m(&examined.project, row),
    }
}
