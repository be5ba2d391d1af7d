//! The answer in words: shifts in the figures that a person would measure, an aim in sentences, and the whole answer,
//! the short one first.
//!
//! A figure is rounded inward: whatever is said to do, does.

use super::answer::{
    Aim, AimLoads, AimOpenings, AimedBand, Answer, Asked, Choice, LeaveOut, LeavingOut, OneWay,
    OpeningNear, OwnShift, PutBack, Span, Steel, TwoShifts, Unreached,
};
use crate::calc::plane::NO_AREA_M2;
use crate::calc::shifts::{MOST_LEFT_OUT, Way};
use crate::findings::naming::count;
use crate::findings::recomputed::shifts::{FEW, Placed};
use crate::hull::Lie;
use crate::text;
use crate::text::{Form, Measure, Text, and, range};

/// A shift of the ship, m, forward or to port +, as words: `0.70 m aft`.
pub fn shift(way: Way, shift_m: f64, decimals: usize) -> Text {
    sized(way, shift_m, size(shift_m, decimals))
}

/// A shift with its size as it is to be written.
fn sized(way: Way, shift_m: f64, size: Measure) -> Text {
    match is_nothing(&size) {
        true => Text::from("no shift at all"),
        false => text!("{} {}", size, side(way, shift_m)),
    }
}

/// The size of a shift, m.
fn size(shift_m: f64, decimals: usize) -> Measure {
    Form::Shift.measure(shift_m.abs()).decimals(decimals)
}

fn is_nothing(size: &Measure) -> bool {
    size.plain().bytes().all(|b| b == b'0' || b == b'.')
}

/// Toward which side a shift goes.
fn side(way: Way, shift_m: f64) -> &'static str {
    match (way, shift_m > 0.0) {
        (Way::ForeAndAft, true) => "forward",
        (Way::ForeAndAft, false) => "aft",
        (Way::Athwart, true) => "to port",
        (Way::Athwart, false) => "to starboard",
    }
}

/// How far she is shifted from where she lies to where she lies then, and which ways.
pub fn shifted(at: Lie, then: Lie) -> Text {
    both_ways(
        then.srp_station_m - at.srp_station_m,
        then.centreline_offset_m - at.centreline_offset_m,
    )
}

/// A shift forward and to port, m, as words: `0.700 m aft and 0.020 m to starboard`.
pub fn both_ways(forward_m: f64, port_m: f64) -> Text {
    text!(
        "{} and {}",
        toward(forward_m, ["forward", "aft", "fore and aft"]),
        toward(port_m, ["to port", "to starboard", "athwart"])
    )
}

/// How far, and which way; a distance that is printed as zero has no way but its axis.
fn toward(value_m: f64, [plus, minus, axis]: [&str; 3]) -> Text {
    let size = Form::Length.measure(value_m.abs());
    match (size.plain().contains(|c| matches!(c, '1'..='9')), value_m > 0.0) {
        (false, _) => text!("{} {}", Form::Length.measure(0.0), axis),
        (true, true) => text!("{} {}", size, plus),
        (true, false) => text!("{} {}", size, minus),
    }
}

/// Shifts of the ship from one to another, m, as words: `0.60 to 0.80 m aft`.
///
/// In other units than those in which they were rounded they are rounded inward again.
fn span(way: Way, Span { from_m, to_m }: Span, decimals: usize) -> Text {
    let nothing = |m: f64| is_nothing(&size(m, decimals));
    let further = |m: f64| sized(way, m, size(m, decimals).rounded_down());
    let (near, far) = if from_m.abs() <= to_m.abs() { (from_m, to_m) } else { (to_m, from_m) };
    if nothing(far) {
        return shift(way, far, decimals);
    }
    if from_m < 0.0 && to_m > 0.0 && !nothing(near) {
        return text!("{} to {}", further(from_m), further(to_m));
    }
    let ends = range(size(near, decimals).rounded_up(), size(far, decimals).rounded_down());
    text!("{} {}", ends, side(way, far))
}

/// A place in a span of shifts as a person measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// The ship's shift, m.
    pub shift_m: f64,
    /// By how much that may be missed either way, m; rounded down.
    pub room_m: f64,
    /// Decimals that both need.
    pub decimals: usize,
}

