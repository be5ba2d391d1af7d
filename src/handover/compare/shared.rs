//! What several subjects need: numbers for JSON, lists of names, items of one docking only, extremes.

use serde::Serializer;

use crate::text::{Text, id};
use crate::units::nine_digits;

/// Where the rows stand that a table leaves out.
pub(super) const ELSEWHERE: &str = "the comparison as JSON";

/// A number of nine digits: machines may differ in the digits beyond them.
fn rounded(value: f64) -> f64 {
    nine_digits(value).parse().unwrap_or(value)
}

pub(super) fn plain<S: Serializer>(value: &f64, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(rounded(*value))
}

/// A number that may not be recorded.
pub(super) fn maybe<S: Serializer>(value: &Option<f64>, to: S) -> Result<S::Ok, S::Error> {
    match value {
        Some(value) => to.serialize_f64(rounded(*value)),
        None => to.serialize_none(),
    }
}

/// Names as a person lists them.
pub(super) fn ids_and(names: &[String]) -> Text {
    Text::listed(names.iter().map(|name| id(name).into()))
}

/// Those of `items` whose names none of `others` has.
pub(super) fn only_in<'a, T>(
    items: &'a [T],
    others: &'a [T],
    name: impl Fn(&T) -> &str,
) -> impl Iterator<Item = &'a T> {
    items.iter().filter(move |item| !others.iter().any(|other| name(other) == name(item)))
}

/// The item with the greatest value, of those that have one; of equals the last.
pub(super) fn greatest<T>(
    items: impl IntoIterator<Item = T>,
    value: impl Fn(&T) -> Option<f64>,
) -> Option<(T, f64)> {
    with_values(items, value).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The item with the least value, of those that have one; of equals the first.
pub(super) fn least<T>(
    items: impl IntoIterator<Item = T>,
    value: impl Fn(&T) -> Option<f64>,
) -> Option<(T, f64)> {
    with_values(items, value).min_by(|a, b| a.1.total_cmp(&b.1))
}

fn with_values<T>(
    items: impl IntoIterator<Item = T>,
    value: impl Fn(&T) -> Option<f64>,
) -> impl Iterator<Item = (T, f64)> {
    items.into_iter().filter_map(move |item| {
        let value = value(&item)?;
        Some((item, value))
    })
}
