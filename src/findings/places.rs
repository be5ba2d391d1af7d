//! Places that can't be meant: a block off its row's line or on the wrong side, stations out of their order, an opening beyond
//! the hull, a gauging on another strake than its own, a sighting outside the dock.

use std::collections::BTreeMap;

use geo::{Closest, ClosestPoint, Contains, Point};

use super::finding::{Figure, Finding};
use super::judge::{agrees, differs};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::blocks::{self, Block, BlockRow};
use crate::records::openings;
use crate::records::place::Place;
use crate::records::plating;
use crate::records::positions;
use crate::text;
use crate::text::{Text, count, id};

/// By how much a keel block may lie off the line of those beside it, m: rows are set out to a centimetre and blocks slip by some
/// decimetres, which `moved_from` tells.
const OFF_LINE_M: f64 = 0.30;

/// How near to their line those beside it lie, so that there is one, m.
const ON_LINE_M: f64 = 0.10;

/// How far over the middle a block of a bilge row may lie, m.
const OVER_MIDDLE_M: f64 = 0.30;

/// So many blocks make a row of which an order can be told.
const FEWEST: usize = 8;

/// By how much the station of a block may fall behind that of the one before it in the list, m: two of a pair side by side.
const SIDE_BY_SIDE_M: f64 = 0.15;

/// How far outside of half her breadth, m, and of her ends, in parts of her length, an opening may lie: sponsons and overhangs.
const OUTSIDE_M: f64 = 0.5;
const PAST_ENDS: f64 = 0.05;

/// How far outside of the bottom's outline an opening that is always in the bottom may lie, m.
const OFF_BOTTOM_M: f64 = 1.5;

/// Openings that are always in the bottom.
const IN_BOTTOM: [&str; 3] = ["docking-plug", "echo-sounder", "speed-log"];

/// Within which length, m, gaugings of a strake show where it runs, and how many parts of the distance between two strakes a
/// gauging lies at most from the one that it is on.
const ALONG_STRAKE_M: f64 = 14.0;
const ON_STRAKE: f64 = 0.20;

/// How many times farther from its strake's run than others of it a gauging lies at least: plates are gauged anywhere between
/// their seams.
const FARTHER: f64 = 4.0;

/// Every finding of places, and one that says what was looked through.
pub fn findings(project: &Project) -> Vec<Finding> {
    let mut found = off_line(project);
    found.extend(wrong_side(project));
    found.extend(out_of_order(project));
    found.extend(outside_hull(project));
    found.extend(other_strake(project));
    found.extend(outside_dock(project));
    let parts = [
        (project.blocks.len(), "block", "blocks", blocks::SPEC.path),
        (project.openings.len(), "opening", "openings", openings::SPEC.path),
        (project.plating.len(), "gauging", "gaugings", plating::SPEC.path),
        (project.sightings.len(), "sighting", "sightings", positions::MARKS_SPEC.path),
    ];
    let is_there = |part: &(usize, &str, &str, &str)| part.0 > 0;
    let files: Vec<Place> =
        parts.into_iter().filter(is_there).map(|part| Place::file(part.3)).collect();
    let examined: Vec<Text> = parts
        .into_iter()
        .filter(is_there)
        .map(|(n, one, many, _)| count(n, one, many).into())
        .collect();
    if examined.is_empty() {
        return Vec::new();
    }
    let judgement = agrees(match found.len() {
        0 => text!(
            "The places of {} were held against each other, the hull and the dock; none lies where it can't be.",
            Text::listed(examined)
        ),
        several => text!(
            "The places of {} were held against each other, the hull and the dock; what lies where it can't be is told in {}.",
            Text::listed(examined),
            count(several, "finding of its own", "findings of their own")
        ),
    });
    found.push(judgement.finding(Subject::Places).from(&files));
    found
}

fn misplaced(file: String, name: String, sentence: Text, places: &[&Place]) -> Finding {
    let subject = Subject::Misplaced(file, name);
    differs(sentence).finding(subject).doubting_all(places.iter().copied())
}

/// The blocks of a row as planned, in the order of the file; those found elsewhere are left out.
fn row(project: &Project, row: BlockRow) -> Vec<&Block> {
    let of_row = |block: &&Block| block.row == row && block.moved_from.is_none();
    project.blocks.iter().filter(of_row).collect()
}

