//! The answer in plain sentences, the short one first.

use super::said::{self, and};
use super::told::{
    Asked, BandTold, Choice, LeavingOutTold, LoadsTold, OpeningShort, Told, WayTold,
};
use super::way_of;
use crate::calc::plane::NO_AREA_M2;
use crate::calc::shifts::{MOST_LEFT_OUT, Way};
use crate::units;

/// What must be said with every answer.
pub const CAUTIONS: [&str; 2] = [
    "This is arithmetic on a block plan, and no approval to dock or to shift. The shift, the blocks and what \
     is left out are for the dockmaster and a licensed naval architect under the docking plan and the local \
     rules.",
    "Loads are estimates: springs that only push, timber taken as linear though across the grain it is far \
     from it.",
];

/// The kind of a docking plug in plan/openings.csv.
const PLUG: &str = "docking-plug";

/// Where she lies is not known.
pub const NOT_RECORDED: &str = "not recorded";
/// Steel that no position of a docking exposed.
pub const NEVER_EXPOSED: &str = "never exposed";
/// Steel that stood under blocks in its last position.
pub const UNDER_LAST: &str = "under blocks last";

/// Openings named in a sentence; more are counted.
const MOST_NAMED: usize = 5;

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
        Some(choice) => one_shift(choice, &told.asked),
        None => no_single_shift(told),
    }
}

/// The same as short as one page with much else on it can hold: the shift, or what to leave out for one; and
/// where to land so that what was never exposed is reached.
pub fn brief(told: &Told) -> Vec<String> {
    let mut said: Vec<String> = told.answer.iter().take(1).cloned().collect();
    if !told.one_shift_does {
        let of_second = told.leaving_out.iter().find(|out| out.of_first.is_empty());
        said.extend(of_second.or(told.leaving_out.first()).map(leave_out));
    }
    // The first is the docking itself; what earlier ones left stands in the section.
    let left = told.past.iter().take(1).flat_map(|past| &past.left);
    let never = left.filter(|left| left.what == NEVER_EXPOSED).filter_map(|left| {
        let landing = left.landing.as_ref()?;
        Some(format!("Next time on these blocks, to reach what was never exposed: {landing}"))
    });
    said.extend(never);
    said
}

fn one_shift(choice: &Choice, asked: &Asked) -> Vec<String> {
    let way = way_of(choice.way);
    let band = &choice.band;
    let mut said = vec![format!(
        "Aim at a shift of {}: nothing of the bottom is under blocks a second time, and it may be missed by {} \
         either way.",
        said::shift(way, band.aim_m, band.decimals),
        missed(band)
    )];
    let (smallest, decimals) = said::smallest(choice.smallest_m, &[(f64::MIN, f64::MAX)]);
    said.push(if smallest == 0.0 {
        "Without any shift nothing would be hidden a second time either: no footprint of the one position lies \
         on one of the other."
            .to_string()
    } else {
        format!(
            "The smallest shift that does it is {}. It takes one reflooding.",
            said::shift(way, smallest, decimals)
        )
    });
    said.extend(openings(way, band, &choice.openings_short, asked));
    match load_said(&choice.loads, "after") {
        Some(loads) => said.push(loads),
        None if !asked.left_out.is_empty() => {
            let (why, _) = loads(&choice.loads);
            said.push(format!("The loads on the blocks that are left are {why}."));
        }
        None => {}
    }
    said
}

/// By how much the aim may be missed.
fn missed(band: &BandTold) -> String {
    match band.miss_m {
        miss if miss > 0.0 => format!("{} m", units::fixed(miss, band.decimals)),
        _ => "less than a millimetre".to_string(),
    }
}

