//! What of the bottom left the dock with less than its whole scheme, in a sentence or two.

use super::{coats, is_recorded};
use crate::findings::Examined;
use crate::findings::recomputed::coating::short::{Piece, shortfall};
use crate::report::text;

/// Pieces that find room in a sentence.
const MOST_PIECES: usize = 3;

/// The headline: areas first, then where. Empty where nothing of the coating was recorded.
pub(in crate::report::sections) fn headline(examined: &Examined) -> Vec<String> {
    let project = &examined.project;
    if !is_recorded(project) {
        return Vec::new();
    }
    let zones = || {
        let zones = project.zones.iter().zip(&examined.recomputed.coating.zones);
        zones.filter(|(zone, _)| zone.is_bottom())
    };
    let (mut full, mut less, mut none) = (0.0, 0.0, 0.0);
    let (mut plan, mut short_plan, mut along) = (0.0, 0.0, false);
    let mut known = 0;
    let mut unknown: Vec<&str> = Vec::new();
    for (zone, history) in zones() {
        match history.completeness() {
            Some(found) => {
                full += found.full_m2;
                less += found.less_m2;
                none += found.none_m2;
                plan += found.plan_m2;
                short_plan += found.short_plan_m2;
                along |= zone.true_area_m2.is_some();
                known += 1;
            }
            None => unknown.push(&zone.id),
        }
    }
    let mut said = Vec::new();
    let area = |m2: f64| format!("{} m\u{b2}", square_metres(m2));
    if known == 0 {
        let why = if project.coats.is_empty() {
            "no coat is on record"
        } else {
            "neither zones of the bottom with their schemes nor the coats on them can be placed"
        };
        said.push(format!("How much of the bottom got its whole scheme is not recorded: {why}."));
        return said;
    }
    let whole = text::number(full + less + none, 1);
    if less + none <= 0.0 {
        let of = if unknown.is_empty() { "the bottom" } else { "the bottom's other zones" };
        said.push(format!("All {whole} m\u{b2} of {of} left the dock with the whole scheme."));
    } else {
        let mut sentence = format!(
            "{} of {whole} m\u{b2} of the bottom left the dock with less than the whole scheme",
            area(less + none)
        );
        if less > 0.0 && none > 0.0 {
            sentence.push_str(&format!(
                ": {} lacking some coats, {} without any",
                area(less),
                area(none)
            ));
        } else if none > 0.0 {
            sentence.push_str(", with no coat of it");
        }
        sentence.push('.');
        said.push(sentence);
        if along {
            said.push(format!(
                "These areas are along the plating; in plan it is {} of {} m\u{b2}.",
                area(short_plan),
                text::number(plan, 1)
            ));
        }
        said.extend(where_it_is(examined));
    }
    if !unknown.is_empty() {
        let zones = text::and(&unknown);
        said.push(format!("Not recorded for zone {zones}, which these areas leave out."));
    }
    said
}

/// Patches to a thousandth, whole zones to a tenth.
fn square_metres(m2: f64) -> String {
    text::number(m2, if m2 < 10.0 { 3 } else { 1 })
}

/// Where the largest pieces are.
fn where_it_is(examined: &Examined) -> Option<String> {
    let found = shortfall(&examined.project, &examined.recomputed.coating);
    let mut pieces: Vec<&Piece> = found.pieces.iter().collect();
    pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    let frames = examined.project.docking.frames.as_ref();
    let said: Vec<String> = pieces
        .iter()
        .take(MOST_PIECES)
        .filter_map(|piece| {
            let zone = examined.project.zones.get(piece.zone)?;
            let [x0, x1, y0, y1] = piece.extent;
            let lacks = if piece.none {
                "no coat".to_string()
            } else {
                format!("no {}", coats(&piece.missing))
            };
            let frame = text::nearest_frame(frames, (x0 + x1) / 2.0)
                .map(|frame| format!(" near frame {frame}"))
                .unwrap_or_default();
            let number = |value: f64| text::number(value, 2);
            Some(format!(
                "{} m\u{b2} in zone {} at x {} to {} m, y {} to {} m{frame}, {lacks}",
                square_metres(piece.area_m2),
                zone.id,
                number(x0),
                number(x1),
                number(y0),
                number(y1),
            ))
        })
        .collect();
    let slivers = match found.slivers {
        0 => String::new(),
        _ => format!(
            "; {} m\u{b2} more in {} no wider than the feathering",
            square_metres(found.slivers_m2),
            text::count(found.slivers, "lap or sliver", "laps and slivers")
        ),
    };
    if said.is_empty() {
        return Some("That is nowhere wider than laps at the edges of patches.".to_string());
    }
    let more = pieces.len() - said.len();
    let more = if more > 0 { format!("; and {more} more") } else { String::new() };
    Some(format!("Where: {}{more}{slivers}.", said.join("; ")))
}
