//! What is plausible of this ship and this dock: places along and athwart against her length and breadth, drafts against her
//! table, levels against the floor, weights against her displacement.

use super::number::{Number, Odd, keys, median, numbers};
use crate::records::Project;
use crate::records::spec::FileSpec;
use crate::records::{
    blocks, bottom, divers, docking, drafts, film, hydrostatics, keel, openings, plating,
    positions, preparation, stops, water, weights, zones,
};
use crate::text;
use crate::text::Figure;

/// Columns of places along the hull.
static ALONG: &[(&FileSpec, &[&str])] = &[
    (&openings::SPEC, &["x"]),
    (&bottom::SPEC, &["x"]),
    (&keel::SPEC, &["x"]),
    (&positions::MARKS_SPEC, &["hull_x"]),
    (&divers::SPEC, &["mark_x"]),
    (&drafts::SPEC, &["mark_x"]),
    (&weights::SPEC, &["from_x", "to_x", "centre_x"]),
    (&weights::STIFFNESS_SPEC, &["from_x", "to_x"]),
    (&weights::BUOYANCY_SPEC, &["from_x", "to_x"]),
    (&weights::MOVED_SPEC, &["x"]),
    (&zones::SPEC, &["x"]),
    (&zones::AREAS_SPEC, &["x"]),
    (&preparation::SPEC, &["x"]),
    (&film::SPEC, &["x"]),
    (&plating::SPEC, &["x"]),
    (&plating::ANODES_SPEC, &["x"]),
];

/// Columns of places athwart.
static ATHWART: &[(&FileSpec, &[&str])] = &[
    (&openings::SPEC, &["y"]),
    (&bottom::SPEC, &["y"]),
    (&positions::MARKS_SPEC, &["hull_y"]),
    (&drafts::SPEC, &["mark_y"]),
    (&weights::MOVED_SPEC, &["y"]),
    (&zones::SPEC, &["y"]),
    (&zones::AREAS_SPEC, &["y"]),
    (&preparation::SPEC, &["y"]),
    (&film::SPEC, &["y"]),
    (&plating::SPEC, &["y"]),
    (&plating::ANODES_SPEC, &["y"]),
];

/// How much of her length places may lie beyond her, and how much of her breadth beyond her sides: rudders, bowsprits, sponsons,
/// and marks on staging.
const BEYOND_ENDS: f64 = 0.25;
const BEYOND_SIDES: f64 = 0.25;

/// The ship's own sizes, m.
struct Size {
    length: f64,
    /// From which x to which she reaches.
    from: f64,
    to: f64,
    breadth: Option<f64>,
}

pub(super) fn odd(project: &Project) -> Vec<Odd<'_>> {
    let mut found = Vec::new();
    let size = size(project);
    if let Some(size) = &size {
        found.extend(particulars(project, size));
        found.extend(places(project, size));
        found.extend(heights(project, size));
    }
    found.extend(afloat(project));
    found.extend(levels(project));
    found
}

fn key<'a>(project: &'a Project, table: &'a str, key: &'a str) -> Option<Number<'a>> {
    keys(project, docking::SPEC.path, table, key).next()
}

/// From where to where some values reach; `None` if they are fewer than two.
fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let values: Vec<f64> = values.collect();
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (values.len() > 1 && least < greatest).then_some((least, greatest))
}

fn kept<'a>(
    project: &'a Project,
    spec: &FileSpec,
    column: &'a str,
) -> impl Iterator<Item = f64> + 'a {
    numbers(project, spec, column).map(|number| number.kept)
}

/// Her sizes by what is recorded of them in several places, of which one may be wrong: the middle of them.
fn size(project: &Project) -> Option<Size> {
    let of = |name| key(project, "ship", name).map(|number| number.kept);
    let (aft, forward) = (of("aft_perpendicular_x"), of("forward_perpendicular_x"));
    let between = aft.zip(forward).map(|(aft, forward)| forward - aft);
    let spans = [
        span(kept(project, &bottom::SPEC, "x")),
        span(kept(project, &weights::SPEC, "centre_x")),
        span(kept(project, &weights::STIFFNESS_SPEC, "to_x")),
        span(kept(project, &drafts::SPEC, "mark_x")),
        span(kept(project, &zones::SPEC, "x")),
        span(kept(project, &keel::SPEC, "x")),
    ];
    let stated =
        [of("length_overall"), of("length_between_perpendiculars"), of("foremost_x"), between];
    let by_outlines = spans.iter().flatten().map(|(from, to)| to - from);
    let lengths: Vec<f64> = stated.into_iter().flatten().chain(by_outlines).collect();
    // One figure alone may be the one that is wrong.
    let length =
        median(lengths.iter().copied()).filter(|length| *length > 0.0 && lengths.len() >= 3)?;
    let ends = spans.iter().flatten();
    let from = median(ends.clone().map(|(from, _)| *from).chain(aft));
    let to = median(ends.map(|(_, to)| *to).chain(forward).chain(of("foremost_x")));
    let (from, to) = from.zip(to)?;
    let twice = |values: Option<(f64, f64)>| values.map(|(port, starboard)| starboard - port);
    let breadths = [
        of("breadth"),
        twice(span(kept(project, &bottom::SPEC, "y"))),
        twice(span(kept(project, &zones::SPEC, "y"))),
        twice(span(kept(project, &openings::SPEC, "y"))),
        twice(span(kept(project, &plating::SPEC, "y"))),
    ];
    let breadths: Vec<f64> = breadths.into_iter().flatten().collect();
    // Of a hull's outlines most are narrower than she is.
    let breadth = median(breadths.iter().copied()).filter(|_| breadths.len() >= 2);
    Some(Size { length, from, to, breadth })
}