/// The openings at the aim of a band.
fn openings(way: Way, band: &BandTold, short: &[OpeningShort], asked: &Asked) -> Vec<String> {
    let plugs = match asked.docking_plugs_held {
        0 => String::new(),
        1 => ", the docking plug too".to_string(),
        n => format!(", all {n} docking plugs too"),
    };
    if short.is_empty() {
        let all = format!("At that aim every opening has the clear distance wanted{plugs}.");
        return if asked.openings_held > 0 { vec![all] } else { Vec::new() };
    }
    let named: Vec<String> = short.iter().take(MOST_NAMED).map(opening).collect();
    let more = match short.len() - named.len() {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    let openings = match short.len() {
        1 => "1 opening is".to_string(),
        n => format!("{n} openings are"),
    };
    let no_plug = !short.iter().any(|short| short.kind == PLUG) && asked.docking_plugs_held > 0;
    let plugs = if no_plug { " No docking plug is among them." } else { "" };
    let clear = match clear(band, way, asked) {
        _ if band.openings_clear.is_empty() => {
            "No shift of that band gives every opening the clear distance wanted.".to_string()
        }
        clear => format!("With shifts of {clear} every opening has it."),
    };
    vec![
        format!(
            "At that aim {openings} nearer to a cap than wanted: {}{more}.{plugs}",
            named.join("; ")
        ),
        clear,
    ]
}

fn opening(short: &OpeningShort) -> String {
    let plug = if short.kind == PLUG { "docking plug " } else { "" };
    let clear = match short.clear_m {
        clear if clear > 0.0 => format!("{} m from {}", units::fixed(clear, 3), short.block),
        _ => format!("under {}", short.block),
    };
    format!("{plug}{}, {clear}, wanted {} m", short.opening, units::fixed(short.wanted_m, 3))
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
    said.extend(fewest.into_iter().flat_map(|out| left_out(out, &told.asked)));
    if fewest.is_some_and(|out| !out.of_first.is_empty()) {
        let of_second_alone = told.leaving_out.iter().find(|out| out.of_first.is_empty());
        said.extend(of_second_alone.into_iter().flat_map(|out| left_out(out, &told.asked)));
    }
    said.extend(told.two_shifts.as_ref().map(|two| {
        let way = way_of(two.way);
        format!(
            "With every block standing it takes two shifts and two refloodings: first {}, which {}, then on to \
             {} from the first position, which may be missed by {} either way.",
            said::shift(way, two.first_m, two.decimals),
            match two.first_miss_m {
                miss if miss > 0.0 => {
                    format!("may be missed by {} m either way", units::fixed(miss, two.decimals))
                }
                _ => "is to be hit closely".to_string(),
            },
            said::shift(way, two.second.aim_m, two.second.decimals),
            missed(&two.second)
        )
    }));
    if told.leaving_out.is_empty() && told.two_shifts.is_none() {
        said.push(format!(
            "Neither two shifts nor leaving out up to {MOST_LEFT_OUT} blocks do it in that range."
        ));
    }
    said
}

/// The parts of a band in which every opening has its clear distance, in words.
pub fn clear(band: &BandTold, way: Way, asked: &Asked) -> String {
    if asked.openings_held == 0 {
        return "none is held".to_string();
    }
    let spans = band.openings_clear.iter().map(|part| {
        let (span, decimals) = said::inward((part.from_m, part.to_m));
        said::span(way, span, decimals)
    });
    let spans: Vec<String> = spans.collect();
    if spans.is_empty() { "nowhere in it".to_string() } else { spans.join("; ") }
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

fn leave_out(out: &LeavingOutTold) -> String {
    let which = match (out.of_first.is_empty(), out.of_second.is_empty()) {
        (true, _) => format!("{} after the shift", and(&out.of_second)),
        (false, true) => format!("{} before the shift", and(&out.of_first)),
        (false, false) => {
            format!("{} before the shift and {} after it", and(&out.of_first), and(&out.of_second))
        }
    };
    format!(
        "Leave out {which}, and one shift does it: aim at {}, which may be missed by {} either way; one \
         reflooding.",
        said::shift(way_of(out.way), out.band.aim_m, out.band.decimals),
        missed(&out.band)
    )
}

/// What to leave out, with the openings and loads that this gives.
fn left_out(out: &LeavingOutTold, asked: &Asked) -> Vec<String> {
    let mut said = vec![leave_out(out)];
    said.extend(openings(way_of(out.way), &out.band, &out.openings_short, asked));
    said.extend(load_said(&out.loads, "after"));
    said.extend(out.loads_before.iter().filter_map(|loads| load_said(loads, "before")));
    said
}

fn load_said(loads: &LoadsTold, when: &str) -> Option<String> {
    loads.greatest_t?;
    let (load, pressure) = self::loads(loads);
    Some(format!(
        "The greatest load on a block {when} it is then {load}; the pressure nearest its limit, {pressure}."
    ))
}

/// The greatest load, and the pressure nearest its limit, with their blocks.
pub fn loads(told: &LoadsTold) -> (String, String) {
    let why = told.why_not.as_deref().unwrap_or("not recorded");
    let unknown = || format!("not recorded: {why}");
    let load = told.greatest_t.zip(told.on.as_ref());
    let pressure = told.pressure_kpa.zip(told.pressed.as_ref());
    let held = match told.limit_kpa.zip(told.pressure_kpa) {
        Some((limit, kpa)) if kpa > limit => {
            format!(", beyond its limit of {} kPa", units::fixed(limit, 0))
        }
        Some((limit, _)) => format!(", limit {} kPa", units::fixed(limit, 0)),
        None => String::new(),
    };
    (
        load.map_or_else(unknown, |(t, block)| format!("{} t on {block}", units::fixed(t, 1))),
        pressure.map_or_else(unknown, |(kpa, block)| {
            format!("{} kPa on {block}{held}", units::fixed(kpa, 0))
        }),
    )
}
