//! The map of the gaugings, of the sample and of records that try it hard.

use super::super::tests::{
    bottom, check, docking, examined, keel_blocks, no_texts_overlap, of_group, sample, texts,
};
use super::super::{Drawing, Group, drawings};
use crate::findings::Examined;

const PLATING: &str = "strake,plate,x_m,y_m,original_mm,measured_mm,loss_limit_mm\n";
const ANODES: &str = "anode,x_m,y_m,mass_fitted_kg,mass_found_kg,renewed\n";

fn project(plating: &str, anodes: &str, outline: bool) -> Examined {
    let mut files = vec![
        docking("length_overall_m = 60\nbreadth_m = 12\n"),
        ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
        ("hull/plating.csv", format!("{PLATING}{plating}")),
        ("hull/anodes.csv", format!("{ANODES}{anodes}")),
    ];
    if outline {
        files.push(("plan/bottom.csv", bottom(60.0, 11.0)));
    }
    examined(&files)
}

/// Circles of a drawing, without those of the legend, which stands below all marks.
fn circles(drawing: &Drawing) -> Vec<(f64, f64, f64)> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let legend = texts(drawing)
        .into_iter()
        .find(|text| text.text == "x, m")
        .map_or(f64::MAX, |text| text.area.bottom);
    let number = |node: &roxmltree::Node, name: &str| -> f64 {
        node.attribute(name).and_then(|value| value.parse().ok()).expect("a number")
    };
    document
        .descendants()
        .filter(|node| node.has_tag_name("circle"))
        .map(|node| (number(&node, "cx"), number(&node, "cy"), number(&node, "r")))
        .filter(|(_, y, _)| *y < legend)
        .collect()
}

#[test]
fn the_sample_shows_every_gauging_and_anode_once_by_count() {
    let examined = sample();
    let drawings = drawings(&examined);
    let maps = of_group(&drawings, Group::Plating);
    no_texts_overlap(&drawings, "plating");
    // "...: 92 gaugings and 8 anodes in this strip."
    let counted = |noun: &str| -> usize {
        maps.iter()
            .map(|map| {
                let counts = map.caption.split(": ").nth(1).unwrap_or_default();
                let before = counts.split(&format!(" {noun}")).next().unwrap_or_default();
                let count = before.rsplit(' ').next().unwrap_or_default();
                count.parse::<usize>().unwrap_or_else(|_| panic!("{}", map.caption))
            })
            .sum()
    };
    assert_eq!(counted("gaugings"), 300);
    assert_eq!(counted("anodes"), 24);
    let beyond: Vec<&&Drawing> =
        maps.iter().filter(|map| map.caption.contains("Beyond their limit")).collect();
    assert_eq!(beyond.len(), 1);
    let said = "A F-S plate 14 at x 63.54 m, y \u{2212}6.19 m, 2.90 mm or 24.2 % lost";
    assert!(beyond[0].alt.contains(said), "{}", beyond[0].alt);
    assert!(texts(beyond[0]).iter().any(|text| text.text == "A"));
}

#[test]
fn the_mark_tells_how_much_is_used_up_and_stands_where_it_was_gauged() {
    // Of 4 mm allowed: 0.5, 1.5, 2.5, 3.5 and 4.5 mm are gone.
    let rows = "A,1,10,0,20,19.5,4\nA,2,20,0,20,18.5,4\nA,3,30,0,20,17.5,4\nA,4,40,0,20,16.5,4\n\
                A,5,50,0,20,15.5,4\n";
    let drawings = drawings(&project(rows, "", true));
    check(&drawings);
    let maps = of_group(&drawings, Group::Plating);
    // Strips repeat a little of each other; a mark in the lap is drawn in both.
    let mut radii: Vec<(i64, f64)> = maps
        .iter()
        .flat_map(|map| circles(map).into_iter().map(|(x, _, r)| (x.round() as i64, r)))
        .collect();
    radii.sort_by(|a, b| a.1.total_cmp(&b.1));
    let radii: Vec<f64> = radii.into_iter().map(|(_, r)| r).collect();
    for wanted in [0.35, 0.5, 0.7, 1.0, 1.9] {
        assert!(radii.contains(&wanted), "{wanted}: {radii:?}");
    }
    let scale: f64 =
        maps[0].title.rsplit(':').next().and_then(|scale| scale.parse().ok()).expect("a scale");
    let on_first: Vec<(f64, f64, f64)> = circles(maps[0]);
    let at = |r: f64| on_first.iter().find(|circle| circle.2 == r).map(|circle| circle.0);
    let (little, some) = (at(0.35).expect("plate 1"), at(0.7).expect("plate 2"));
    assert!((some - little - 10_000.0 / scale).abs() < 0.01, "{little} {some} {scale}");
}

#[test]
fn what_has_no_place_or_an_impossible_one_is_counted() {
    let rows = "A,1,10,1,20,19,4\nA,2,,,20,19,4\nA,3,9e5,1,20,19,4\n";
    let drawings = drawings(&project(rows, "AN1,,,10,5,yes\nAN2,12,1,10,5,\n", false));
    check(&drawings);
    let maps = of_group(&drawings, Group::Plating);
    let caption = &maps[0].caption;
    assert!(
        caption.contains("Without x and y, and so not drawn: 1 gauging and 1 anode."),
        "{caption}"
    );
    assert!(caption.contains("Too far off to be drawn: 1 record."), "{caption}");
    assert!(caption.contains("Outline of the bottom not recorded"), "{caption}");
    assert!(texts(maps[0]).iter().any(|text| text.text == "anode, renewal not recorded"));
    let nothing = super::super::drawings(&project("A,2,,,20,19,4\n", "", true));
    assert!(of_group(&nothing, Group::Plating).is_empty());
}

#[test]
fn two_thousand_gaugings_and_anodes_side_by_side_stay_legible() {
    let rows: String = (0..2000)
        .map(|n| {
            let (x, y) = (f64::from(n % 200) * 0.3, f64::from(n / 200) - 4.5);
            format!("strake-{},{n},{x},{y},20,{},4\n", n / 200, 20.0 - f64::from(n % 7))
        })
        .collect();
    let anodes: String = (0..200)
        .map(|n| format!("anode-number-{n:012},{},5.3,10,5,no\n", f64::from(n) * 0.3))
        .collect();
    let drawings = drawings(&project(&rows, &anodes, true));
    check(&drawings);
    no_texts_overlap(&drawings, "plating");
    assert!(
        of_group(&drawings, Group::Plating)
            .iter()
            .any(|map| map.caption.contains("Left out for want of room"))
    );
}