/// Decimals of metres: as few as leave something that may be missed.
const DECIMALS: [usize; 2] = [2, 3];
/// Computed lengths are sure to this part of the last decimal.
const SURE: f64 = 1e-4;

impl Spot {
    /// The middle of a span, rounded.
    pub fn middle(span: Span) -> Self {
        let middle_m = (span.from_m + span.to_m) / 2.0;
        Self::roomy(span, |decimals| (middle_m / unit(decimals)).round() * unit(decimals))
    }

    /// A shift in a span, as it is.
    pub fn at(shift_m: f64, span: Span) -> Self {
        Self::roomy(span, |_| shift_m)
    }

    /// With as few decimals as leave room.
    fn roomy(span: Span, shift_m: impl Fn(usize) -> f64) -> Self {
        let [coarse, fine] = DECIMALS.map(|decimals| {
            let shift_m = shift_m(decimals);
            Self { shift_m, room_m: room(shift_m, span, decimals), decimals }
        });
        if coarse.room_m > 0.0 { coarse } else { fine }
    }
}

/// By how much a shift may be missed either way and still lie in a span, m; rounded down.
pub fn room(shift_m: f64, Span { from_m, to_m }: Span, decimals: usize) -> f64 {
    let unit = unit(decimals);
    let room = (shift_m - from_m).min(to_m - shift_m);
    (room / unit + SURE).floor().max(0.0) * unit
}

/// A span rounded to lie inside itself, and the decimals for it.
fn inward(Span { from_m, to_m }: Span) -> (Span, usize) {
    for decimals in DECIMALS {
        let unit = unit(decimals);
        let inside = Span {
            from_m: (from_m / unit - SURE).ceil() * unit,
            to_m: (to_m / unit + SURE).floor() * unit,
        };
        if inside.to_m - inside.from_m > unit * 1.5 {
            return (inside, decimals);
        }
    }
    (Span { from_m, to_m }, 4)
}

/// A span rounded inward, as words.
pub fn span_inward(way: Way, shifts: Span) -> Text {
    let (shifts, decimals) = inward(shifts);
    span(way, shifts, decimals)
}

/// Several spans, each rounded inward, as words.
fn spans_inward<'a>(way: Way, spans: &'a [Span]) -> impl Iterator<Item = Text> + 'a {
    spans.iter().map(move |span| span_inward(way, *span))
}

/// The smallest shift that lies in any of several spans, rounded to lie inside its own, and its decimals.
fn smallest(shift_m: f64, spans: &[Span]) -> (f64, usize) {
    let within = |m: f64| spans.iter().any(|s| s.from_m - 1e-6 <= m && m <= s.to_m + 1e-6);
    for decimals in DECIMALS {
        let unit = unit(decimals);
        let further = (shift_m.abs() / unit - SURE).ceil() * unit;
        let rounded = further.copysign(shift_m);
        if within(rounded) {
            return (rounded, decimals);
        }
    }
    (shift_m, 4)
}

fn unit(decimals: usize) -> f64 {
    if decimals == 2 { 0.01 } else { 0.001 }
}

/// What the project's own shift leaves, and what is known of the place where it ends.
pub fn own_shift(own: &OwnShift, overlap_m: f64) -> Vec<Text> {
    let [made, leaves] = match own.is_made {
        true => ["was made", "left"],
        false => ["is planned", "leaves"],
    };
    let without = match own.without.as_slice() {
        [] => String::new(),
        blocks => format!(", without {}", and(blocks)),
    };
    let hidden = match own.pieces.len() {
        0 => Text::from("nothing of the bottom"),
        n => text!(
            "{} of the bottom, in {},",
            Form::Area.measure(own.hidden_twice_m2),
            count(n, "piece")
        ),
    };
    let mut said = vec![text!(
        "The shift that {}, from {} to {}, {}{}, {} {} under blocks both times.",
        made,
        own.from,
        own.to,
        both_ways(own.fore_and_aft_m, own.athwart_m),
        without,
        leaves,
        hidden
    )];
    said.extend(own.hidden_twice_grown_m2.map(|grown_m2| {
        text!(
            "With every cap grown by {} all round it is {}.",
            Form::Small.measure(overlap_m).as_stated(),
            Form::Area.measure(grown_m2)
        )
    }));
    said.push(match own.openings.near.is_empty() {
        true => text!("In {}, {}.", own.to, none_near(&own.openings)),
        false => {
            let near = own.openings.near.iter().map(opening_near);
            text!("In {}, {}.", own.to, Text::listed(near))
        }
    });
    said.extend(not_held(&own.openings).map(Text::from));
    said.extend(loads(&own.loads, "there"));
    said
}

