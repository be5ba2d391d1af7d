//! The shift study worked by hand.

use geo::{Coord, MultiPolygon, Polygon};

use super::*;
use crate::calc::exposure::Bottom;
use crate::hull::Rectangle;

fn footing(block: usize, x: f64, y: f64, length_m: f64, turn_deg: f64) -> Footing {
    let cap = Rectangle { centre: Coord { x, y }, length_m, width_m: 1.0, turn_deg };
    Footing { block, cap }
}

fn outline(ring: &[(f64, f64)]) -> Bottom {
    Some(MultiPolygon(vec![Polygon::new(ring.to_vec().into(), vec![])]))
}

const ALONG: Way = Way::ForeAndAft;

#[test]
fn two_blocks_by_hand() {
    // Caps from 0 to 1 and from 3 to 4, a metre wide.
    let caps = [footing(4, 0.5, 0.0, 1.0, 0.0), footing(9, 3.5, 0.0, 1.0, 0.0)];
    let study = Sides::of_blocks(&caps, &caps, &None).study(ALONG, (-2.5, 5.0));
    let curve =
        [(-2.5, 0.5), (-2.0, 0.0), (-1.0, 0.0), (0.0, 2.0), (1.0, 0.0), (2.0, 0.0), (3.0, 1.0)];
    assert_eq!(study.curve.len(), 9);
    for ((slid, area), wanted) in study.curve.iter().zip(curve) {
        assert!((slid - wanted.0).abs() < 1e-12 && (area - wanted.1).abs() < 1e-12);
    }
    let bands: Vec<(f64, f64)> = study.bands.iter().map(|b| (b.from_m, b.to_m)).collect();
    assert_eq!(bands, [(-2.0, -1.0), (1.0, 2.0), (4.0, 5.0)]);
    // Alike: the ship is shifted aft, the footprints forward.
    assert_eq!(study.smallest(), Some(1.0));
    assert_eq!(study.widest().map(|band| band.middle_m()), Some(1.5));
    // Without one of the two there is nothing from it, on whichever side.
    let out = &study.leaving_out[0];
    assert_eq!((&out.of_after[..], &out.of_before[..]), (&[4][..], &[][..]));
    assert_eq!((out.band.from_m, out.band.to_m), (1.0, 5.0));
}

#[test]
fn the_overlap_grows_both_sides() {
    let caps = [footing(0, 0.5, 0.0, 1.0, 0.0).grown(0.1)];
    let study = Sides::of_blocks(&caps, &caps, &None).study(ALONG, (-3.0, 3.0));
    assert!((study.bands[1].from_m - 1.2).abs() < 1e-12);
    assert!((study.curve.iter().map(|(_, area)| *area).fold(0.0, f64::max) - 1.44).abs() < 1e-12);
}

#[test]
fn caps_of_one_position_that_overlap_count_once() {
    let caps = [footing(0, 0.5, 0.0, 1.0, 0.0), footing(1, 1.0, 0.25, 1.0, 30.0)];
    let sides = Sides::of_blocks(&caps, &caps, &None);
    let union = crate::calc::plane::union(&[caps[0].cap.polygon(), caps[1].cap.polygon()]);
    let area = crate::calc::plane::area_m2(&union);
    assert!((sides.hidden_twice_m2(ALONG, 0.0) - area).abs() < 1e-6);
}

#[test]
fn the_outline_stands_still_and_cuts_what_was_hidden() {
    // An outline with a notch: of the cap from 0 to 1 it leaves two prongs from 0.4 forward.
    let notched = outline(&[
        (-1.0, -0.2),
        (0.4, -0.2),
        (0.4, -0.5),
        (9.0, -0.5),
        (9.0, 0.5),
        (0.4, 0.5),
        (0.4, 0.2),
        (-1.0, 0.2),
    ]);
    let caps = [footing(0, 0.5, 0.0, 1.0, 0.0)];
    let sides = Sides::of_blocks(&caps, &caps, &notched);
    assert!((sides.hidden_twice_m2(ALONG, 0.0) - (0.4 * 0.4 + 0.6)).abs() < 1e-12);
    assert!((sides.hidden_twice_m2(ALONG, -0.6) - 0.4 * 0.4).abs() < 1e-12);
    assert!((sides.hidden_twice_m2(Way::Athwart, 0.5) - (0.4 * 0.2 + 0.6 * 0.5)).abs() < 1e-12);
    // Outside the outline nothing can be hidden twice.
    let apart = outline(&[(5.0, -1.0), (9.0, -1.0), (9.0, 1.0), (5.0, 1.0)]);
    let study = Sides::of_blocks(&caps, &caps, &apart).study(ALONG, (-1.0, 1.0));
    assert_eq!(study.bands, [Band { from_m: -1.0, to_m: 1.0 }]);
    assert_eq!(study.smallest(), Some(0.0));
}

