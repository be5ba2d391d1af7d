//! The shell expansion, of the sample and of records that try it hard.

use super::super::strakes::{Side, named_side};
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

/// Where a text stands on paper, mm.
#[track_caller]
fn at(drawing: &Drawing, text: &str) -> (f64, f64) {
    let found = texts(drawing).into_iter().find(|one| one.text == text);
    let middle = found.unwrap_or_else(|| panic!("no {text}")).area.middle();
    (middle.x, middle.y)
}

#[test]
fn the_sample_shows_every_plate_and_anode_in_one_drawing() {
    let examined = sample();
    let drawings = drawings(&examined);
    no_texts_overlap(&drawings, "plating");
    let [map] = *of_group(&drawings, Group::Plating) else { panic!("not one drawing") };
    assert!(map.caption.starts_with("300 plates and 24 anodes;"), "{}", map.caption);
    assert!(map.note.contains("Beyond their limit") && map.note.contains("A F-S plate 14"));
    // 24.2 % of F-S 14, the only one beyond its limit.
    assert!(texts(map).iter().any(|text| text.text == "A 24"));
    let lettered: Vec<String> = texts(map).into_iter().map(|text| text.text).collect();
    for anode in &examined.project.anodes {
        assert!(lettered.contains(&anode.id), "{}", anode.id);
    }
    // From port to starboard, each strake outward of the one before it.
    let strakes = ["G-P", "F-P", "E-P", "D-P", "C-P", "B-P", "A-P"];
    let strakes = strakes.into_iter().chain(["A-S", "B-S", "C-S", "D-S", "E-S", "F-S", "G-S"]);
    let heights: Vec<f64> = strakes.map(|strake| at(map, strake).1).collect();
    assert!(heights.windows(2).all(|pair| pair[0] < pair[1]), "{heights:?}");
}

#[test]
fn along_the_ship_it_is_true_to_scale_with_the_bow_to_the_right() {
    // Of 20 mm: 11, 22 and 33 % are gone; the keel plate in the middle.
    let rows = "K,1,10,0,20,17.8,9\nA-P,1,30,2,20,15.6,9\nA-S,1,50,-2,20,13.4,9\n";
    let drawings = drawings(&project(rows, "", true));
    check(&drawings);
    let [map] = *of_group(&drawings, Group::Plating) else { panic!("not one drawing") };
    let (keel, port, starboard) = (at(map, "11"), at(map, "22"), at(map, "33"));
    assert!((port.0 - keel.0 - (starboard.0 - port.0)).abs() < 0.01 && port.0 > keel.0);
    assert!(port.1 < keel.1 && keel.1 < starboard.1);
    // 20 m on paper, as the numbers of the axis have it.
    let axis = at(map, "30").0 - at(map, "10").0;
    assert!((axis - (port.0 - keel.0)).abs() < 0.01, "{axis}");
}

#[test]
fn a_plate_gauged_twice_shows_the_worse() {
    let rows = "A-P,1,10,1,20,19,4\nA-P,1,11,1,20,17,4\nA-P,1,12,1,20,18,4\n";
    let drawings = drawings(&project(rows, "", true));
    let [map] = *of_group(&drawings, Group::Plating) else { panic!("not one drawing") };
    let lettered: Vec<String> = texts(map).into_iter().map(|text| text.text).collect();
    assert!(
        lettered.contains(&"15".to_string()) && map.caption.contains("1 plate"),
        "{lettered:?}"
    );
    assert!(!lettered.contains(&"5".to_string()));
}

#[test]
fn what_has_no_place_or_an_impossible_one_is_counted() {
    let rows = "A,1,10,1,20,19,4\nA,2,,,20,19,4\nA,3,9e5,1,20,19,4\n";
    let drawings = drawings(&project(rows, "AN1,,,10,5,yes\nAN2,12,1,10,5,\n", false));
    check(&drawings);
    let note = &of_group(&drawings, Group::Plating)[0].note;
    for said in ["1 gauging without x and y", "1 gauging too far off the hull", "1 anode without"] {
        assert!(note.contains(said), "{said}: {note}");
    }
    let maps = of_group(&drawings, Group::Plating);
    assert!(texts(maps[0]).iter().any(|text| text.text == "anode, renewal not recorded"));
    let nothing = super::super::drawings(&project("A,2,,,20,19,4\n", "", true));
    assert!(of_group(&nothing, Group::Plating).is_empty());
}

#[test]
fn the_side_of_a_strake_is_read_from_its_name() {
    for (name, side, rest) in [
        ("F-S", Some(Side::Starboard), "F"),
        ("A port", Some(Side::Port), "A"),
        ("AA/stbd", Some(Side::Starboard), "AA"),
        ("K", Some(Side::Keel), ""),
        ("strake-4", None, "strake 4"),
        ("S", None, "S"),
    ] {
        assert_eq!(named_side(name), (side, rest.to_string()), "{name}");
    }
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
    let maps = of_group(&drawings, Group::Plating);
    assert!(maps.len() <= 3);
    assert!(maps.iter().any(|map| map.note.contains("Left out for want of room")));
    let many: String =
        (0..90).map(|n| format!("strake-with-a-name-{n},1,10,{n},20,19,4\n")).collect();
    let drawings = super::super::drawings(&project(&many, "", true));
    check(&drawings);
    assert!(of_group(&drawings, Group::Plating)[0].note.contains("for want of room"));
}
