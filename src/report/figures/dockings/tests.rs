//! The overlay of two dockings, of caps whose areas are known by hand.

use geo::{Coord, MultiPolygon, Polygon, polygon};

use super::super::tests::{bottom, check, docking, examined, keel_blocks, no_texts_overlap, texts};
use super::super::{Drawing, Overlaid, two_dockings};
use crate::findings::Examined;

fn newer() -> Examined {
    examined(&[
        docking("length_overall_m = 30\nbreadth_m = 6\n"),
        ("plan/blocks.csv", keel_blocks(3, 1.4, "K")),
        ("plan/bottom.csv", bottom(30.0, 6.0)),
    ])
}

/// A cap a metre wide on the centreline.
fn cap(aft: f64, forward: f64) -> Polygon<f64> {
    polygon![(x: aft, y: -0.5), (x: forward, y: -0.5), (x: forward, y: 0.5), (x: aft, y: 0.5)]
}

fn overlaid(then: Vec<Polygon<f64>>, now: Vec<Polygon<f64>>, never: &[Polygon<f64>]) -> Drawing {
    let (then, now) = (MultiPolygon(then), MultiPolygon(now));
    let overlaid = Overlaid { names: ["older", "newer"], under_blocks: [&then, &now], never };
    let drawing = two_dockings(&newer(), &overlaid).expect("a drawing");
    check(std::slice::from_ref(&drawing));
    no_texts_overlap(std::slice::from_ref(&drawing), "two-dockings");
    drawing
}

/// The hatchings of the map, legend aside: the direction of the lines of each in whole degrees, and how far they reach
/// to the left and to the right, mm.
fn hatchings(drawing: &Drawing) -> Vec<(i32, f64, f64)> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let paths = document.descendants().filter_map(|node| node.attribute("d"));
    let lines = |path: &str| -> Vec<[Coord<f64>; 2]> {
        let line = |line: &str| {
            let ends = line.split('L').map(|at| {
                let (x, y) = at.split_once(' ').expect("x and y");
                Coord { x: x.parse().expect("x"), y: y.parse().expect("y") }
            });
            ends.collect::<Vec<_>>().try_into().ok()
        };
        path.trim_end_matches('Z').split('M').skip(1).filter_map(line).collect()
    };
    let all = paths.map(lines).filter(|lines| lines.len() > 4);
    let all = all.map(|lines| {
        let [a, b] = lines[lines.len() / 2];
        // The paper's y grows downward.
        let turned = libm::atan2(a.y - b.y, b.x - a.x).to_degrees().rem_euclid(180.0);
        let xs = || lines.iter().flatten().map(|at| at.x);
        let (left, right) = (xs().fold(f64::INFINITY, f64::min), xs().fold(0.0, f64::max));
        (turned.round() as i32 % 180, left, right)
    });
    // A sample of the legend is no wider than 9 mm.
    all.filter(|(_, left, right)| right - left > 9.5).collect()
}

#[test]
fn where_two_footprints_overlap_a_third_mark_stands() {
    // Then x 2 to 6 m, now 4 to 10 m: 2 m then only, 2 m both times, 4 m now only; a metre wide.
    let drawing = overlaid(vec![cap(2.0, 6.0)], vec![cap(4.0, 10.0)], &[]);
    let caption = drawing.caption.replace('\u{a0}', " ");
    for said in ["Then only 2.0 m²", "now only 4.0 m²", "both times 2.0 m²."] {
        assert!(caption.contains(said), "{caption}");
    }
    let scale: f64 = drawing.title.rsplit(':').next().expect("a scale").parse().expect("a number");
    let mm = 1000.0 / scale;
    let found = hatchings(&drawing);
    let of = |degrees: i32| {
        let of = found.iter().find(|one| one.0 == degrees);
        *of.unwrap_or_else(|| panic!("no hatch at {degrees} in {found:?}"))
    };
    let (then, now) = (of(45), of(135));
    // Each hatch lies in its own part: none of the two goes on where both lie.
    for ((_, left, right), from, to) in
        [(then, 2.0, 4.0), (of(0), 4.0, 6.0), (of(90), 4.0, 6.0), (now, 6.0, 10.0)]
    {
        let metres = |x: f64| 2.0 + (x - then.1) / mm;
        let near = |found: f64, wanted: f64| (metres(found) - wanted).abs() * mm < 1.4;
        assert!(near(left, from) && near(right, to), "{from} to {to}: {left} {right}, {found:?}");
    }
    let lettered: Vec<String> = texts(&drawing).into_iter().map(|text| text.text).collect();
    assert!(lettered.contains(&"on blocks in both".to_string()), "{lettered:?}");
}

#[test]
fn what_is_not_there_is_not_in_the_legend() {
    let never = [cap(20.0, 20.5)];
    let drawing = overlaid(vec![cap(10.0, 12.0)], vec![cap(14.0, 18.0)], &[]);
    let lettered: Vec<String> = texts(&drawing).into_iter().map(|text| text.text).collect();
    assert!(!lettered.iter().any(|text| text.contains("both") || text.contains("never")));
    assert!(hatchings(&drawing).iter().all(|one| one.0 == 45 || one.0 == 135));
    assert!(drawing.alt.contains("either docking: nothing"), "{}", drawing.alt);
    let drawing = overlaid(vec![cap(20.0, 21.0)], vec![cap(19.0, 20.5)], &never);
    assert!(texts(&drawing).iter().any(|text| text.text.replace('\u{a0}', " ") == "A: 0.50 m²"));
    assert!(drawing.alt.contains("A at x 20.00"), "{}", drawing.alt);
}

#[test]
fn the_mark_for_both_is_closer_than_either_and_in_neither_direction() {
    use super::{IN_BOTH, hatch};
    let ink =
        |hatches: &[hatch::Hatch]| hatches.iter().map(|one| 1.0 / one.spacing_mm).sum::<f64>();
    let each = [0, 1].map(hatch::of_position);
    for one in each {
        assert!(ink(&IN_BOTH) > 2.0 * ink(&[one]));
        assert!(IN_BOTH.iter().all(|both| (both.angle_deg - one.angle_deg).abs() >= 45.0));
    }
    assert!(ink(&each[..1]) > 1.5 * ink(&each[1..]));
}
