//! Scheme and film of each zone, then and now.

use chrono::NaiveDate;
use serde::Serialize;

use super::shared::{self, ids_and, only_in};
use crate::findings::Examined;
use crate::findings::recomputed::coating::nominal_dft_m;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::coats::Application;
use crate::records::scheme::SchemeCoat;
use crate::text;
use crate::text::{Form, Measure, Text, count, id};

/// The zones of both dockings.
#[derive(Debug, Clone, Serialize)]
pub struct Zones {
    /// By name: those of now in the order of the file, then those of then only.
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
    #[serde(serialize_with = "shared::maybe")]
    pub nominal_m: Option<f64>,
    /// The film after the last coat that was read.
    pub film: Option<FilmRead>,
    /// The last recorded day on which a coat was finished.
    pub last_coat_on: Option<NaiveDate>,
    /// Area with the full scheme, m2.
    #[serde(serialize_with = "shared::maybe")]
    pub full_m2: Option<f64>,
    /// Area with less, or with none of it, m2.
    #[serde(serialize_with = "shared::maybe")]
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
    #[serde(serialize_with = "shared::maybe")]
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
    #[serde(serialize_with = "shared::plain")]
    pub mean_m: f64,
    /// The least, m.
    #[serde(serialize_with = "shared::plain")]
    pub least_m: f64,
    /// The greatest, m.
    #[serde(serialize_with = "shared::plain")]
    pub greatest_m: f64,
}