/// The kind of a docking plug in plan/openings.csv.
const PLUG: &str = "docking-plug";

/// Openings that are only counted beyond so many, where they are no warning.
const MOST_NAMED: usize = 5;

/// The aim in a band of shifts (from and to, m), in parts of which (slid) the openings are clear. The first
/// sentence says where, by how much it may be missed, and what is known of openings there; then come the loads,
/// and what could not be examined. `is_best` says whether it is the best place of the band, or one that was given.
pub fn aim_in_sentences(aim: &Aim, shifts: Span, clear: &[Span], is_best: bool) -> Vec<Text> {
    let mut first = match is_best {
        true => text!("Aim at {}, which {}", place(aim), room_in_words(aim)),
        false => text!("{} {}", place(aim), room_in_words(aim)),
    };
    first.extend(match &aim.openings {
        None => "; where she lies is not recorded, so that nothing can be said of openings, docking plugs and \
                 loads there"
            .into(),
        Some(openings) if openings.near.is_empty() => text!("; {}", none_near(openings)),
        Some(openings) => {
            let elsewhere = elsewhere(aim.way, shifts, clear, is_best);
            let near = Text::listed(openings.near.iter().map(opening_near));
            text!("; but there {}, and {}", near, elsewhere)
        }
    });
    first.push(".");
    let mut said = vec![first];
    if let Some(openings) = &aim.openings {
        said.extend(not_held(openings).map(Text::from));
        said.extend(loads(&aim.loads, "there"));
        said.extend(aim.loads_before.iter().flat_map(|before| loads(before, "before the shift")));
    }
    said
}

/// The place: `0.70 m aft of P1 as she lay (stern reference point at station 13.610 m)`.
fn place(aim: &Aim) -> Text {
    let way = aim.way;
    let shift = shift(way, aim.shift_m, aim.decimals);
    let at = match way {
        Way::ForeAndAft => aim
            .srp_station_m
            .map(|m| text!(" (stern reference point at station {})", Form::Length.measure(m))),
        Way::Athwart => aim
            .centreline_offset_m
            .map(|m| text!(" (centreline at offset {})", Form::Length.measure(m))),
    };
    let at = at.unwrap_or_default();
    match aim.shift_m == 0.0 {
        true => text!("{}{}", aim.from, at),
        false => text!("{} of {}{}", shift, aim.from, at),
    }
}

/// By how much it may be missed, and by how much before what is known of it changes.
fn room_in_words(aim: &Aim) -> Text {
    let size = |m: f64| match m {
        m if m > 0.0 => Text::from(miss(m, aim.decimals)),
        _ => Text::from("less than a millimetre"),
    };
    let total = text!("may be missed by {} either way", size(aim.miss_m));
    match aim.openings {
        Some(_) if aim.steady_m < aim.miss_m => {
            text!("{}, but by {} only before what follows changes", total, size(aim.steady_m))
        }
        _ => total,
    }
}

/// By how much a place may be missed, m.
pub fn miss(miss_m: f64, decimals: usize) -> Measure {
    size(miss_m, decimals).rounded_down()
}

/// Where in a band the openings are clear.
fn elsewhere(way: Way, shifts: Span, clear: &[Span], is_best: bool) -> Text {
    if clear.is_empty() {
        return text!("no shift from {} clears every opening", span_inward(way, shifts));
    }
    let parts = Text::listed(spans_inward(way, clear));
    let narrow = if is_best { ", too little room to aim at" } else { "" };
    text!("every opening is clear at shifts of {} only{}", parts, narrow)
}

/// What is known where no opening is near a cap.
pub fn none_near(openings: &AimOpenings) -> String {
    let all = openings.held + openings.not_held.len();
    if all == 0 {
        return "no opening is on record, so that none could be held against the caps".to_string();
    }
    let mut said = match (openings.held, openings.not_held.len()) {
        (0, 1) => "the one opening on record does not lie under a cap there".to_string(),
        (0, _) => format!("none of the {all} openings on record lies under a cap there"),
        (1, 0) => "the one opening on record has the clear distance wanted there".to_string(),
        (held, 0) => {
            format!("each of the {held} openings on record has the clear distance wanted there")
        }
        (1, _) => "the one opening for which a clear distance is wanted has it there".to_string(),
        (held, _) => {
            format!("each of the {held} openings for which a clear distance is wanted has it there")
        }
    };
    match openings.plugs_held {
        0 => {}
        1 => said.push_str(", and the docking plug is free to drain"),
        n => said.push_str(&format!(", and each of the {n} docking plugs is free to drain")),
    }
    said
}

