//! Chapter 10: the formulas.

use super::page::Page;
use crate::calc::{FORMULAS, not_at_hand};

pub(super) fn write(page: &mut Page) {
    page.chapter("10 Formulas");
    page.says(
        "By the names that findings give. Figures are worked out in double precision; areas are in plan \
         unless a zone states its area along the plating.",
    );
    if let Some(said) = not_at_hand(|_| true) {
        page.says(&said);
    }
    for formula in FORMULAS {
        page.entry(
            &format!("{}: {}", formula.name, formula.title),
            &format!("{}. Source: {}.", formula.plain(), formula.source),
        );
    }
}