#[test]
fn edges_that_touch_are_no_contact() {
    // Rows side by side whose edges meet, exactly and but for rounding, slide past each other.
    for y in [1.0, 1.0 - 1e-13, 0.1 + 0.9, 1.0 - 1e-8] {
        let (keel, bilge) = ([footing(0, 0.5, 0.0, 1.0, 0.0)], [footing(1, 0.5, y, 1.0, 0.0)]);
        let study = Sides::of_blocks(&keel, &bilge, &None).study(ALONG, (-2.0, 2.0));
        assert_eq!(study.bands.len(), 1, "{y}");
    }
}

#[test]
fn steel_can_not_be_left_out() {
    let ring = |x: f64| vec![(x, -0.1), (x + 0.3, 0.0), (x, 0.1)];
    let steel = MultiPolygon(vec![
        Polygon::new(ring(0.0).into(), vec![]),
        Polygon::new(ring(1.1).into(), vec![]),
    ]);
    let caps = [footing(3, 0.2, 0.0, 0.6, 0.0), footing(5, 1.6, 0.0, 0.6, 0.0)];
    let sides = Sides::of_steel(&steel, &caps, &None);
    let study = sides.study(ALONG, (-0.8, 0.8));
    // All of the first piece, and the last 0.1 of the second: a point a ninth as large.
    assert!((sides.hidden_twice_m2(ALONG, 0.0) - 0.03 * (1.0 + 1.0 / 9.0)).abs() < 1e-9);
    assert!(study.leaving_out.iter().all(|out| out.of_before.is_empty()));
    // Clear when the first cap has passed the first piece and not yet reached the second.
    let wanted = (0.3 + 0.1, 1.1 - 0.5);
    let met = |b: &Band| (b.from_m - wanted.0).abs() < 1e-9 && (b.to_m - wanted.1).abs() < 1e-9;
    assert!(study.bands.iter().any(met), "{:?}", study.bands);
}

#[test]
fn an_outline_that_ends_in_a_point_cuts_there() {
    let bow = outline(&[(0.0, -1.0), (3.0, -1.0), (5.0, 0.0), (3.0, 1.0), (0.0, 1.0)]);
    let caps = [footing(0, 4.5, 0.0, 2.0, 0.0)];
    let sides = Sides::of_blocks(&caps, &caps, &bow);
    // From 3.5 to 4.0 the cap's whole width is inside, from there on half as much as is left to the point.
    assert!((sides.hidden_twice_m2(ALONG, 0.0) - (0.5 + 0.5)).abs() < 1e-12);
    assert!((sides.hidden_twice_m2(ALONG, 1.0) - 0.25 * 0.5 / 2.0 * 2.0).abs() < 1e-12);
    let study = sides.study(ALONG, (-3.0, 3.0));
    let bands: Vec<(f64, f64)> = study.bands.iter().map(|b| (b.from_m, b.to_m)).collect();
    assert!((bands[0].1 - -2.0).abs() < 1e-12 && (bands[1].0 - 1.5).abs() < 1e-12, "{bands:?}");
    // The same steel as a shape.
    let steel = crate::calc::plane::common(
        &MultiPolygon(vec![caps[0].cap.polygon()]),
        &bow.unwrap_or_else(|| MultiPolygon(vec![])),
    );
    let same = Sides::of_steel(&steel, &caps, &None).study(ALONG, (-3.0, 3.0));
    assert_eq!(same.bands.len(), 2);
    for (one, other) in study.bands.iter().zip(&same.bands) {
        assert!((one.from_m - other.from_m).abs() < 1e-6 && (one.to_m - other.to_m).abs() < 1e-6);
    }
}