/// How near an opening lies, and what is wanted.
pub fn opening_near(near: &OpeningNear) -> Text {
    let is_plug = near.kind == PLUG;
    let plug = if is_plug { "docking plug " } else { "" };
    let wanted = near.wanted_m.map_or(Text::from("no distance on record"), |wanted| {
        text!("{} wanted", Form::Length.measure(wanted))
    });
    match near.clear_m {
        clear if clear > 0.0 => {
            let clear = Form::Length.measure(clear);
            text!("{}{} is {} from {} ({})", plug, near.opening, clear, near.block, wanted)
        }
        _ if is_plug => {
            text!(
                "{}{} lies under {} and could not drain ({})",
                plug,
                near.opening,
                near.block,
                wanted
            )
        }
        _ => text!("{} lies under {} ({})", near.opening, near.block, wanted),
    }
}

/// Of which openings it is known only whether they lie under a cap.
pub fn not_held(openings: &AimOpenings) -> Option<String> {
    let count = openings.not_held.len();
    if count == 0 {
        return None;
    }
    if openings.held == 0 {
        return Some("A clear distance wanted is recorded for none of the openings.".to_string());
    }
    let named = openings.not_held.iter().take(MOST_NAMED).cloned().collect::<Vec<_>>();
    let more = match count - named.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    Some(format!(
        "For {count} of the openings no clear distance wanted is recorded ({}{more}): of these it is only known \
         whether they lie under a cap.",
        named.join(", ")
    ))
}

/// The loads, those beyond a limit, and what is not known of them.
pub fn loads(loads: &AimLoads, when: &str) -> Vec<Text> {
    if loads.greatest_t.is_none() {
        let why = loads.why_not.clone().unwrap_or("no load was found".into());
        return vec![text!("The loads on the blocks {} could not be worked out: {}.", when, why)];
    }
    let (load, pressure) = greatest_load(loads);
    let which = match loads.limit_kpa {
        Some(_) => "pressure nearest its limit",
        None => "greatest pressure",
    };
    let mut said = vec![text!(
        "The greatest load on a block {} is {}; the {}, {}.",
        when,
        load,
        which,
        pressure
    )];
    if !loads.beyond.is_empty() {
        let each = loads.beyond.iter().map(|one| {
            text!(
                "{} ({}, limit {})",
                one.block,
                pressure_of(one.pressure_kpa),
                pressure_of(one.limit_kpa)
            )
        });
        said.push(text!("Beyond their bearing limit {}: {}.", when, Text::listed(each)));
    }
    match loads.no_limit {
        0 => {}
        1 => said.push("For 1 block no bearing limit is recorded.".into()),
        n => said.push(text!("For {} blocks no bearing limit is recorded.", n)),
    }
    said
}

/// The greatest load, and the pressure nearest its limit, with their blocks.
pub fn greatest_load(loads: &AimLoads) -> (Text, Text) {
    let why = loads.why_not.clone().unwrap_or("not recorded".into());
    let unknown = || text!("not recorded: {}", why);
    let load = loads.greatest_t.zip(loads.on.as_ref());
    let pressure = loads.pressure_kpa.zip(loads.pressed.as_ref());
    let held = match loads.limit_kpa.zip(loads.pressure_kpa) {
        Some((limit, kpa)) if kpa > limit => {
            text!(", beyond its limit of {}", pressure_of(limit))
        }
        Some((limit, _)) => text!(", limit {}", pressure_of(limit)),
        None => Text::from(", no limit on record"),
    };
    (
        load.map_or_else(unknown, |(t, block)| {
            text!("{} on {}", Form::Mass.measure(t).decimals(1), block)
        }),
        pressure.map_or_else(unknown, |(kpa, block)| {
            text!("{} on {}{}", pressure_of(kpa), block, held)
        }),
    )
}

