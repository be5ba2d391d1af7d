//! What every subject needs: numbers as the comparison's JSON has them, of nine digits, short of those in which
//! machines may differ; and names as a person lists them.

use serde::Serializer;

use crate::text::{Text, id};
use crate::units::nine_digits;

fn kept(value: f64) -> f64 {
    nine_digits(value).parse().unwrap_or(value)
}

/// A number.
pub(super) fn plain<S: Serializer>(value: &f64, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(kept(*value))
}

/// A number that may not be recorded.
pub(super) fn maybe<S: Serializer>(value: &Option<f64>, to: S) -> Result<S::Ok, S::Error> {
    match value {
        Some(value) => to.serialize_f64(kept(*value)),
        None => to.serialize_none(),
    }
}

/// Names as a person lists them.
pub(super) fn ids_and(names: &[String]) -> Text {
    Text::listed(names.iter().map(|name| id(name).into()))
}
