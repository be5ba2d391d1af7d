//! How far the openings are from the caps after a shift.

use geo::{ConvexHull, Distance, Euclidean, MultiPoint, Point, Polygon};

use super::band::{Band, NO_WIDTH_M, SAME_M, outside};
use super::way::{Footing, Way};
use crate::calc::openings::clear_of;
use crate::hull::{Outline, Rectangle};

/// An opening and the clear distance wanted to the nearest cap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeptClear {
    /// The opening, in hull axes.
    pub outline: Outline,
    /// The distance wanted, m.
    pub wanted_m: f64,
}

/// For each opening the clear distance (m) to the nearest cap, slid by a length in m, and that cap's block;
/// `None` where no cap stands. Of caps at the same distance the first counts. The caps are not grown.
pub fn clearances(
    openings: &[Outline],
    after: &[Footing],
    way: Way,
    slid_m: f64,
) -> Vec<Option<(f64, usize)>> {
    let caps: Vec<(usize, Polygon<f64>)> = after
        .iter()
        .map(|footing| (footing.block, slid(&footing.cap, way, slid_m).polygon()))
        .collect();
    let nearest = |opening: &Outline| {
        let distances = caps.iter().map(|(block, cap)| (clear_of(opening, cap), *block));
        distances.reduce(|best, next| if next.0 < best.0 { next } else { best })
    };
    openings.iter().map(nearest).collect()
}

/// A clear distance that every opening has but one that a cap touches, m.
pub const NOT_UNDER_M: f64 = 1e-6;

/// The stretches of a band in which some cap is nearer to an opening than it wants, from the least on.
pub fn short_stretches(opening: &KeptClear, after: &[Footing], way: Way, band: Band) -> Vec<Band> {
    let mut short: Vec<(f64, f64)> =
        after.iter().filter_map(|footing| too_near(opening, &footing.cap, way, band)).collect();
    short.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut stretches: Vec<Band> = Vec::new();
    for (from_m, to_m) in short {
        match stretches.last_mut().filter(|last| from_m <= last.to_m + SAME_M) {
            Some(last) => last.to_m = last.to_m.max(to_m),
            None => stretches.push(Band { from_m, to_m }),
        }
    }
    stretches
}

/// The parts of a band in which every opening has the clear distance that it wants, as far as they have some
/// width. The distance of two convex shapes is convex in the length slid, so that each cap comes too near to
/// an opening over one interval; its ends are found by halving.
pub fn clear_parts(openings: &[KeptClear], after: &[Footing], way: Way, band: Band) -> Vec<Band> {
    let short = openings.iter().flat_map(|opening| {
        after.iter().filter_map(move |footing| too_near(opening, &footing.cap, way, band))
    });
    outside(short, (band.from_m, band.to_m), NO_WIDTH_M)
}

fn slid(cap: &Rectangle, way: Way, slid_m: f64) -> Rectangle {
    Rectangle { centre: cap.centre + way.vector(slid_m), ..*cap }
}

/// All that a cap covers as it is slid through a band.
fn swept(cap: &Rectangle, way: Way, band: Band) -> Polygon<f64> {
    let one = slid(cap, way, band.from_m).polygon();
    if band.width_m() < SAME_M {
        return one;
    }
    let other = slid(cap, way, band.to_m).polygon();
    let corners = one.exterior().coords().chain(other.exterior().coords());
    MultiPoint(corners.map(|corner| Point::from(*corner)).collect()).convex_hull()
}

/// The lengths slid, in a band, at which a cap is nearer to an opening than it wants.
fn too_near(opening: &KeptClear, cap: &Rectangle, way: Way, band: Band) -> Option<(f64, f64)> {
    if clear_of(&opening.outline, &swept(cap, way, band)) >= opening.wanted_m - SAME_M {
        return None;
    }
    let distance = |slid_m: f64| gap_m(&opening.outline, &slid(cap, way, slid_m));
    let short = |slid_m: f64| distance(slid_m) < opening.wanted_m;
    let nearest = lowest(distance, band);
    if !short(nearest) {
        return None;
    }
    Some((edge(&short, nearest, band.from_m), edge(&short, nearest, band.to_m)))
}

/// Distance from an opening's edge to a cap's, m; a round one's is less than nothing as it goes under the
/// cap, so that only a flat stretch of nothing can lie at the bottom.
fn gap_m(opening: &Outline, cap: &Rectangle) -> f64 {
    match opening {
        Outline::Round { centre, diameter_m } => {
            Euclidean.distance(&cap.polygon(), &Point::from(*centre)) - diameter_m / 2.0
        }
        Outline::Rectangular(_) => clear_of(opening, &cap.polygon()),
    }
}