/// Her length and breadth against what else is recorded of her.
fn particulars<'a>(project: &'a Project, size: &Size) -> Vec<Odd<'a>> {
    let since = |what: &str| {
        text!("what else is recorded of her gives {} for {}", Figure::length(size.length), what)
    };
    let mut found = Vec::new();
    for name in ["length_overall", "length_between_perpendiculars"] {
        let number = key(project, "ship", name);
        let range = (0.4 * size.length, 2.5 * size.length);
        found.extend(
            number.and_then(|number| number.outside(range.0, range.1, since("her length"))),
        );
    }
    for name in ["aft_perpendicular_x", "forward_perpendicular_x", "foremost_x"] {
        let beyond = size.length;
        let (from, to) = (size.from - beyond, size.to + beyond);
        let because = text!(
            "she reaches from x {} to {}",
            Figure::length(size.from),
            Figure::length(size.to)
        );
        found.extend(
            key(project, "ship", name).and_then(|number| number.outside(from, to, because)),
        );
    }
    if let Some(number) = key(project, "ship", "breadth") {
        // From a racing shell to a square pontoon, and a hull is no narrower than half her own outlines.
        let least = (size.length / 25.0).max(size.breadth.unwrap_or(0.0) * 0.5);
        let greatest =
            (1.5 * size.length).min(size.breadth.map_or(f64::INFINITY, |b| 4.0 * b + 1.0));
        let because = match size.breadth {
            Some(breadth) => text!(
                "she is {} long, and what else is recorded of her is {} broad",
                Figure::length(size.length),
                Figure::length(breadth)
            ),
            None => text!("she is {} long", Figure::length(size.length)),
        };
        found.extend(number.outside(least, greatest, because));
    }
    if let Some(number) = key(project, "hydrostatics", "lcb_lcf_from_x") {
        let (from, to) = (size.from - 0.3 * size.length, size.to + 0.3 * size.length);
        let because = text!(
            "she reaches from x {} to {}",
            Figure::length(size.from),
            Figure::length(size.to)
        );
        found.extend(number.outside(from, to, because));
    }
    found
}

/// Places on the hull against her ends and sides.
fn places<'a>(project: &'a Project, size: &Size) -> Vec<Odd<'a>> {
    let mut found = Vec::new();
    let beyond = BEYOND_ENDS * size.length + 3.0;
    let (from, to) = (size.from - beyond, size.to + beyond);
    let reaches =
        || text!("she reaches from x {} to {}", Figure::length(size.from), Figure::length(size.to));
    for (spec, columns) in ALONG {
        for column in *columns {
            let outside = numbers(project, spec, column)
                .filter_map(|number| number.outside(from, to, reaches()));
            found.extend(outside);
        }
    }
    let Some(breadth) = size.breadth else { return found };
    let most = (0.5 + BEYOND_SIDES) * breadth + 2.0;
    for (spec, columns) in ATHWART {
        for column in *columns {
            let broad = || text!("she is {} broad", Figure::length(breadth));
            let outside = numbers(project, spec, column)
                .filter_map(|number| number.outside(-most, most, broad()));
            found.extend(outside);
        }
    }
    found
}