fn middle(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// Keel blocks off the line of the three on either side.
fn off_line(project: &Project) -> Vec<Finding> {
    let mut keel = row(project, BlockRow::Keel);
    keel.sort_by(|a, b| a.cap.centre.x.total_cmp(&b.cap.centre.x));
    let mut found = Vec::new();
    for (n, block) in keel.iter().enumerate() {
        let beside = keel[n.saturating_sub(3)..n].iter().chain(keel[n + 1..].iter().take(3));
        let offsets: Vec<f64> = beside.map(|other| other.cap.centre.y).collect();
        let Some(line_m) = middle(offsets.clone()) else { continue };
        let on_line = offsets.iter().filter(|y| (*y - line_m).abs() <= ON_LINE_M).count();
        let own_m = block.cap.centre.y;
        if offsets.len() < 4 || on_line + 1 < offsets.len() || (own_m - line_m).abs() <= OFF_LINE_M
        {
            continue;
        }
        // The two beside one that is off its line have a line of their own.
        let sentence = text!(
            "{} stands {} off the line of the keel blocks beside it, which have an offset of {}: its offset of {} is \
             mistyped, or it belongs to another row.",
            id(&block.id),
            Figure::length((own_m - line_m).abs()),
            Figure::length(line_m),
            Figure::length(own_m)
        );
        let name = format!("{}.line", block.id);
        found.push(misplaced(blocks::SPEC.table_name(), name, sentence, &[&block.place]));
    }
    found
}

/// Blocks of a bilge row on the other side of the keel.
fn wrong_side(project: &Project) -> Vec<Finding> {
    let keel = row(project, BlockRow::Keel).iter().map(|block| block.cap.centre.y).collect();
    let line_m = middle(keel).unwrap_or(0.0);
    let found = project.blocks.iter().filter_map(|block| {
        let off_m = block.cap.centre.y - line_m;
        let (sign, side, other) = match block.row {
            BlockRow::BilgePort => (1.0, "port", "starboard"),
            BlockRow::BilgeStarboard => (-1.0, "starboard", "port"),
            BlockRow::Keel | BlockRow::Other => return None,
        };
        (off_m * sign < -OVER_MIDDLE_M).then(|| {
            let sentence = text!(
                "{} is in the bilge row to {} and stands {} to {} of the keel blocks: the sign of its offset, {}, or its row is \
                 mistaken.",
                id(&block.id),
                side,
                Figure::length(off_m.abs()),
                other,
                Figure::length(block.cap.centre.y)
            );
            let name = format!("{}.side", block.id);
            misplaced(blocks::SPEC.table_name(), name, sentence, &[&block.place])
        })
    });
    found.collect()
}

/// Stations that are not in the order of their row, where all others are: two exchanged, or one mistyped.
fn out_of_order(project: &Project) -> Vec<Finding> {
    [BlockRow::Keel, BlockRow::BilgePort, BlockRow::BilgeStarboard]
        .into_iter()
        .filter_map(|of| order_of(&row(project, of)))
        .collect()
}

/// The order of one row; `None` where nothing is to be said of it.
fn order_of(row: &[&Block]) -> Option<Finding> {
    if row.len() < FEWEST {
        return None;
    }
    let mut stations: Vec<f64> = row.iter().map(|block| block.cap.centre.x).collect();
    // Rows that are listed from the bow run the other way.
    if stations.first() > stations.last() {
        stations.iter_mut().for_each(|station| *station = -*station);
    }
    let falls = |pair: &[f64]| pair[0] > pair[1] + SIDE_BY_SIDE_M;
    let is_sorted = |stations: &[f64]| !stations.windows(2).any(falls);
    let turned: Vec<usize> =
        stations.windows(2).enumerate().filter(|(_, pair)| falls(pair)).map(|(n, _)| n).collect();
    let (first, last) = (*turned.first()?, *turned.last()? + 1);
    if turned.len() > 2 {
        return None;
    }
    let spacing_m = middle(stations.windows(2).map(|pair| pair[1] - pair[0]).collect())?;
    let spaced = |from: f64, to: f64, blocks: f64| ((to - from) - blocks * spacing_m).abs();
    // One mistyped: without it all others are in order. Blocks at the ends of a list may have been added to it.
    let without = |n: usize| {
        let mut others = stations.clone();
        others.remove(n);
        (n > 0 && n + 1 < row.len() && is_sorted(&others))
            .then(|| (n, spaced(stations[n - 1], stations[n + 1], 2.0)))
    };
    let single = [first, first + 1].into_iter().filter_map(without);
    let single = single.min_by(|a, b| a.1.total_cmp(&b.1));
    // Two exchanged: with both in each other's place all are in order, and as evenly spaced as the others.
    let mut exchanged = stations.clone();
    exchanged.swap(first, last);
    let is_even = |n: usize| {
        let pair = exchanged.get(n.checked_sub(1)?..=n)?;
        Some(spaced(pair[0], pair[1], 1.0) <= 0.6 * spacing_m)
    };
    let even = [first, first + 1, last, last + 1].into_iter().filter_map(is_even).all(|even| even);
    let file = blocks::SPEC.table_name();
    if is_sorted(&exchanged) && (even || single.is_none()) {
        let (one, other) = (row[first], row[last]);
        let sentence = text!(
            "The stations of {} and {}, {} and {}, seem to be exchanged: all other blocks of the row stand in the order of the \
             list, and with these two exchanged so do they.",
            id(&one.id),
            id(&other.id),
            Figure::length(one.cap.centre.x),
            Figure::length(other.cap.centre.x)
        );
        let name = format!("{}-{}.order", one.id, other.id);
        return Some(misplaced(file, name, sentence, &[&one.place, &other.place]));
    }
    let (alone, _) = single?;
    let (block, before, after) = (row[alone], row[alone - 1], row[alone + 1]);
    let sentence = text!(
        "The station of {}, {}, is out of the order in which all others of its row stand: in the list it is between {} at {} \
         and {} at {}.",
        id(&block.id),
        Figure::length(block.cap.centre.x),
        id(&before.id),
        Figure::length(before.cap.centre.x),
        id(&after.id),
        Figure::length(after.cap.centre.x)
    );
    let name = format!("{}.order", block.id);
    Some(misplaced(file, name, sentence, &[&block.place]))
}

/// Openings beyond her sides, her ends, or, of those that are always in it, the bottom.
fn outside_hull(project: &Project) -> Vec<Finding> {
    let ship = &project.docking.ship;
    let length_m = ship.length_overall_m.or(ship.length_between_perpendiculars_m);
    let found = project.openings.iter().filter_map(|opening| {
        let (x, y) = (opening.centre.x, opening.centre.y);
        let file = openings::SPEC.table_name();
        let half_m = ship.breadth_m.map(|breadth_m| breadth_m / 2.0);
        let beyond = |part: &str, sentence: Text| {
            let name = format!("{}.{part}", opening.id);
            Some(misplaced(file.clone(), name, sentence, &[&opening.place]))
        };
        if let Some(half_m) = half_m.filter(|half_m| y.abs() > half_m + OUTSIDE_M) {
            return beyond(
                "sides",
                text!(
                    "{} lies {} from the centreline, beyond her side: half her breadth is {}.",
                    id(&opening.id),
                    Figure::length(y.abs()),
                    Figure::length(half_m)
                ),
            );
        }
        if let (Some(length_m), Some(foremost_m)) = (length_m, ship.foremost_x_m) {
            let over = PAST_ENDS * length_m;
            let aftermost_m = (foremost_m - length_m).min(0.0);
            if x > foremost_m + over || x < aftermost_m - over {
                return beyond(
                    "ends",
                    text!(
                        "{} lies at x {}, beyond her ends: she reaches from {} to {}.",
                        id(&opening.id),
                        Figure::length(x),
                        Figure::length(aftermost_m),
                        Figure::length(foremost_m)
                    ),
                );
            }
        }
        let bottom = project.bottom.bottom.as_ref()?;
        let point = Point::new(x, y);
        if !IN_BOTTOM.contains(&opening.kind.as_str()) || bottom.contains(&point) {
            return None;
        }
        let off_m = match bottom.closest_point(&point) {
            Closest::SinglePoint(near) | Closest::Intersection(near) => {
                libm::hypot(near.x() - x, near.y() - y)
            }
            Closest::Indeterminate => return None,
        };
        if off_m <= OFF_BOTTOM_M {
            return None;
        }
        beyond(
            "bottom",
            text!(
                "{} is a {} and lies {} outside of the bottom's outline, at x {} and y {}: such an opening is in the bottom.",
                id(&opening.id),
                opening.kind.clone(),
                Figure::length(off_m),
                Figure::length(x),
                Figure::length(y)
            ),
        )
    });
    found.collect()
}

/// The gaugings of one strake by their places, from aft: x, y, and which of the record's gaugings.
type Strake = Vec<(f64, f64, usize)>;

/// Where a strake runs at x, by its gaugings nearest on both sides, without one of them: the middle of what each pair of them
/// says, so that one that is misplaced does not move it.
fn runs_at(strake: &Strake, x: f64, without: usize) -> Option<f64> {
    const EACH_SIDE: usize = 3;
    let from = strake.partition_point(|(at, ..)| *at <= x);
    let counts =
        |found: &&(f64, f64, usize)| found.2 != without && (found.0 - x).abs() <= ALONG_STRAKE_M;
    let aft: Vec<_> = strake[..from].iter().rev().filter(counts).take(EACH_SIDE).collect();
    let forward: Vec<_> = strake[from..].iter().filter(counts).take(EACH_SIDE).collect();
    let pairs = aft.iter().flat_map(|aft| forward.iter().map(move |forward| (*aft, *forward)));
    let between = |(aft, forward): (&(f64, f64, usize), &(f64, f64, usize))| {
        aft.1 + (x - aft.0) / (forward.0 - aft.0) * (forward.1 - aft.1)
    };
    middle(pairs.map(between).collect())
}

/// Gaugings that lie where another strake runs than their own.
fn other_strake(project: &Project) -> Vec<Finding> {
    let mut strakes: BTreeMap<&str, Strake> = BTreeMap::new();
    for (n, gauging) in project.plating.iter().enumerate() {
        if let Some(hull) = gauging.hull {
            strakes.entry(&gauging.strake).or_default().push((hull.x, hull.y, n));
        }
    }
    strakes.values_mut().for_each(|strake| strake.sort_by(|a, b| a.0.total_cmp(&b.0)));
    let mut found = Vec::new();
    for (name, strake) in &strakes {
        let off = |(x, y, n): &(f64, f64, usize)| Some((runs_at(strake, *x, *n)? - y).abs());
        let Some(scatter_m) = middle(strake.iter().filter_map(off).collect()) else { continue };
        for (x, y, n) in strake {
            let Some(own_m) = runs_at(strake, *x, *n) else { continue };
            let off_m = (y - own_m).abs();
            if off_m <= FARTHER * scatter_m {
                continue;
            }
            let others = strakes.iter().filter(|(other, _)| *other != name);
            let nearest = others
                .filter_map(|(other, strake)| Some((*other, runs_at(strake, *x, *n)?)))
                .min_by(|a, b| (a.1 - y).abs().total_cmp(&(b.1 - y).abs()));
            let Some((other, other_m)) = nearest else { continue };
            let apart_m = (other_m - own_m).abs();
            let is_on_other = (y - other_m).abs() <= ON_STRAKE * apart_m;
            if !is_on_other || off_m <= (1.0 - ON_STRAKE) * apart_m || apart_m < 0.3 {
                continue;
            }
            let gauging = &project.plating[*n];
            let plate = format!("{}.{}", gauging.strake, gauging.plate);
            let sentence = text!(
                "Plate {} was gauged at x {} and y {}, where {} runs; by the gaugings beside it {} is at y {} there: its strake \
                 or its place is mistaken.",
                id(&plate),
                Figure::length(*x),
                Figure::length(*y),
                id(other),
                id(*name),
                Figure::length(own_m)
            );
            let name = format!("{plate}.{}", (x * 1000.0).round() as i64);
            found.push(misplaced(plating::SPEC.table_name(), name, sentence, &[&gauging.place]));
        }
    }
    found.sort_by(|a, b| a.records.cmp(&b.records));
    found
}

/// Sightings of marks far outside of where the blocks stand.
fn outside_dock(project: &Project) -> Vec<Finding> {
    let ship = &project.docking.ship;
    let Some(length_m) = ship.length_overall_m.or(ship.foremost_x_m) else { return Vec::new() };
    let span = |of: fn(&Block) -> f64| {
        let values = || project.blocks.iter().map(of);
        let least = values().fold(f64::INFINITY, f64::min);
        (least, values().fold(f64::NEG_INFINITY, f64::max))
    };
    if project.blocks.len() < FEWEST {
        return Vec::new();
    }
    let (aft, forward) = span(|block| block.cap.centre.x);
    let (starboard, port) = span(|block| block.cap.centre.y);
    let beside_m = ship.breadth_m.unwrap_or(length_m / 2.0) + 10.0;
    let stations = (aft - length_m, forward + length_m);
    let offsets = (starboard - beside_m, port + beside_m);
    let found = project.sightings.iter().filter_map(|sighting| {
        let outside = |value: Option<f64>, (from, to): (f64, f64)| {
            value.filter(|value| !(from..=to).contains(value))
        };
        let station = outside(sighting.dock_station_m, stations).map(|at| ("station", at, stations));
        let offset = outside(sighting.dock_offset_m, offsets).map(|at| ("offset", at, offsets));
        let (what, at, (from, to)) = station.or(offset)?;
        let sentence = text!(
            "The mark {} was seen in {} at {} {}, far from the blocks, where only {} to {} can be seen of her: its decimal point \
             or unit is mistaken.",
            sighting.mark.clone(),
            id(&sighting.position),
            what,
            Figure::length(at),
            Figure::length(from),
            Figure::length(to)
        );
        let name = format!("{}.{}.{what}", sighting.position, sighting.mark);
        let file = positions::MARKS_SPEC.table_name();
        Some(misplaced(file, name, sentence, &[&sighting.place]))
    });
    found.collect()
}