impl Painted {
    /// Whether another docking used the same products in the same order.
    pub fn has_the_products_of(&self, other: &Self) -> bool {
        let products = |painted: &Self| {
            painted.scheme.iter().map(|coat| coat.product.clone()).collect::<Vec<_>>()
        };
        products(self) == products(other)
    }
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> Zones {
    let (was, is) = (&older.project.zones, &newer.project.zones);
    let all = is.iter().chain(only_in(was, is, |zone| &zone.id));
    let zones = all.map(|zone| Zone {
        zone: zone.id.clone(),
        older: painted(older, &zone.id),
        newer: painted(newer, &zone.id),
    });
    Zones { zones: zones.collect() }
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

pub(super) fn section(coating: &Zones) -> Section {
    let zones = &coating.zones;
    let both: Vec<(&Painted, &Painted)> = zones
        .iter()
        .filter_map(|zone| Some((zone.older.as_ref()?, zone.newer.as_ref()?)))
        .collect();
    let with_scheme =
        || both.iter().filter(|(was, is)| !was.scheme.is_empty() && !is.scheme.is_empty());
    let mut section = Section::new("Coating").at("compared-coating");
    let mut lead = match (zones.len(), both.len()) {
        (0, _) => text!("No zone of the coating is recorded in either docking."),
        (all, 0) => {
            text!(
                "{} in all, none with the same name in both dockings.",
                count(all, "zone", "zones")
            )
        }
        (_, both) => text!(
            "{} the same name in both dockings; of {} with a scheme in both, {} had the same products then \
             and now.",
            count(both, "zone has", "zones have"),
            with_scheme().count(),
            match with_scheme().filter(|(was, is)| is.has_the_products_of(was)).count() {
                0 => "none".to_string(),
                same => same.to_string(),
            }
        ),
    };
    lead.extend(products(&both));
    lead.extend(left_short(&both).unwrap_or_default());
    section.paragraph(lead);
    let columns = [
        Column::name("Zone"),
        Column::name("When"),
        Column { form: Some(Form::Film), ..Column::text("Scheme from the steel up") },
        Column::measure("NDFT", Form::Film).mm(16.0),
        Column::measure("Film mean", Form::Film).mm(17.0),
        Column::measure("Least", Form::Film).mm(17.0),
        Column::measure("Full scheme", Form::Area).mm(20.0),
        Column::measure("Less or none", Form::Area).mm(20.0),
        Column::name("Last coat").mm(19.0),
    ];
    let rows = zones.iter().flat_map(|zone| {
        let sides = [("then", &zone.older), ("now", &zone.newer)];
        sides.into_iter().filter_map(|(when, painted)| Some(row(zone, when, painted.as_ref()?)))
    });
    let about = "Zone by zone, the film after the last coat that was read:";
    section.table(Table::new(columns).rows(rows).about(about));
    section
}

/// The products of the schemes then and now, each once.
fn products(both: &[(&Painted, &Painted)]) -> Text {
    let of = |side: &dyn Fn(&(&Painted, &Painted)) -> Vec<Coat>| -> Vec<String> {
        let mut products: Vec<String> = Vec::new();
        for coat in both.iter().flat_map(side) {
            if !products.contains(&coat.product) {
                products.push(coat.product);
            }
        }
        products
    };
    let (was, is) = (of(&|(was, _)| was.scheme.clone()), of(&|(_, is)| is.scheme.clone()));
    match was.is_empty() || is.is_empty() {
        true => Text::new(),
        false => text!(" Products then: {}; now: {}.", ids_and(&was), ids_and(&is)),
    }
}

/// The area of the zones of both dockings that was left with less than its scheme, where it is known of each.
fn left_short(both: &[(&Painted, &Painted)]) -> Option<Text> {
    let sum = |short: &dyn Fn(&(&Painted, &Painted)) -> Option<f64>| {
        both.iter().map(short).sum::<Option<f64>>()
    };
    let (was, is) = (sum(&|(was, _)| was.short_m2)?, sum(&|(_, is)| is.short_m2)?);
    let area = |area_m2: f64| Form::Area.measure(area_m2).decimals(1);
    (!both.is_empty()).then(|| {
        text!(
            " Of these zones {} were left with less than the scheme then, and {} now.",
            area(was),
            area(is)
        )
    })
}

/// What of the coating can't be compared, and why.
pub(super) fn not_compared(coating: &Zones) -> Vec<Text> {
    if coating.zones.is_empty() {
        return vec![text!("No zone of the coating is recorded in either docking.")];
    }
    let named = |is: &dyn Fn(&Zone) -> bool| -> Vec<String> {
        coating.zones.iter().filter(|zone| is(zone)).map(|zone| zone.zone.clone()).collect()
    };
    let both = |of: &dyn Fn(&Painted) -> bool| {
        named(&|zone| {
            zone.older.as_ref().zip(zone.newer.as_ref()).is_some_and(|(was, is)| of(was) || of(is))
        })
    };
    let all = [
        (named(&|zone| zone.older.is_none()), "there was no such zone then"),
        (named(&|zone| zone.newer.is_none()), "there is no such zone now"),
        (both(&|painted| painted.scheme.is_empty()), "one of the dockings records no scheme"),
        (both(&|painted| painted.film.is_none()), "one of the dockings records no film reading"),
    ];
    let all = all.into_iter().filter(|(zones, _)| !zones.is_empty());
    all.map(|(zones, why)| {
        let noun = if zones.len() == 1 { "Zone" } else { "Zones" };
        text!("{} {}: {}.", noun, ids_and(&zones), why)
    })
    .collect()
}

fn row(zone: &Zone, when: &'static str, painted: &Painted) -> [Cell; 9] {
    let film = |value_m: Option<f64>| -> Option<Measure> {
        value_m.map(|value_m| Form::Film.measure(value_m))
    };
    let area = |area_m2: f64| Form::Area.measure(area_m2).decimals(1);
    let coats = painted.scheme.iter().map(|coat| match coat.nominal_m {
        Some(nominal_m) => text!("{} {}", id(&coat.product), Form::Film.measure(nominal_m)),
        None => id(&coat.product).into(),
    });
    [
        id(&zone.zone).into(),
        when.into(),
        (!painted.scheme.is_empty()).then(|| Text::joined(coats, ", ")).into(),
        film(painted.nominal_m).into(),
        film(painted.film.map(|film| film.mean_m)).into(),
        film(painted.film.map(|film| film.least_m)).into(),
        // Without the outline of a zone, or of what was painted, there is no area to give.
        painted.full_m2.map(area).into(),
        painted.short_m2.map(area).into(),
        painted.last_coat_on.map(|day| day.to_string()).into(),
    ]
}
