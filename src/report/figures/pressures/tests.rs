//! Pressures of two dockings, known ones.

use super::super::tests::{check, no_texts_overlap, texts};
use super::super::{Drawing, Pressed, PressedPair, PressedRow, pressures};
use crate::text::System;

fn block(x_m: f64, kpa: f64) -> Pressed {
    Pressed { x_m, half_m: 0.5, kpa }
}

fn pair(rows: Vec<PressedRow>) -> PressedPair<'static> {
    PressedPair { then: "P1", now: "P2", rows }
}

fn drawn(system: System, pairs: &[PressedPair<'_>]) -> Drawing {
    let drawing = pressures(system, pairs).expect("a drawing");
    check(std::slice::from_ref(&drawing));
    no_texts_overlap(std::slice::from_ref(&drawing), "pressures");
    drawing
}

/// The heights of all that is drawn with a pen of a width, mm down the paper: the least and the greatest of each.
fn heights(drawing: &Drawing, width: &str) -> Vec<(f64, f64)> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let paths = document.descendants().filter(|node| node.attribute("stroke-width") == Some(width));
    let height = |path: &str| -> (f64, f64) {
        let places = path.trim_end_matches('Z').split(['M', 'L']).filter(|at| !at.is_empty());
        let ys = places.map(|at| at.split_once(' ').expect("x and y").1.parse().expect("y"));
        ys.fold((f64::INFINITY, 0.0), |(low, high), y: f64| (low.min(y), high.max(y)))
    };
    paths.filter_map(|node| node.attribute("d")).map(height).collect()
}

#[test]
fn a_bar_and_a_stroke_of_one_pressure_are_of_one_height() {
    let row = PressedRow {
        name: "keel row",
        then: vec![block(10.0, 1000.0), block(20.0, 500.0)],
        now: vec![block(10.0, 1000.0), block(20.0, 250.0)],
    };
    let drawing = drawn(System::Si, &[pair(vec![row])]);
    let titles: Vec<String> = texts(&drawing).into_iter().map(|text| text.text).collect();
    assert!(titles.contains(&"P1 then against P2 now, keel row: kPa".to_string()), "{titles:?}");
    let strokes = heights(&drawing, "0.45");
    let bars: Vec<(f64, f64)> = heights(&drawing, "0.13").into_iter().take(2).collect();
    let [(full, _), (half, _), ..] = strokes.as_slice() else { panic!("{strokes:?}") };
    let foot = bars[0].1;
    assert!((bars[0].0 - full).abs() < 0.01, "{bars:?} {strokes:?}");
    assert!(((foot - half) * 2.0 - (foot - full)).abs() < 0.01);
    assert!(((foot - bars[1].0) * 4.0 - (foot - full)).abs() < 0.01);
    let alt = drawing.alt.replace('\u{a0}', " ");
    assert!(alt.contains("keel row: highest then 1000 kPa, now 1000 kPa."), "{alt}");
}

// 6.894757 kPa are 1 psi (NIST SP 811, appendix B).
#[test]
fn pressures_are_in_psi_where_the_project_is_in_us_units() {
    let row = PressedRow { name: "keel row", then: vec![], now: vec![block(10.0, 689.4757)] };
    let drawing = drawn(System::Us, &[pair(vec![row])]);
    let alt = drawing.alt.replace('\u{a0}', " ");
    assert!(alt.contains("highest then not recomputed, now 100.0 psi."), "{alt}");
}

#[test]
fn rows_without_pressure_are_not_drawn_and_too_many_are_counted() {
    let row = |name, kpa| PressedRow { name, then: vec![block(10.0, kpa)], now: vec![] };
    assert!(pressures(System::Si, &[pair(vec![row("keel row", 0.0)])]).is_none());
    assert!(pressures(System::Si, &[]).is_none());
    let pairs: Vec<PressedPair<'_>> =
        (0..5).map(|_| pair(vec![row("keel row", 900.0), row("bilge, port", 90.0)])).collect();
    let drawing = drawn(System::Si, &pairs);
    assert!(drawing.caption.contains("for want of room: 3 rows of blocks"), "{}", drawing.caption);
    assert!(drawing.alt.chars().count() <= 500, "{}", drawing.alt.chars().count());
}