fn pressure_of(kpa: f64) -> Measure {
    Form::Pressure.measure(kpa).decimals(0)
}

/// What must be said with every answer.
pub const CAUTIONS: [&str; 2] = [
    "This is arithmetic on a block plan, and no approval to dock or to shift. The shift, the blocks and what \
     is left out are for the dockmaster and a licensed naval architect under the docking plan and the local \
     rules.",
    "Loads are estimates: springs that only push, timber taken as linear though across the grain it is far \
     from it.",
];

/// What comes before any of it is used.
pub const BEFORE_USE: &str = "Before it is used, the dockmaster and the naval architect work out the docking plan anew for the \
                              ship as she is then, and have the blocks and the hull looked at.";

/// What was asked, in a sentence or two.
pub fn question(answer: &Answer) -> Text {
    let Asked { blocks_before, blocks_after, lay, .. } = &answer.asked;
    let before = answer.asked.before.as_deref().unwrap_or("the first position");
    let lay = match lay {
        Placed::Unknown => String::new(),
        lay => format!(" {lay}"),
    };
    let mut said =
        text!("From {}{}, on {}, to a second position ", before, lay, blocks(*blocks_before));
    said.push(match &answer.asked.after {
        Some(after) => format!("on the blocks of {after}, which are {blocks_after}"),
        None if answer.asked.left_out.is_empty() => "on the same blocks".to_string(),
        None => format!("on {blocks_after} of the same blocks"),
    });
    if !answer.asked.left_out.is_empty() {
        said.push(format!(", without {}", and(&answer.asked.left_out)));
    }
    said.extend(text!(", shifted {}.", Text::joined(answer.ways.iter().map(reach), " or ")));
    if answer.asked.overlap_m > 0.0 {
        said.extend(text!(
            " Every cap is grown by {} all round, for the overlap of blasting and feathering.",
            Form::Small.measure(answer.asked.overlap_m).as_stated()
        ));
    }
    if answer.asked.lay == Placed::Unknown {
        said.push(" Where she lies is not recorded: the blocks are held against each other only.");
    } else if !answer.asked.outline {
        said.push(" No outline of the bottom is recorded: caps count whole.");
    }
    if let Some(put_back) = put_back(&answer.asked.put_back) {
        said.push(format!(" {put_back}"));
    }
    said
}

/// That blocks found elsewhere are taken where they were planned.
pub fn put_back(blocks: &[PutBack]) -> Option<String> {
    let names: Vec<String> =
        blocks.iter().map(|one| format!("{} (found as {})", one.block, one.found_as)).collect();
    match names.as_slice() {
        [] => None,
        [_] => Some(format!("{} is taken where it was planned.", and(&names))),
        _ => Some(format!("{} are taken where they were planned.", and(&names))),
    }
}

/// Blocks whose leaving out clears openings, and what to aim at then.
pub fn clear_without(out: &LeaveOut) -> Vec<Text> {
    let mut said = vec![text!("With {} left out fewer openings are near a cap.", and(&out.blocks))];
    said.extend(out.band.aim.said.iter().cloned());
    said
}

fn blocks(number: usize) -> String {
    if number == 1 { "1 block".to_string() } else { format!("{number} blocks") }
}

fn reach(study: &OneWay) -> Text {
    let (from, to) = (size(study.from_m, 2), size(study.to_m, 2));
    if from.plain() == to.plain() {
        text!("up to {} {}", to, study.way.to_string())
    } else {
        let way = study.way;
        text!("from {} to {}", shift(way, study.from_m, 2), shift(way, study.to_m, 2))
    }
}

/// The answer, the shortest first.
pub fn whole_answer(answer: &Answer) -> Vec<Text> {
    match &answer.choice {
        Some(choice) => {
            let mut said = one_shift(choice);
            let ways = answer.ways.iter().filter(|way| way.way == choice.way);
            let spans: Vec<Span> = ways.flat_map(|way| &way.bands).map(AimedBand::span).collect();
            let (smallest, decimals) = smallest(choice.smallest_m, &spans);
            said.push(match smallest == 0.0 {
                true => "Without any shift nothing would be hidden a second time either: no footprint of the one \
                         position lies on one of the other."
                    .into(),
                false => text!(
                    "The smallest shift that does it, with no room to miss it one way, is {}.",
                    sized(choice.way, smallest, size(smallest, decimals).rounded_up())
                ),
            });
            said
        }
        None => no_single_shift(answer),
    }
}