/// Where in a band a convex function is lowest, by thirds.
fn lowest(of: impl Fn(f64) -> f64, band: Band) -> f64 {
    let (mut from, mut to) = (band.from_m, band.to_m);
    while to - from > 1e-10 {
        let third = (to - from) / 3.0;
        let (a, b) = (from + third, to - third);
        let (at_a, at_b) = (of(a), of(b));
        // On a level stretch both ends may be left.
        if at_a <= at_b {
            to = b;
        }
        if at_b <= at_a {
            from = a;
        }
        if third < 1e-12 {
            break;
        }
    }
    (from + to) / 2.0
}

/// Where toward an end of a band a condition that holds inside ceases to hold; the end if it never does.
fn edge(holds: &impl Fn(f64) -> bool, inside: f64, end: f64) -> f64 {
    if holds(end) {
        return end;
    }
    let (mut inside, mut outside) = (inside, end);
    for _ in 0..60 {
        let middle = (inside + outside) / 2.0;
        if holds(middle) { inside = middle } else { outside = middle }
    }
    outside
}

#[cfg(test)]
mod tests {
    use geo::Coord;

    use super::*;

    fn footing(x: f64, y: f64, turn_deg: f64) -> Footing {
        let cap = Rectangle { centre: Coord { x, y }, length_m: 0.6, width_m: 1.2, turn_deg };
        Footing { block: 7, cap }
    }

    fn round(x: f64, y: f64) -> Outline {
        Outline::Round { centre: Coord { x, y }, diameter_m: 0.2 }
    }

    #[test]
    fn distances_by_hand() {
        // The cap lies from x -0.3 to 0.3; the opening's edge at x 1.0.
        let (openings, caps) = ([round(1.1, 0.0)], [footing(0.0, 0.0, 0.0)]);
        let at = |slid: f64| clearances(&openings, &caps, Way::ForeAndAft, slid)[0];
        assert!(at(0.0).is_some_and(|(d, block)| (d - 0.7).abs() < 1e-12 && block == 7));
        assert!(at(0.5).is_some_and(|(d, _)| (d - 0.2).abs() < 1e-12));
        assert!(at(0.8).is_some_and(|(d, _)| d == 0.0));
        assert_eq!(clearances(&openings, &[], Way::ForeAndAft, 0.0), [None]);
    }

    #[test]
    fn the_part_of_a_band_that_keeps_clear() {
        let band = Band { from_m: 0.0, to_m: 3.0 };
        let wanted = |outline: Outline| [KeptClear { outline, wanted_m: 0.25 }];
        let cap = [footing(0.0, 0.0, 0.0)];
        // Too near from 1.0 - 0.25 - 0.3 to 1.2 + 0.25 + 0.3.
        let parts = clear_parts(&wanted(round(1.1, 0.0)), &cap, Way::ForeAndAft, band);
        assert_eq!(parts.len(), 2);
        assert!((parts[0].to_m - 0.45).abs() < 1e-9 && parts[0].from_m == 0.0);
        assert!((parts[1].from_m - 1.75).abs() < 1e-9 && parts[1].to_m == 3.0);
        // Beside the cap's corner: 0.2 athwart leaves 0.15 fore and aft of 0.25 in all.
        let flat = Rectangle {
            centre: Coord { x: 1.5, y: 1.0 },
            length_m: 0.4,
            width_m: 0.4,
            turn_deg: 0.0,
        };
        let parts = clear_parts(&wanted(Outline::Rectangular(flat)), &cap, Way::ForeAndAft, band);
        assert!((parts[0].to_m - (1.3 - 0.15 - 0.3)).abs() < 1e-9);
        assert!((parts[1].from_m - (1.7 + 0.15 + 0.3)).abs() < 1e-9);
        // Far away athwart, nothing is too near.
        assert_eq!(clear_parts(&wanted(round(1.1, 3.0)), &cap, Way::ForeAndAft, band), [band]);
        // Turned, and athwart: a corner leads, an edge turned by 45 degrees follows.
        let half = 0.5_f64.sqrt();
        let under_the_corner = wanted(round((0.3 - 0.6) * half, 2.0));
        let turned = [footing(0.0, 0.0, 45.0)];
        let parts = clear_parts(&under_the_corner, &turned, Way::Athwart, band);
        assert_eq!(parts.len(), 2);
        assert!((parts[0].to_m - (2.0 - 0.35 - 0.9 * half)).abs() < 1e-9);
        assert!((parts[1].from_m - (2.0 + 0.35 / half + 0.3 * half)).abs() < 1e-9);
    }
}
