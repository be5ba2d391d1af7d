//! How a sentence names things where they may be many.

use std::borrow::Borrow;

/// The first names of a list, `most` at the most, and how many more there are.
pub(super) fn first<S: Borrow<str>>(names: &[S], most: usize) -> String {
    match names.get(..most) {
        Some(shown) if names.len() > most => {
            format!("{} and {} more", shown.join(", "), names.len() - most)
        }
        _ => names.join(", "),
    }
}