/// Heights in the ship against her breadth, and the keel's rise against her length.
fn heights<'a>(project: &'a Project, size: &Size) -> Vec<Odd<'a>> {
    let mut found = Vec::new();
    if let Some(breadth) = size.breadth {
        let because = || {
            text!(
                "she is {} broad, and no ship that floats upright has it otherwise",
                Figure::length(breadth)
            )
        };
        let (least, greatest) = (0.03 * breadth, 1.3 * breadth);
        let kg = key(project, "stability", "kg").into_iter();
        let of_positions = numbers(project, &positions::SPEC, "kg");
        found.extend(kg.chain(of_positions).filter_map(|n| n.outside(least, greatest, because())));
        for (spec, column) in
            [(&openings::SPEC, "z"), (&weights::MOVED_SPEC, "z"), (&zones::SPEC, "lowest_z")]
        {
            let because = || {
                text!("she is {} broad, and no ship is many times as high", Figure::length(breadth))
            };
            let outside = numbers(project, spec, column)
                .filter_map(|number| number.outside(-3.0, 4.0 * breadth + 5.0, because()));
            found.extend(outside);
        }
    }
    let most = 0.15 * size.length + 0.5;
    let because =
        || text!("she is {} long, and no keel is raked more", Figure::length(size.length));
    let rises = numbers(project, &keel::SPEC, "rise");
    found.extend(rises.filter_map(|number| number.outside(-most, most, because())));
    found
}

/// Drafts, weights and limits against the hydrostatic table.
fn afloat(project: &Project) -> Vec<Odd<'_>> {
    let mut found = Vec::new();
    // One row may be wrong, so that neither the first nor the last decides alone.
    let rows = |column| {
        let mut all: Vec<f64> = kept(project, &hydrostatics::SPEC, column).collect();
        all.sort_by(f64::total_cmp);
        (all.len() >= 4).then(|| (all[1], all[all.len() - 2]))
    };
    if let Some((lightest, deepest)) = rows("draft") {
        let since = || {
            text!(
                "the hydrostatic table goes from {} to {}",
                Figure::draft(lightest),
                Figure::draft(deepest)
            )
        };
        // Drafts at the marks differ from the mean by the trim.
        let (least, greatest) = (0.15 * lightest, 1.8 * deepest + 1.0);
        for column in ["draft", "planned_draft"] {
            let outside = numbers(project, &drafts::SPEC, column)
                .filter_map(|number| number.outside(least, greatest, since()));
            found.extend(outside);
        }
    }
    if let Some((_, heaviest)) = rows("displacement") {
        let since =
            || text!("she displaces {} at the deepest draft of her table", Figure::mass(heaviest));
        let most = 1.2 * heaviest;
        for (spec, column) in [
            (&weights::SPEC, "mass"),
            (&weights::BUOYANCY_SPEC, "buoyancy"),
            (&weights::MOVED_SPEC, "mass"),
            (&weights::MOVED_SPEC, "planned_mass"),
        ] {
            let outside = numbers(project, spec, column)
                .filter_map(|number| number.outside(-most, most, since()));
            found.extend(outside);
        }
    }
    found
}

/// Levels of the water, of caps and of the sill against the floor.
fn levels(project: &Project) -> Vec<Odd<'_>> {
    let mut found = Vec::new();
    // What caps say of the floor, one by one; where none does, what is stated of it.
    // A slope that is not plausible says nothing of the floor.
    let slope_pct = project.docking.dock.declivity_pct.filter(|pct| pct.abs() <= 3.0);
    let rise_m = slope_pct.unwrap_or(0.0) / 100.0;
    let by_caps = project.blocks.iter().filter_map(|block| {
        Some(block.top_level_m? - block.height_m? - rise_m * block.cap.centre.x)
    });
    let stated = key(project, "dock", "floor_level");
    let caps_say = median(by_caps);
    if let (Some(floor_m), Some(number)) = (caps_say, stated.clone()) {
        let because = text!("the caps' levels and heights put it at {}", Figure::length(floor_m));
        found.extend(number.outside(floor_m - 3.0, floor_m + 3.0, because));
    }
    let Some(floor_m) = caps_say.or(stated.map(|number| number.kept)) else { return found };
    let at = || text!("the dock's floor lies at {}", Figure::length(floor_m));
    let tops = numbers(project, &blocks::SPEC, "top_level");
    found.extend(tops.filter_map(|top| top.outside(floor_m - 0.5, floor_m + 14.0, at())));
    // Drains and culverts lie below the floor, and no dock is deeper than some 25 m.
    let water = numbers(project, &water::SPEC, "level");
    let stops = numbers(project, &stops::SPEC, "level");
    let water = water.chain(stops).chain(numbers(project, &weights::BUOYANCY_SPEC, "water_level"));
    found.extend(water.filter_map(|level| level.outside(floor_m - 5.0, floor_m + 30.0, at())));
    if let Some(sill) = key(project, "dock", "sill_level") {
        found.extend(sill.outside(floor_m - 3.0, floor_m + 20.0, at()));
    }
    found
}
