//! What the earlier dockings and this one say together, in a few sentences for the next team.

use super::coats::{what, years};
use crate::findings::Examined;
use crate::findings::recomputed::history::{History as Laid, Lies, Patch};
use crate::report::text;

/// Pieces that find room in a sentence.
const MOST_PIECES: usize = 3;

/// Sentences for the page of what the next team needs to know; none where there is no earlier docking.
pub(in crate::report::sections) fn lines(examined: &Examined) -> Vec<String> {
    let Some(history) = &examined.recomputed.history else { return Vec::new() };
    let mut lines = vec![never_exposed(history)];
    lines.extend(older_coats(history));
    lines
}

fn never_exposed(history: &Laid) -> String {
    let since = history.since().map(|day| format!(" since {}", day.format("%Y")));
    let since = since.unwrap_or_default();
    let names: Vec<&str> = (0..history.dockings.len()).map(|at| history.called(at)).collect();
    match history.never_exposed_m2() {
        None => format!(
            "What no docking on record{since} exposed is not known: not every position of {} can be placed with its blocks.",
            text::and(&history.not_placed())
        ),
        Some(_) if history.never_exposed.is_empty() => {
            format!(
                "Over {}, all of the bottom was exposed at least once{since}.",
                text::and(&names)
            )
        }
        Some(area) => {
            let mut pieces: Vec<_> = history.never_exposed.iter().collect();
            pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
            let places: Vec<String> =
                pieces.iter().take(MOST_PIECES).map(|piece| place(piece.extent)).collect();
            format!(
                "Over {}, {} m\u{b2} of the bottom in {} was never exposed{since}: at {}{}.",
                text::and(&names),
                text::number(area, 3),
                text::count(pieces.len(), "piece", "pieces"),
                places.join("; "),
                more(pieces.len() - places.len())
            )
        }
    }
}

/// Steel under this docking's blocks whose coat is older than this docking.
fn older_coats(history: &Laid) -> Option<String> {
    let patches = history.patches.as_ref()?;
    let mut pieces: Vec<&Patch> = patches.pieces.iter().collect();
    pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    let Some(largest) = pieces.first() else {
        return Some(
            "Wherever this docking\u{2019}s blocks stood, its own coats lie uppermost.".to_string(),
        );
    };
    let area: f64 = pieces.iter().map(|piece| piece.area_m2).sum();
    let uppermost = |patch: &Patch| patch.uppermost.and_then(|at| history.uppermost.get(at));
    let oldest = pieces.iter().filter_map(|patch| uppermost(patch)?.age_d).max();
    let coats = pieces.iter().filter_map(|patch| match uppermost(patch)?.lies {
        Lies::Coat(day) => Some(day),
        _ => None,
    });
    let since = coats.min().map(|day| match oldest {
        Some(days) => format!(
            "; the oldest coat there is of {}, {} years before this docking ended",
            text::day(day),
            years(days)
        ),
        None => format!("; the oldest coat there is of {}", text::day(day)),
    });
    Some(format!(
        "Under this docking\u{2019}s blocks {} m\u{b2} of the bottom in {} kept what lay on it before: {} at \
         {}{}{}.",
        text::number(area, 3),
        text::count(pieces.len(), "piece", "pieces"),
        what(history, uppermost(largest)),
        place(largest.extent),
        more(pieces.len() - 1),
        since.unwrap_or_default()
    ))
}

fn place([x0, x1, y0, y1]: [f64; 4]) -> String {
    let number = |value: f64| text::number(value, 2);
    format!("x {} to {} m, y {} to {} m", number(x0), number(x1), number(y0), number(y1))
}

fn more(count: usize) -> String {
    if count == 0 { String::new() } else { format!("; and {count} more") }
}
