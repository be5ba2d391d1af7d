//! Where to land so that what an earlier docking left is reached.

use super::invented::{Docking, number, same};

/// The earlier docking stood in one position, so that all under its blocks was never exposed. Now blocks of
/// the same pitch stand so that as planned they would hide 0.1 m of each footprint again.
#[test]
fn steel_that_was_never_exposed() {
    let then = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    let now = Docking::new(12, 0.6, 1.4).lying(&[7.5, 6.8]);
    let past = then.root();
    let past = past.to_str().expect("a path in UTF-8");
    let json = now.shifts(&["--json", "--past", past]).exits(0).json();
    let left = &json["past"][0]["left"][0];
    assert_eq!(left["what"], "never exposed");
    assert!((number(&left["area_m2"]) - 12.0 * 0.6 * 1.2).abs() < 1e-6);
    assert!((number(&left["hidden_again_m2"]) - 12.0 * 0.1 * 1.2).abs() < 1e-6);
    // Her blocks bear 0.5 m further forward than then; 0.6 to 0.8 m would reach it.
    let bands = left["ways"][0]["bands"].as_array().expect("bands");
    let bands: Vec<(f64, f64)> =
        bands.iter().map(|band| (number(&band["from_m"]), number(&band["to_m"]))).collect();
    same(&bands, &[(-1.7, -1.5), (-0.3, -0.1), (1.1, 1.3)]);
    let text = now.shifts(&["--past", past]).exits(0).squeezed();
    assert!(text.contains("sedge-pike-2044-Itneverexposed8.640m²ofthebottom."), "{text}");
    assert!(text.contains("P1asplannedwouldhide1.440m²ofitagain.Toreachallofit:-Aimat0.20maftofP1asplanned(sternreferencepointatstation7.300m),whichmaybemissedby0.10meitherway"), "{text}");
}

#[test]
fn a_plan_that_reaches_it_says_how_far_it_may_be_missed() {
    let then = Docking::new(12, 0.6, 1.4).lying(&[8.0, 7.6]);
    // What both positions hid is 0.2 m of each footprint; now the blocks stand half a pitch from the middle of it.
    let now = Docking::new(12, 0.6, 1.4).lying(&[7.1]);
    let past = then.root();
    let past = past.to_str().expect("a path in UTF-8");
    let json = now.shifts(&["--json", "--past", past, "--reach", "0.5m"]).exits(3).json();
    let left = json["past"][0]["left"].as_array().expect("what was left");
    assert_eq!(left.len(), 2);
    assert!((number(&left[0]["area_m2"]) - 12.0 * 0.2 * 1.2).abs() < 1e-6);
    assert_eq!(number(&left[0]["hidden_again_m2"]), 0.0);
    assert_eq!(left[1]["what"], "under blocks last");
    let text = now.shifts(&["--past", past, "--reach", "0.5m"]).exits(3).squeezed();
    assert!(
        text.contains(
            "P1asplannedreachesallofit,andsodoesanylandingfrom0.30maftto0.30mforwardofthat."
        ),
        "{text}"
    );
    assert!(
        text.contains("P1asplanned(sternreferencepointatstation7.100m)maybemissedby0.30meitherway"),
        "{text}"
    );
    assert!(text.contains("Initslastposition,P2,8.640m²stoodunderblocks."), "{text}");
}

#[test]
fn an_earlier_docking_that_cant_be_placed_and_one_of_another_ship() {
    let unplaced = Docking::new(12, 0.6, 1.4);
    let other = Docking::new(12, 0.6, 1.4).lying(&[8.0, 7.3]);
    let text = std::fs::read_to_string(other.root().join("docking.toml")).expect("a file");
    other.write("docking.toml", &text.replace("Sedge Pike", "Marram Gull"));
    let now = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    let path = |docking: &Docking| docking.root().to_str().expect("a path in UTF-8").to_string();
    let said = now.shifts(&["--past", &path(&unplaced), "--past", &path(&other)]).exits(0);
    let text = said.squeezed();
    assert!(text.contains("Noteachofitspositionscanbeplaced"), "{text}");
    assert!(text.contains("Thatistherecordofanothership,MarramGull."), "{text}");
    assert!(text.contains("Itexposedallofthebottominonepositionoranother."), "{text}");
}
