//! The answer in plain sentences, the short one first.

use super::said::{self, and};
use super::told::{
    Aim, Asked, BandTold, Choice, LeaveOut, LeavingOutTold, PutBack, Told, TwoShifts, WayTold,
};
use super::{FEW, way_of};
use crate::calc::plane::NO_AREA_M2;
use crate::calc::shifts::MOST_LEFT_OUT;
use crate::units;

pub use super::aim_said::figures as loads;

/// What must be said with every answer.
pub const CAUTIONS: [&str; 2] = [
    "This is arithmetic on a block plan, and no approval to dock or to shift. The shift, the blocks and what \
     is left out are for the dockmaster and a licensed naval architect under the docking plan and the local \
     rules.",
    "Loads are estimates: springs that only push, timber taken as linear though across the grain it is far \
     from it.",
];

/// Where she lies is not known.
pub const NOT_RECORDED: &str = "not recorded";
/// Steel that no position of a docking exposed.
pub const NEVER_EXPOSED: &str = "never exposed";
/// Steel that stood under blocks in its last position.
pub const UNDER_LAST: &str = "under blocks last";

/// What was asked, in a sentence or two.
pub fn asked(told: &Told) -> String {
    let Asked { blocks_before, blocks_after, lay, .. } = &told.asked;
    let before = told.asked.before.as_deref().unwrap_or("the first position");
    let lay = match *lay {
        NOT_RECORDED => String::new(),
        lay => format!(" {lay}"),
    };
    let mut said =
        format!("From {before}{lay}, on {}, to a second position ", blocks(*blocks_before));
    said.push_str(&match &told.asked.after {
        Some(after) => format!("on the blocks of {after}, which are {blocks_after}"),
        None if told.asked.left_out.is_empty() => "on the same blocks".to_string(),
        None => format!("on {blocks_after} of the same blocks"),
    });
    if !told.asked.left_out.is_empty() {
        said.push_str(&format!(", without {}", and(&told.asked.left_out)));
    }
    let reaches: Vec<String> = told.ways.iter().map(reach).collect();
    said.push_str(&format!(", shifted {}.", reaches.join(" or ")));
    if told.asked.overlap_m > 0.0 {
        let overlap = units::nine_digits(told.asked.overlap_m * 1000.0);
        said.push_str(&format!(
            " Every cap is grown by {overlap} mm all round, for the overlap of blasting and feathering."
        ));
    }
    if told.asked.lay == NOT_RECORDED {
        said.push_str(
            " Where she lies is not recorded: the blocks are held against each other only.",
        );
    } else if !told.asked.outline {
        said.push_str(" No outline of the bottom is recorded: caps count whole.");
    }
    if let Some(put_back) = put_back(&told.asked.put_back) {
        said.push_str(&format!(" {put_back}"));
    }
    said
}

/// That blocks found elsewhere are taken where they were planned.
pub(super) fn put_back(blocks: &[PutBack]) -> Option<String> {
    let names: Vec<String> =
        blocks.iter().map(|one| format!("{} (found as {})", one.block, one.found_as)).collect();
    match names.as_slice() {
        [] => None,
        [_] => Some(format!("{} is taken where it was planned.", and(&names))),
        _ => Some(format!("{} are taken where they were planned.", and(&names))),
    }
}

/// Blocks whose leaving out clears openings, and what to aim at then.
pub(super) fn clear_without(out: &LeaveOut) -> Vec<String> {
    let mut said =
        vec![format!("With {} left out fewer openings are near a cap.", and(&out.blocks))];
    said.extend(out.band.aim.said.iter().cloned());
    said
}

fn blocks(number: usize) -> String {
    if number == 1 { "1 block".to_string() } else { format!("{number} blocks") }
}