/// What one page with much else on it must hold: what to aim at, or what to leave out for it, each with all that
/// goes with an aim; and where to land so that what was never exposed is reached.
///
/// A paragraph for each aim, with all that belongs to it.
pub fn brief(answer: &Answer) -> Vec<Text> {
    let mut said: Vec<Vec<Text>> = match &answer.choice {
        Some(choice) => {
            let without = choice.clear_without.iter().map(clear_without);
            std::iter::once(aim_of_one_shift(choice)).chain(without).collect()
        }
        None => {
            let of_second = answer.leaving_out.iter().find(|out| out.of_first.is_empty());
            let instead = match (of_second.or(answer.leaving_out.first()), &answer.two_shifts) {
                (Some(out), _) => Some(left_out(out)),
                (None, Some(two)) => Some(two_shifts(two)),
                (None, None) => None,
            };
            let first = answer.answer.iter().take(1).cloned().collect();
            std::iter::once(first).chain(instead).collect()
        }
    };
    if let Some(first) = said.first_mut() {
        first.extend(put_back(&answer.asked.put_back).map(Text::from));
    }
    let paragraphs = said.into_iter().map(|paragraph| Text::joined(paragraph, " "));
    paragraphs.filter(|one| !one.is_empty()).chain(next_time(answer)).collect()
}

/// Of that the last part alone: where to land next time, a paragraph for each way.
pub fn next_time(answer: &Answer) -> Vec<Text> {
    // The first is the docking itself; what earlier ones left stands in the section.
    let left = answer.past.iter().take(1).flat_map(|past| &past.left);
    let never = left.filter(|left| left.what == Steel::NeverExposed && !left.landing.is_empty());
    let paragraph = |left: &Unreached| {
        let before = Text::from("Next time on these blocks, to reach what was never exposed:");
        Text::joined(std::iter::once(before).chain(left.landing.iter().cloned()), " ")
    };
    never.map(paragraph).collect()
}

fn aim_of_one_shift(choice: &Choice) -> Vec<Text> {
    let mut said = vec![
        "One shift, with one reflooding, leaves nothing of the bottom under blocks a second time."
            .into(),
    ];
    said.extend(choice.band.aim.said.iter().cloned());
    said
}

fn one_shift(choice: &Choice) -> Vec<Text> {
    let mut said = aim_of_one_shift(choice);
    said.extend(choice.clear_without.iter().flat_map(clear_without));
    said
}

fn no_single_shift(answer: &Answer) -> Vec<Text> {
    let least = answer.ways.iter().min_by(|a, b| a.least_m2.total_cmp(&b.least_m2));
    let mut said = vec![text!(
        "No single shift does it, {}.",
        Text::joined(answer.ways.iter().map(reach), " or ")
    )];
    said.extend(least.map(|way| {
        let shift = shift(way.way, way.least_at_m, 2);
        if way.least_m2 < NO_AREA_M2 {
            return text!("Only a shift of exactly {} would, with no room to miss it.", shift);
        }
        let least = Form::Area.measure(way.least_m2);
        text!(
            "The least that stays under blocks both times is {}, after a shift of {}.",
            least,
            shift
        )
    }));
    let beyond = answer.ways.iter().filter(|way| !way.off_keel.is_empty());
    said.extend(beyond.map(off_keel));
    let fewest = answer.leaving_out.first();
    said.extend(fewest.into_iter().flat_map(left_out));
    if fewest.is_some_and(|out| !out.of_first.is_empty()) {
        let of_second_alone = answer.leaving_out.iter().find(|out| out.of_first.is_empty());
        said.extend(of_second_alone.into_iter().flat_map(left_out));
    }
    said.extend(answer.two_shifts.iter().flat_map(two_shifts));
    if answer.leaving_out.is_empty() && answer.two_shifts.is_none() {
        let most = MOST_LEFT_OUT.min(answer.asked.blocks_after / FEW);
        let leaving_out = match most {
            0 => "and of so few blocks none was tried without".to_string(),
            1 => "nor a block whose leaving out would".to_string(),
            most => format!("nor up to {most} blocks whose leaving out would"),
        };
        said.push(text!(
            "No two shifts fore and aft were found in that range that do it, {}.",
            leaving_out
        ));
    }
    said
}

