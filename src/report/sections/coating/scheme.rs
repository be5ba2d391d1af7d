//! What was to be put on: schemes, products, recoat tables and batches.

use serde::Serialize;

use crate::calc::preparation::Grade;
use crate::findings::recomputed::coating::nominal_dft_m;
use crate::records::Project;
use crate::records::scheme::{Before, SchemeCoat};
use crate::report::legible::Narrow;
use crate::report::text;
use crate::units::nine_digits;

/// A scheme, and the zones that share it.
#[derive(Serialize)]
pub(super) struct Scheme {
    zones: String,
    coats: Vec<Coat>,
}

#[derive(Serialize, PartialEq)]
struct Coat {
    coat: i64,
    product: Narrow,
    generic_type: Option<String>,
    nominal: Option<String>,
    least: Option<String>,
    greatest: Option<String>,
    asked: Option<String>,
}

pub(super) fn schemes(project: &Project) -> Vec<Scheme> {
    let mut schemes: Vec<(Vec<&str>, Vec<Coat>)> = Vec::new();
    for zone in &project.zones {
        let rows = project.scheme.iter().filter(|row| row.zone == zone.id);
        let coats: Vec<Coat> = rows.map(|row| coat(project, row)).collect();
        if coats.is_empty() {
            continue;
        }
        match schemes.iter_mut().find(|(_, same)| *same == coats) {
            Some((zones, _)) => zones.push(&zone.id),
            None => schemes.push((vec![&zone.id], coats)),
        }
    }
    let named = |(zones, coats): (Vec<&str>, Vec<Coat>)| Scheme {
        zones: format!("Zone{} {}", if zones.len() > 1 { "s" } else { "" }, text::and(&zones)),
        coats,
    };
    schemes.into_iter().map(named).collect()
}

fn coat(project: &Project, row: &SchemeCoat) -> Coat {
    let product = project.products.product(&row.product);
    Coat {
        coat: row.coat,
        product: Narrow::new(&row.product),
        generic_type: product.and_then(|product| product.generic_type.clone()),
        nominal: text::micrometres(nominal_dft_m(project, row)),
        least: text::micrometres(row.least_dft_m),
        greatest: text::micrometres(row.greatest_dft_m),
        asked: asked(&row.before),
    }
}

/// What the steel must be before a coat, in words.
pub(super) fn asked(before: &Before) -> Option<String> {
    let mut asked: Vec<String> = before.grade.iter().map(|word| grade(word).to_string()).collect();
    let um = |m: f64| text::micrometres(m).unwrap_or_default();
    match (before.least_profile_m, before.greatest_profile_m) {
        (Some(least), Some(most)) => {
            asked.push(format!("profile {} to {} \u{b5}m", um(least), um(most)));
        }
        (Some(least), None) => asked.push(format!("profile at least {} \u{b5}m", um(least))),
        (None, Some(most)) => asked.push(format!("profile at most {} \u{b5}m", um(most))),
        (None, None) => {}
    }
    if let Some(most) = before.greatest_salts_mg_m2 {
        asked.push(format!("salts at most {} mg/m\u{b2}", nine_digits(most)));
    }
    if let Some(most) = before.greatest_dust {
        asked.push(format!("dust at most {}", nine_digits(most)));
    }
    (!asked.is_empty()).then(|| asked.join(", "))
}

/// A grade as the standards write it.
pub(super) fn grade(word: &str) -> &str {
    let known = Grade::words().into_iter().find(|known| known.eq_ignore_ascii_case(word));
    known.unwrap_or(word)
}

#[derive(Serialize)]
pub(super) struct Product<'a> {
    product: Narrow,
    generic_type: Option<&'a str>,
    solids: Option<String>,
    nominal: Option<String>,
    immersion: Option<String>,
    shelf_life: Option<String>,
}

pub(super) fn products(project: &Project) -> Vec<Product<'_>> {
    let products = project.products.products.iter();
    products
        .map(|product| Product {
            product: Narrow::new(&product.id),
            generic_type: product.generic_type.as_deref(),
            solids: product.volume_solids_pct.map(nine_digits),
            nominal: text::micrometres(product.nominal_dft_m),
            immersion: product.least_to_immersion_h.map(text::stated_duration),
            shelf_life: product.shelf_life_h.map(text::stated_duration),
        })
        .collect()
}

/// The rows of a recoat table for one product over another, side by side by the steel's temperature.
#[derive(Serialize)]
pub(super) struct Recoat<'a> {
    product: Narrow,
    by: Option<Narrow>,
    steps: Vec<(String, String, Option<String>)>,
    #[serde(skip)]
    key: (&'a str, Option<&'a str>),
}

pub(super) fn recoat(project: &Project) -> Vec<Recoat<'_>> {
    let mut tables: Vec<Recoat<'_>> = Vec::new();
    for product in &project.products.products {
        let mut rows: Vec<_> = product.recoat.iter().collect();
        rows.sort_by(|a, b| {
            let steel = a.steel_temperature_c.total_cmp(&b.steel_temperature_c);
            a.by.cmp(&b.by).then(steel)
        });
        for row in rows {
            let key = (product.id.as_str(), row.by.as_deref());
            let step = (
                text::number(row.steel_temperature_c, 0),
                text::stated_duration(row.least_h),
                row.greatest_h.map(text::stated_duration),
            );
            match tables.iter_mut().find(|table| table.key == key) {
                Some(table) => table.steps.push(step),
                None => tables.push(Recoat {
                    product: Narrow::new(&product.id),
                    by: row.by.as_ref().map(Narrow::new),
                    steps: vec![step],
                    key,
                }),
            }
        }
    }
    tables
}

#[derive(Serialize)]
pub(super) struct Batch<'a> {
    batch: Narrow,
    product: Narrow,
    made: String,
    keeps_until: Option<String>,
    used_in: Vec<&'a str>,
}

pub(super) fn batches(project: &Project) -> Vec<Batch<'_>> {
    let batches = project.products.batches.iter();
    batches
        .map(|batch| {
            let life = project.products.product(&batch.product);
            let life = life.and_then(|product| product.shelf_life_h);
            let days = life.map(|hours| (hours / 24.0).floor() as u64);
            let until = days.and_then(|days| batch.made.checked_add_days(chrono::Days::new(days)));
            let used = project.coats.iter().filter(|coat| {
                coat.batch.as_ref() == Some(&batch.id) && coat.product == batch.product
            });
            Batch {
                batch: Narrow::new(&batch.id),
                product: Narrow::new(&batch.product),
                made: text::day(batch.made),
                keeps_until: until.map(text::day),
                used_in: used.map(|coat| coat.name.as_str()).collect(),
            }
        })
        .collect()
}
