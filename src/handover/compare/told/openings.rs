//! The openings.

use super::{Comparison, Section, Table, figure, name, words};
use crate::handover::compare::{Openings, Seen};
use crate::report::text::{and, centimetres, count, number};

const TITLE: &str = "Openings";

pub(super) fn section(comparison: &Comparison) -> Section {
    let openings = &comparison.openings;
    if !openings.are_compared() {
        let lead = match (openings.older, openings.newer) {
            (0, 0) => "No opening is recorded in either docking.".to_string(),
            (0, _) => "No opening was recorded then, so that none can be compared.".to_string(),
            _ => "No opening is recorded now, so that none can be compared.".to_string(),
        };
        return Section::new(TITLE, lead);
    }
    let lead = format!(
        "{} then and {} now: {}.",
        count(openings.older, "opening", "openings"),
        openings.newer,
        and(&how(openings).iter().map(String::as_str).collect::<Vec<_>>())
    );
    let mut section = Section::new(TITLE, lead);
    seen("Added, recorded now and not then:", &openings.added).to(&mut section);
    seen("Removed, recorded then and not now:", &openings.removed).to(&mut section);
    let renamed = openings.renamed.iter();
    Table::new("Of another name, but of one kind, place and size:", [name("Then"), words("Now")])
        .rows(renamed.map(|one| [Some(one.older.clone()), Some(one.newer.clone())]))
        .to(&mut section);
    let columns = [
        name("Opening"),
        figure("x then, m"),
        figure("y then, m"),
        figure("x now, m"),
        figure("y now, m"),
        figure("Moved by, m"),
    ];
    Table::new("Moved:", columns)
        .rows(openings.moved.iter().map(|one| {
            [
                Some(one.opening.clone()),
                centimetres(one.older_x_m),
                centimetres(one.older_y_m),
                centimetres(one.newer_x_m),
                centimetres(one.newer_y_m),
                centimetres(one.by_m),
            ]
        }))
        .to(&mut section);
    Table::new("Changed:", [name("Opening"), name("What"), words("Then"), words("Now")])
        .rows(openings.changed.iter().map(|one| {
            [
                Some(one.opening.clone()),
                Some(one.what.to_string()),
                one.older.clone(),
                one.newer.clone(),
            ]
        }))
        .to(&mut section);
    section
}

/// How many came out in which way; what none did is left out.
fn how(openings: &Openings) -> Vec<String> {
    // An opening may be changed in several ways.
    let mut changed: Vec<&str> = openings.changed.iter().map(|one| one.opening.as_str()).collect();
    changed.dedup();
    let moved = format!("moved by more than {} m", number(openings.moved_by_more_than_m, 2));
    [
        (openings.unchanged, "as before"),
        (openings.added.len(), "added"),
        (openings.removed.len(), "removed"),
        (openings.renamed.len(), "renamed"),
        (openings.moved.len(), moved.as_str()),
        (changed.len(), "otherwise changed"),
    ]
    .into_iter()
    .filter(|(many, _)| *many > 0)
    .map(|(many, how)| format!("{many} {how}"))
    .collect()
}

fn seen(about: &str, openings: &[Seen]) -> Table {
    let columns = [
        name("Opening"),
        name("Kind"),
        figure("x, m"),
        figure("y, m"),
        name("Size"),
        words("State as recorded"),
    ];
    Table::new(about, columns).rows(openings.iter().map(|one| {
        [
            Some(one.opening.clone()),
            Some(one.kind.clone()),
            centimetres(one.x_m),
            centimetres(one.y_m),
            Some(one.size.clone()),
            one.state.clone(),
        ]
    }))
}