/// Each of two shifts, both counted from the first position.
fn two_shifts(two: &TwoShifts) -> Vec<Text> {
    let before = |which: &str, aim: &Aim| {
        let left = match aim.hidden_m2 {
            left if left > 0.0 => {
                text!(", which leaves {} under blocks", Form::Area.measure(left))
            }
            _ => Text::new(),
        };
        text!("{}{}:", which, left)
    };
    let mut said =
        vec!["With all these blocks standing it takes two shifts and two refloodings.".into()];
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
pub fn openings_clear(band: &AimedBand) -> Text {
    let Some(openings) = &band.aim.openings else { return "not known".into() };
    if openings.held + openings.not_held.len() == 0 {
        return "none on record".into();
    }
    let spans = Text::joined(spans_inward(band.aim.way, &band.openings_clear), "; ");
    if spans.is_empty() { "nowhere in it".into() } else { spans }
}

/// The openings that are near a cap at an aim, by name.
pub fn openings_near(aim: &Aim) -> String {
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
pub fn off_keel(study: &OneWay) -> Text {
    let spans = Text::listed(spans_inward(study.way, &study.off_keel));
    text!("Shifts of {} would, but they take the keel off its blocks.", spans)
}

/// What to leave out, with the aim that this gives.
fn left_out(out: &LeavingOut) -> Vec<Text> {
    let which = match (out.of_first.is_empty(), out.of_second.is_empty()) {
        (true, _) => format!("{} after the shift", and(&out.of_second)),
        (false, true) => format!("{} before the shift", and(&out.of_first)),
        (false, false) => {
            format!("{} before the shift and {} after it", and(&out.of_first), and(&out.of_second))
        }
    };
    let mut said = vec![text!("Leave out {}, and one shift with one reflooding does it.", which)];
    said.extend(out.band.aim.said.iter().cloned());
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between((from_m, to_m): (f64, f64)) -> Span {
        Span { from_m, to_m }
    }

    #[test]
    fn shifts_say_their_side() {
        let shift = |way, m, decimals| shift(way, m, decimals).to_string();
        let span = |way, ends, decimals| span(way, between(ends), decimals).to_string();
        assert_eq!(shift(Way::ForeAndAft, -0.7, 2), "0.70 m aft");
        assert_eq!(shift(Way::ForeAndAft, 0.7, 2), "0.70 m forward");
        assert_eq!(shift(Way::Athwart, -0.35, 2), "0.35 m to starboard");
        assert_eq!(shift(Way::Athwart, 0.001, 2), "no shift at all");
        assert_eq!(span(Way::ForeAndAft, (-0.8, -0.6), 2), "0.60 to 0.80 m aft");
        assert_eq!(span(Way::Athwart, (0.0, 1.4), 2), "0.00 to 1.40 m to port");
        assert_eq!(span(Way::ForeAndAft, (-0.1, 0.2), 2), "0.10 m aft to 0.20 m forward");
    }

    #[test]
    fn what_is_said_lies_in_the_band() {
        assert_eq!(Spot::middle(between((-0.8, -0.6))).room_m, 0.1);
        assert_eq!(room(-0.75, between((-0.8, -0.6)), 2), 0.05);
        assert_eq!(room(-0.9, between((-0.8, -0.6)), 2), 0.0);
        for (from, to) in [(-0.8, -0.6), (-0.797, -0.612), (0.604, 0.621), (0.6004, 0.6031)] {
            let aim = Spot::middle(between((from, to)));
            assert!(aim.room_m > 0.0, "{aim:?}");
            assert!(
                aim.shift_m - aim.room_m >= from - 1e-6 && aim.shift_m + aim.room_m <= to + 1e-6
            );
            let (Span { from_m: a, to_m: b }, _) = inward(between((from, to)));
            assert!(from - 1e-6 <= a && b <= to + 1e-6 && a < b);
        }
        assert_eq!(smallest(-0.6, &[between((-0.8, -0.6))]), (-0.6, 2));
        let (nearest, decimals) = smallest(-0.6123, &[between((-0.6151, -0.6123))]);
        assert_eq!((crate::units::fixed(nearest, 3), decimals), ("-0.613".to_string(), 3));
        assert_eq!(smallest(0.0, &[between((-0.1, 0.2))]).0, 0.0);
    }
}