fn reach(told: &WayTold) -> String {
    let size = |m: f64| units::fixed(m.abs(), 2);
    let (from, to) = (size(told.from_m), size(told.to_m));
    if from == to {
        format!("up to {to} m {}", told.way)
    } else {
        let way = way_of(told.way);
        format!("from {} to {}", said::shift(way, told.from_m, 2), said::shift(way, told.to_m, 2))
    }
}

/// The answer, the shortest first.
pub fn sentences(told: &Told) -> Vec<String> {
    match &told.choice {
        Some(choice) => {
            let mut said = one_shift(choice);
            let (smallest, decimals) = said::smallest(choice.smallest_m, &[(f64::MIN, f64::MAX)]);
            said.push(match smallest == 0.0 {
                true => "Without any shift nothing would be hidden a second time either: no footprint of the one \
                         position lies on one of the other."
                    .to_string(),
                false => format!(
                    "The smallest shift that does it, with no room to miss it one way, is {}.",
                    said::shift(way_of(choice.way), smallest, decimals)
                ),
            });
            said
        }
        None => no_single_shift(told),
    }
}

/// What one page with much else on it must hold: what to aim at, or what to leave out for it, each with all that
/// goes with an aim; and where to land so that what was never exposed is reached.
///
/// A paragraph for each aim, with all that belongs to it.
pub fn brief(told: &Told) -> Vec<String> {
    let mut said: Vec<Vec<String>> = match &told.choice {
        Some(choice) => {
            let without = choice.clear_without.iter().map(clear_without);
            std::iter::once(aim_of_one_shift(choice)).chain(without).collect()
        }
        None => {
            let of_second = told.leaving_out.iter().find(|out| out.of_first.is_empty());
            let instead = match (of_second.or(told.leaving_out.first()), &told.two_shifts) {
                (Some(out), _) => Some(left_out(out)),
                (None, Some(two)) => Some(two_shifts(two)),
                (None, None) => None,
            };
            let first = told.answer.iter().take(1).cloned().collect();
            std::iter::once(first).chain(instead).collect()
        }
    };
    if let Some(first) = said.first_mut() {
        first.extend(put_back(&told.asked.put_back));
    }
    // The first is the docking itself; what earlier ones left stands in the section.
    let left = told.past.iter().take(1).flat_map(|past| &past.left);
    let never = left.filter(|left| left.what == NEVER_EXPOSED && !left.landing.is_empty());
    said.extend(never.map(|left| {
        let before = "Next time on these blocks, to reach what was never exposed:".to_string();
        std::iter::once(before).chain(left.landing.iter().cloned()).collect()
    }));
    said.iter().map(|paragraph| paragraph.join(" ")).filter(|one| !one.is_empty()).collect()
}

fn aim_of_one_shift(choice: &Choice) -> Vec<String> {
    let mut said = vec![
        "One shift, with one reflooding, leaves nothing of the bottom under blocks a second time."
            .to_string(),
    ];
    said.extend(choice.band.aim.said.iter().cloned());
    said
}

fn one_shift(choice: &Choice) -> Vec<String> {
    let mut said = aim_of_one_shift(choice);
    said.extend(choice.clear_without.iter().flat_map(clear_without));
    said
}

fn no_single_shift(told: &Told) -> Vec<String> {
    let reaches: Vec<String> = told.ways.iter().map(reach).collect();
    let least = told.ways.iter().min_by(|a, b| a.least_m2.total_cmp(&b.least_m2));
    let mut said = vec![format!("No single shift does it, {}.", reaches.join(" or "))];
    said.extend(least.map(|way| {
        let shift = said::shift(way_of(way.way), way.least_at_m, 2);
        if way.least_m2 < NO_AREA_M2 {
            return format!("Only a shift of exactly {shift} would, with no room to miss it.");
        }
        let least = units::fixed(way.least_m2, 3);
        format!("The least that stays under blocks both times is {least} m\u{b2}, after a shift of {shift}.")
    }));
    let off_keel = told.ways.iter().filter(|way| !way.off_keel.is_empty());
    said.extend(off_keel.map(off_keel_said));
    let fewest = told.leaving_out.first();
    said.extend(fewest.into_iter().flat_map(left_out));
    if fewest.is_some_and(|out| !out.of_first.is_empty()) {
        let of_second_alone = told.leaving_out.iter().find(|out| out.of_first.is_empty());
        said.extend(of_second_alone.into_iter().flat_map(left_out));
    }
    said.extend(told.two_shifts.iter().flat_map(two_shifts));
    if told.leaving_out.is_empty() && told.two_shifts.is_none() {
        let most = MOST_LEFT_OUT.min(told.asked.blocks_after / FEW);
        let leaving_out = match most {
            0 => "and of so few blocks none was tried without".to_string(),
            1 => "nor a block whose leaving out would".to_string(),
            most => format!("nor up to {most} blocks whose leaving out would"),
        };
        said.push(format!(
            "No two shifts fore and aft were found in that range that do it, {leaving_out}."
        ));
    }
    said
}

/// Each of two shifts, both counted from the first position.
fn two_shifts(two: &TwoShifts) -> Vec<String> {
    let before = |which: &str, aim: &Aim| {
        let left = match aim.hidden_m2 {
            left if left > 0.0 => {
                format!(", which leaves {} m\u{b2} under blocks", units::fixed(left, 3))
            }
            _ => String::new(),
        };
        format!("{which}{left}:")
    };
    let mut said =
        vec!["With all these blocks standing it takes two shifts and two refloodings.".to_string()];
    for (which, band) in [
        ("The first shift", &two.first),
        ("The second, counted from the first position too", &two.second),
    ] {
        said.push(before(which, &band.aim));
        said.extend(band.aim.said.iter().cloned());
    }
    said
}

/// The parts of a band in which the openings are clear, in words.
pub fn clear(band: &BandTold) -> String {
    let Some(openings) = &band.aim.openings else { return "not known".to_string() };
    if openings.held + openings.not_held.len() == 0 {
        return "none on record".to_string();
    }
    let way = way_of(band.aim.way);
    let spans = band.openings_clear.iter().map(|part| {
        let (span, decimals) = said::inward((part.from_m, part.to_m));
        said::span(way, span, decimals)
    });
    let spans: Vec<String> = spans.collect();
    if spans.is_empty() { "nowhere in it".to_string() } else { spans.join("; ") }
}

/// The openings that are near a cap at an aim, by name.
pub fn near(aim: &Aim) -> String {
    match &aim.openings {
        None => "not known".to_string(),
        Some(openings) if openings.held + openings.not_held.len() == 0 => {
            "none on record".to_string()
        }
        Some(openings) if openings.near.is_empty() => "none".to_string(),
        Some(openings) => {
            openings.near.iter().map(|near| near.opening.as_str()).collect::<Vec<_>>().join(", ")
        }
    }
}

/// Shifts that would do, were the keel not taken off its blocks.
pub fn off_keel_said(told: &WayTold) -> String {
    let spans: Vec<String> = told
        .off_keel
        .iter()
        .map(|span| {
            let (span, decimals) = said::inward((span.from_m, span.to_m));
            said::span(way_of(told.way), span, decimals)
        })
        .collect();
    format!("Shifts of {} would, but they take the keel off its blocks.", and(&spans))
}

/// What to leave out, with the aim that this gives.
fn left_out(out: &LeavingOutTold) -> Vec<String> {
    let which = match (out.of_first.is_empty(), out.of_second.is_empty()) {
        (true, _) => format!("{} after the shift", and(&out.of_second)),
        (false, true) => format!("{} before the shift", and(&out.of_first)),
        (false, false) => {
            format!("{} before the shift and {} after it", and(&out.of_first), and(&out.of_second))
        }
    };
    let mut said = vec![format!("Leave out {which}, and one shift with one reflooding does it.")];
    said.extend(out.band.aim.said.iter().cloned());
    said
}
